"""Which gear serves which gas, by its mark or, for a hose, by its grade; and which chart serves which fuel."""

from typing import Literal

from steadycone.practice.finding import Verdict
from steadycone.station.marks import Fit, fit_of_any, gas_called

_VERDICTS: dict[Fit, Verdict] = {"yes": "go", "ask": "caution", "unknown": "caution", "no": "stop"}
_ALIKE = ({"lpg", "propane"}, {"natural gas", "methane"})  # one chart serves both
_NEAR = ({"lpg", "propane", "butane"}, {"mps", "propylene"})  # one chart nearly serves them: the maker says


def verdict_of(fit: Fit) -> tuple[Verdict, str]:
    """The verdict of a mark and the text of its finding: gear for another gas is a stop, near or unreadable marks a caution."""
    return _VERDICTS[fit], fit if fit in ("ask", "unknown") else ""


def serves(mark: str, gas: str) -> bool:
    """Whether gear with this mark, or a list of marks, serves a station's gas without asking anybody."""
    return fit_of_any((mark,), gas) == "yes"


def chart_serves(made_for: str, fuel: str) -> Literal["yes", "ask", "no"]:
    """Whether a chart made for some fuels (with ", " between) serves a station's fuel: its pressures and flows are one fuel's own.

    Source      gas-families-judged
    """
    named = {gas_called(word) or word for word in made_for.split(", ")}
    if fuel in named or any(fuel in group and named & group for group in _ALIKE):
        return "yes"
    return "ask" if any(fuel in group and named & group for group in _NEAR) else "no"
