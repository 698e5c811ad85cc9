"""What a number was read with: known, an instrument, and in date on the day of the test."""

from datetime import timedelta

import pytest

from steadycone.errors import InputError, Refused, UnknownName
from steadycone.practice.examination import held_to_limit
from steadycone.records import events as e
from tests.records.conftest import Yard


def read_with(with_: str) -> e.TestResult:
    return e.TestResult(mark="R-1", test="creep", value="5 cm3/h", passed=True, instrument=with_)


def instrument(yard: Yard, mark: str, tested: str, kind: str = "master gauge") -> None:
    dates = {"tested": e.Dated(date=tested, basis="certificate")} if tested else {}
    yard.says(e.GearAdded(mark=mark, item=kind, dates=dates))  # type: ignore[arg-type]


def test_a_number_keeps_what_it_was_read_with_and_until_when_that_was_in_date(yard: Yard) -> None:
    yard.gear("R-1")
    instrument(yard, "MG-1", "2026-03-04")
    found = yard.site.append(yard.new(read_with("mg-1")))[0].event.body
    assert isinstance(found, e.TestResult)
    assert (found.instrument, found.instrument_until) == ("MG-1", "2027-03-04")


@pytest.mark.parametrize(("days", "taken"), [(365, True), (366, False)])
def test_the_last_day_of_a_calibration_still_counts_and_the_next_does_not(yard: Yard, days: int, taken: bool) -> None:
    yard.gear("R-1")
    instrument(yard, "MG-1", (yard.clock.now - timedelta(days=days)).date().isoformat())
    if taken:
        yard.says(read_with("MG-1"))
    else:
        with pytest.raises(Refused, match="not fit to measure with: out of date"):
            yard.says(read_with("MG-1"))


def test_an_instrument_without_a_calibration_in_quarantine_or_calibrated_later_measures_nothing(yard: Yard) -> None:
    yard.gear("R-1")
    instrument(yard, "MG-1", "")
    with pytest.raises(Refused, match="age not known"):
        yard.says(read_with("MG-1"))
    instrument(yard, "FM-1", "2026-11-20", "flow meter")
    yard.says(read_with("FM-1"))
    with pytest.raises(Refused, match="after this test"):
        yard.says(read_with("FM-1"), at=yard.clock.now - timedelta(days=10))
    yard.says(e.Quarantined(mark="FM-1", reason="dropped"))
    with pytest.raises(Refused, match="quarantined"):
        yard.says(read_with("FM-1"))


def test_what_is_no_instrument_is_none(yard: Yard) -> None:
    yard.gear("R-1")
    yard.gear("A-1", "arrestor")
    with pytest.raises(UnknownName, match="no instrument"):
        yard.says(read_with("MG-9"))
    with pytest.raises(InputError, match="measures nothing"):
        yard.says(read_with("A-1"))
    with pytest.raises(InputError, match="itself"):
        yard.says(read_with("R-1"))


def test_a_correction_names_no_instrument_that_was_not_fit(yard: Yard) -> None:
    yard.gear("R-1")
    instrument(yard, "MG-1", "2024-03-04")
    first = yard.site.append(yard.new(read_with("")))[0].event.id
    with pytest.raises(Refused, match="not fit to measure with"):
        yard.says(e.Correction(corrects=first, why="forgot the gauge", replaces=read_with("MG-1")))


@pytest.mark.parametrize(
    ("kind", "name", "value", "given", "outcome"),
    [
        ("regulator", "lock-up", "30 %", "", "within"),
        ("regulator", "lock-up", "30.1 %", "", "outside"),
        ("regulator", "lock-up", "25 %", "20 %", "outside"),
        ("regulator", "lock-up", "31 %", "40 %", "outside"),
        ("gauge", "gauge error", "2.5 %", "2.5 %", "within"),
        ("gauge", "gauge error", "2.6 %", "2.5 %", "outside"),
        ("gauge", "gauge error", "2.6 %", "", "not judged"),
        ("arrestor", "cut-off", "95 °C", "100 °C", "within"),
        ("arrestor", "cut-off", "101 °C", "100 °C", "outside"),
        ("arrestor", "cut-off", "3 bar", "2.5 bar", "outside"),
        ("arrestor", "cut-off", "95 °C", "2.5 bar", "not judged"),
    ],
)
def test_numbers_that_are_no_leaks_have_limits_too(kind: str, name: str, value: str, given: str, outcome: str) -> None:
    assert held_to_limit(kind, name, value, given).outcome == outcome
