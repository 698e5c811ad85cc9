"""Text with a unit to SI: what is read, and what is refused."""

import pytest

from steadycone.errors import BadUnit, InputError, OutOfRange
from steadycone.station.policy import DrawLimit
from steadycone.units import (
    ATMOSPHERE,
    NORMAL_MOLAR_VOLUME,
    Angle,
    GasAmount,
    GasFlow,
    GivenDate,
    Interval,
    Length,
    Mass,
    Measure,
    Number,
    Pressure,
    PressureDifference,
    ReferenceState,
    Roughness,
    Share,
    Speed,
    Temperature,
)


@pytest.mark.parametrize(
    ("kind", "text", "si"),
    [
        (Length, "6.3 mm", 0.0063),
        (Length, "3/16 in", 3 / 16 * 0.0254),
        (Length, "1 1/4 in", 1.25 * 0.0254),
        (Length, " 20  m ", 20.0),
        (Length, "2e1 m", 20.0),
        (Length, ".5 in", 0.0127),
        (Roughness, "0 mm", 0.0),
        (Pressure, "3.5 bar", 3.5e5),
        (Pressure, "-0.5 bar", -0.5e5),
        (Pressure, "100 kPa", 1e5),
        (Temperature, "12 °C", 285.15),
        (Temperature, "32 °F", 273.15),
        (Temperature, "-40 °F", 233.15),
        (Share, "30 %", 0.3),
        (Share, "1/7", 1 / 7),
        (Share, 0.3, 0.3),
        (Number, 2, 2.0),
        (Number, "2.5", 2.5),
        (Angle, "30°", 30.0),
        (Speed, "600 mm/min", 0.01),
        (Interval, "5 years", 60.0),
        (GasFlow, "1 m3/h", 1 / NORMAL_MOLAR_VOLUME / 3600),
        (GasAmount, "1 Nm3", 1 / NORMAL_MOLAR_VOLUME),
    ],
)
def test_a_value_is_read(kind: type[Measure], text: object, si: float) -> None:
    assert kind.parse(text).si == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("kind", "text", "error", "says"),
    [
        (Length, "20", BadUnit, "has no unit"),
        (Length, 20, BadUnit, "has no unit"),
        (Length, "20 bar", BadUnit, "unit of pressure, not of length"),
        (Length, "20 parsec", BadUnit, "not a unit of length"),
        (Length, "-1 m", OutOfRange, "above 0"),
        (Length, "0 m", OutOfRange, "above 0"),
        (Length, "1,5 m", BadUnit, "not a number"),
        (Length, "1.5.2 m", BadUnit, "not a number"),
        (Length, "", BadUnit, "not a number"),
        (Length, "m", BadUnit, "not a number"),
        (Length, "1/0 in", BadUnit, "divides by zero"),
        (Length, "1e400 m", OutOfRange, "at most"),
        (Length, "1e999 m", OutOfRange, "at most"),
        (Length, "1e9999 m", BadUnit, ""),
        (Length, "9" * 79 + "m", OutOfRange, "at most"),
        (Length, "9" * 81, InputError, "81 characters"),
        (Length, True, BadUnit, "not a length"),
        (Length, None, BadUnit, "not a length"),
        (Pressure, "-1.1 bar", OutOfRange, "below vacuum"),
        (Pressure, "-0.1 bar abs", OutOfRange, "below vacuum"),
        (Pressure, "2000 bar", OutOfRange, "over 1000 bar"),
        (Pressure, "3 mm", BadUnit, "unit of length"),
        (PressureDifference, "-1 bar", OutOfRange, "at least 0"),
        (PressureDifference, "1 bar abs", BadUnit, "not a unit"),
        (Temperature, "-280 °C", OutOfRange, "absolute zero"),
        (Share, float("nan"), OutOfRange, "at most"),
        (Number, float("inf"), OutOfRange, "at most"),
        (GasFlow, "3 bar", BadUnit, "unit of pressure"),
        (GasFlow, "3", BadUnit, "no unit"),
        (GasFlow, "-3 m3/h", OutOfRange, "zero or more"),
        (GivenDate, "soon", BadUnit, "not a date"),
        (GivenDate, "25/11/2026", BadUnit, "not a date"),
        (GivenDate, "3 March", BadUnit, "not a date"),
        (GivenDate, "", BadUnit, "not a date"),
        (GivenDate, 3.5, BadUnit, "not a date"),
        (GivenDate, True, BadUnit, "not a date"),
        (GivenDate, 20240501, BadUnit, "not a date"),
        (GivenDate, "A24", BadUnit, "code of its maker"),
        (GivenDate, "0324", InputError, "too many days"),
        (GivenDate, "2412", InputError, "too many days"),
        (GivenDate, "24/12", InputError, "years apart"),
        (GivenDate, "1899", OutOfRange, "no year"),
        (GivenDate, "2026-13", OutOfRange, "calendar"),
        (GivenDate, "13-2024", OutOfRange, "calendar"),
        (GivenDate, "2024-W54", OutOfRange, "calendar"),
        (GivenDate, "0/24", OutOfRange, "calendar"),
        (Mass, "62 lb 16 oz", OutOfRange, "a pound has 16"),
        (Mass, "62.5 lb 8 oz", BadUnit, "whole pounds"),
        (Mass, "62 lb 8 kg", BadUnit, "whole pounds"),
        (Mass, "62 lb -2 oz", OutOfRange, "a pound has 16"),
        (Mass, "62 kg 8 oz", BadUnit, "not a unit"),
        (GivenDate, "2023-02-30", OutOfRange, "calendar"),
        (GivenDate, "0000-01", OutOfRange, "calendar"),
        (DrawLimit, "1/7 bar", BadUnit, "unit of pressure"),
    ],
)
def test_a_wrong_value_is_refused(kind: type[Measure], text: object, error: type[InputError], says: str) -> None:
    with pytest.raises(error) as caught:
        kind.parse(text)
    assert says in caught.value.says
    assert caught.value.try_


