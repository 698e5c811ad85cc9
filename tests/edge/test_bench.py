"""The technician's bench: what is judged, what is never go, what is refused, and that steps and limits say the same."""

import math
import re
import shlex
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from steadycone.data import reader
from steadycone.errors import BadUnit, InputError, OutOfRange, SteadyconeError
from steadycone.practice.bench import parts
from steadycone.worksheets import run

BENCH = reader.toml("bench.toml")
PROCEDURES = {
    path.stem: tomllib.loads(path.read_text(encoding="utf-8")) for path in (Path(reader.FOLDER) / "procedures").glob("bench-*.toml")
}


def bubbles(**more: object) -> dict[str, Any]:
    return run.answer("bench", {"mode": "bubbles", **more})


def creep(**more: object) -> dict[str, Any]:
    return run.answer("bench", {"mode": "creep", "volume": "0.05 L", **more})


def arrestor(**more: object) -> dict[str, Any]:
    curve = {"flow_points": "1 bar/0.1 bar/6 m3/h/air", "flow": "6.00 m3/h", "inlet": "1 bar", "drop": "0.100 bar"}
    return run.answer("arrestor", curve | more)


def gauge(**more: object) -> dict[str, Any]:
    good = {"readings": "0.00 bar/0.0 bar; 8.00 bar/8.1 bar; 14.00 bar/14.1 bar", "full_scale": "16 bar", "master_class": "0.6"}
    return run.answer("gauge", good | more)


# --- leaks -----------------------------------------------------------------------


def test_bubbles_a_minute_become_cubic_centimetres_an_hour() -> None:
    found = bubbles(bubbles=2, bubble_volume="0.15 mL", temperature="0 °C")
    assert found["leak_cm3_per_h"] == pytest.approx(18.0, rel=1e-4)
    assert found["leak_l_per_h"] == pytest.approx(0.018, rel=1e-4)


def test_a_bubble_that_nobody_measured_is_a_wide_band() -> None:
    found = bubbles(bubbles=2, temperature="0 °C")
    assert found["leak_cm3_per_h"] == pytest.approx(18.0, rel=1e-4)
    assert found["leak_cm3_per_h_high"] == pytest.approx(3 * 60 * 0.20, rel=1e-4)  # one bubble more, the largest
    assert found["leak_cm3_per_h_low"] == pytest.approx(1 * 60 * 0.09, rel=1e-4)


def test_a_part_that_nobody_names_is_never_go() -> None:
    found = bubbles(bubbles=0, minutes=60)
    assert found["verdict"] == "caution"
    assert found["limit_cm3_per_h"] is None
    assert "none" in found["limit_source"]


@pytest.mark.parametrize("part", parts())
def test_a_limit_from_memory_says_so(part: str) -> None:
    found = bubbles(bubbles=1, part=part)
    assert ("from memory (medium confidence)" in found["limit_source"]) == (found["limit_cm3_per_h"] is not None)
    assert reader.sources()[BENCH["limit"][part]["source"]]["kind"] in ("memory", "common practice")


def test_no_bubble_in_a_minute_is_not_tight_and_in_ten_it_is() -> None:
    short, long = bubbles(bubbles=0, part="torch"), bubbles(bubbles=0, part="torch", minutes=10)
    assert short["verdict"] == "caution"
    assert short["leak_l_per_h"] == 0.0
    assert short["leak_l_per_h_high"] > 0.0
    assert short["leak_floor_l_per_h"] == pytest.approx(short["leak_l_per_h_high"])
    assert long["verdict"] == "go"


def test_a_leak_is_stopped_at_the_unsafe_end_of_the_bubble() -> None:
    # one bubble in two minutes: 4.5 cm³/h at 0.15 mL is under 8, twice that and the largest bubble is over
    found = bubbles(bubbles="0.5", minutes=2, part="torch", temperature="20 °C")
    assert found["leak_cm3_per_h"] < found["limit_cm3_per_h"] < found["leak_cm3_per_h_high"]
    assert found["verdict"] == "stop"


