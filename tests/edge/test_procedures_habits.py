"""Where common habits are enough, and where not, with this station's number."""

from dataclasses import replace

import msgspec
import pytest
from tests import factories

from steadycone.assembly.figures import Figures
from steadycone.procedures.habits import Habit, habits
from steadycone.quantity import Quantity
from steadycone.render.words import Words
from steadycone.station.job import Declared


def habit(figures: Figures, name: str) -> Habit:
    (found,) = [each for each in habits(figures) if each.id == name]
    return found


def says(figures: Figures, name: str) -> str:
    found = habit(figures, name)
    return Words.of(figures.setup.station.station.region).fill(found.says, found.numbers).replace("\u00a0", " ")


def low_oxygen(figures: Figures, bar: float) -> Figures:
    return factories.with_line(figures, "oxygen", static=factories.gauge(bar))


def test_twenty_psi_is_enough_for_a_welding_bench_and_not_for_cutting() -> None:
    assert habit(factories.clean(), "oxygen-test-pressure").enough is False
    assert "4.16 bar" in says(factories.clean(), "oxygen-test-pressure")
    assert habit(low_oxygen(factories.clean(), 1.2), "oxygen-test-pressure").enough is True


def test_ten_psi_is_never_put_on_a_line_that_may_not_see_it() -> None:
    from steadycone.units import Pressure

    figures = factories.with_regulator(factories.clean(), "fuel", outlet_rating=factories.given(Pressure, "0.4 bar"))
    assert habit(figures, "fuel-test-pressure").enough is False
    assert "0.40 bar" in says(figures, "fuel-test-pressure")


def test_an_unknown_working_pressure_is_not_called_enough() -> None:
    figures = factories.with_line(factories.clean(), "oxygen", static=Quantity(None, None, None, "gauge pressure"))
    assert habit(figures, "oxygen-test-pressure").enough is None


@pytest.mark.parametrize(("minutes", "enough"), [(2.9, True), (3.1, False)])
def test_a_few_minutes_are_enough_where_the_slowest_gauge_needs_no_more(minutes: float, enough: bool) -> None:
    figures = factories.clean()
    for name in ("oxygen", "fuel"):
        figures = factories.with_side(figures, name, "low", wait=factories.minutes(minutes))
        figures = factories.with_side(figures, name, "high", wait=factories.minutes(1))
    assert habit(figures, "few-minutes").enough is enough
    assert habit(figures, "sixty-seconds").enough is False


def test_a_minute_is_enough_for_fine_gauges() -> None:
    figures = factories.clean()
    for name in ("oxygen", "fuel"):
        figures = factories.with_side(figures, name, "low", wait=factories.minutes(0.8))
        figures = factories.with_side(figures, name, "high", wait=factories.minutes(0.9))
    assert habit(figures, "sixty-seconds").enough is True


@pytest.mark.parametrize(
    ("seconds", "enough", "text"), [(2.9, True, "Enough"), (4.5, False, "really is five"), (6.0, False, "needs up to")]
)
def test_counting_to_five_is_enough_only_where_it_is(seconds: float, enough: bool, text: str) -> None:
    figures = factories.clean()
    for name in ("oxygen", "fuel"):
        figures = factories.with_proving(figures, name, purge_time=factories.exact(seconds, "seconds"))
    assert habit(figures, "purge-few-seconds").enough is enough
    assert text in says(figures, "purge-few-seconds")


def test_half_a_turn_is_judged_by_the_fall_that_must_be_seen() -> None:
    fine = factories.clean()
    for name in ("oxygen", "fuel"):
        fine = factories.with_line(fine, name, outlet_division=0.01e5, inlet_division=0.5e5)
        fine = factories.with_proving(fine, name, trapped_volume=factories.exact(3e-3, "volume"))
    assert habit(fine, "screws-half-a-turn").enough is True
    coarse = factories.with_line(fine, "fuel", outlet_division=0.1e5)
    assert habit(coarse, "screws-half-a-turn").enough is False


def test_the_lever_is_needed_to_sweep_the_cutting_branch() -> None:
    # 4.0 of 4.5 m³/h go through the lever: six seconds become fifty-four.
    assert "54 s" in says(factories.clean(), "oxygen-through-the-lever")
    torch = msgspec.structs.replace(factories.clean().setup.station.torch, attachment="welding")
    assert habit(factories.with_station(factories.clean(), torch=torch), "oxygen-through-the-lever").enough is None


@pytest.mark.parametrize(("seal", "enough"), [("o-ring", True), ("metal", False), (None, None)])
def test_hand_tight_is_enough_for_o_rings_alone(seal: str | None, enough: bool | None) -> None:
    torch = msgspec.structs.replace(factories.clean().setup.station.torch, seal=seal)
    assert habit(factories.with_station(factories.clean(), torch=torch), "attachment-hand-tight").enough is enough


def test_a_clean_look_does_not_outweigh_a_date_or_declared_oil() -> None:
    assert habit(factories.clean(), "clean-dry-no-oil").enough is True
    old = factories.with_part(factories.clean(), "oxygen", 2, made=None)
    assert habit(old, "clean-dry-no-oil").enough is False
    assert "1 are out of date" in says(old, "clean-dry-no-oil")
    oily = factories.with_station(factories.clean(), declared=(Declared(kind="oil", where="oxygen inlet"),))
    assert habit(oily, "clean-dry-no-oil").enough is False


def test_every_habit_has_an_answer_on_a_bare_station() -> None:
    figures = replace(factories.clean(), as_set=None)
    unknown = Quantity(None, None, None, "seconds")
    for name in ("oxygen", "fuel"):
        figures = factories.with_proving(figures, name, purge_time=unknown)
    assert habit(figures, "purge-few-seconds").enough is None
    assert all(each.says for each in habits(figures))