@pytest.mark.parametrize("text", ["30 psi abs", "30 psia", "30 psi absolute", "30 psi (abs)", "30 psi(a)"])
def test_an_absolute_pressure_says_so(text: str) -> None:
    pressure = Pressure.parse(text)
    assert pressure.absolute
    assert pressure.gauge(ATMOSPHERE) == pytest.approx(30 * 6894.757293 - ATMOSPHERE)


@pytest.mark.parametrize("text", ["3 bar", "3 bar g", "3 barg", "3 bar gauge", "3 bar(g)"])
def test_a_pressure_is_gauge_unless_it_says_abs(text: str) -> None:
    pressure = Pressure.parse(text)
    assert not pressure.absolute
    assert pressure.abs(ATMOSPHERE) == 3e5 + ATMOSPHERE


def test_cubic_feet_of_gas_are_at_70_f_and_cubic_metres_normal() -> None:
    # 1 ft3 at 70 °F and 14.696 psia holds 0.0283168 x 101325 / (8.314463 x 294.261) mol
    assert GasFlow.parse("1 CFH").si * 3600 == pytest.approx(1.17271, rel=1e-4)
    assert GasFlow.parse("1 m3/h").si * 3600 == pytest.approx(44.6150, rel=1e-5)


def test_a_reference_state_replaces_both() -> None:
    state = ReferenceState.parse("15 °C, 1.01325 bar")
    assert GasFlow.parse("1 m3/h", state).si * 3600 == pytest.approx(101325 / (8.314462618 * 288.15), rel=1e-9)
    assert GasFlow.parse("1 Nm3/h", state).si == GasFlow.parse("1 m3/h").si


@pytest.mark.parametrize("text", ["15 °C", "15 °C, 2 mm", "cold", "-150 °C, 1 bar", "15 °C, 20 bar"])
def test_a_reference_state_that_no_one_uses_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        ReferenceState.parse(text)


