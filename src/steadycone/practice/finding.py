"""One thing judged."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from steadycone.quantity import Quantity

Verdict = Literal["go", "caution", "stop"]
_ORDER: dict[Verdict, int] = {"stop": 0, "caution": 1, "go": 2}


@dataclass(frozen=True, slots=True)
class Finding:
    """A verdict with its numbers and sources, and no sentence.

    `subject` names what was judged, in the program's own words ("fuel regulator", "oxygen part 2 (hose)");
    `text` picks the wording in data/findings.toml: by default the verdict's own, else a named variant of it.
    `margin` is positive on the safe side. `blanks` fill the named blanks of the wording.
    """

    code: str
    verdict: Verdict
    subject: str = "station"
    value: Quantity | None = None
    limit: Quantity | None = None
    margin: Quantity | None = None
    sources: tuple[str, ...] = ()
    blanks: dict[str, "Quantity | str"] = field(default_factory=dict)
    text: str = ""


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of some verdicts; none at all is never go."""
    return min(verdicts, key=_ORDER.__getitem__, default="caution")


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stop, caution, go; within one verdict in the order they were judged."""
    return tuple(sorted(findings, key=lambda finding: _ORDER[finding.verdict]))


def below(value: Quantity, limit: float, *, caution: float | None = None) -> tuple[Verdict, Quantity]:
    """Verdict and margin of a value that must not pass a limit, taken at its high end.

    At the limit itself is still go; above `caution` (where given) up to the limit is a caution; an unknown value is a caution.
    """
    if value.value is None or value.low is None or value.high is None:
        return "caution", Quantity(None, None, None, value.kind)
    margin = value.map(lambda x: limit - x)
    if value.high > limit:
        return "stop", margin
    return ("caution" if caution is not None and value.high > caution else "go"), margin
