"""Plain words to tokens: one token a meaning, whatever the form of the word."""

import re
from collections.abc import Iterator, Sequence
from functools import cache, lru_cache

from steadycone.data.reader import toml

TABLE = "triage/words.toml"
NOT = "not"
_SHORTEST = 3
_LONG_ENOUGH = 6  # letters: one slip in a shorter word makes another word
_VERY_LONG = 9  # letters: two slips leave it what it was
_FROM_TO = re.compile(r"\bfrom (\d+(?:\.\d+)?)(?: ?\w+)? to (\d+(?:\.\d+)?)\b")
_FIGURE = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?![\w.])")
_DOUBLED = re.compile(r"([bdgmnprt])\1$")


def clauses(told: str | Sequence[str]) -> Iterator[str]:
    """The separate things said: cut at commas and other marks, and at "and", "then", "but"."""
    for line in [told] if isinstance(told, str) else told:
        for part in _cut().split(_worked(line.lower().replace("’", "'").replace("'", ""))):
            if cleaned := " ".join(_full(word) for word in re.findall(r"[^\W_]+", part)):
                yield cleaned


def _worked(line: str) -> str:
    """Figures as words: "from 3 to 6" rises, "24 % oxygen" of a meter is a high reading, "LEL 20" is gas."""
    line = _FROM_TO.sub(lambda found: " rise " if float(found[1]) < float(found[2]) else " fall ", line)
    table, said = toml(TABLE)["air"], set(re.findall(r"[^\W\d_]+", line))
    figures = [float(figure) for figure in _FIGURE.findall(line)]
    if said & set(table["lower"]) and (said & set(table["said"]) or any(figure >= table["lower_most"] for figure in figures)):
        return f"{line}, gas alarm"
    if not said & {"oxygen", "o2"} or not said & set(table["figure"]) or said & set(table["not_air"]):
        return line
    if any(table["most"] < figure < table["nonsense"] for figure in figures):
        return f"{line}, oxygen richair"
    good = figures and all(table["least"] <= figure <= table["most"] for figure in figures)
    return re.sub(r"\b(oxygen|o2)\b", "good air", line) if good else line


def _full(word: str) -> str:
    """A contraction in full: "isnt" as "is not"."""
    return str(toml(TABLE)["contracted"].get(word, word))


@cache
def _cut() -> re.Pattern[str]:
    split = toml(TABLE)["split"]
    marks = "|".join(re.escape(mark) for mark in split["marks"] if mark != ".")
    words = "|".join(rf"\b{word}\b" for word in split["words"])
    return re.compile(rf"{marks}|\.(?!\d)|{words}")


def read(clause: str) -> list[str]:
    """A clause as tokens, fillers kept: runs of words that stand for one are replaced first."""
    words = _placed(clause.split())
    found: list[str] = []
    at = 0
    while at < len(words):
        for length in range(min(_longest(), len(words) - at), 0, -1):
            if (run := " ".join(words[at : at + length])) in _runs():
                found += _runs()[run].split()
                at += length
                break
        else:
            found.append(words[at])
            at += 1
    return _felt([word if word in fillers() else token(word) for word in found])


def _placed(words: list[str]) -> list[str]:
    """A tank that somebody or something is in is a place; otherwise it is a cylinder."""
    return [_tank(words, at) if word in ("tank", "tanks") else word for at, word in enumerate(words)]


def _tank(words: list[str], at: int) -> str:
    table = toml(TABLE)["tank"]
    before = words[max(0, at - 4) : at]
    gas = before and (before[-1] in table["gases"] or token(before[-1]) in table["gases"])
    return "place" if not gas and any(word in table["inside"] for word in before) else "cylinder"


def _felt(read: list[str]) -> list[str]:
    """ "Could not touch it" says that it is hot."""
    table = toml(TABLE)["negation"]
    found = list(read)
    for at, word in enumerate(read):
        later = [near for near in read[at + 1 : at + 4] if near not in fillers()]
        if word == NOT and later and later[0] in table["too_hot"]:
            found[at] = "hot"
    return found