def test_a_limit_holds_at_twenty_degrees_whatever_the_bench() -> None:
    found = bubbles(bubbles=1, part="arrestor reverse")
    assert found["limit_cm3_per_h"] == pytest.approx(50 * 273.15 / 293.15, rel=1e-3)


def test_what_passes_in_air_may_not_in_acetylene_and_that_is_a_caution() -> None:
    pairs = {"bubbles": 3, "minutes": 20, "bubble_volume": "0.20 mL", "part": "arrestor reverse"}
    air, acetylene = bubbles(**pairs), bubbles(**pairs, service_gas="acetylene")
    assert air["verdict"] == "go"
    assert acetylene["verdict"] == "caution"
    assert "service gas" in acetylene["says"]


def test_the_stricter_of_a_given_limit_and_the_parts_own_holds() -> None:
    loose, strict = bubbles(bubbles=1, part="torch", limit="80 cm3/h"), bubbles(bubbles=1, part="torch", limit="1 cm3/h")
    assert "ISO 9090" in loose["limit_source"]
    assert "80 cm3/h" in loose["limit_source"]
    assert strict["limit_source"] == "as given, 1 cm3/h"
    assert strict["limit_cm3_per_h"] == pytest.approx(1.0)


def test_a_torch_valve_stops_at_its_first_bubble_and_is_not_go_without_one() -> None:
    assert bubbles(bubbles=1, part="torch valve", minutes=10)["verdict"] == "stop"
    assert bubbles(bubbles=0, part="torch valve", minutes=10)["verdict"] == "caution"


def test_a_float_meter_shows_a_leak_only_where_a_part_is_named() -> None:
    pairs = {"mode": "float", "flow": "20 cm3/min"}
    assert set(run.answer("bench", pairs)) == {"flow_m3_per_h"}
    found = run.answer("bench", pairs | {"part": "arrestor reverse"})
    assert found["leak_cm3_per_h"] == pytest.approx(1200.0)
    assert found["verdict"] == "stop"
    assert run.answer("bench", pairs | {"flow": "0 L/h", "part": "arrestor reverse"})["verdict"] == "caution"  # half a litre an hour unread


def test_a_creep_is_held_to_the_seat_where_nobody_says_otherwise() -> None:
    found = creep(creep="0.05 bar/min", start="0.5 bar")
    assert "seat" in found["limit_source"]
    assert found["verdict"] == "stop"
    assert "check valve" not in found["limit_source"]
    assert "non-return" in creep(creep="0.05 bar/min", part="check valve reverse")["limit_source"]


def test_a_creep_without_its_start_pressure_is_never_go() -> None:
    quiet = {"creep": "0.000 bar", "minutes": 30}
    assert creep(**quiet, start="2 bar")["verdict"] == "go"
    found = creep(**quiet)
    assert found["verdict"] == "caution"
    assert "start" in found["says"]


def test_a_gauge_too_coarse_for_the_limit_is_a_caution_when_it_stands_still() -> None:
    found = creep(creep="0.0 bar", minutes=5, start="2 bar", readability="0.1 bar")
    assert found["verdict"] == "caution"
    assert "could not have shown" in found["says"]


def test_the_time_until_the_cap_counts_from_the_start_at_the_largest_leak() -> None:
    found = creep(creep="0.100 bar/min", start="0.50 bar", cap="1.50 bar", readability="0 bar", test_gas="nitrogen")
    assert found["minutes_to_cap"] == pytest.approx(10.0, rel=1e-3)
    assert found["minutes_to_cap_low"] < 10.0 < found["minutes_to_cap_high"]
    longer = creep(
        creep="0.100 bar/min", start="0.50 bar", cap="1.50 bar", readability="0 bar", test_gas="nitrogen", service_volume="0.5 L"
    )
    assert longer["minutes_to_cap"] == pytest.approx(100.0, rel=1e-3)


