"""A regulator flows within its outlet rating and stands, shut, within its closing pressure; how far it climbs as the cylinder empties."""

import pytest
from tests import factories as bench
from tests.factories import gauge
from tests.stations import CHART, ON, card, station_text

from steadycone.assembly.closing import closing_pressure
from steadycone.assembly.figures import Figures
from steadycone.card.make import make_card
from steadycone.data.reader import toml
from steadycone.errors import InputError
from steadycone.files.read import setup_from_text
from steadycone.physics.flow.regulator import seat_over_diaphragm
from steadycone.practice import regulator
from steadycone.units import Pressure

ATMOSPHERE = bench.ATMOSPHERE


def verdict(figures: Figures, code: str, subject: str = "oxygen regulator") -> str:
    return bench.found(regulator.judge(figures), code, subject).verdict


def closing(figures: Figures, name: str = "oxygen") -> float:
    return closing_pressure(figures.setup, name, ATMOSPHERE)[0] / 1e5


@pytest.mark.parametrize(("shut", "expected"), [(12.99, "go"), (13.01, "stop")])
def test_a_class_three_regulator_may_stand_thirty_per_cent_over_its_outlet_rating(shut: float, expected: str) -> None:
    figures = bench.with_line(bench.clean(), "oxygen", static=gauge(shut))
    assert verdict(figures, "regulator-closing") == expected
    assert verdict(figures, "regulator-range") == "go"


@pytest.mark.parametrize(("flowing", "expected"), [(9.99, "go"), (10.01, "stop")])
def test_in_flow_the_outlet_rating_is_the_limit(flowing: float, expected: str) -> None:
    figures = bench.with_line(bench.clean(), "oxygen", flowing=gauge(flowing), static=gauge(12))
    assert verdict(figures, "regulator-range") == expected
    assert verdict(figures, "regulator-closing") == "go"


def test_acetylene_stays_at_its_rating_with_the_valves_shut() -> None:
    assert closing(bench.clean(), "fuel") == pytest.approx(1.5)
    figures = bench.with_line(bench.clean(), "fuel", static=gauge(1.51))
    assert verdict(figures, "regulator-closing", "fuel regulator") == "stop"


@pytest.mark.parametrize(
    ("fuel", "region", "name", "rating", "expected"),
    [
        ("acetylene", "uk", "oxygen", "12.5 bar", 16.25),
        ("acetylene", "au", "oxygen", "1000 kPa", 13.0),
        ("acetylene", "us", "oxygen", "10 bar", 10.0),  # no class of that standard there
        ("acetylene", "ca", "oxygen", "150 psi", 10.342),
        ("acetylene", "uk", "oxygen", "8.6 bar", 8.6),  # of no class
        ("propane", "uk", "fuel", "4 bar", 5.2),
        ("propane", "uk", "fuel", "6 bar", 6.0),  # a class of compressed gas only
        ("hydrogen", "eu", "fuel", "10 bar", 13.0),
    ],
)
def test_the_usual_closing_pressure_follows_class_gas_and_region(fuel: str, region: str, name: str, rating: str, expected: float) -> None:
    figures = bench.with_regulator(bench.clean(fuel, region), name, outlet_rating=Pressure.parse(rating))
    assert closing(figures, name) == pytest.approx(expected, rel=1e-4)


def test_a_stated_closing_pressure_overrules_the_class() -> None:
    figures = bench.with_regulator(bench.clean(), "oxygen", closing_pressure=Pressure.parse("11 bar"))
    figures = bench.with_line(figures, "oxygen", static=gauge(11.5))
    found = bench.found(regulator.judge(figures), "regulator-closing", "oxygen regulator")
    assert (found.verdict, found.sources) == ("stop", ("gear-rating",))


def test_a_regulator_on_a_pipe_has_no_class_of_the_cylinder_standard() -> None:
    figures = bench.with_supply_noun(bench.clean(), "oxygen", kind="pipeline", pressure=Pressure.parse("16 bar"))
    assert closing(figures) == pytest.approx(10.0)


# --- the climb as the cylinder empties ---


def test_the_supply_effect_is_seat_area_over_diaphragm_area() -> None:
    usual = toml("defaults.toml")["supply_effect"]
    for seat, diaphragm, stated in ((2, 45, usual["band"][0]), (3, 36, usual["taken"]), (4, 30, usual["band"][1])):
        assert stated == pytest.approx(seat_over_diaphragm(seat * 1e-3, diaphragm * 1e-3), abs=5e-4)


def rise(**changes: str) -> float:
    about = card(cut="40 m", **changes).figures.lines["oxygen"]
    assert about.rise.high is not None
    return about.rise.high / 1e5


def fall(**changes: str) -> float:
    supply = card(cut="40 m", **changes).figures.lines["oxygen"].supply
    assert supply.pressure.value is not None
    assert supply.pressure_at_end.value is not None
    return (supply.pressure.value - supply.pressure_at_end.value) / 1e5


def test_the_climb_never_passes_three_tenths_of_the_rating_where_the_standard_is_used() -> None:
    assert 0.018 * fall() > 0.3 * 4  # else this says nothing
    assert rise(rating="4 bar") == pytest.approx(1.2)
    assert rise(rating="20 bar") == pytest.approx(0.018 * fall())
    assert rise(rating="4 bar", region="us") == pytest.approx(0.018 * fall(region="us"))


def test_a_makers_supply_effect_overrules_the_usual_band_even_of_two_stages() -> None:
    stated = 'rated_flow = "30 m3/h"\nsupply_effect = "4 %"\n'
    two = stated + "stages = 2\n"
    for lines in (stated, two):
        text = station_text(cut="40 m", rating="4 bar").replace('rated_flow = "30 m3/h"\n', lines, 1)
        assert _rise_of(text) == pytest.approx(0.04 * fall())
    assert _rise_of(station_text(cut="40 m").replace('rated_flow = "30 m3/h"\n', 'rated_flow = "30 m3/h"\nstages = 2\n', 1)) == 0.0


def _rise_of(text: str) -> float:
    made = make_card(setup_from_text(text, "law.toml", lambda name, limit, what: CHART.encode()), ON)
    high = made.figures.lines["oxygen"].rise.high
    assert high is not None
    return high / 1e5


# --- bad input ---


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('closing_pressure = "9 bar"', "at least the outlet rating"),
        ('closing_pressure = "21 bar"', "at most twice that"),
        ('closing_pressure = "13"', "has no unit"),
        ('closing_pressure = "13 kg"', "unit of mass"),
        ('supply_effect = "11 %"', "at most 10 %"),
        ('supply_effect = "-1 %"', "must be at least 0"),
        ('supply_effect = "0.7 bar"', "unit of pressure"),
        ('suply_effect = "0.7 %"', "supply_effect"),
    ],
)
def test_a_wrong_figure_is_refused_with_its_place(line: str, says: str) -> None:
    text = station_text().replace('rated_flow = "30 m3/h"\n', f'rated_flow = "30 m3/h"\n{line}\n', 1)
    with pytest.raises(InputError) as caught:
        setup_from_text(text, "law.toml", lambda name, limit, what: b"")
    assert says in str(caught.value) + (caught.value.try_ or "")
    assert "oxygen.regulator" in str(caught.value)
