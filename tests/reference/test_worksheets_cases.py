"""Worksheets against cases computed beforehand with general-purpose libraries (worksheet_cases.json), through the JSON lines."""

import json
from pathlib import Path
from typing import Any

import pytest
from tests.checks import check

from steadycone.worksheets import run

CASES: list[dict[str, Any]] = json.loads(Path(__file__).with_name("worksheet_cases.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_a_worksheet_gives_the_reference_answer(case: dict[str, Any]) -> None:
    (line,) = run.cases([json.dumps(case["calc"])])
    got = json.loads(line)[case["key"]]
    if isinstance(case["expected"], str):
        assert got == case["expected"]
        return
    check(
        f"calc-{case['id']}",
        kind=case["kind"],
        got=got,
        expected=case["expected"],
        unit=case["unit"],
        source=case["source"],
        why=case["why"],
        **{kind: case[kind] for kind in ("rel", "abs") if kind in case},
    )


# worked situations, invented; figures are our own arithmetic
SITUATIONS = [
    ("shop-hose", "hose", {"gas": "oxygen", "bore": "6.35 mm", "length": "15 m", "flow": "4 m3/h", "outlet": "3 bar"}, "loss_bar", 0.18, 0.01),
    ("yard-hose", "hose", {"gas": "acetylene", "bore": "3/16 in", "length": "100 ft", "flow": "3 m3/h", "outlet": "0.5 bar"}, "loss_bar", 1.24, 0.02),
    ("tank-lunch", "room", {"gas": "acetylene", "release_flow": "5 L/min", "room_volume": "12 m3", "minutes": 5.5}, "percent", 0.23, 0.005),
    ("bevel", "bevel", {"thickness": "30 mm", "angle": "37.5°"}, "effective_thickness_mm", 37.8, 0.05),
    ("floor", "leak", {"gas": "oxygen", "volume": "0.568 L", "start": "2.5 bar", "end": "2.5 bar", "minutes": 5, "readability": "0.05 bar"},
     "leak_floor_l_per_h", 0.31, 0.01),
    ("yard-flow", "units", {"value": "106 CFH", "to": "m3/h"}, "value", 2.79, 0.01),
    ("draw", "draw", {"contents": "9 kg", "rule": "1/7", "flow": "0.5 m3/h", "hours": 7.5}, "cylinders", 1, 0),
    ("draw-tenth", "draw", {"contents": "9 kg", "rule": "1/10", "flow": "0.5 m3/h", "hours": 7.5}, "cylinders", 2, 0),
]  # fmt: skip


@pytest.mark.parametrize(("name", "sheet", "pairs", "key", "expected", "within"), SITUATIONS, ids=[s[0] for s in SITUATIONS])
def test_a_worksheet_gives_what_was_worked_by_hand(
    name: str, sheet: str, pairs: dict[str, object], key: str, expected: float, within: float
) -> None:
    assert run.answer(sheet, pairs)[key] == pytest.approx(expected, abs=within)


def test_the_yard_hose_band_is_the_situations_band() -> None:
    found = run.answer("hose", SITUATIONS[1][2])
    assert found["loss_bar_low"] == pytest.approx(1.06, abs=0.02)
    assert found["loss_bar_high"] == pytest.approx(1.46, abs=0.03)
