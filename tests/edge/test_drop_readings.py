"""A pressure-drop test through `calc drop`: what each pattern reads, what it could be instead, and what is refused."""

from typing import Any

import pytest

from steadycone.errors import BadUnit, InputError, OutOfRange, SteadyconeError, UnknownName
from steadycone.worksheets import run

# an invented bench: 15 m of 6.3 mm and 0.1 L behind an oxygen regulator
BENCH: dict[str, object] = {
    "gas": "oxygen", "high_volume": "0.03 L", "low_volume": "0.57 L", "high_start": "120 bar", "high_end": "120 bar", "low_start": "2.0 bar",
    "low_end": "2.0 bar", "start_temperature": "18 °C", "end_temperature": "18 °C", "minutes": 5, "high_readability": "2 bar",
    "low_readability": "0.1 bar", "screw": "out",
}  # fmt: skip
LPG = {
    "gas": "propane",
    "high_start": "7.4 bar",
    "high_end": "7.4 bar",
    "high_readability": "0.2 bar",
    "low_start": "1.0 bar",
    "low_end": "1.0 bar",
}
ACETYLENE = {"gas": "acetylene", "high_start": "12 bar", "high_end": "12 bar", "high_readability": "0.5 bar", "low_readability": "0.02 bar"}
KEYS = {
    "reading", "also_possible", "verdict", "high_floor_l_per_h", "low_floor_l_per_h",
    *(f"{side}_leak_l_per_h{end}" for side in ("high", "low") for end in ("", "_low", "_high")),
}  # fmt: skip


def drop(**changed: object) -> dict[str, Any]:
    return run.answer("drop", {**BENCH, **changed})


def test_it_gives_the_agreed_keys() -> None:
    assert set(drop()) >= KEYS


def test_the_ship_fitters_station_has_a_passing_seat() -> None:
    # invented situation: HP 120 to 112, LP 2.0 to 2.3, torch shut, screw out
    found = drop(high_end="112 bar", low_end="2.3 bar")
    assert (found["reading"], found["verdict"]) == ("seat passing", "stop")
    assert found["low_leak_l_per_h"] < 0.0 < found["high_leak_l_per_h"]
    assert "technician" in found["says"]


@pytest.mark.parametrize("readability", ["1 bar", "5 bar"])
def test_the_mine_workshops_fall_with_the_screw_in_has_no_place(readability: str) -> None:
    # invented situation: screw left in, HP falls 5 bar, LP steady
    found = drop(high_end="115 bar", high_readability=readability, screw="in")
    assert (found["reading"], found["verdict"]) == ("leak, not located", "stop")
    assert {"leak before regulator", "leak after regulator"} <= set(found["also_possible"])
    assert "screw" in found["says"]


PATTERNS = [
    ("120 bar", "2.0 bar", "no movement seen", {"cylinder valve passing"}),
    ("110 bar", "2.0 bar", "leak before regulator", {"seat passing"}),
    ("120 bar", "1.7 bar", "leak after regulator", {"cylinder valve passing", "leak both sides"}),
    ("110 bar", "2.3 bar", "seat passing", set()),
    ("120 bar", "2.1 bar", "seat passing", {"other gas arriving"}),  # one division up: the high gauge is too coarse to fall
    ("120 bar", "2.8 bar", "seat passing", {"cylinder valve passing", "other gas arriving"}),  # more than the high side could have lost
    ("118 bar", "2.9 bar", "seat passing", {"cylinder valve passing", "other gas arriving"}),
    ("80 bar", "2.1 bar", "seat passing", {"leak before regulator", "leak after regulator"}),  # more than arrived
    ("110 bar", "1.7 bar", "leak both sides", {"seat passing"}),
    ("126 bar", "2.0 bar", "cylinder valve passing", {"leak before regulator"}),
    ("126 bar", "1.7 bar", "cylinder valve passing", {"leak after regulator"}),
    ("126 bar", "2.3 bar", "cylinder valve passing", {"seat passing", "other gas arriving"}),
]


@pytest.mark.parametrize(("high_end", "low_end", "reading", "also"), PATTERNS)
def test_a_pattern_reads_rightly(high_end: str, low_end: str, reading: str, also: set[str]) -> None:
    found = drop(high_end=high_end, low_end=low_end)
    assert found["reading"] == reading
    assert also <= set(found["also_possible"])
    assert reading not in found["also_possible"]
    assert found["verdict"] == ("go" if reading == "no movement seen" else "stop")


@pytest.mark.parametrize(
    ("high_end", "low_end", "reading"),
    [
        ("120 bar", "2.0 bar", "no movement seen"),
        ("110 bar", "1.7 bar", "leak, not located"),
        ("120 bar", "1.7 bar", "leak, not located"),
        ("110 bar", "2.3 bar", "seat passing"),
        ("126 bar", "2.0 bar", "cylinder valve passing"),
    ],
)
def test_with_the_screw_in_only_a_rise_has_a_place(high_end: str, low_end: str, reading: str) -> None:
    assert drop(high_end=high_end, low_end=low_end, screw="in")["reading"] == reading