def test_acetylene_brings_its_cap_along_and_other_gases_need_theirs() -> None:
    found = creep(creep="0.05 bar/min", start="0.5 bar", service_gas="acetylene")
    room = (15 * 0.0689475729 - 0.5) / 0.05  # minutes for the test gas, a pinhole passes more acetylene
    assert found["minutes_to_cap"] == pytest.approx(room / math.sqrt(28.965 / 26.038), rel=1e-3)
    assert "minutes_to_cap" not in creep(creep="0.05 bar/min", start="0.5 bar", service_gas="oxygen")


def test_a_start_over_the_cap_is_a_stop_whatever_the_creep() -> None:
    found = creep(creep="0.000 bar", minutes=30, start="1.2 bar", service_gas="acetylene")
    assert found["minutes_to_cap"] == 0.0
    assert found["verdict"] == "stop"
    assert "15 psi" in found["caution"]


def test_no_creep_seen_has_no_time_but_the_least_it_could_be() -> None:
    found = creep(creep="0.00 bar", minutes=10, start="0.5 bar", cap="1.5 bar")
    assert found["minutes_to_cap"] is None
    assert found["minutes_to_cap_high"] is None
    assert found["minutes_to_cap_low"] > 0.0


def test_a_leak_test_at_the_bench_is_judged_and_elsewhere_is_not() -> None:
    pairs = {"gas": "air", "volume": "0.57 L", "start": "5.0 bar", "end": "4.9 bar", "minutes": 5}
    assert "verdict" not in run.answer("leak", pairs)
    assert run.answer("leak", pairs | {"part": "hose"})["verdict"] == "stop"  # a fall that one can see
    still = run.answer("leak", pairs | {"part": "hose", "end": "5.0 bar"})
    assert still["verdict"] == "caution"
    assert run.answer("leak", pairs | {"limit": "5 L/h", "end": "5.0 bar"})["verdict"] == "go"
    assert "came in" in str(run.answer("leak", pairs | {"limit": "5 L/h", "end": "5.9 bar"})["says"])
    assert run.answer("leak", pairs | {"limit": "5 L/h", "end": "5.9 bar"})["verdict"] == "caution"


# --- arrestor --------------------------------------------------------------------


def test_a_sound_arrestor_is_go_on_its_own_curve() -> None:
    found = arrestor()
    assert found["share_of_curve"] == pytest.approx(1.0)
    assert found["verdict"] == "go"
    assert "judged by us" in found["limit_source"]


@pytest.mark.parametrize(("flow", "verdict", "word"), [
    ("5.60 m3/h", "caution", "May be short"), ("4.9 m3/h", "stop", "Short of its curve"), ("0 m3/h", "stop", "tripped"),
    ("7.0 m3/h", "caution", "element"), ("5.90 m3/h", "go", "Write the share"),
])  # fmt: skip
def test_an_arrestor_is_judged_at_its_low_end_and_one_too_free_is_doubted(flow: str, verdict: str, word: str) -> None:
    found = arrestor(flow=flow)
    assert found["verdict"] == verdict
    assert word in found["says"]


def test_a_drop_read_coarsely_is_not_go() -> None:
    found = arrestor(drop="0.1 bar")  # may be 0.15 bar
    assert found["share_of_curve_low"] < 0.8
    assert found["verdict"] == "stop"
    assert arrestor(drop="0.1 bar", readability="0.002 bar")["verdict"] == "go"


def test_a_point_far_from_the_makers_is_a_caution() -> None:
    found = arrestor(drop="0.400 bar", flow="11.5 m3/h")
    assert found["verdict"] != "go"
    assert "far from" in found["says"]


def test_the_curve_may_be_in_the_service_gas_and_the_measurement_in_air() -> None:
    found = arrestor(flow_points="1 bar/0.1 bar/6 m3/h/acetylene", flow="5.70 m3/h")
    assert found["share_of_curve"] == pytest.approx(1.0, abs=0.01)
    assert found["curve_service_flow_m3_per_h"] == pytest.approx(6.0, rel=1e-6)


def test_a_larger_allowed_loss_moves_both_limits() -> None:
    assert arrestor(flow="4.9 m3/h", largest_loss="25 %")["verdict"] == "go"
    assert arrestor(flow="4.9 m3/h", largest_loss="15 %")["verdict"] == "caution"


