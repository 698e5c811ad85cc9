"""Two sums about a room's air: a gas let go in it, and a flame that burns in it."""

import json
from pathlib import Path
from typing import Any

import pytest

from steadycone.errors import InputError
from steadycone.worksheets.run import answer

CASES = json.loads((Path(__file__).parents[1] / "reference" / "closed_place_cases.json").read_text(encoding="utf-8"))["cases"]
LEAKS = [pytest.param(case, id=case["id"]) for case in CASES if case["group"] == "leak-accumulation"]
FLAMES = [pytest.param(case, id=case["id"]) for case in CASES if case["id"].startswith(("flame-cut", "flame-weld", "flame-heat"))]
ROOM = {"gas": "acetylene", "release_flow": "5 L/min", "room_volume": "12 m3", "minutes": "5"}


@pytest.mark.parametrize("case", LEAKS)
def test_times_to_a_limit_are_the_cases_over_the_mixing(case: dict[str, Any]) -> None:
    given, wanted = case["inputs"], case["outputs"]
    pairs = {
        "gas": given["gas"], "release_flow": f"{given['leak_l_per_h']} L/h", "room_volume": f"{given['room_m3']} m3",
        "air_changes": str(given["air_changes_per_h"]), "minutes": str(given["minutes"]),
    }  # fmt: skip
    even, badly = answer("room", pairs | {"mixing": "1"}), answer("room", pairs)
    for key, other in (
        ("minutes_to_tenth", "minutes_to_tenth"),
        ("minutes_to_limit", "minutes_to_lower_limit"),
        ("minutes_to_22", "minutes_to_22"),
    ):
        if other not in wanted:
            continue
        if wanted[other] is None:
            assert even[key] is None
            continue
        assert even[key] == pytest.approx(wanted[other], abs=0.006)
        assert badly[key] == pytest.approx(float(even[key] or 0.0) / 4.0)
        assert float(even[f"{key}_low"] or 0.0) < float(even[key] or 0.0)


@pytest.mark.parametrize(
    ("changes", "state"),
    [
        ({"minutes": "4.7"}, "below a tenth"), ({"minutes": "4.9"}, "over a tenth"), ({"minutes": "48"}, "over a tenth"),
        ({"minutes": "50"}, "explosive"), ({"gas": "propane", "minutes": "300"}, "over the upper limit"),
        ({"gas": "oxygen", "minutes": "27"}, "normal"), ({"gas": "oxygen", "minutes": "29"}, "enriched"),
        ({"gas": "nitrogen", "minutes": "149"}, "normal"), ({"gas": "nitrogen", "minutes": "152"}, "deficient"),
        ({"temperature": "0 °C", "minutes": "5.5"}, "below a tenth"), ({"temperature": "0 °C", "minutes": "5.6"}, "over a tenth"),
    ],
)  # fmt: skip
def test_the_state_turns_at_its_limits(changes: dict[str, str], state: str) -> None:
    found = answer("room", ROOM | changes)
    assert found["state"] == state
    assert "never a time to rely on" in str(found["caution"])


def test_fresh_air_is_the_same_as_air_changes_and_stated_once() -> None:
    one, other = answer("room", ROOM | {"fresh_air": "48 m3/h"}), answer("room", ROOM | {"air_changes": "4"})
    assert one == pytest.approx(other)
    with pytest.raises(InputError, match="say the same"):
        answer("room", ROOM | {"fresh_air": "48 m3/h", "air_changes": "4"})


def test_a_room_clears_by_fresh_air_alone() -> None:
    assert answer("room", ROOM | {"minutes": "45"})["clear_minutes"] is None
    found = answer("room", ROOM | {"minutes": "45", "fresh_air": "1000 m3/h", "temperature": "0 °C"})
    assert found["clear_minutes"] == pytest.approx(4.0 * 12.0 / 1000.0 * 60.0 * _log(float(found["percent"] or 0.0) / 0.23), rel=1e-6)


def _log(ratio: float) -> float:
    import math

    return max(0.0, math.log(ratio))


def test_mixing_is_never_better_than_even() -> None:
    for name, pairs in (("room", ROOM), ("air", FLAME)):
        with pytest.raises(InputError, match="at least 1"):
            answer(name, pairs | {"mixing": "0.5"})


FLAME = {"fuel": "acetylene", "fuel_flow": "5 L/min", "preheat": "5.5 L/min", "room_volume": "12 m3", "minutes": "23"}


@pytest.mark.parametrize("case", FLAMES)
def test_a_flame_in_a_room_is_the_cases(case: dict[str, Any]) -> None:
    given, wanted = case["inputs"], case["outputs"]
    pairs = {
        "fuel": "acetylene", "fuel_flow": f"{given['acetylene_l_per_min']} L/min", "preheat": f"{given['preheat_l_per_min']} L/min",
        "cutting": f"{given['cutting_l_per_min']} L/min", "used": f"{100 * given['used']} %", "room_volume": f"{given['room_m3']} m3",
        "minutes": str(given["minutes"]),
    }  # fmt: skip
    found = answer("air", pairs)
    for key in ("oxygen_percent", "carbon_dioxide_percent"):
        assert found[key] == pytest.approx(wanted[key], abs=case["tolerance"]["abs"])
        assert float(found[f"{key}_low"] or 0.0) <= float(found[key] or 0.0) <= float(found[f"{key}_high"] or 0.0)


def test_an_unstated_share_of_the_jet_widens_the_band() -> None:
    jet = FLAME | {"cutting": "61.7 L/min"}
    wide, narrow = answer("air", jet), answer("air", jet | {"used": "60 %"})
    assert float(wide["oxygen_percent_high"] or 0.0) > float(narrow["oxygen_percent_high"] or 0.0)
    assert float(wide["oxygen_percent_low"] or 0.0) < float(narrow["oxygen_percent_low"] or 0.0)
    with pytest.raises(InputError, match="at most 100 %"):
        answer("air", jet | {"used": "120 %"})


@pytest.mark.parametrize(("minutes", "state"), [("17", "normal"), ("18", "deficient")])
def test_a_flame_alone_leaves_too_little_oxygen(minutes: str, state: str) -> None:
    assert answer("air", FLAME | {"minutes": minutes})["state"] == state


def test_the_air_needed_keeps_the_state_normal_for_ever() -> None:
    needed = answer("air", FLAME)["air_needed_m3_per_h"]
    held = answer("air", FLAME | {"minutes": "100000", "fresh_air": f"{needed} m3/h"})
    assert held["state"] == "normal"
    assert float(held["carbon_dioxide_percent_high"] or 0.0) == pytest.approx(0.5, rel=1e-3)