def test_no_movement_is_less_than_the_floor_and_never_zero() -> None:
    found = drop()
    assert found["low_leak_l_per_h_low"] < 0.0 < found["low_leak_l_per_h_high"] <= found["low_floor_l_per_h"]
    assert "not zero" in found["says"]


def test_a_floor_over_the_acceptance_is_never_go() -> None:
    assert drop(acceptance="0.5 L/h")["verdict"] == "caution"
    assert drop(high_readability="5 bar")["verdict"] == "caution"  # the usual 315 bar gauge in five minutes
    wait = drop(high_readability="5 bar")["high_wait_min"]
    assert drop(high_readability="5 bar", minutes=wait + 0.1)["verdict"] == "go"


def test_with_the_screw_in_both_floors_together_must_do() -> None:
    found = drop(screw="in")
    assert max(found["high_floor_l_per_h"], found["low_floor_l_per_h"]) < 2.0 < found["high_floor_l_per_h"] + found["low_floor_l_per_h"]
    assert found["verdict"] == "caution"


def test_a_small_rise_and_a_small_fall_are_told_apart_from_the_weather() -> None:
    # 1.5 K of warming is 18 mbar at 2.5 bar: the rise of the gauge is the sun's
    sunny = {"low_start": "2.500 bar", "low_readability": "0.005 bar", "start_temperature": "18.0 °C", "end_temperature": "19.5 °C"}
    assert drop(**sunny, low_end="2.520 bar")["reading"] == "no movement seen"
    assert drop(**sunny, low_end="2.500 bar")["reading"] == "leak after regulator"  # warming hid it


def test_gas_still_warming_is_not_clear() -> None:
    chilled = {"start_temperature": "-5 °C", "end_temperature": "16 °C"}
    for ends in ({}, {"low_end": "2.2 bar", "high_end": "130 bar"}):
        found = drop(**chilled, **ends)
        assert found["reading"] == "not clear"
        assert "warming" in found["also_possible"]
        assert "warming" in found["says"]
        assert found["verdict"] != "go"
    assert drop(**chilled, low_end="1.7 bar")["reading"] == "leak after regulator"  # it falls all the same
    assert drop(**chilled, low_end="2.9 bar")["reading"] == "seat passing"  # more than the warming


def test_both_gauges_rising_together_unread_are_not_clear_and_stop() -> None:
    found = drop(start_temperature=None, end_temperature=None, high_end="126 bar", low_end="2.1 bar")
    assert (found["reading"], found["verdict"]) == ("not clear", "stop")
    assert {"warming", "cylinder valve passing", "seat passing"} <= set(found["also_possible"])


def test_lpg_over_its_liquid_can_show_no_leak() -> None:
    found = drop(**LPG, start_temperature="20 °C", end_temperature="20 °C")
    assert (found["reading"], found["verdict"]) == ("not clear", "caution")
    assert found["high_leak_l_per_h"] is None
    assert found["high_floor_l_per_h"] is None
    assert "vapour pressure" in found["says"]
    assert {"leak before regulator", "seat passing"} <= set(found["also_possible"])


def test_lpg_of_unknown_make_up_is_taken_as_liquid_at_any_pressure() -> None:
    assert drop(**{**LPG, "gas": "lpg", "high_start": "3 bar", "high_end": "3 bar"})["reading"] == "not clear"


def test_a_nearly_empty_lpg_cylinder_is_read_like_any_gas() -> None:
    vapour = {**LPG, "high_start": "3 bar", "high_end": "3 bar", "start_temperature": "20 °C", "end_temperature": "20 °C"}
    assert drop(**vapour)["reading"] == "no movement seen"
    assert drop(**{**vapour, "high_end": "2 bar"})["reading"] == "leak before regulator"


def test_a_low_side_leak_is_named_although_the_lpg_high_side_is_blind() -> None:
    found = drop(**{**LPG, "low_end": "0.5 bar"}, start_temperature="20 °C", end_temperature="20 °C")
    assert (found["reading"], found["verdict"]) == ("leak after regulator", "stop")
    assert "leak both sides" in found["also_possible"]


def test_a_side_without_pressure_was_not_tested() -> None:
    found = drop(low_start="0 bar", low_end="0 bar")
    assert (found["reading"], found["verdict"]) == ("not clear", "caution")
    assert drop(low_start="0 bar", low_end="0.4 bar")["reading"] == "seat passing"  # the creep test


@pytest.mark.parametrize(
    ("low", "cap", "verdict"),
    [
        ("0.8 bar", None, "go"),
        ("1.1 bar", None, "caution"),
        ("1.1 bar", "1.5 bar", "go"),
        ("1.1 bar", "15 psi", "stop"),
        ("1.52 bar", None, "stop"),
    ],
)
def test_acetylene_is_held_to_its_cap(low: str, cap: str | None, verdict: str) -> None:
    assert drop(**ACETYLENE, low_start=low, low_end=low, acetylene_cap=cap)["verdict"] == verdict


