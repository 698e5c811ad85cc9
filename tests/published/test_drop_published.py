"""The pressure-drop test against printed figures, and where printed habits are enough."""

from typing import Any

import pytest
from tests.checks import COPIED, PRINTED, check

from steadycone.physics.gas import load
from steadycone.practice.drop import DropTest, Side, Temperatures, read_drop
from steadycone.worksheets import run

MOLAR_VOLUME = 22.41397e-3
# 15 m of 6.3 mm (468 mL) and 0.1 L of regulator and parts, 20 °C: the line that physics figures here are for
LINE: dict[str, object] = {
    "gas": "oxygen", "high_volume": "0.02 L", "low_volume": "0.568 L", "high_start": "150 bar", "high_end": "150 bar", "high_readability": "0.1 bar",
    "low_start": "2.5 bar", "low_end": "2.5 bar", "low_readability": "0.05 bar", "start_temperature": "20.0 °C", "end_temperature": "20.0 °C",
    "minutes": 5,
}  # fmt: skip


def drop(**changed: object) -> dict[str, Any]:
    return run.answer("drop", {**LINE, **changed})


def test_the_regulations_leak_example_read_by_the_two_gauge_test() -> None:
    # 40 CFR 1065.644 lets air into 2 L from 25.300 to 50.600 kPa in 70 s; run backwards here, as a loss into a thinner atmosphere
    low = Side("low", 2.0e-3, 50600.0, 25300.0, 10.0)
    test = DropTest(load("air"), Side("high", 1e-4, 10e5, 10e5, 1e3), low, 70.0, Temperatures(293.15, 293.15), 1e-4, atmosphere=20000.0)
    found = read_drop(test)
    assert found.reading == "leak after regulator"
    check(
        "drop-cfr-1065-644",
        kind=PRINTED,
        got=found.low_leak.value,
        expected=0.000297,
        rel=0.003,
        unit="mol/s",
        source="40 CFR 1065.644 example, result recomputed",
        why="three figures given; real air is 0.02 % off ideal at half an atmosphere",
    )


@pytest.mark.parametrize(("readability", "enough"), [("0.2 bar", False), ("0.1 bar", False), ("0.05 bar", False), ("0.02 bar", True)])
def test_sixty_seconds_are_enough_only_for_a_fine_gauge(readability: str, enough: bool) -> None:
    # 29 CFR 1915.509: gauges watched for at least sixty seconds, any fall means a leak. Against the 2 L/h that the policy rejects
    found = drop(minutes=1, low_readability=readability, low_start="2.4 bar", low_end="2.4 bar")
    assert (found["low_floor_l_per_h"] <= 2.0) is enough
    assert (found["verdict"] == "go") is enough
    assert (found["low_wait_min"] <= 1.0) is enough


@pytest.mark.parametrize(("readability", "enough"), [("5 bar", False), ("2 bar", False), ("1 bar", False), ("0.5 bar", True)])
def test_sixty_seconds_on_the_cylinder_gauge(readability: str, enough: bool) -> None:
    # 20 mL behind a 315 bar gauge: a division of 5 bar in a minute is 5 L/h
    found = drop(minutes=1, high_readability=readability, low_readability="0.02 bar", low_start="2.4 bar", low_end="2.4 bar")
    assert (found["high_floor_l_per_h"] <= 2.0) is enough


def test_a_fall_in_the_shipyards_drop_test_is_a_leak() -> None:
    # 29 CFR 1915.509: any drop in pressure indicates a leak; it asks for no place, and with the screw in there is none
    for screw, reading in (("out", "leak before regulator"), ("in", "leak, not located")):
        found = drop(minutes=1, high_end="145 bar", high_readability="5 bar", screw=screw)
        assert (found["reading"], found["verdict"]) == (reading, "stop")


@pytest.mark.parametrize(
    ("gas", "at", "division", "working", "minutes", "enough"),
    [
        # oxygen gauge 0 to 150 psi read to 1 psi, fuel gauge 0 to 30 psi read to 0.5 psi
        ("oxygen", "20 psi", "1 psi", None, 3, True),
        ("oxygen", "20 psi", "1 psi", None, 1, False),
        ("oxygen", "20 psi", "1 psi", "60 psi", 3, False),  # the cutting pressure: the leak there is 2 to 6 times as large
        ("acetylene", "10 psi", "0.5 psi", None, 3, True),
        ("acetylene", "10 psi", "0.5 psi", "12 psi", 3, True),
    ],
)
def test_the_habitual_settings_are_enough_where_the_floor_says_so(
    gas: str, at: str, division: str, working: str | None, minutes: int, enough: bool
) -> None:
    # common practice, no source: oxygen about 20 psi, fuel about 10 psi, a few minutes' watch
    found = drop(
        gas=gas, low_start=at, low_end=at, low_readability=division, working=working, minutes=minutes, high_start="15 bar", high_end="15 bar",
        high_readability="0.5 bar", acetylene_cap="15 psi" if gas == "acetylene" else None,
    )  # fmt: skip
    assert (found["verdict"] == "go") is enough


# (name, mbar a minute, L/h): a pinhole's first minutes, worked out beforehand with the same line; see tests/reference for the second way
PINHOLES = [("oxygen-0.05", 110, 3.45), ("oxygen-0.1", 441, 13.8)]


@pytest.mark.parametrize(("name", "mbar", "litres"), PINHOLES)
def test_mbar_a_minute_and_litres_an_hour_of_a_pinhole(name: str, mbar: float, litres: float) -> None:
    found = drop(minutes=1, low_end=f"{2.5 - mbar / 1000:.3f} bar", low_readability="0.001 bar")
    check(
        f"drop-pinhole-{name}",
        kind=COPIED,
        got=found["low_leak_l_per_h"],
        expected=litres,
        rel=0.01,
        unit="L/h",
        source="nozzle-ideal with coefficient 0.8, worked by hand for 0.568 L",
        why="printed to three figures; ideal gas against real is 0.2 % here",
    )


def test_ten_bar_off_a_small_high_side_is_a_large_leak() -> None:
    # 20 mL, 10 bar in 5 min: 2.4 L/h for an ideal gas at 0 °C; at 20 °C and 150 bar that is / 1.073 and / 0.93 (slope of real oxygen)
    check(
        "drop-high-side-ten-bar",
        kind=COPIED,
        got=drop(high_end="140 bar")["high_leak_l_per_h"],
        expected=10e5 * 0.02e-3 / (8.314462618 * 293.15) * MOLAR_VOLUME * 1e3 * 12,
        rel=0.09,
        unit="L/h",
        source="ideal gas by hand",
        why="real oxygen between 140 and 150 bar holds 6 to 8 % more a bar than an ideal gas; tests/reference has it exactly",
    )


@pytest.mark.parametrize(("gauge", "mbar"), [(0.5, 5.2), (1.0, 6.9), (2.5, 12.0), (5.0, 20.5)])
def test_a_kelvin_is_so_many_millibar(gauge: float, mbar: float) -> None:
    # worked by hand, p / T: that rise with a kelvin is no leak to a twentieth of a millibar, as printed
    found = drop(
        low_start=f"{gauge:.4f} bar",
        low_end=f"{gauge + mbar / 1000:.4f} bar",
        end_temperature="21.0 °C",
        low_readability="0.0001 bar",
        high_readability="2 bar",
    )
    assert abs(found["low_leak_l_per_h"]) < 0.003
    assert found["reading"] in ("no movement seen", "not clear")
