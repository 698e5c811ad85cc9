"""Gauges that can show what is asked of them, and acetylene regulators that end at the cap."""

from dataclasses import replace

import pytest
from tests import factories as bench
from tests.factories import gauge

from steadycone.assembly.figures import Figures
from steadycone.assembly.gauges import gauge_class, gauges
from steadycone.practice import gauge as rules
from steadycone.practice import regulator
from steadycone.practice.finding import Finding
from steadycone.quantity import unknown
from steadycone.units import Number, Pressure, PressureDifference


def fuel_gauge(setting: float, scale: str, division: str | None = None, class_: str | None = None) -> Figures:
    """The clean bench with acetylene set to so many bar on such a gauge."""
    figures = bench.with_regulator(
        bench.clean(), "fuel", outlet_scale=Pressure.parse(scale),
        outlet_division=PressureDifference.parse(division) if division else None, gauge_class=Number.parse(class_) if class_ else None,
    )  # fmt: skip
    return bench.with_line(figures, "fuel", set_pressure=gauge(setting))


def coarse(figures: Figures, subject: str = "fuel regulator") -> Finding:
    return bench.found(rules.judge(figures), "gauge-coarse", subject)


def scale(figures: Figures, subject: str = "oxygen regulator") -> Finding:
    return bench.found(rules.judge(figures), "gauge-scale", subject)


@pytest.mark.parametrize(
    ("setting", "on", "division", "text"),
    [
        (0.20, "4 bar", "0.2 bar", "marks"),  # one mark above zero
        (0.40, "4 bar", "0.2 bar", ""),
        (0.39, "4 bar", "0.2 bar", "marks"),
        (0.20, "2.5 bar", "0.05 bar", ""),  # 0.0625 bar off: an everyday setting
        (0.14, "2.5 bar", "0.02 bar", ""),  # 44.6 per cent: the smallest everyday one
        (0.138, "2.5 bar", "0.02 bar", "error"),  # 45.3 per cent
        (0.30, "6 bar", "0.1 bar", "error"),  # truly 0.15 to 0.45
        (0.20, "4 bar", "0.05 bar", "error"),
    ],
)
def test_a_gauge_too_coarse_for_the_setting_is_a_caution(setting: float, on: str, division: str, text: str) -> None:
    found = coarse(fuel_gauge(setting, on, division))
    assert (found.verdict, found.text) == ("caution" if text else "go", text)


def test_a_finer_class_is_believed() -> None:
    assert coarse(fuel_gauge(0.2, "4 bar", "0.05 bar")).verdict == "caution"
    assert coarse(fuel_gauge(0.2, "4 bar", "0.05 bar", "1.6")).verdict == "go"


def test_a_gauge_that_the_file_does_not_describe_is_not_called_coarse() -> None:
    low = bench.with_line(bench.clean("propane"), "fuel", set_pressure=gauge(0.02))
    assert [found for found in rules.judge(low) if found.code == "gauge-coarse"] == []
    marked = bench.with_regulator(low, "fuel", outlet_division=PressureDifference.parse("0.02 bar"))
    assert coarse(marked).text == "marks"
    fine = bench.with_regulator(low, "fuel", outlet_division=PressureDifference.parse("0.01 bar"))
    assert (coarse(fine).verdict, coarse(fine).text) == ("go", "go marks")


def test_nothing_is_said_of_a_gauge_where_nothing_is_known_to_set() -> None:
    figures = bench.with_line(bench.clean(), "fuel", set_pressure=unknown("gauge pressure"))
    assert [found for found in rules.judge(figures) if found.code == "gauge-coarse" and found.subject == "fuel regulator"] == []


@pytest.mark.parametrize(("region", "expected"), [("us", 3.0), ("ca", 3.0), ("uk", 2.5), ("eu", 2.5), ("au", 2.5), ("nz", 2.5)])
def test_the_gauge_class_is_the_regions_and_a_stated_one_overrules_it(region: str, expected: float) -> None:
    oxygen = bench.regulator("oxygen")
    assert gauge_class(region) == expected
    assert gauges(oxygen, region).outlet_error == pytest.approx(expected / 100 * 16e5)
    stated = bench.with_regulator(bench.clean(region=region), "oxygen", gauge_class=Number.parse("1.6")).lines["oxygen"].line.regulator
    assert gauges(stated, region).outlet_error == pytest.approx(0.016 * 16e5)


def test_a_low_pressure_regulator_has_a_low_gauge() -> None:
    low = bench.with_regulator(bench.clean("natural gas"), "fuel", outlet_rating=Pressure.parse("100 mbar")).lines["fuel"].line.regulator
    assert gauges(low, "uk").outlet_scale == pytest.approx(0.16e5)


# --- the scale ---


