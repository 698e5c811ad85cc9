"""When to change a cylinder: above the reading nothing gets worse, below it a rule does."""

from dataclasses import replace

import pytest
from tests.edge import render_samples as samples

from steadycone.assembly.figures import Figures
from steadycone.assembly.resupply import with_share
from steadycone.practice import draw, supply
from steadycone.practice.change import change_points
from steadycone.quantity import exact


def points(figures: Figures) -> dict[str, object]:
    return {point.line: point for point in change_points(figures)}


def verdicts(figures: Figures, name: str) -> list[str]:
    """Of the rules that an emptying supply fails, with no job left to come."""
    now = replace(figures, job=replace(figures.job, time=exact(1.0, "minutes")))
    found = [*(draw.judge(now) if name == "fuel" else ()), *supply.counted(now, name)]
    return [each.verdict for each in found if each.code in ("fuel-draw", "supply-pressure-low", "lpg-vaporisation")]


def test_oxygen_is_changed_where_the_regulator_begins_to_lack_pressure() -> None:
    figures = samples.card("clean-bench").figures
    oxygen = next(point for point in change_points(figures) if point.line == "oxygen")
    assert (oxygen.by, oxygen.why, oxygen.now) == ("pressure", "supply-pressure-low", False)
    line = figures.lines["oxygen"]
    assert oxygen.reading.value is not None
    assert line.supply.pressure.value is not None
    share = 1 - oxygen.after.value * line.supply.drawn.high / line.supply.contents.low  # type: ignore[operator]
    timeless = replace(figures, job=replace(figures.job, time=None))
    assert set(verdicts(with_share(timeless, "oxygen", share * 1.02), "oxygen")) == {"go"}
    step = 2.0**-9  # found by nine halvings, the early end taken: the rule itself gets worse at most a step later
    assert "caution" in verdicts(with_share(timeless, "oxygen", share - 1.01 * step), "oxygen")


def test_the_reading_is_a_mark_of_the_gauge_and_not_below_the_reserve() -> None:
    made = samples.changed("clean-bench", ('reserve = "5 bar"', 'reserve = "33 bar"'))
    oxygen = next(point for point in change_points(made.figures) if point.line == "oxygen")
    assert oxygen.why == "reserve"
    assert oxygen.reading.value == pytest.approx(34e5)  # marks of 2 bar
    assert oxygen.after.value == pytest.approx(made.figures.lines["oxygen"].supply.duration.low, rel=1e-6)


def test_acetylene_is_changed_where_the_draw_gets_too_fast() -> None:
    # By hand: the caution rule of a short job is 1/10 an hour, so the gas left is ten hours' draw; the scales show tare and gas.
    figures = samples.card("slip-2").figures
    fuel = next(point for point in change_points(figures) if point.line == "fuel")
    line = figures.lines["fuel"]
    left = 10 * 3600 * line.supply.drawn.high * figures.fuel_stored.molar_mass  # type: ignore[operator]
    off = line.line.supply.gross.half_digit + line.line.supply.tare.half_digit  # type: ignore[union-attr]
    assert fuel.by == "scales"
    assert fuel.why == "fuel-draw"
    assert fuel.reading.value == pytest.approx(line.line.supply.tare.si + left + off, abs=0.03)  # type: ignore[union-attr]


def test_a_supply_that_stops_already_is_changed_now() -> None:
    fuel = next(point for point in change_points(samples.card("rail-depot-us").figures) if point.line == "fuel")
    assert fuel.now
    assert fuel.after.value == 0.0


def test_without_a_tare_the_gas_left_is_told() -> None:
    made = samples.changed("clean-bench", ('gross = "70.0 kg"\ntare = "62.4 kg"\n', ""))
    fuel = next(point for point in change_points(made.figures) if point.line == "fuel")
    assert fuel.by == "gas"


def test_a_pipeline_has_no_change_point() -> None:
    assert change_points(samples.card("plate-shop-natural-gas-eu").figures) == ()


@pytest.mark.parametrize("name", samples.NAMES)
def test_the_change_comes_no_later_than_the_gas_ends(name: str) -> None:
    figures = samples.card(name).figures
    for point in change_points(figures):
        assert point.after.value <= figures.lines[point.line].supply.duration.low * (1 + 1e-9)  # type: ignore[operator]
