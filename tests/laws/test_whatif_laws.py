"""What must hold of the what-ifs whatever the station: moles kept, no negative share, closed forms at their limits, bands that hold."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.whatif_hoses import TEMPERATURE, random_case, reference_case, volume_of

from steadycone.errors import OutOfRange
from steadycone.physics.flow.orifice import critical_coefficient
from steadycone.physics.flow.stream import stream_of
from steadycone.physics.gas import load
from steadycone.physics.transient.blowdown import choked_run_down_time, run_down_time
from steadycone.physics.transient.feed import feed_table
from steadycone.physics.transient.fill import bore_volume, boyle_front, filled_pressure, swept_front, swept_time
from steadycone.physics.transient.hose_1d import Bore, Pair, push, stretches
from steadycone.physics.transient.purge_front import purge_front
from steadycone.physics.transient.slam import Opening, slammed_temperature
from steadycone.quantity import Quantity, exact
from steadycone.whatif.bands import banded, draws

R = 8.314462618
OXYGEN = stream_of(load("oxygen"), TEMPERATURE)


@pytest.mark.parametrize("block", range(6))
def test_moles_are_kept_and_no_share_is_negative_in_three_hundred_random_hoses(block: int) -> None:
    for seed in range(50 * block, 50 * (block + 1)):
        case = random_case(seed)
        run = push(case.bore, case.pair, case.feed, case.start, [0.3, 20.0], open_end=case.open_end, cells=30)
        assert max(run.new.lost, run.old.lost) < 1e-9, seed
        assert run.lowest_share > -1e-12, seed
        for profile in run.profiles:
            assert min(profile.pressure) > 0.0, seed
            assert 0.0 <= profile.front <= case.bore.length * (1 + 1e-12), seed
            assert max(profile.pressure) <= case.top * 1.02, seed  # a wave may overshoot what pushes by a little


@given(seed=st.integers(1000, 100_000))
@settings(max_examples=20, deadline=None)
def test_the_front_never_runs_back(seed: int) -> None:
    case = random_case(seed)
    run = push(case.bore, case.pair, case.feed, case.start, [0.1, 0.5, 2.0, 10.0], open_end=case.open_end, cells=30)
    fronts = [profile.front for profile in run.profiles]
    assert fronts == pytest.approx(sorted(fronts), abs=0.02 * case.bore.length)  # a gust of the first tenth may swing back


@given(seed=st.integers(0, 10_000), dead=st.floats(0.0, 2e-4))
@settings(max_examples=10, deadline=None)
def test_a_closed_hose_ends_where_boyle_has_it(seed: int, dead: float) -> None:
    case = random_case(seed)
    bore = Bore(case.bore.bore, case.bore.length, TEMPERATURE, case.bore.roughness, dead)
    run = push(bore, case.pair, case.feed, case.start, [1e7], cells=30)
    expected = boyle_front(case.start, case.top, bore.length, volume_of(bore), dead)
    assert run.profiles[-1].front == pytest.approx(expected, rel=5e-3, abs=0.01)


@given(start=st.floats(1e5, 3e5), rise=st.floats(1.05, 4.0), dead=st.floats(0.0, 1e-3))
def test_front_and_pressure_are_each_other_backwards(start: float, rise: float, dead: float) -> None:
    volume = bore_volume(0.0063, 15.0)
    front = boyle_front(start, start * rise, 15.0, volume, dead)
    if front < 15.0:
        assert filled_pressure(start, 15.0, volume, dead, front) == pytest.approx(start * rise)


def test_a_hose_fills_through_a_sonic_opening_in_a_straight_line() -> None:
    case = reference_case()
    filling = case.feed.filling(volume_of(case.bore), TEMPERATURE, case.start)
    rate = 1.5e-7 * critical_coefficient(1.3972) * 351325.0 / math.sqrt(R / 0.0319988 * TEMPERATURE) / 0.0319988
    sonic = 0.52 * 351325.0
    assert filling.time_to(sonic) == pytest.approx((sonic - case.start) * filling.capacity / rate, rel=2e-4)
    assert filling.pressure_at(filling.time_to(sonic) or 0.0) == pytest.approx(sonic, rel=1e-9)


@given(area=st.floats(1e-8, 1e-5), end=st.floats(3e5, 19e5))
def test_a_sonic_run_down_is_an_exponential(area: float, end: float) -> None:
    def flow(pressure: float) -> float:
        return area * critical_coefficient(OXYGEN.gamma) * pressure / math.sqrt(OXYGEN.gas_constant * TEMPERATURE) / OXYGEN.molar_mass

    got = run_down_time(lambda p: p * 0.05 / (R * TEMPERATURE), flow, 20e5, end)
    assert got == pytest.approx(choked_run_down_time(0.05, area, OXYGEN, 20e5, end), rel=1e-9)


def test_a_slow_plug_takes_what_the_hose_holds_over_what_comes() -> None:
    volume = bore_volume(0.0063, 15.0)
    held = 101325.0 * volume / (R * TEMPERATURE)
    assert swept_time(101325.0, 101325.0, held / 7.0, volume, TEMPERATURE) == pytest.approx(7.0)
    assert swept_front(101325.0, 101325.0, held / 7.0, volume, 15.0, TEMPERATURE, 3.5) == pytest.approx(7.5)


@given(inlet=st.floats(1.02e5, 8e5), share=st.floats(0.02, 0.98))
def test_a_swept_front_is_at_the_end_when_the_hose_is_filled(inlet: float, share: float) -> None:
    volume = bore_volume(0.0063, 15.0)
    full = swept_time(inlet, 101325.0, 0.01, volume, TEMPERATURE)
    assert swept_front(inlet, 101325.0, 0.01, volume, 15.0, TEMPERATURE, full) == pytest.approx(15.0)
    assert 0.0 < swept_front(inlet, 101325.0, 0.01, volume, 15.0, TEMPERATURE, share * full) < 15.0


def test_a_front_spreads_as_taylor_has_it() -> None:
    # Slow, all alike: one gas marked, laminar, steady. The variance of the front then grows by 2 D t, D = Dm + (u d)² / (192 Dm).
    oxygen = load("oxygen")
    viscosity, molecular, speed, bore, length = 2.03e-5, 2e-5, 0.4, 0.0063, 20.0
    area = math.pi / 4 * bore**2
    pressure = 101325.0
    flow = speed * area * pressure / (R * TEMPERATURE)
    pair = Pair(oxygen.molar_mass, oxygen.molar_mass, viscosity, viscosity, molecular * pressure)
    feed = feed_table(lambda p: flow, 10.0 * pressure, pressure)
    time = 20.0
    run = push(Bore(bore, length, TEMPERATURE), pair, feed, pressure, [time], open_end=pressure, cells=400)
    share, dx = run.profiles[0].share, length / 400
    densities = [a - b for a, b in pairwise(share)]
    middle = sum((i + 1) * dx * w for i, w in enumerate(densities)) / sum(densities)
    variance = sum(((i + 1) * dx - middle) ** 2 * w for i, w in enumerate(densities)) / sum(densities)
    dispersion = molecular + (speed * bore) ** 2 / (192.0 * molecular)
    assert middle == pytest.approx(speed * time, rel=0.01)
    assert variance == pytest.approx(2.0 * dispersion * time, rel=0.05)  # the limiter adds a few per cent on this grid


def test_a_purge_front_of_one_hose_is_the_error_function() -> None:
    speed, spreading, length, bore = 2.0, 0.02, 20.0, 0.0063
    front = purge_front([(length, bore, spreading)], speed * math.pi / 4 * bore**2, 0.0)
    for time in (8.0, 10.0, 12.0):
        expected = 0.5 * math.erfc((length - speed * time) / math.sqrt(4 * spreading * time))
        assert front.new_at_end(time) == pytest.approx(expected, abs=1e-9)


@given(time=st.floats(0.1, 60.0), more=st.floats(0.1, 30.0), body=st.floats(0.0, 2e-4))
def test_purging_longer_never_leaves_more(time: float, more: float, body: float) -> None:
    front = purge_front([(15.0, 0.0063, 0.02), (5.0, 0.008, 0.03)], 6e-5, body)
    assert front.new_at_end(time + more) >= front.new_at_end(time) - 1e-12


@given(bar=st.floats(1.0, 300.0), seconds=st.floats(0.001, 100.0), bore=st.floats(0.001, 0.02))
@settings(max_examples=50, deadline=None)
def test_a_slow_opening_is_never_hotter_than_a_snapped_one(bar: float, seconds: float, bore: float) -> None:
    opened = Opening(101325.0, 101325.0 + bar * 1e5, 288.15, bore)
    snapped = slammed_temperature(101325.0, 101325.0 + bar * 1e5, 288.15)
    assert 288.15 <= opened.hottest(2 * seconds) <= opened.hottest(seconds) * (1 + 1e-9) <= snapped * 1.002


def test_stretches_between_two_heights_are_cut_by_straight_lines() -> None:
    assert stretches((1.0, 1.0, 0.0, 0.0), 1.0, 0.25, 0.75) == [(pytest.approx(1.75), pytest.approx(2.25))]
    assert stretches((0.5, 0.5), 1.0, 0.2, 0.8) == [(0.0, 2.0)]
    assert stretches((1.0, 0.9), 1.0, 0.2, 0.8) == []


@given(seed=st.integers(0, 2**32), runs=st.integers(2, 60))
def test_a_band_holds_its_value_and_a_seed_its_draws(seed: int, runs: int) -> None:
    inputs = {"a": Quantity(2.0, 1.0, 4.0, "number"), "b": Quantity(1.0, 0.5, 1.5, "number"), "c": exact(3.0, "number")}
    found = banded(lambda x: {"y": x["a"] * x["b"] + x["c"]}, inputs, {"y": "number"}, runs, seed)["y"]
    bound = banded(lambda x: {"y": x["a"] * x["b"] + x["c"]}, inputs, {"y": "number"})["y"]
    assert (bound.low, bound.value, bound.high) == (3.5, 5.0, 9.0)
    assert found.low is not None
    assert found.high is not None
    assert 3.5 <= found.low <= 5.0 <= found.high <= 9.0
    assert list(draws(inputs, runs, seed)) == list(draws(inputs, runs, seed))


def test_what_never_happens_for_some_inputs_has_no_late_end() -> None:
    inputs = {"a": Quantity(2.0, 1.0, 3.0, "number")}
    found = banded(lambda x: {"t": 1.0 / x["a"] if x["a"] > 1.5 else None, "u": None}, inputs, {"t": "seconds", "u": "seconds"})
    assert found["t"].high is None
    assert found["t"].low == pytest.approx(1 / 3)
    assert "u" not in found


def test_a_march_refuses_what_cannot_be() -> None:
    case = reference_case()
    for changed in ({"cells": 3}, {"open_end": -1.0}):
        with pytest.raises(OutOfRange):
            push(case.bore, case.pair, case.feed, case.start, [1.0], **changed)  # type: ignore[arg-type]
    with pytest.raises(OutOfRange):
        push(case.bore, case.pair, case.feed, case.start, [])