def on_scale(text: str, setting: float = 3.2, shut: float = 4.4) -> Figures:
    figures = bench.with_regulator(bench.clean(), "oxygen", outlet_scale=Pressure.parse(text))
    return bench.with_line(figures, "oxygen", set_pressure=gauge(setting), static=gauge(shut))


@pytest.mark.parametrize(
    ("text", "expected"),
    [("1 bar", "stop"), ("3.1 bar", "stop"), ("3.2 bar", "caution"), ("4.3 bar", "caution"), ("4.4 bar", "go"), ("16 bar", "go")],
)
def test_the_scale_holds_the_setting_and_what_it_rises_to(text: str, expected: str) -> None:
    assert scale(on_scale(text)).verdict == expected


def test_the_scale_is_judged_at_the_high_end_of_what_it_rises_to() -> None:
    figures = bench.with_line(on_scale("4.4 bar"), "oxygen", static=gauge(4.3, 0.2))
    found = scale(figures)
    assert (found.verdict, found.end) == ("caution", "high")


def test_as_set_a_reading_past_the_end_of_the_scale_stops() -> None:
    figures = on_scale("10 bar")
    now = bench.as_set_line(figures.lines["oxygen"])
    for setting, expected in ((10.1, "stop"), (9.0, "go")):
        judged = bench.with_as_set(figures, oxygen=replace(now, regulator=gauge(setting, 0.3), regulator_static=gauge(setting)))
        assert scale(judged, "oxygen regulator, as set").verdict == expected


@pytest.mark.parametrize(("text", "expected"), [("139 bar", "stop"), ("160 bar", "stop"), ("200 bar", "go"), ("315 bar", "go")])
def test_the_inlet_scale_holds_the_supply_and_the_next_full_cylinder(text: str, expected: str) -> None:
    figures = bench.with_regulator(bench.clean(), "oxygen", inlet_scale=Pressure.parse(text))
    figures = bench.with_supply(figures, "oxygen", filled_to=gauge(200))
    assert scale(figures, "oxygen regulator inlet").verdict == expected


def test_a_scale_that_is_not_stated_is_not_judged() -> None:
    assert [found for found in rules.judge(bench.clean()) if found.code == "gauge-scale"] == []


@pytest.mark.parametrize(
    ("outlet", "inlet", "far"),
    [("40 bar", "315 bar", []), ("41 bar", "315 bar", ["outlet"]), ("315 bar", "1000 bar", ["outlet", "inlet"]), ("16 bar", "400 bar", [])],
)
def test_a_scale_of_more_than_four_ratings_is_another_places_gauge(outlet: str, inlet: str, far: list[str]) -> None:
    figures = bench.with_regulator(bench.clean(), "oxygen", outlet_scale=Pressure.parse(outlet), inlet_scale=Pressure.parse(inlet))
    found = [f for f in rules.judge(figures) if f.text == "far"]
    assert [f.subject for f in found] == [f"oxygen regulator {place} gauge" for place in far]
    assert {f.verdict for f in found} <= {"caution"}


# --- over the cap ---


@pytest.mark.parametrize(
    ("region", "rating", "expected"),
    [
        ("uk", "1.5 bar", "go"),
        ("uk", "1.51 bar", "stop"),
        ("uk", "10 bar", "stop"),
        ("au", "150 kPa", "go"),
        ("us", "15 psi", "go"),
        ("us", "15.1 psi", "caution"),  # an ISO regulator there: made for acetylene, but over the law's cap
        ("us", "1.5 bar", "caution"),
        ("us", "22 psi", "stop"),
        ("ca", "1.5 bar", "caution"),
        ("uk", "0.8 bar", "go"),
    ],
)
def test_an_acetylene_regulator_ends_at_the_cap(region: str, rating: str, expected: str) -> None:
    figures = bench.with_regulator(bench.clean(region=region), "fuel", outlet_rating=Pressure.parse(rating))
    assert bench.found(regulator.judge(figures), "regulator-over-cap", "fuel regulator").verdict == expected


def test_a_house_with_a_lower_cap_does_not_make_every_regulator_one_over_it() -> None:
    figures = bench.with_policy(bench.clean(), acetylene_cap=Pressure.parse("0.8 bar"))
    assert bench.found(regulator.judge(figures), "regulator-over-cap", "fuel regulator").verdict == "go"


@pytest.mark.parametrize(("bar", "expected"), [(1.04, "go"), (1.5, "caution")])
def test_the_absolute_cap_counts_in_compressed_air_and_not_on_a_fine_day(bar: float, expected: str) -> None:
    figures = bench.with_regulator(bench.clean(region="us"), "fuel", outlet_rating=Pressure.parse("15 psi"))
    judged = regulator.judge(replace(figures, atmosphere=bar * 1e5))
    assert bench.found(judged, "regulator-over-cap", "fuel regulator").verdict == expected


def test_another_fuel_has_no_cap() -> None:
    assert "regulator-over-cap" not in {found.code for found in regulator.judge(bench.clean("propane"))}
