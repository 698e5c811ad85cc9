"""What a gas mark on gear says: the standards' letters, names, and lists of both. The one reader of such marks.

"A", "C2H2", "dissolved acetylene" and "A 1.5 bar" are one mark; "A, P, M, H" and "acetylene/propane" are several.
"""

import re
from functools import cache
from typing import Any, Literal, NamedTuple

from steadycone.data.reader import toml

Fit = Literal["yes", "ask", "no", "unknown"]
_BEST: tuple[Fit, ...] = ("yes", "ask", "unknown", "no")
_PRESSURE = re.compile(r"\d+(?:[.,]\d+)?\s*(?:m|k|M)?(?:bar|psig|psi|Pa|pa)\b", re.IGNORECASE)
_NUMBER = re.compile(r"(?<![A-Za-z\d])\d+(?:[.,]\d+)?(?![A-Za-z\d])")
_BETWEEN = re.compile(r"[,;/+&|()]|\band\b|\bor\b", re.IGNORECASE)
_CLASSED = re.compile(r"([A-Za-z])\d")  # letter and class of a regulator in one: "O3", "A2"
_LONGEST_RUN = 2  # letters of several gases in one word, such as "AH"; a longer one may be a word: nobody should read M, A, P in it


class Marked(NamedTuple):
    """Families that a mark names, and the words in it that nobody knows."""

    families: tuple[str, ...]
    unknown: tuple[str, ...]


def read_mark(text: str) -> Marked:
    """Read one mark. Case does not matter; pressures, class numbers and function letters beside the gas are passed over.

    Source      data/gas_marks.toml
    """
    return _read(text, "families")


def fit(mark: str, gas: str) -> Fit:
    """Whether gear with this mark serves a gas of a station: "ask" the maker, or "unknown" where the mark can't be read.

    A mark that holds a word nobody knows, or oxygen beside a fuel, is never a plain yes.
    """
    return _fit(_read(mark, "families"), gas, "families")


def fit_of_any(marks: tuple[str, ...], gas: str) -> Fit:
    """The best answer of several marks, each of which stands for itself. None at all is unknown."""
    return min((fit(mark, gas) for mark in marks), key=_BEST.index, default="unknown")


def hose_fit(grade: str, gas: str) -> Fit:
    """Whether a hose of this grade, colour or letter may carry a gas of a station."""
    return _fit(_read(grade, "hoses"), gas, "hoses")


def hose_source(grade: str) -> str:
    """Source key of what a hose's grade means; of the colours where the grade is not known."""
    found = _read(grade, "hoses").families
    return str(_table("hoses")[found[0] if found else "oxygen"]["source"])


def is_hose_letter(grade: str) -> bool:
    """Whether the grade is a US letter, which is on both hoses of a twin line."""
    return any(_table("hoses")[name].get("letters", False) for name in _read(grade, "hoses").families)


def mark_source(mark: str) -> str:
    """Source key of what a mark means; the judged one where it is not known."""
    found = read_mark(mark).families
    return str(_table("families")[found[0]]["source"]) if found else "gas-families-judged"


def hose_grades() -> tuple[str, ...]:
    """The usual grades, as a form offers them."""
    return tuple(name.upper() if entry.get("letters") else name for name, entry in _table("hoses").items() if name != "another gas")


def gas_called(text: str) -> str | None:
    """The station's word for a gas written as one mark, such as "acetylene" for "A"; None where the mark is not one gas's."""
    plain = _plain(text)
    if plain in _gases():
        return plain
    found = read_mark(text)
    if found.unknown or len(found.families) != 1:
        return None
    return found.families[0] if found.families[0] in _gases() else None


def orange_hose(gas: str) -> bool:
    """Whether the gas belongs in the hose of LPG and its like, orange by ISO 3821, and not in the red one. Source: iso-3821-colours"""
    entry = _table("hoses")["lpg"]
    return gas in entry["serves"] or gas in entry["ask"]


@cache
def _gases() -> frozenset[str]:
    return frozenset(gas for entry in _table("families").values() for gas in entry["serves"])


def _table(kind: str) -> dict[str, Any]:
    found: dict[str, Any] = toml("gas_marks.toml")[kind]
    return found


@cache
def _words(kind: str) -> dict[str, str]:
    return {_plain(mark): name for name, entry in _table(kind).items() for mark in (*entry["marks"], name)}


@cache
def _beside() -> frozenset[str]:
    return frozenset(_plain(word) for word in toml("gas_marks.toml")["beside"]["words"])


def _plain(text: str) -> str:
    return " ".join(text.lower().replace(".", "").replace("-", " ").replace("_", " ").split())


@cache
def _read(text: str, kind: str) -> Marked:
    if (whole := _words(kind).get(_plain(text))) is not None:
        return Marked((whole,), ())
    families: list[str] = []
    unknown: list[str] = []
    for piece in _BETWEEN.split(_NUMBER.sub(" ", _PRESSURE.sub(" ", text))):
        _read_piece(piece.replace("-", " ").replace("_", " ").replace(".", "").split(), kind, families, unknown)
    found = dict.fromkeys(families)
    if len(found) > 1:
        found.pop("any fuel", None)  # "fuel gas acetylene" is acetylene's alone
    return Marked(tuple(found), tuple(unknown))


def _read_piece(words: list[str], kind: str, families: list[str], unknown: list[str]) -> None:
    """Longest known phrase first, from the left; a single word may be a letter with its class, or several letters in a run."""
    known, beside = _words(kind), _beside()
    while words:
        for size in range(len(words), 0, -1):
            phrase = " ".join(words[:size]).lower()
            if phrase in known or phrase in beside:
                families += [known[phrase]] if phrase in known else []
                words = words[size:]
                break
        else:
            one, *words = words
            letters = _letters(one, known)
            families += letters
            unknown += [] if letters else [one]


def _letters(word: str, known: dict[str, str]) -> list[str]:
    classed = _CLASSED.fullmatch(word)
    if classed:
        return [known[classed[1].lower()]] if classed[1].lower() in known else []
    if not word.isupper() or len(word) > _LONGEST_RUN or len(set(word)) < len(word) or not all(letter.lower() in known for letter in word):
        return []
    return [known[letter.lower()] for letter in word]


def _fit(mark: Marked, gas: str, kind: str) -> Fit:
    entries = [_table(kind)[name] for name in mark.families]
    answers: list[Fit] = ["yes" if gas in e["serves"] else "ask" if gas in e.get("ask", ()) else "no" for e in entries]
    if mark.unknown or not entries:
        answers.append("unknown")
    best = min(answers, key=_BEST.index)
    both = "oxygen" in mark.families and len(mark.families) > 1
    return "ask" if best == "yes" and (mark.unknown or both) else best
