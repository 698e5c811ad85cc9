"""Cylinders fuller than they can be, or hotter than they may be; and the supply's pressures behind that."""

import pytest
from tests.stations import CHART, ON, station_text

from steadycone.assembly.full import full_at
from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text
from steadycone.physics.gas import load
from steadycone.practice.finding import Finding
from steadycone.station.supply import Supply
from steadycone.units import Pressure

ATMOSPHERE = 101325.0


def card(supply: str = "", **changes: str) -> Card:
    """The law bench; `supply` replaces the lines of its fuel supply."""
    text = station_text(**changes)
    if supply:
        start, end = text.index("[fuel.supply]"), text.index("[fuel.regulator]")
        text = f"{text[:start]}[fuel.supply]\n{supply}\n{text[end:]}"
    return make_card(setup_from_text(text, "law.toml", lambda name, limit, what: CHART.encode()), ON)


def found(made: Card, code: str, subject: str = "fuel supply") -> Finding:
    return next(finding for finding in made.findings if finding.code == code and finding.subject == subject)


@pytest.mark.parametrize(
    ("supply", "expected"),
    [
        ('content = "8 kg"\ngross = "72.4 kg"\ntare = "62.4 kg"', "stop"),  # 10 kg in an 8 kg cylinder
        ('content = "8 kg"\ngross = "70.4 kg"\ntare = "62.4 kg"', "go"),  # full
        ('content = "8 kg"\ngross = "70.55 kg"\ntare = "62.40 kg"', "go"),  # 1.9 % over
        ('content = "8 kg"\ngross = "70.65 kg"\ntare = "62.40 kg"', "stop"),  # 3.1 % over, weighed to 10 g
        ('content = "8 kg"\ngross = "71 kg"\ntare = "62.4 kg"', "caution"),  # over, but the scales show whole kilograms
        ('content = "8 kg"\npressure = "15 bar"', "go"),
        ('content = "8 kg"\npressure = "26 bar"', "stop"),  # a full one has 19 bar at 15 °C
    ],
)
def test_more_gas_than_the_cylinder_s_own_is_a_wrong_tare_or_an_overfilled_cylinder(supply: str, expected: str) -> None:
    assert found(card(supply=supply), "contents-over").verdict == expected


def test_the_end_that_is_printed_is_over_the_limit_in_a_stop() -> None:
    finding = found(card(supply='content = "8 kg"\ngross = "72.4 kg"\ntare = "62.4 kg"'), "contents-over")
    assert finding.judged is not None
    assert finding.limit is not None
    assert (finding.judged.value or 0) > (finding.limit.value or 0)


@pytest.mark.parametrize(
    ("region", "ambient", "expected"),
    [("uk", "50 °C", "go"), ("uk", "50.5 °C", "stop"), ("us", "125 °F", "go"), ("us", "126 °F", "stop"), ("us", "51 °C", "go")],
)
def test_a_cylinder_hotter_than_any_may_get_is_a_stop(region: str, ambient: str, expected: str) -> None:
    assert found(card(region=region, ambient=ambient), "cylinder-hot").verdict == expected


@pytest.mark.parametrize(("tare", "low"), [("62.4 kg", 5.7), ("62 kg", 5.15), ("137 lb", 5.8)])
def test_an_acetylene_tare_in_whole_kilograms_may_be_a_kilogram_more(tare: str, low: float) -> None:
    """68.2 kg less 62.4; less 62, which may be 62.99; 137 lb is 62.14 kg within half a pound."""
    mass = card(supply=f'content = "8 kg"\ngross = "68.2 kg"\ntare = "{tare}"').figures.lines["fuel"].supply.contents_mass
    assert mass.low == pytest.approx(low, abs=0.06)


def test_a_full_acetylene_cylinder_stands_at_what_the_filling_rule_leaves_and_no_more() -> None:
    for region, ambient in (("us", 294.25), ("uk", 288.15)):
        supply = 'content = "8 kg"\ngross = "70.4 kg"\ntare = "62.4 kg"'
        pressure = card(region=region, ambient=f"{ambient - 273.15:.2f} °C", supply=supply).figures.lines["fuel"].supply.pressure
        assert pressure.high is not None
        assert pressure.high / 1e5 <= (250 * 0.0689476 if region == "us" else 19.0) + 0.01


@pytest.mark.parametrize("ambient", ["20 °C", "25 °C"])
def test_a_full_acetylene_cylinder_by_weight_is_no_alarm_on_a_usual_day(ambient: str) -> None:
    made = card(ambient=ambient, supply='content = "8 kg"\ngross = "70.4 kg"\ntare = "62.4 kg"')
    assert found(made, "regulator-inlet", "fuel regulator").verdict == "go"


def test_a_stated_filling_pressure_overrules_the_region_s() -> None:
    stated = full_at(Supply(filling_pressure=Pressure.parse("17 bar")), load("acetylene"), "uk", ATMOSPHERE, 288.15)
    assert stated == pytest.approx(18.01325e5)