def test_a_mass_of_gas_becomes_moles_by_its_molar_mass() -> None:
    assert GasAmount.parse("8 kg").amount(0.0260373) == pytest.approx(307.25, rel=1e-4)


@pytest.mark.parametrize(
    ("text", "half"), [("3 bar", 0.5e5), ("3.0 bar", 0.05e5), ("3.00 bar", 0.005e5), ("1e1 bar", 5e5), ("1/2 bar", 0.0)]
)
def test_half_of_the_last_digit_is_kept(text: str, half: float) -> None:
    assert Pressure.parse(text).half_digit == pytest.approx(half)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("2023-02", "2023-02-01", "2023-02-28"),
        ("2006/04", "2006-04-01", "2006-04-30"),
        ("2006/04/17", "2006-04-17", "2006-04-17"),
        ("5-95", "1995-05-01", "1995-05-31"),
        ("05-1995", "1995-05-01", "1995-05-31"),
        ("02/2023", "2023-02-01", "2023-02-28"),
        ("9 A1/32 06", "2006-09-01", "2006-09-30"),
        ("2024", "2024-01-01", "2024-12-31"),
        (2024, "2024-01-01", "2024-12-31"),
        ("24", "2024-01-01", "2024-12-31"),
        ("Q1 24", "2024-01-01", "2024-03-31"),
        ("3Q24", "2024-07-01", "2024-09-30"),
        ("2024 Q4", "2024-10-01", "2024-12-31"),
        ("24/1", "2024-01-01", "2024-03-31"),
        ("MAR-24", "2024-03-01", "2024-03-31"),
        ("2024-W12", "2024-03-18", "2024-03-24"),
        ("03/24", "2024-01-15", "2024-03-31"),  # March, or week 3
        ("12/25", "2025-03-17", "2025-12-31"),  # December, or week 12
        ("1-69", "2069-01-01", "2069-01-31"),
        ("1-70", "1970-01-01", "1970-01-31"),
    ],
)
def test_a_stamp_counts_from_the_earliest_day_it_can_mean(text: object, first: str, last: str) -> None:
    given = GivenDate.parse(text)
    assert (given.day.isoformat(), given.last.isoformat()) == (first, last)
    assert given.text == str(text)


def test_a_stamp_that_is_no_full_date_is_told_with_the_day_it_counts_from() -> None:
    assert GivenDate.parse("2023-02").told == "2023-02"
    assert GivenDate.parse("5-95").told == "5-95 (counted from 1995-05-01)"
    assert GivenDate.parse("03/24").told == "03/24 (counted from 2024-01-15: week 3 of 2024 or March 2024)"


def test_run_together_digits_are_answered_with_what_they_may_mean() -> None:
    with pytest.raises(InputError) as caught:
        GivenDate.parse("0324")
    for meant in ('"2024-03"', '"2024-W03"'):
        assert meant in caught.value.try_
        assert GivenDate.parse(meant.strip('"'))


def test_pounds_may_go_on_in_ounces() -> None:
    # 49 CFR 178.59(o)(2): a tare in pounds and ounces
    assert Mass.parse("200 lb 8 oz").si == pytest.approx(200.5 * 0.45359237, rel=1e-12)
    assert Mass.parse("200lb 8oz").half_digit == pytest.approx(0.5 * 0.45359237 / 16)
    assert Mass.parse("62 lb 15 3/4 oz").si == pytest.approx((62 + 15.75 / 16) * 0.45359237, rel=1e-12)
    assert Mass.parse("62 lb 0 oz").si == Mass.parse("62 lb").si


def test_a_month_alone_counts_from_its_first_day() -> None:
    assert GivenDate.parse("2023-02").day.isoformat() == "2023-02-01"


def test_a_draw_limit_is_a_share_or_a_flow() -> None:
    assert DrawLimit.parse("1/7").flow is None
    assert DrawLimit.parse("10 %").si == pytest.approx(0.1)
    assert DrawLimit.parse("1 m3/h").flow is not None