@pytest.mark.parametrize(("flow", "verdict"), [("47 cm3/h", "go"), ("52 cm3/h", "stop")])
def test_a_leak_straight_from_its_meter_is_held_to_the_limit_with_the_meters_error(flow: str, verdict: str) -> None:
    pairs = {
        "mode": "meter",
        "test_gas": "air",
        "flow": flow,
        "part": "arrestor reverse",
        "meter_error": "2 %",
        "reference_state": "20 °C, 1.01325 bar",
    }
    assert run.answer("bench", pairs)["verdict"] == verdict
    fuel = run.answer("bench", pairs | {"service_gas": "acetylene"})
    assert fuel["verdict"] == ("caution" if verdict == "go" else "stop")  # a fine crack passes 1.8 times as much


# --- gauge -----------------------------------------------------------------------


def test_a_sound_gauge_is_go_with_its_worst_error_shown() -> None:
    found = gauge()
    assert found["verdict"] == "go"
    assert found["error_percent"] == pytest.approx(0.625)
    assert found["worst_at_bar_gauge"] == pytest.approx(8.0)
    assert found["limit_percent"] == 2.5
    assert "from memory" in found["limit_source"]  # no class was given
    assert "from memory" not in gauge(gauge_class="2.5")["limit_source"]


def test_a_gauge_that_reads_low_says_that_there_is_more_pressure() -> None:
    found = gauge(readings="0.00 bar/0.0 bar; 8.00 bar/7.4 bar; 14.00 bar/13.4 bar")
    assert found["verdict"] == "stop"
    assert found["error_percent"] == pytest.approx(-3.75)
    assert found["reads_low_bar"] == pytest.approx(0.6)
    assert "true pressure is higher" in found["says"]


def test_a_zero_without_decimals_is_read_as_finely_as_the_same_gauge_elsewhere() -> None:
    bare = gauge(readings="0 bar/0 bar; 8.00 bar/8.1 bar; 14.00 bar/14.1 bar", readability=None)
    assert bare["verdict"] == "go"
    full = gauge(readings="0.00 bar/0.0 bar; 8.00 bar/8.1 bar; 14.00 bar/14.1 bar", readability=None)
    assert (bare["error_percent_low"], bare["error_percent_high"]) == (full["error_percent_low"], full["error_percent_high"])


def test_a_gauge_that_only_the_last_digits_keep_from_its_class_is_told_so() -> None:
    coarse = gauge(readings="0 bar/0 bar; 8 bar/8 bar; 14 bar/14 bar", readability=None)
    assert coarse["verdict"] == "stop"
    assert "last digits" in coarse["says"]
    assert "replace" not in coarse["says"]
    off = gauge(readings="0.0 bar/0.0 bar; 8.0 bar/9.0 bar; 14.0 bar/14.0 bar", readability=None)
    assert off["verdict"] == "stop"
    assert "last digits" not in off["says"]


def test_a_gauge_within_its_class_only_as_read_is_not_passed() -> None:
    found = gauge(readings="0.00 bar/0.0 bar; 8.00 bar/8.35 bar; 14.00 bar/14.1 bar", master_class="1.6")
    assert abs(found["error_percent"]) < 2.5 < found["error_percent_high"]
    assert found["verdict"] == "stop"


@pytest.mark.parametrize(
    "readings", ["8.00 bar/8.1 bar", "0.00 bar/0.0 bar; 8.00 bar/8.1 bar", "4.00 bar/4.0 bar; 8.00 bar/8.1 bar; 14.00 bar/14.1 bar"]
)
def test_a_gauge_with_too_few_readings_is_never_go(readings: str) -> None:
    assert gauge(readings=readings)["verdict"] == "caution"


def test_a_master_of_unknown_class_is_never_go() -> None:
    found = gauge(master_class=None)
    assert found["verdict"] == "caution"
    assert "master_class" in found["says"]


def test_readings_may_come_as_json() -> None:
    listed = [{"master": "0 bar", "gauge": "0 bar"}, {"master": "8.00 bar", "gauge": "8.2 bar"}]
    assert run.answer("gauge", {"readings": listed, "full_scale": "16 bar"})["errors_percent"] == "+0.00, +1.25"