def tokens(phrase: str) -> list[str]:
    """A phrase as tokens without fillers."""
    return [word for word in read(phrase) if word not in fillers()]


def token(word: str) -> str:
    """The one token for a word's meaning: its own stem where no meaning is listed."""
    if word in _denials():
        return NOT
    return (
        _meanings().get(word)
        or _meanings().get(stem(word))
        or _meanings().get(_meant(word))
        or _meanings().get(_meant(stem(word)))
        or stem(word)
    )


@lru_cache(maxsize=4096)
def _meant(word: str) -> str:
    """A long word that a slip of a finger made unknown, as it was meant; empty where it is known, short or like none."""
    if len(word) < _LONG_ENOUGH or not word.isalpha() or word in _plain() or stem(word) in _plain():
        return ""
    slips = 2 if len(word) >= _VERY_LONG else 1
    near = [known for known in _meanings() if len(known) >= _LONG_ENOUGH and known[0] == word[0] and _slips(word, known, slips) <= slips]
    return min(near, key=lambda known: (_slips(word, known, slips), known), default="")


def _slips(word: str, known: str, most: int) -> int:
    """Letters wrong, missing, too many or swapped with their neighbour; over `most` it is only told to be more."""
    if abs(len(word) - len(known)) > most:
        return most + 1
    before, rows = list(range(len(known) + 1)), list(range(len(known) + 1))
    for at, letter in enumerate(word, 1):
        last, before, rows = before, rows, [at]
        for place, other in enumerate(known, 1):
            cost = min(before[place] + 1, rows[-1] + 1, before[place - 1] + (letter != other))
            if at > 1 and place > 1 and letter == known[place - 2] and word[at - 2] == other:
                cost = min(cost, last[place - 2] + 1)
            rows.append(cost)
    return rows[-1]


@cache
def _plain() -> frozenset[str]:
    """Known words that no other stands for."""
    listed = toml(TABLE)
    return frozenset(
        (*listed["plain"]["words"], *listed["filler"]["words"], *listed["ordinary"]["words"], *listed["negation"]["cancelled_by"])
    )


def stem(word: str) -> str:
    """A word without the endings of number and tense: hissing and hisses as hiss, tripped as trip."""
    for ending in ("ing", "ed", "es", "s", "e"):
        left = word.removesuffix(ending)
        if left == word or len(left) < _SHORTEST or not re.search("[aeiouy]", left) or (ending == "s" and left.endswith("s")):
            continue
        return _DOUBLED.sub(r"\1", left) if ending in ("ing", "ed") else left
    return word


@cache
def fillers() -> frozenset[str]:
    return frozenset(toml(TABLE)["filler"]["words"])


@cache
def _denials() -> frozenset[str]:
    return frozenset(toml(TABLE)["negation"]["words"])


@cache
def _meanings() -> dict[str, str]:
    same: dict[str, list[str]] = toml(TABLE)["same"]
    found = {stem(key): key for key in same} | {key: key for key in same}
    listed = {word: key for key, words in same.items() for word in words if "-" not in word}
    for word, key in listed.items():
        found.setdefault(stem(word), key)
    return found | listed


@cache
def _runs() -> dict[str, str]:
    same: dict[str, list[str]] = toml(TABLE)["same"]
    hyphened = {word.replace("-", " "): key for key, words in same.items() for word in words if "-" in word}
    return hyphened | {said: str(meant) for said, meant in toml(TABLE)["phrases"].items()}


@cache
def _longest() -> int:
    return max(len(run.split()) for run in _runs())


@cache
def vocabulary() -> frozenset[str]:
    """Every listed word, for guessing at spelling."""
    same: dict[str, list[str]] = toml(TABLE)["same"]
    listed = frozenset(word for words in same.values() for word in words if "-" not in word)
    return frozenset(same) | listed | frozenset(toml(TABLE)["plain"]["words"])
