"""The finished card as data: figures, findings and steps, still without a sentence."""

from dataclasses import dataclass

from steadycone.assembly.figures import Figures
from steadycone.practice.finding import Finding, Verdict
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
