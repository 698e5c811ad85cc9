"""The finished card as data: figures, findings and steps, still without a sentence."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from steadycone.assembly.figures import Figures
from steadycone.practice.draw import DrawRule
from steadycone.practice.finding import Finding, Verdict, worst, worst_first
from steadycone.procedures.step import Step
from steadycone.quantity import Quantity


@dataclass(frozen=True, slots=True)
class SupplyNeed:
    """What `fuel-draw` and its neighbours ask of one line's supply."""

    draw_limit: Quantity | None  # mol/s, the whole supply's
    cylinders_needed: int | None
    cylinders_needed_at_half: int | None


@dataclass(frozen=True, slots=True)
class Card:
    figures: Figures
    findings: tuple[Finding, ...]  # worst first
    verdict: Verdict
    needs: dict[str, SupplyNeed]  # by line
    steps: tuple[Step, ...] = ()
    sources: tuple[str, ...] = ()  # keys used, in order of use
    draw_rules: tuple[DrawRule, ...] = ()  # the customary ones, beside the one in force; acetylene from cylinders only

    def with_findings(self, found: Iterable[Finding]) -> "Card":
        """The same card with more against it, such as what a site's records hold: stops before its own, the rest after.

        It is never better for that: each verdict counts, and a stop withholds the settings as one of its own does.
        """
        more = tuple(found)
        if not more:
            return self
        stops, others = ([one for one in more if (one.verdict == "stop") is stop] for stop in (True, False))
        findings = worst_first([*stops, *self.findings, *others])
        return replace(self, findings=findings, verdict=worst(finding.verdict for finding in findings))
