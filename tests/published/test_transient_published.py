"""Leak, purge and room against printed or hand-worked figures."""

import pytest
from tests.checks import PRINTED, check

from steadycone.physics.transient import leak, purge, room

MOLAR_VOLUME = 22.41397e-3


def test_the_leak_example_of_the_engine_testing_regulation() -> None:
    start, end = leak.Reading(50600.0, 293.15), leak.Reading(25300.0, 293.15)
    check(
        "leak-cfr-1065-644",
        kind=PRINTED,
        got=leak.leak_rate(start, end, 2.0e-3, 70.0),
        expected=0.000297,
        rel=0.003,
        unit="mol/s",
        source="40 CFR 1065.644 example, result recomputed",
        why="three figures given",
    )


@pytest.mark.parametrize(("volumes", "left"), [(3, 0.050), (5, 0.0067)])
def test_what_mixing_leaves_after_some_volumes(volumes: int, left: float) -> None:
    """Three volumes leave a twentieth and five leave 0.7 per cent: e^-N, printed to two figures."""
    assert purge.mixing_time(2.0, 0.5, 1 - left) == pytest.approx(volumes * 4.0, rel=0.01)


def test_a_college_bench_with_a_tiny_tip_needs_a_minute() -> None:
    # invented situation, our own arithmetic: 30 m of 9.5 mm, 0.5 bar gauge, 3 L/min; litres at hose temperature
    flow = 3e-3 / 60 * 101325 / (8.314462618 * 293.15)
    from steadycone.physics.flow.stream import stream_of
    from steadycone.physics.gas import load

    gas = stream_of(load("acetylene"), 293.15)
    molecular = purge.diffusivity(151325.0, 293.15, "acetylene")
    found = purge.purge_time(flow, 151325.0, 0.0095, 30.0, gas, molecular)
    assert found.plug == pytest.approx(64, rel=0.02)
    assert 70 < 1.2 * found.total < 95  # the usual margin


def test_acetylene_in_a_tank_over_lunch() -> None:
    # invented situation, our own arithmetic: 12 m3, 5 L/min, lower limit 2.3 %
    assert room.time_to_share(0.0023, 5e-3 / 60, 12.0) / 60 == pytest.approx(5.5, abs=0.1)
    assert room.time_to_share(0.023, 5e-3 / 60, 12.0) / 60 == pytest.approx(55, abs=1.5)


@pytest.mark.parametrize(("bar", "seconds", "expected"), [(0.05, 300, 0.31), (0.01, 300, 0.063), (0.001, 300, 0.006)])
def test_smallest_leak_that_a_gauge_shows(bar: float, seconds: float, expected: float) -> None:
    # our own arithmetic for 15 m of 6.3 mm and 0.1 L: 0.568 L at 20 °C
    assert leak.leak_floor(bar * 1e5, 0.568e-3, seconds, 293.15) * MOLAR_VOLUME * 3.6e6 == pytest.approx(expected, rel=0.06)
