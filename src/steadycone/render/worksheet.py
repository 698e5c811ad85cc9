"""The answer of a worksheet in a region's words and units, beside the plain keys and numbers."""

import math
import re
from dataclasses import dataclass
from typing import Any, Literal

from steadycone.data import reader
from steadycone.quantity import KINDS, Quantity
from steadycone.render.numbers import Direction
from steadycone.render.words import Words, capital, needle_words
from steadycone.units import ZERO_CELSIUS

_ENDS = ("_low", "_high")
_NEEDLES = ("reading", "also_possible")  # codes of practice/drop
_WORD = re.compile(r"\b(check valve|torch|tip|arrestor)(s?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Row:
    """One number as a person reads it. low, high : ends of its band, "" where it has none or they read alike. known : False for a "?"."""

    key: str
    says: str
    value: str
    low: str = ""
    high: str = ""
    known: bool = True


@dataclass(frozen=True, slots=True)
class ToldAnswer:
    """verdict : of the worksheet; where it gives none, caution for a state that no number stands for, else "" """

    rows: tuple[Row, ...]
    verdict: Literal["", "go", "caution", "stop"]
    says: tuple[str, ...]
    flat: tuple[tuple[str, str], ...]


def worded(told: str, words: Words) -> str:
    """A text that names torch, tip, check valve and arrestor, in the region's words."""

    def own(found: re.Match[str]) -> str:
        plain, many = found[1].lower(), found[2]
        word = words.part("check valve") if plain == "check valve" else "arrestor" if plain == "arrestor" else words.table[plain]
        if many:
            word += "es" if word.endswith("ch") else "s"
        return capital(word) if found[1][0].isupper() else word

    return _WORD.sub(own, told)


def title(name: str, words: Words) -> str:
    return words.fill(reader.toml("sums.toml")["title"][name], {})


def told_answer(found: dict[str, Any], words: Words) -> ToldAnswer:
    """A worksheet's flat answer, told. Raises KeyError: a key that data/sums.toml does not name, a fault of the table."""
    table = reader.toml("sums.toml")
    rows = tuple(_row(key, found, table["key"], words) for key in found if _stands(key, found, table))
    verdict, says = _verdict(found, table["state"], words)
    return ToldAnswer(rows, verdict, says, tuple((key, flat(value)) for key, value in found.items()))


def flat(value: object) -> str:
    """As `steadycone calc` writes it."""
    if value is None:
        return "?"
    if isinstance(value, float):
        return f"{value:.5g}" if 1e-4 <= abs(value) < 1e6 or value == 0 else f"{value:.4e}"
    return ", ".join(value) if isinstance(value, list) else str(value)


def _stands(key: str, found: dict[str, Any], table: dict[str, Any]) -> bool:
    """Whether a key has a row of its own: not an end of a band, and not said elsewhere."""
    if any(key.endswith(end) and key.removesuffix(end) in found for end in _ENDS):
        return False
    aside = table["flat"]
    return key not in (*aside["keys"], "state", "state_at_worst", "caution") and not (
        key.endswith("_percent") and key.startswith(tuple(aside["prefixes"]))
    )


def _verdict(found: dict[str, Any], states: dict[str, str], words: Words) -> tuple[Literal["", "go", "caution", "stop"], tuple[str, ...]]:
    says = [worded(str(found["says"]), words)] if "says" in found else []
    verdict = found.get("verdict", "")
    for key, head in (("state", ""), ("state_at_worst", "At the unsafe end: ")):
        if key in found:
            says.append(head + states[found[key]])
            verdict = verdict or ("caution" if found[key] != "ok" else "")
    if "caution" in found:
        says.append(capital(str(found["caution"])) + ".")
        verdict = verdict if verdict == "stop" else "caution"
    return verdict, tuple(says)


def _row(key: str, found: dict[str, Any], names: dict[str, Any], words: Words) -> Row:
    entry, value = names[key], found[key]
    says = capital(words.fill(entry["says"], {}))
    if isinstance(value, str | list):
        codes = [str(each) for each in value] if isinstance(value, list) else [value]
        told = ", ".join(needle_words(each) if key in _NEEDLES else each for each in codes)
        if key == "value" or not told:
            told = told or "nothing else"
        return Row(key, says, worded(told, words))
    if key == "value" and "unit" in found:
        return Row(key, says, f"{_plain(value, words)} {found['unit']}".strip(), known=value is not None)
    shown = _shown(value, entry, words, entry.get("round", "nearest"))
    ends = (key + "_low", key + "_high")
    if not all(end in found for end in ends):
        return Row(key, says, shown, known=value is not None)
    if value is not None and found[ends[0]] is not None and found[ends[1]] is None and entry.get("kind") == "leak":
        return Row(key, says, f"at least {_shown(found[ends[0]], entry, words, 'down')}")
    low, high = _shown(found[ends[0]], entry, words, "down"), _shown(found[ends[1]], entry, words, "up")
    if low == high == shown:
        return Row(key, says, shown, known=value is not None)
    return Row(key, says, shown, low, high, known=value is not None)


def _shown(value: float | None, entry: dict[str, Any], words: Words, direction: Direction) -> str:
    """A number with its unit, in the region's."""
    if value is None:
        return "?"
    if "kind" in entry:
        kind = entry["kind"]
        si = value * KINDS[kind][1] / entry.get("per", 1) + (ZERO_CELSIUS if kind == "temperature" else 0.0)
        if kind == "minutes":
            return words.numbers.show(Quantity(si, si, si, kind), direction)
        return words.numbers.joined(words.numbers.bare(si, kind, direction, more=_finer(si, kind, words)), kind)
    if "share" in entry:
        return _plain(100.0 * value * entry["share"], words, direction) + "\u00a0%"
    shown = _plain(value, words, direction)
    return f"{shown}\u00a0{entry['unit']}" if "unit" in entry else shown


def _finer(si: float, kind: str, words: Words) -> int:
    """Decimals beyond those that a gauge is read to, so that a small number still has two figures."""
    x = abs(words.numbers.convert(si, kind))
    if kind == "temperature" or x == 0:
        return 0
    return max(0, 1 - math.floor(math.log10(x)) - words.numbers.decimals(x, words.numbers.unit(kind)))


def _plain(x: float | int | None, words: Words, direction: Direction = "nearest") -> str:
    """Three figures; a whole number as it is."""
    if x is None:
        return "?"
    if isinstance(x, int) or x == 0:
        return words.numbers.text(x, 0)
    return words.numbers.text(x, max(0, 2 - math.floor(math.log10(abs(x)))), direction)
