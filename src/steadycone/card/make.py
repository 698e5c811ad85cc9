"""The set-up card, made in a lead hand's order. Read this first.

1  doubt the tip chart, and pick the row for the job
2  work everything out: what to set, what it draws, how it is proved, what the gauges give now
3  judge it, each rule at its unsafe end
4  say how many cylinders would do
5  choose the steps
"""

from dataclasses import dataclass, replace
from datetime import date

from steadycone.assembly.build import ambient_of, figures
from steadycone.assembly.ceiling import cap
from steadycone.assembly.figures import Figures
from steadycone.assembly.fuels import station_fuel
from steadycone.card.card import Card
from steadycone.card.needs import needs
from steadycone.errors import InputError
from steadycone.practice import chart as charts
from steadycone.practice import draw
from steadycone.practice.finding import Finding, worst, worst_first
from steadycone.practice.themes import judge_all
from steadycone.procedures.choose import steps
from steadycone.quantity import unknown
from steadycone.station.chart import Row
from steadycone.station.setup import Setup
from steadycone.units import ATMOSPHERE

# Figures of a chart row on which each line's setting rests.
_SETTING = {
    "oxygen": {"oxygen_pressure", "cutting_oxygen", "preheat_oxygen", "cutting_bore", "thickness"},
    "fuel": {"fuel_pressure", "fuel_flow", "thickness"},
    "preheat_oxygen": {"preheat_oxygen_pressure", "preheat_oxygen", "thickness"},
}


@dataclass(frozen=True, slots=True)
class _Picked:
    """What the chart answers: a row or none, what was found in doubt, and which of the row's figures."""

    row: Row | None
    findings: tuple[Finding, ...]
    suspect: frozenset[str]


def make_card(setup: Setup, on: date, *, draft: bool = False) -> Card:
    """The card of one setup on one day.

    draft : of somebody who is still typing: every figure and finding, but not how many cylinders would do, and no steps

    Raises  InputError: the file asks for a size the chart does not have, or a figure lies outside what the physics covers.
    """
    try:
        return _made(setup, on, draft)
    except InputError as error:
        if setup.file:
            error.at(setup.file)
        raise


def _made(setup: Setup, on: date, draft: bool) -> Card:
    picked = _from_chart(setup)
    found = figures(setup, on, picked.row)
    findings = worst_first([*picked.findings, *judge_all(found), *_no_answer(found)])
    shown = _without_suspects(found, picked.suspect)
    return Card(
        figures=shown,
        findings=findings,
        verdict=worst(finding.verdict for finding in findings),
        needs={} if draft else needs(found),
        steps=() if draft else steps(shown, "card"),
        draw_rules=draw.rules(found),
    )


def _from_chart(setup: Setup) -> _Picked:
    chart = setup.chart
    if chart is None:
        return _Picked(None, (), frozenset())
    fuel = station_fuel(setup.station, ambient_of(setup)).flowing
    highest = cap(setup.policy, ATMOSPHERE).gauge if setup.station.station.fuel == "acetylene" else None  # a chart holds in ordinary air
    suspects = charts.check_chart(chart, fuel, highest, temperature=ambient_of(setup))
    choice = charts.choose(chart, setup.station, fuel)
    findings = (*choice.findings, *charts.judged(suspects, choice, chart))
    return _Picked(choice.row, findings, charts.suspect_figures(suspects, choice))


def _without_suspects(found: Figures, suspect: frozenset[str]) -> Figures:
    """What is shown: a set pressure that rests on a figure in doubt was judged, and is never printed as a setting."""
    lines = {
        name: replace(line, set_pressure=unknown("gauge pressure")) if suspect & _SETTING[name] else line
        for name, line in found.lines.items()
    }
    return replace(found, lines=lines)


def _no_answer(found: Figures) -> tuple[Finding, ...]:
    """Settings were given and nothing could be said of them: that is never go."""
    if not found.as_set_problem:
        return ()
    return (Finding("as-set-unknown", "caution", subject="settings", sources=("judged-as-set",), text=found.as_set_problem),)
