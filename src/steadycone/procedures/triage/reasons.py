"""Likely causes, those first that the station's own card or a named sign speaks for."""

from collections.abc import Callable
from typing import Any

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends
from steadycone.procedures.judged import Judged
from steadycone.procedures.triage.model import Cause, Heard
from steadycone.procedures.triage.weigh import EVENTS, for_fuel
from steadycone.station.parts import Arrestor, CheckValve

CAUSES = "triage/causes.toml"


def _shared(figures: Figures) -> bool:
    return any((known := ends(line.supply.shared)) is not None and known.high > 0 for line in figures.lines.values())


def _no_check_valve(figures: Figures) -> bool:
    """A line with neither a check valve nor an arrestor, most of which hold gas back too."""
    return any(not any(isinstance(part.part, CheckValve | Arrestor) for part in line.parts) for line in figures.lines.values())


# What a cause's `facts` may name: plain facts of the station that no finding holds.
FACTS: dict[str, Callable[[Figures], bool]] = {"shared-supply": _shared, "no-check-valve": _no_check_valve}


def causes(event: str, heard: Heard, card: Judged | None, fuel: str | None) -> tuple[Cause, ...]:
    """An event's causes, ranked: what the card stops for, what it cautions of, what a sign speaks for, habit's order, what the card clears."""
    table = toml(CAUSES)
    found = [_cause(name, table[name], heard, card) for name in toml(EVENTS)[event]["causes"] if for_fuel(table[name], fuel)]
    return tuple(sorted(found, key=lambda cause: -_weight(cause)))


def _cause(name: str, entry: dict[str, Any], heard: Heard, card: Judged | None) -> Cause:
    raising = _raising(entry, card.findings) if card else ()
    return Cause(
        id=name,
        says=entry["says"],
        why=entry["why"],
        sources=tuple(entry["source"]),
        findings=raising,
        signs=tuple(sign for sign in heard.signs if sign in entry.get("signs", ())),
        facts=tuple(fact for fact in entry.get("facts", ()) if card and FACTS[fact](card.figures)),
        cleared=_clearing(entry, card.findings) if card and not raising else (),
    )


def _raising(entry: dict[str, Any], findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings of the card that are a caution or a stop and speak for this cause."""
    codes, at = entry.get("raised_by", ()), entry.get("at", ())

    def speaks(finding: Finding) -> bool:
        named = (finding.code in codes and finding.verdict != "go") or f"{finding.code}={finding.verdict}" in codes
        return named and (not at or any(word in finding.subject for word in at))

    return tuple(finding for finding in findings if speaks(finding))


def _clearing(entry: dict[str, Any], findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings that speak against this cause: all of its codes were judged, and all are go."""
    codes = entry.get("cleared_by", ())
    found = tuple(finding for finding in findings if finding.code in codes)
    return found if found and all(finding.verdict == "go" for finding in found) else ()


def _weight(cause: Cause) -> int:
    """What is wrong on this station goes first, then what somebody noticed; what the card clears goes last.

    Source      triage-cause-order
    """
    card = max((6 if finding.verdict == "stop" else 4 for finding in cause.findings), default=0)
    return card + (3 if cause.facts else 0) + (2 if cause.signs else 0) - (1 if cause.cleared else 0)