def test_a_test_below_working_pressure_is_scaled() -> None:
    low = drop(low_end="1.9 bar")
    scaled = drop(low_end="1.9 bar", working="6.0 bar")
    assert scaled["low_leak_l_per_h"] == low["low_leak_l_per_h"]
    # between the ratio of absolute pressures and that of their squares above the air's
    assert 2.3 < scaled["low_leak_at_working_l_per_h"] / low["low_leak_l_per_h"] < 6.5
    assert drop(working="6.0 bar")["verdict"] == "caution"  # the floor scales too
    assert drop()["verdict"] == "go"


def test_a_gauge_in_psi_reads_the_same() -> None:
    psi = drop(
        high_start="1800 psi", high_end="1700 psi", high_readability="50 psi", low_start="30 psi", low_end="34 psi", low_readability="1 psi"
    )
    assert psi["reading"] == "seat passing"


# --- what cannot be ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("changed", "error", "where", "says"),
    [
        ({"high_start": "2 bar", "high_end": "2 bar", "low_start": "4.0 bar"}, InputError, "high_start", "below the low side"),
        ({"high_end": "2 bar", "low_end": "4.0 bar"}, InputError, "high_end", "below the low side"),
        ({"low_end": "-1.2 bar"}, OutOfRange, "low_end", "below vacuum"),
        ({"low_end": "-0.5 bar"}, OutOfRange, "low_end", "below the air"),
        ({"high_start": "-3 bar abs"}, OutOfRange, "high_start", "below vacuum"),
        ({"minutes": 0}, OutOfRange, "minutes", "not after the start"),
        ({"minutes": -5}, OutOfRange, "minutes", "at least 0"),
        ({"low_start": "2.34 bar"}, InputError, "low_start", "finer than the gauge"),
        ({"high_end": "113 bar", "high_readability": "5 bar", "high_start": "120 bar"}, InputError, "high_end", "finer than the gauge"),
        ({"low_readability": "0 bar"}, OutOfRange, "low_readability", "above 0"),
        ({"acceptance": "0 L/h"}, OutOfRange, "acceptance", "no leak at all"),
        ({"end_temperature": None}, InputError, "end_temperature", "one temperature alone"),
        ({"low_start": "2.0"}, BadUnit, "low_start", "no unit"),
        ({"low_start": 2.0}, BadUnit, "low_start", "no unit"),
        ({"low_volume": "0.57 bar"}, BadUnit, "low_volume", "unit of"),
        ({"low_volume": "0 L"}, OutOfRange, "low_volume", "above 0"),
        ({"screw": "half"}, UnknownName, "screw", "one of out, in"),
        ({"gas": "oxigen"}, UnknownName, "gas", "known gas"),
        ({"high_start": "500 bar", "high_end": "500 bar"}, OutOfRange, "pressure", "above the"),
        ({"working": "0 bar"}, OutOfRange, "working", "not above the air"),
    ],
)
def test_readings_that_cannot_be_are_refused(changed: dict[str, object], error: type[SteadyconeError], where: str, says: str) -> None:
    with pytest.raises(error, match=says) as caught:
        drop(**changed)
    assert caught.value.where.startswith("drop")
    assert where in caught.value.where
    assert caught.value.try_


@pytest.mark.parametrize("reading", ["2.30 bar", "2.3000000000000003 bar", "230 kPa", "3.313 bar abs"])
def test_a_reading_on_a_mark_is_taken_however_it_is_written(reading: str) -> None:
    assert drop(low_start=reading, low_end=reading)["reading"] == "no movement seen"


def test_a_scale_in_another_unit_is_no_finer_reading() -> None:
    assert drop(low_start="29 psi", low_end="29 psi")["reading"] == "no movement seen"
    assert drop(low_start="30 psi", low_end="30 psi", low_readability="0.1 bar")["reading"] == "no movement seen"


def test_a_needle_at_zero_is_at_least_and_one_above_it_has_both_ends() -> None:
    emptied, falling = drop(low_end="0 bar"), drop(low_end="0.2 bar")
    assert emptied["low_leak_l_per_h_high"] is None
    assert "at least" in emptied["says"]
    assert falling["low_leak_l_per_h_high"] > falling["low_leak_l_per_h"] > 0.0
    assert "at least" not in falling["says"]


def test_a_seat_is_read_again_before_the_regulator_is_tagged() -> None:
    says = drop(low_end="2.3 bar")["says"]
    assert says.index("read again") < says.index("tag the regulator")


def test_acetylene_over_its_cap_is_told_before_the_seat() -> None:
    says = drop(**ACETYLENE | {"low_start": "1.4 bar", "low_end": "1.8 bar"})["says"]
    assert says.index("over its cap") < says.index("tag the regulator")
