"""Worksheets at their edges: what they refuse, how they say it, and many at once."""

import json
import math
import shlex
import subprocess
import sys
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from steadycone.errors import BadUnit, InputError, OutOfRange, SteadyconeError, UnknownName
from steadycone.worksheets import run
from steadycone.worksheets.kinds import FlowPoints

EXPECTED = {
    "gas": {"density_kg_per_m3", "compressibility", "viscosity_upa_s", "gamma", "sound_m_per_s", "critical_ratio"},
    "hose": {"inlet_bar_gauge", "outlet_bar_gauge", "loss_bar", "reynolds", "friction_factor", "state"},
    "orifice": {"flow_m3_per_h", "mass_kg_per_h", "mass_flux_kg_per_m2_s", "state"},
    "resistance": {"inlet_bar_gauge", "outlet_bar_gauge", "state"},
    "bench": {"flow_m3_per_h"},
    "contents": {"mass_kg", "volume_m3", "ideal_gas_error"},
    "warming": {"pressure_bar_gauge"},
    "acetylene": {"mass_kg", "mass_kg_low", "mass_kg_high", "volume_m3", "volume_m3_low", "volume_m3_high"},
    "draw": {"limit_m3_per_h", "cylinders"},
    "vaporisation": {"limit_kg_per_h", "pressure_bar_gauge"},
    "leak": {"leak_l_per_h", "leak_l_per_h_low", "leak_l_per_h_high", "leak_floor_l_per_h"},
    "wait": {"minutes"},
    "purge": {"plug_s", "purge_s", "released_l"},
    "room": {
        "percent", "share_of_lower_limit", "oxygen_percent", "state", "minutes_to_tenth", "minutes_to_limit", "clear_minutes", "caution",
    },
    "air": {"oxygen_percent", "carbon_dioxide_percent", "air_needed_m3_per_h", "state", "caution"},
    "chill": {"temperature_c"},
    "flame": {"temperature_c", "products", "ratio_complete"},
    "heat": {"lower_mj_per_m3", "higher_mj_per_m3", "air_low_percent", "air_high_percent", "oxygen_low_percent", "oxygen_high_percent", "ignition_c"},
    "bevel": {"effective_thickness_mm"},
    "units": {"value"},
}  # fmt: skip
HOSE = {"gas": "oxygen", "bore": "6.3 mm", "length": "15 m", "flow": "8 m3/h", "inlet": "4 bar"}


def example(name: str) -> dict[str, str]:
    return dict(pair.split("=", 1) for pair in shlex.split(run.sheet(name).example))


def test_every_agreed_worksheet_is_there() -> None:
    assert set(EXPECTED) <= set(run.names())


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_its_own_example_gives_its_keys(name: str) -> None:
    found = run.answer(name, example(name))
    assert EXPECTED[name] <= set(found)
    assert all(isinstance(value, str | float | int) or value is None for value in found.values())


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_its_fields_can_be_shown_in_a_form(name: str) -> None:
    fields = run.describe(name)
    assert len({field.name for field in fields}) == len(fields)
    assert all(field.help and field.kind and field.example for field in fields)
    assert run.sheet(name).__doc__


