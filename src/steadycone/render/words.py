"""Texts of findings and steps, their blanks filled in a region's words and units."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from steadycone.data import reader
from steadycone.practice.finding import Finding, Verdict
from steadycone.quantity import Quantity
from steadycone.render.numbers import Numbers, region_table

VERDICTS = {"go": "GO", "caution": "CAUTION", "stop": "STOP"}
_GASES = {"lpg": "lpg"}  # fuels whose name is one of the region's words
_SHORT = {"mps": "MPS"}  # and those written in capitals


@dataclass(frozen=True, slots=True, eq=False)
class Words:
    """One region's words and numbers. There is one a region, and it is told from others by what it is, not by what it holds."""

    region: str
    table: dict[str, str]
    numbers: Numbers

    @classmethod
    def of(cls, region: str) -> "Words":
        return _words(region)

    def fill(self, told: str, blanks: Mapping[str, Quantity | str]) -> str:
        """A text with its named blanks filled: quantities with their unit, and the region's own words.

        A capital ({Torch}) begins a sentence. Raises KeyError for a blank that nothing fills: a fault of the table.
        """
        return told.format_map(_Blanks(self, blanks))

    def says(self, finding: Finding) -> str:
        return self._filled(finding, "says")

    def remedy(self, finding: Finding) -> str:
        return self._filled(finding, "remedy")

    def do(self, finding: Finding) -> str:
        """The short imperative of one line on the card; the remedy where the table has no shorter one."""
        return self._filled(finding, "do") or self.remedy(finding)

    def _filled(self, finding: Finding, part: str) -> str:
        told = finding_text(finding).get(part, "")
        return capital(self.fill(told, self.blanks(finding))) if told else ""

    def blanks(self, finding: Finding) -> dict[str, Quantity | str]:
        """What the wording of a finding may use: its own blanks, value, limit, margin and the subject in words."""
        found: dict[str, Quantity | str] = dict(finding.blanks)
        found["subject"] = self.subject(finding.subject)
        judged = finding.judged
        if judged is not None:
            found["value"] = judged
        if finding.limit is not None:
            found["limit"] = finding.limit
        if judged is not None and finding.limit is not None:
            found["value"], found["limit"] = self.numbers.pair(judged, finding.limit)
        if finding.margin is not None:
            found["margin"] = finding.margin.at("low")
        return found

    def subject(self, subject: str) -> str:
        """The program's own name of a thing in the region's words: "oxygen part 2 (check valve)" as "oxygen check valve"."""
        return _subject(self, subject)

    def _subject(self, subject: str) -> str:
        head, bracket, rest = subject.partition(" part ")
        if bracket and "(" in rest:
            kind, _, after = rest.partition("(")[2].partition(")")
            subject = f"{head} {self.part(kind)}{after}"
        words = subject.replace("preheat_oxygen", "preheat oxygen")
        for plain in ("torch", "tip"):
            words = " ".join(self.table[plain] if word == plain else word for word in words.split(" "))
        return words

    def part(self, kind: str) -> str:
        """A kind of part in short: an arrestor is one word, a check valve follows the region."""
        return self.table["check_valve"] if kind == "check valve" else kind

    def gas(self, name: str) -> str:
        return self.table[_GASES[name]] if name in _GASES else _SHORT.get(name, name.replace("_", " "))


class _Blanks(dict[str, str]):
    """Looks blanks up when the text asks for them."""

    def __init__(self, words: Words, given: Mapping[str, Quantity | str]) -> None:
        super().__init__()
        self.words, self.given = words, given

    def __missing__(self, key: str) -> str:
        plain = key[:1].lower() + key[1:]
        for name in (key, plain):
            if name in self.given:
                value = self.given[name]
                told = self._told(key, value)
                return told if name == key else capital(told)
        return capital(self.words.table[plain]) if key != plain else self.words.table[key]

    def _told(self, key: str, value: Quantity | str) -> str:
        if isinstance(value, str):
            return self.words.gas(value) if key in ("gas", "fuel") else value
        return self.words.numbers.show(value)


def capital(told: str) -> str:
    return told[:1].upper() + told[1:]


def finding_text(finding: Finding) -> dict[str, Any]:
    """The wording of a finding: the variant it names, else the one of its verdict, over what all its wordings share. Not to be changed."""
    return _finding_text(finding.code, finding.verdict, finding.text)


@lru_cache(maxsize=1024)
def _finding_text(code: str, verdict: Verdict, text: str) -> dict[str, Any]:
    entry = reader.blocks("findings.toml")[code]
    chosen: dict[str, Any] = entry.get(text or verdict, {})
    if verdict == "go":
        return chosen  # nothing to do about what is in order
    return {key: value for key, value in entry.items() if isinstance(value, str)} | chosen


@cache
def _words(region: str) -> Words:
    return Words(region, reader.toml("card.toml")["words"] | region_table(region)["words"], Numbers.of(region))


@lru_cache(maxsize=1024)  # every finding is told by several renderers
def _subject(words: Words, subject: str) -> str:
    return words._subject(subject)


def needle_words(code: str) -> str:
    """What a person reads for a code of practice/drop; a code that is plain already stands as it is."""
    return str(reader.toml("drop_readings.toml").get(code, code))