# --- what is refused -------------------------------------------------------------


@pytest.mark.parametrize(("sheet", "pairs", "error", "word"), [
    ("bench", {"mode": "bubbles", "bubbles": "3", "tube": "6 mm", "bubble_volume": "0.1 mL"}, InputError, "not both"),
    ("bench", {"mode": "bubbles", "bubbles": "3", "start": "1 bar"}, InputError, "takes no start"),
    ("bench", {"mode": "flow", "flow": "3 m3/h", "part": "torch"}, InputError, "takes no part"),
    ("bench", {"mode": "bubbles"}, InputError, "needs bubbles"),
    ("bench", {"mode": "creep", "creep": "0.1 bar", "volume": "1 L", "cap": "1 bar"}, InputError, "needs start"),
    ("bench", {"mode": "creep", "creep": "0.1 bar/min", "volume": "1 L", "minutes": "3"}, InputError, "has its time already"),
    ("bench", {"mode": "bubbles", "bubbles": "3", "minutes": "0"}, OutOfRange, "above 0"),
    ("bench", {"mode": "bubbles", "bubbles": "3", "part": "valve"}, InputError, "is not one of"),
    ("arrestor", {"flow_points": "1 bar/0.1 bar/6 m3/h", "flow": "5 m3/h", "inlet": "1 bar", "drop": "0.04 bar", "cracking": "0.05 bar"}, OutOfRange, "cracking"),
    ("arrestor", {"flow_points": "1 bar/0.1 bar/6 m3/h", "flow": "5 m3/h", "inlet": "1 bar", "drop": "0 bar"}, OutOfRange, "drop"),
    ("arrestor", {"flow_points": "1 bar/0.1 bar/6 m3/h", "flow": "5 m3/h", "inlet": "1 bar", "drop": "3 bar"}, OutOfRange, "drop"),
    ("gauge", {"readings": "5 bar", "full_scale": "16 bar"}, BadUnit, "master and gauge"),
    ("gauge", {"readings": "5 bar/20 bar", "full_scale": "16 bar"}, OutOfRange, "over its full scale"),
    ("gauge", {"readings": "5 bar/5 bar", "full_scale": "0 bar"}, OutOfRange, "above 0"),
    ("gauge", {"readings": "5 bar/5 bar", "full_scale": "16 bar abs"}, OutOfRange, "gauge pressure"),
    ("gauge", {"readings": "5 bar/5 bar", "full_scale": "16 bar", "gauge_class": 0}, OutOfRange, "class"),
    ("gauge", {"readings": [1, 2], "full_scale": "16 bar"}, BadUnit, "master and gauge"),
])  # fmt: skip
def test_it_refuses_what_can_not_be_and_says_why(sheet: str, pairs: dict[str, object], error: type[SteadyconeError], word: str) -> None:
    with pytest.raises(error, match=word) as caught:
        run.answer(sheet, pairs)
    assert caught.value.where.startswith(sheet)


@pytest.mark.parametrize("name", ["arrestor", "gauge", "bench", "leak"])
def test_its_own_example_works_and_its_fields_can_be_shown(name: str) -> None:
    found = run.answer(name, dict(pair.split("=", 1) for pair in shlex.split(run.sheet(name).example)))
    assert found
    assert all(isinstance(value, str | float | int) or value is None for value in found.values())
    assert all(field.help and field.kind and field.example for field in run.describe(name))


BITS = ["0", "1", "-1", "1e-300 m", "1e300 bar", "0 bar", "-1.01325 bar", "0 bar abs", "1e9 m3/h", "1e-12 m3/h", "1000 bar", "-200 °C", "1e5 m",
        "1e-9 m", "0 L", "1e7 m3", "100 %", "0 %", "hydrogen", "acetylene", "torch valve", "", "x" * 300, "0 min", "1e8 s", "0.3 bar abs",
        "creep", "bubbles", "float", "hose", "0.1 mm", "0.05 bar/min", "0 bar/0 bar", "1 bar/0.1 bar/6 m3/h", "2 cm3/h"]  # fmt: skip
