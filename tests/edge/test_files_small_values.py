"""Values that no workshop has, and gauge marks that no gauge has: one message each, never a traceback."""

import re

import pytest
from tests.stations import CHART, ON, station_text

from steadycone.card.make import make_card
from steadycone.errors import BadUnit, InputError, OutOfRange
from steadycone.files.read import setup_from_text
from steadycone.render.json_card import card_dict
from steadycone.units import GasFlow, Length, Mass, Measure, Number, Pressure, PressureDifference, Share, Volume


def with_line(line: str) -> str:
    """The law bench with one more line, or another value, in its oxygen regulator."""
    text, name = station_text(), line.split(" = ")[0]
    start, end = text.index("[oxygen.regulator]"), text.index("[[oxygen.part]]")
    table = re.sub(rf"(?m)^{name} = .*\n", "", text[start:end])
    return f"{text[:start]}{table}{line}\n{text[end:]}"


def read(text: str) -> object:
    return card_dict(make_card(setup_from_text(text, "law.toml", lambda name, limit, what: CHART.encode()), ON))


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('outlet_division = "0 bar"', "above zero and at most the scale, 16 bar"),
        ('outlet_division = "-0.1 bar"', "must be at least 0"),
        ('outlet_division = "17 bar"', "at most the scale, 16 bar"),
        ('outlet_division = "1e-320 bar"', "no workshop has"),
        ('outlet_division = "0.1"', "has no unit"),
        ('inlet_division = "0 psi"', "above zero"),
        ('inlet_division = "401 bar"', "at most the scale, 400 bar"),
        ('gauge_class = "0"', "above 0 and at most 10"),
        ('gauge_class = "50"', "above 0 and at most 10"),
        ('outlet_scale = "0 bar"', "above zero"),
        ('rated_flow = "0 m3/h"', "above zero"),
        ('rated_flow = "1e-320 m3/h"', "no workshop has"),
        ('outlet_rating = "1e-300 bar"', "no workshop has"),
    ],
)
def test_what_no_gauge_has_is_refused_with_place_value_and_what_is_allowed(line: str, says: str) -> None:
    name, value = line.split(" = ")
    with pytest.raises((OutOfRange, BadUnit)) as caught:
        read(with_line(line))
    told = str(caught.value)
    assert says in told
    assert value.strip('"').split()[0] in told
    assert f"oxygen.regulator, {name}" in told
    assert caught.value.try_


@pytest.mark.parametrize(
    "line", ['outlet_division = "16 bar"', 'outlet_division = "0.001 bar"', 'gauge_class = "10"', 'gauge_class = "0.1"']
)
def test_a_mark_that_a_gauge_could_have_is_judged_and_not_refused(line: str) -> None:
    assert read(with_line(line))


@pytest.mark.parametrize(
    ("kind", "small", "least"),
    [
        (Pressure, "1e-320 bar", "0.01 mbar"),
        (PressureDifference, "1e-9 bar", "0.001 mbar"),
        (Mass, "1e-300 kg", "1 g"),
        (Length, "1e-9 mm", "0.0015 mm"),
        (Volume, "1e-12 L", "0.01 mL"),
        (GasFlow, "1e-310 m3/h", "0.01 L/h"),
        (Number, "1e-12", "0.001"),
        (Share, "1e-12 %", "0.01 %"),
    ],
)
def test_a_value_far_too_small_is_a_slip_and_a_small_one_is_not(kind: type[Measure], small: str, least: str) -> None:
    with pytest.raises(OutOfRange, match="no workshop has") as caught:
        kind.parse(small)
    assert small in str(caught.value)
    assert kind.example in (caught.value.try_ or "")
    assert kind.parse(least).si > 0


@pytest.mark.parametrize("value", ["1e-320", "1e-300", "1e-30"])
def test_no_field_of_a_station_breaks_on_a_value_next_to_nothing(value: str) -> None:
    text = station_text()
    for found in re.finditer(r'= "(\d[\d.]*)( [^"0-9]+[^"]*)"', text):
        changed = text[: found.start()] + f'= "{value}{found[2]}"' + text[found.end() :]
        if found[2] == " °C":
            assert read(changed)
            continue
        with pytest.raises(InputError, match="no workshop has"):
            read(changed)
