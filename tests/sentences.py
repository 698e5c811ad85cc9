"""What a finding's sentence compares, read from its own wording, and whether the numbers in it bear that out."""

import re
from typing import NamedTuple

from steadycone.practice.finding import Finding
from steadycone.quantity import Quantity
from steadycone.render.words import Words, finding_text

# How a wording compares two blanks: words between them, and the sign of (first - second) that makes it true; 0 allows both being equal.
_BETWEEN = (
    (r"\bover\b|\babove\b|\bmore than\b|\bthicker than\b", ">"),
    (r"\bunder\b|\bwithin\b|\bnot far over\b|\bunder the cap\b", "<="),
    (r"\bbelow\b(?! of)|\bonly\b|\bfar less than\b|\bthinner than\b", "<"),
    (r"\bnot below\b|\bat least the\b|\bor more\b", ">="),
)
_TRUE = {
    ">": lambda a, b: a > b,
    "<": lambda a, b: a < b,
    "<=": lambda a, b: a <= b,
    ">=": lambda a, b: a >= b,
}
_NUMBER = re.compile(r"−?\d[\d,\u00a0\u202f ]*(?:[.,]\d+)?")


class Compared(NamedTuple):
    """Two printed numbers and how the wording sets them against each other."""

    first: float
    how: str
    second: float
    says: str

    @property
    def true(self) -> bool:
        return bool(_TRUE[self.how](self.first, self.second))


def relation(told: str) -> str | None:
    """How {value} and {limit} stand to each other in a wording; None where it has not both, or does not compare them."""
    if "{value}" not in told or "{limit}" not in told:
        return None
    between = told[told.index("{value}") + 7 : told.index("{limit}")]
    if told.index("{limit}") < told.index("{value}"):
        return None
    for pattern, how in (_BETWEEN[3], *_BETWEEN[:3]):
        if re.search(pattern, between):
            return how
    return None


def detail(finding: Finding, words: Words) -> Compared | None:
    """The printed pair of value and limit: it must read on that side of the limit on which the judged end stands."""
    judged, value, limit, margin = finding.judged, finding.value, finding.limit, finding.margin
    if judged is None or value is None or limit is None or margin is None or None in (judged.value, limit.value, margin.value):
        return None
    if judged.kind != limit.kind or finding.end == "value":
        return None
    over = judged.value - limit.value  # type: ignore[operator]
    against_above = abs(limit.value - value.value - margin.value) <= 1e-6 * (abs(limit.value) + abs(margin.value))  # type: ignore[operator,arg-type]
    allowed = 1e-9 * abs(limit.value)  # type: ignore[arg-type]
    how = (">" if over > allowed else "<=") if against_above else ("<" if over < -allowed else ">=")
    shown, most = words.numbers.pair(judged, limit)
    return Compared(read(shown, words, judged), how, read(most, words, limit), f"{shown} against {most}")


def compared(finding: Finding, words: Words) -> Compared | None:
    """The comparison that a finding's sentence prints, its two numbers read back from the print."""
    told = finding_text(finding).get("says", "")
    how = relation(told)
    judged = finding.judged
    if how is None or judged is None or judged.value is None or finding.limit is None or finding.limit.value is None:
        return None
    blanks = words.blanks(finding)
    value, limit = str(blanks["value"]), str(blanks["limit"])
    return Compared(read(value, words, judged), how, read(limit, words, finding.limit), words.says(finding))


def read(shown: str, words: Words, number: Quantity) -> float:
    """A printed number with its unit, read back. Hours and seconds of a time count as minutes."""
    if "/" in shown.split("\u00a0")[0] and number.value is not None:
        return words.numbers.convert(number.value, number.kind)  # a fraction of an inch is printed only where it is exact
    found = _NUMBER.match(shown)
    assert found, shown
    plain = found[0].strip().replace(words.numbers.thousands, "").replace("\u00a0", "").replace("\u202f", "").replace(" ", "")
    value = float(plain.replace(words.numbers.decimal, ".").replace("−", "-"))
    if number.kind == "minutes" and re.search(r"\d\s+s$", shown):
        return value / 60
    return value * 60 if shown.endswith(" h") else value