FILLED: dict[str, dict[str, object]] = {
    "bench": {"mode": "creep", "creep": "0.05 bar", "volume": "0.05 L", "start": "0.5 bar", "cap": "1.5 bar", "service_gas": "acetylene"},
    "arrestor": {"flow_points": "1 bar/0.1 bar/6 m3/h/air", "flow": "6.00 m3/h", "inlet": "1 bar", "drop": "0.100 bar"},
    "gauge": {"readings": "0 bar/0 bar; 8.00 bar/8.1 bar", "full_scale": "16 bar"},
    "leak": {"gas": "oxygen", "volume": "0.57 L", "start": "5 bar", "end": "4.9 bar", "minutes": 5, "part": "hose"},
}


@settings(max_examples=600, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_no_value_however_odd_breaks_a_bench_sum_or_makes_an_unknown_go(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(sorted(FILLED)))
    pairs = dict(FILLED[name])
    fields = [field.name for field in run.describe(name)]
    for _ in range(data.draw(st.integers(1, 3))):
        pairs[data.draw(st.sampled_from(fields))] = data.draw(st.sampled_from(BITS))
    try:
        found: dict[str, Any] = dict(run.answer(name, pairs))
    except InputError:
        return
    assert all(math.isfinite(value) for value in found.values() if isinstance(value, float))
    if found.get("verdict") == "go" and "leak_l_per_h" in found:
        assert found["limit_cm3_per_h"] is not None
        assert found["leak_l_per_h_high"] * 1e3 <= found["limit_cm3_per_h"] * (1 + 1e-6)


# --- steps -----------------------------------------------------------------------


STEPS = [(name, step) for name, table in PROCEDURES.items() for step in table["step"]]


def test_there_are_steps_for_regulator_arrestor_hose_and_torch() -> None:
    assert set(PROCEDURES) == {"bench-common", "bench-regulator", "bench-arrestor", "bench-hose", "bench-blowpipe"}


def test_a_limit_in_a_step_is_the_tables_own_and_says_from_memory() -> None:
    seen = set()
    for name, step in STEPS:
        for part, figure in re.findall(r"part ([a-z ]+), (\d+) cm³/h", step["do"]):
            assert f"{figure} cm3/h" == BENCH["limit"][part]["value"], (name, step["id"])
            assert "from memory" in f"{step['why']} {step['stop']}", (name, step["id"])
            seen.add(part)
    assert seen == {"regulator outside", "arrestor reverse", "arrestor outside", "hose", "torch"}
    (seat,) = [step for _, step in STEPS if step["id"] == "bench-regulator-seat"]
    assert "12 cm³/h" in seat["do"]
    assert BENCH["limit"]["regulator seat"]["value"] == "12 cm3/h"


def test_every_sum_and_mode_that_a_step_names_exists() -> None:
    told = " ".join(step["do"] + step["why"] for _, step in STEPS)
    assert set(re.findall(r"calc ([a-z]+)", told)) <= set(run.names())
    assert set(re.findall(r"mode ([a-z]+)", told)) <= {"flow", "float", "bubbles", "creep"}
    named = set(re.findall(r"calc (?:bench|leak)(?:,| with) part ([a-z ]+)[.,]", told))
    assert len(named) >= 6
    assert named <= set(parts())


def test_the_steps_keep_the_benchs_rules() -> None:
    told = {step["id"]: f"{step['do']} {step['why']} {step.get('stop', '')}" for _, step in STEPS}
    assert "authorised" in told["bench-authorised"]
    assert "oil-free" in told["bench-gas"]
    assert "oxygen-clean" in told["bench-gas"]
    assert told["bench-torch-never"].startswith("No backfire on purpose")
    assert "flame" in told["bench-arrestor-closed"]
    assert "quarantine" in told["bench-tag"]
    assert (
        list(told)[list(told).index("bench-torch-look") :][-2:] == ["bench-torch-flame", "bench-torch-never"] or "bench-torch-flame" in told
    )