def test_one_worksheet_does_not_load_the_others() -> None:
    script = (
        "import sys; from steadycone.worksheets import run; run.answer('bevel', {'thickness': '30 mm'});"
        "print(sorted(m for m in sys.modules if m.startswith(('steadycone.worksheets', 'steadycone.physics', 'numpy', 'json'))))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    loaded = done.stdout
    assert "worksheets.bevel" in loaded
    assert "worksheets.hose" not in loaded
    assert "physics" not in loaded
    assert "numpy" not in loaded
    assert "json" not in loaded


def test_an_unknown_worksheet_names_the_nearest() -> None:
    with pytest.raises(UnknownName, match='Did you mean "hose"'):
        run.answer("hosse", {})


def test_an_unknown_field_is_reported_before_a_missing_one() -> None:
    with pytest.raises(UnknownName, match='Did you mean "length"'):
        run.answer("hose", {"gas": "oxygen", "lenght": "15 m"})


def test_a_missing_field_says_what_to_write() -> None:
    pairs = dict(HOSE)
    del pairs["bore"], pairs["length"]
    with pytest.raises(InputError, match="bore and length missing") as caught:
        run.answer("hose", pairs)
    assert caught.value.try_.startswith('Add bore="6.3 mm" length=')


@pytest.mark.parametrize(
    ("sheet", "pairs", "says"),
    [
        ("hose", {**HOSE, "outlet": "3 bar"}, "give inlet or outlet, not both"),
        ("hose", {**HOSE, "mass_flow": "5 kg/h"}, "give flow or mass_flow, not both"),
        ("hose", {k: v for k, v in HOSE.items() if k != "flow"}, "flow or mass_flow missing"),
        ("orifice", {"gas": "oxygen", "inlet": "3 bar"}, "bore or area missing"),
        ("acetylene", {"gross": "68 kg"}, "tare missing"),
        ("acetylene", {}, "gross and tare or pressure and temperature missing"),
        ("acetylene", {"gross": "68 kg", "tare": "60 kg", "pressure": "9 bar"}, "not both"),
        ("room", {"gas": "acetylene", "release_flow": "5 L/min", "room_volume": "12 m3"}, "needs its minutes"),
        ("bench", {"mode": "creep", "creep": "0.1 bar/min"}, "mode creep needs volume"),
        ("bench", {"mode": "float", "flow": "3 L/min", "bubbles": "4"}, "mode float takes no bubbles"),
        ("leak", {"gas": "oxygen", "volume": "1 L", "start": "5 bar", "end": "5 bar", "minutes": "5", "start_temperature": "20 °C"}, "one temperature alone"),
    ],
)  # fmt: skip
def test_alternatives_are_checked(sheet: str, pairs: dict[str, str], says: str) -> None:
    with pytest.raises(InputError, match=says):
        run.answer(sheet, pairs)


@pytest.mark.parametrize(
    ("sheet", "pairs", "error"),
    [
        ("hose", {**HOSE, "bore": "6.3"}, BadUnit),
        ("hose", {**HOSE, "bore": "6.3 bar"}, BadUnit),
        ("hose", {**HOSE, "bore": "0 mm"}, OutOfRange),
        ("hose", {**HOSE, "inlet": "-2 bar"}, OutOfRange),
        ("hose", {**HOSE, "flow": "-2 m3/h"}, OutOfRange),
        ("hose", {**HOSE, "gas": "propane", "inlet": "12 bar"}, OutOfRange),  # liquid at 20 °C
        ("hose", {**HOSE, "gas": "lpg"}, UnknownName),
        ("hose", {**HOSE, "mass_flow": "3 m3/h", "flow": None}, BadUnit),
        ("orifice", {"gas": "oxygen", "bore": "1 mm", "inlet": "200 bar"}, OutOfRange),
        ("contents", {"gas": "acetylene", "water_volume": "40 L", "pressure": "15 bar"}, InputError),
        ("flame", {"fuel": "acetylene", "ratio": "0.5"}, OutOfRange),
        ("heat", {"fuel": "oxygen"}, InputError),
        ("vaporisation", {"fuel": "propane", "cylinder_size": "11 kg", "fill": "120 %", "temperature": "5 °C"}, OutOfRange),
        ("acetylene", {"gross": "60 kg", "tare": "68 kg"}, OutOfRange),
        ("wait", {"gas": "oxygen", "volume": "1 L", "readability": "0.1 bar", "acceptance": "0 L/h", "pressure": "3 bar"}, OutOfRange),
        ("units", {"value": "3 m", "to": "kg"}, BadUnit),
        ("units", {"value": "8 kg", "to": "m3"}, InputError),
        ("bevel", {"thickness": "30 mm", "pieces": "1.5"}, OutOfRange),
    ],
)
def test_it_refuses_what_has_no_answer(sheet: str, pairs: dict[str, str | None], error: type[SteadyconeError]) -> None:
    with pytest.raises(error) as caught:
        run.answer(sheet, pairs)
    assert caught.value.where.startswith(sheet)


def test_a_choked_hose_is_a_state_and_no_number() -> None:
    found = run.answer("hose", {**HOSE, "flow": "30 m3/h"})
    assert found["state"] == "choked"
    assert found["outlet_bar_gauge"] is None
    assert found["loss_bar"] is None


def test_a_hose_that_would_suck_says_below_atmosphere() -> None:
    pairs = {
        "gas": "oxygen",
        "bore": "10 mm",
        "length": "60 m",
        "flow": "15 m3/h",
        "inlet": "1.7 bar",
        "fittings": "0",
        "roughness": "0.01 mm",
    }
    found = run.answer("hose", pairs)
    assert found["state"] == "below atmosphere"
    assert isinstance(found["outlet_bar_gauge"], float)
    assert found["outlet_bar_gauge"] < 0.0


def test_the_other_states() -> None:
    assert run.answer("orifice", {"gas": "oxygen", "bore": "1 mm", "inlet": "0.2 bar"})["state"] == "ok"
    assert run.answer("orifice", {"gas": "oxygen", "bore": "1 mm", "inlet": "0 bar"})["state"] == "blocked"
    part = {"gas": "oxygen", "sonic_conductance": "1 L/(s bar)", "critical_ratio": "0.3", "flow": "300 m3/h", "inlet": "5 bar"}
    assert run.answer("resistance", part)["state"] == "choked"


@pytest.mark.parametrize("inlet_or_outlet", ["inlet", "outlet"])
def test_hose_and_resistance_march_back_to_where_they_came_from(inlet_or_outlet: str) -> None:
    other = "outlet" if inlet_or_outlet == "inlet" else "inlet"
    fixed: dict[str, dict[str, object]] = {
        "hose": {"gas": "oxygen", "bore": "6.3 mm", "length": "15 m", "flow": "8 m3/h", "fittings": 3, "roughness": "0.01 mm"},
        "resistance": {"gas": "oxygen", "sonic_conductance": "2 L/(s bar)", "critical_ratio": 0.3, "flow": "8 m3/h"},
    }
    for sheet, pairs in fixed.items():
        there = run.answer(sheet, {**pairs, inlet_or_outlet: "4 bar"})
        back = run.answer(sheet, {**pairs, other: f"{there[f'{other}_bar_gauge']!r} bar"})
        assert back[f"{inlet_or_outlet}_bar_gauge"] == pytest.approx(4.0, rel=1e-6)


def test_the_same_case_in_other_units_gives_the_same_answer() -> None:
    metric = run.answer(
        "hose", {"gas": "oxygen", "bore": "6.35 mm", "length": "15.24 m", "mass_flow": "10 kg/h", "outlet": "3 bar", "temperature": "20 °C"}
    )
    american = run.answer("hose", {
        "gas": "oxygen", "bore": "1/4 in", "length": "50 ft", "mass_flow": "22.046226218 lb/h", "outlet": "43.5113214 psi", "temperature": "68 °F",
    })  # fmt: skip
    assert american["loss_bar"] == pytest.approx(metric["loss_bar"], rel=1e-8)


def test_a_reference_state_changes_what_a_cubic_metre_is() -> None:
    normal = run.answer("orifice", {"gas": "oxygen", "bore": "1 mm", "inlet": "3 bar"})
    wait = {"gas": "oxygen", "volume": "1 L", "readability": "0.1 bar", "acceptance": "2 L/h", "pressure": "3 bar"}
    here, there = run.answer("wait", wait), run.answer("wait", {**wait, "reference_state": "15 °C, 1.01325 bar"})
    assert there["minutes"] == pytest.approx(float(here["minutes"] or 0) * 288.15 / 273.15, rel=1e-4)
    assert normal["state"] == "choked"


def test_gauge_pressures_follow_the_atmosphere() -> None:
    high = run.answer("orifice", {"gas": "oxygen", "bore": "1 mm", "inlet": "3 bar", "atmosphere": "0.8 bar"})
    low = run.answer("orifice", {"gas": "oxygen", "bore": "1 mm", "inlet": "3 bar"})
    assert high["mass_kg_per_h"] == pytest.approx(float(low["mass_kg_per_h"] or 0) * 3.8 / 4.01325, rel=1e-3)


def test_flow_points_read_from_a_line_and_from_json() -> None:
    text = FlowPoints.parse("5 bar/0.2 bar/16 m3/h/air; 4 bar/0.2 bar/500 CFH")
    listed = FlowPoints.parse([
        {"inlet": "5 bar", "drop": "0.2 bar", "flow": "16 m3/h", "gas": "air"}, {"inlet": "4 bar", "drop": "0.2 bar", "flow": "500 CFH"},
    ])  # fmt: skip
    assert text == listed
    for bad in ("5 bar", "", "5 bar/0.2 bar", [{"inlet": "5 bar"}], [{"inlet": "5 bar", "drop": "1 bar", "flow": "1 m3/h", "why": 1}], 7):
        with pytest.raises(BadUnit):
            FlowPoints.parse(bad)


def test_a_purge_and_a_leak_never_say_zero_for_unknown() -> None:
    assert run.answer("heat", {"fuel": "butane"})["oxygen_limits"] == "not known"


def test_viscosity_is_given_at_the_asked_pressure() -> None:
    thin = run.answer("gas", {"gas": "oxygen", "temperature": "15 °C"})
    stored = run.answer("gas", {"gas": "oxygen", "temperature": "15 °C", "pressure": "200 bar"})
    assert thin["viscosity_upa_s"] == pytest.approx(19.99, abs=0.1)
    assert stored["viscosity_upa_s"] == pytest.approx(27.07, abs=0.1)
    assert "viscosity" not in stored


def test_a_leak_is_signed() -> None:
    pairs = {"gas": "oxygen", "volume": "1 L", "start": "5.0 bar", "end": "5.2 bar", "minutes": "5"}
    found = run.answer("leak", pairs)
    assert isinstance(found["leak_l_per_h"], float)
    assert found["leak_l_per_h"] < 0.0


def test_temperatures_uncover_a_leak_that_warming_hides() -> None:
    pairs = {"gas": "oxygen", "volume": "1 L", "start": "5.00 bar", "end": "5.00 bar", "minutes": "5", "readability": "0.01 bar"}
    found = run.answer("leak", {**pairs, "start_temperature": "10.0 °C", "end_temperature": "20.0 °C"})
    assert isinstance(found["leak_l_per_h_low"], float)
    assert found["leak_l_per_h_low"] > 0.0


def test_acetylenes_cap_stands_beside_a_pressure_over_it() -> None:
    pairs = {"gas": "acetylene", "bore": "4.8 mm", "length": "30 m", "flow": "3 m3/h", "outlet": "0.5 bar"}
    assert "15 psi" in str(run.answer("hose", pairs)["caution"])
    assert "caution" not in run.answer("hose", {**pairs, "flow": "0.5 m3/h"})
    assert "caution" not in run.answer("hose", {**pairs, "gas": "oxygen"})


UNITS = [
    ({"value": "3.5 bar", "to": "psi"}, 50.763), ({"value": "15 psi", "to": "bar"}, 1.0342), ({"value": "30 psi abs", "to": "kPa abs"}, 206.84),
    ({"value": "0 bar", "to": "bar abs"}, 1.01325), ({"value": "68 °F", "to": "°C"}, 20.0), ({"value": "20 °C", "to": "K"}, 293.15),
    ({"value": "1 1/4 in", "to": "mm"}, 31.75), ({"value": "106 CFH", "to": "m3/h"}, 2.7863), ({"value": "1 m3/h", "to": "CFH"}, 38.044),
    ({"value": "1 m3/h", "to": "m3/h", "reference_state": "15 °C, 1.01325 bar"}, 0.94795), ({"value": "100 lb", "to": "kg"}, 45.359),
    ({"value": "1 kg/h", "to": "m3/h", "gas": "oxygen"}, 0.70046), ({"value": "400 mm/min", "to": "ipm"}, 15.748), ({"value": "50 L", "to": "ft3"}, 1.7657),
    ({"value": "2 h", "to": "min"}, 120.0), ({"value": "1/7", "to": "%"}, 14.2857),
]  # fmt: skip


@pytest.mark.parametrize(("pairs", "expected"), UNITS)
def test_units(pairs: dict[str, str], expected: float) -> None:
    # SI brochure, US inch-pound definitions; 70 °F and 14.696 psi for CFH
    assert run.answer("units", pairs)["value"] == pytest.approx(expected, rel=2e-5)


def test_gas_in_cubic_feet_is_not_silently_a_box() -> None:
    found = run.answer("units", {"value": "244 ft3", "to": "m3"})
    assert found["value"] == pytest.approx(6.909, abs=1e-3)
    assert found["as_gas"] == pytest.approx(6.414, abs=1e-3)


def lines(*cases: str) -> list[Any]:
    return [json.loads(line) for line in run.cases(cases)]


def test_cases_come_back_in_order_with_errors_in_place() -> None:
    found = lines('{"calc": "bevel", "thickness": "30 mm"}', "", "not json", '{"calc": "bevel", "thickness": "40 mm"}')
    assert [next(iter(one)) for one in found] == ["effective_thickness_mm", "error", "effective_thickness_mm"]
    assert set(found[1]["error"]) == {"code", "where", "says", "try"}
    assert found[1]["error"]["where"] == "line 3"


@pytest.mark.parametrize(
    "line",
    [
        "[1, 2]", "7", '{"gas": "oxygen"}', '{"calc": 5}', '{"calc": "nope"}', '{"calc": "bevel", "thickness": NaN}', "[" * 60_000,
        '{"calc": "bevel", "thickness": "3 mm", "thickness": "4 mm"}', '{"calc": "bevel", "thickness": 30}', '{"calc": "bevel", "thickness": true}',
        '{"calc": "flame", "fuel": "acetylene", "ratio": ' + "9" * 300 + "}", '{"calc": "flame", "fuel": "acetylene", "ratio": ' + "9" * 9000 + "}",
        '{"calc": "bevel", "thickness": "' + "1" * 100_001 + ' mm"}', '{"calc": "bevel", "\\ud800": "3 mm"}', '{"calc": "bevel", "thickness": "\\ud800"}',
        '{"calc": "hose", "gas": "lpg", "composition": {"propane": ' + "9" * 400 + "}}", '{"calc": "bevel", "thickness": ' + "[" * 900 + "]" * 900 + "}",
        '{"calc": "../units"}', '{"calc": "run"}', '{"calc": "declare"}',
    ],
)  # fmt: skip
def test_a_bad_case_is_one_printable_error_line(line: str) -> None:
    (found,) = run.cases([line])
    assert found.startswith('{"error": ')
    assert "\n" not in found
    assert len(found.encode("utf-8")) < 10_000


BITS = ["0", "1", "-1", "1e-300 m", "1e300 bar", "0 bar", "-1.01325 bar", "0 bar abs", "1e9 m3/h", "1e-12 m3/h", "1000 bar", "-200 °C", "4000 °C", "1e5 m",
        "1e-9 m", "1 K", "0 L", "1e7 m3", "100 %", "0 %", "1000 kg", "0 kg", "hydrogen", "acetylene", "propane", "natural gas", "", " ", "x" * 300, "1/0",
        "0 min", "1e8 s", "50 °C", "0.3 bar abs", "5 L/min", "0.1 mm", "16 bar", "1e-6 kg/h"]  # fmt: skip


@settings(max_examples=1000, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_no_value_however_odd_breaks_a_worksheet(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(sorted(EXPECTED)))
    pairs: dict[str, object] = dict(example(name))
    fields = [field.name for field in run.describe(name)]
    for _ in range(data.draw(st.integers(1, 3))):
        pairs[data.draw(st.sampled_from(fields))] = data.draw(st.sampled_from(BITS))
    try:
        found = run.answer(name, pairs)
    except InputError:
        return  # anything else, a failed solve too, is a fault of ours
    assert all(math.isfinite(value) for value in found.values() if isinstance(value, float))
