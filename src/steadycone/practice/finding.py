"""One thing judged."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from steadycone.quantity import End, Quantity

Verdict = Literal["go", "caution", "stop"]
_ORDER: dict[Verdict, int] = {"stop": 0, "caution": 1, "go": 2}


@dataclass(frozen=True, slots=True)
class Finding:
    """A verdict with its numbers and sources, and no sentence.

    `subject` names what was judged, in the program's own words ("fuel regulator", "oxygen part 2 (hose)");
    `text` picks the wording in data/findings.toml: by default the verdict's own, else a named variant of it.
    `end` is the end of `value` that was judged: what a person reads is that number, never another one of the band.
    `margin` is positive on the safe side, and a difference. `blanks` fill the named blanks of the wording.
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
    end: End = "value"

    @property
    def judged(self) -> Quantity | None:
        """The value at the end that was judged."""
        return None if self.value is None else self.value.at(self.end)


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of some verdicts; none at all is never go."""
    return min(verdicts, key=_ORDER.__getitem__, default="caution")


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stop, caution, go; within one verdict in the order they were judged."""
    return tuple(sorted(findings, key=lambda finding: _ORDER[finding.verdict]))
