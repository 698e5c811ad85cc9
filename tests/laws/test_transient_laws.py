"""What must hold for leak tests, purges and rooms whatever the numbers."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadycone.errors import OutOfRange
from steadycone.physics.flow.stream import stream_of
from steadycone.physics.gas import load
from steadycone.physics.transient import leak, purge, room

NITROGEN = stream_of(load("nitrogen"), 293.15)
ACETYLENE = stream_of(load("acetylene"), 293.15)


@given(pressure=st.floats(1.2e5, 12e5), change=st.floats(-20.0, 20.0))
def test_a_tight_volume_shows_no_leak_when_it_warms(pressure: float, change: float) -> None:
    drift = leak.temperature_drift(pressure, 293.15, change)
    found = leak.leak_rate(leak.Reading(pressure, 293.15), leak.Reading(pressure + drift, 293.15 + change), 1e-3, 300.0)
    assert found == pytest.approx(0.0, abs=1e-12)


@given(volume=st.floats(1e-5, 1e-1), change=st.floats(10.0, 1e5), rate=st.floats(1e-9, 1e-3))
def test_wait_and_floor_are_each_other_backwards(volume: float, change: float, rate: float) -> None:
    wait = leak.wait_needed(change, volume, rate, 288.15)
    assert leak.leak_floor(change, volume, wait, 288.15) == pytest.approx(rate)


def test_warming_hides_a_leak_and_the_sign_says_what_came_in() -> None:
    gauge_only = leak.leak_rate(leak.Reading(3.5e5, 293.15), leak.Reading(3.5e5, 293.15), 1e-3, 300.0)
    warmed = leak.leak_rate(leak.Reading(3.5e5, 291.15), leak.Reading(3.5e5, 293.15), 1e-3, 300.0)
    assert gauge_only == 0.0
    assert warmed > 0.0
    assert leak.leak_rate(leak.Reading(3.5e5, 293.15), leak.Reading(3.6e5, 293.15), 1e-3, 300.0) < 0.0


@given(low=st.floats(1.1e5, 5e5), times=st.floats(1.0, 10.0), rate=st.floats(0.0, 1e-3))
def test_a_leak_at_a_higher_pressure_is_never_smaller(low: float, times: float, rate: float) -> None:
    band = leak.leak_at(rate, low, low * times, 101325.0)
    assert rate * (1 - 1e-9) <= band.low <= band.value == band.high


@settings(max_examples=30)
@given(pressure=st.floats(1.02e5, 10e5), bore=st.floats(1e-5, 2e-3), time=st.floats(0.1, 1e4), longer=st.floats(0.1, 1e3))
def test_pressure_decays_to_the_outside_and_never_below(pressure: float, bore: float, time: float, longer: float) -> None:
    area = math.pi / 4 * bore**2
    first = leak.decayed_pressure(pressure, 101325.0, 5e-4, area, NITROGEN, time)
    later = leak.decayed_pressure(pressure, 101325.0, 5e-4, area, NITROGEN, time + longer)
    assert 101325.0 <= later <= first * (1 + 1e-6)
    assert first <= pressure


@given(flow=st.floats(1e-4, 2e-2), length=st.floats(2.0, 60.0), bore=st.floats(4e-3, 16e-3), dead=st.floats(0.0, 1e-3))
def test_a_purge_takes_at_least_the_plug_and_never_more_than_five_of_them(flow: float, length: float, bore: float, dead: float) -> None:
    molecular = purge.diffusivity(1.5e5, 293.15, "acetylene")
    found = purge.purge_time(flow, 1.5e5, bore, length, ACETYLENE, molecular, dead_volume=dead)
    assert found.plug <= found.hose <= 5.0 * found.plug * (1 + 1e-9)
    assert found.total - found.hose == pytest.approx(dead * math.log(100) / (flow * 8.314462618 * 293.15 / 1.5e5), abs=1e-9)


def test_the_share_at_the_hose_end_is_what_was_asked_for() -> None:
    speed, length, spreading = 2.0, 15.0, 0.05
    for share in (0.5, 0.9, 0.99, 0.999):
        time = purge.front_time(speed, length, spreading, share)
        assert 0.5 * math.erfc((length - speed * time) / math.sqrt(4 * spreading * time)) == pytest.approx(share, abs=1e-9)


@given(release=st.floats(1e-6, 1e-2), volume=st.floats(1.0, 1e4), changes=st.floats(0.0, 0.01), time=st.floats(0.0, 1e6))
def test_a_room_fills_towards_its_steady_share(release: float, volume: float, changes: float, time: float) -> None:
    share = room.mixed_share(release, volume, changes, time)
    assert 0.0 <= share <= room.mixed_share(release, volume, changes, math.inf) <= 1.0
    assert 0.0 <= room.oxygen_share(share, False) <= room.OXYGEN_IN_AIR <= room.oxygen_share(share, True) <= 1.0


@given(share=st.floats(1e-5, 0.5), release=st.floats(1e-5, 1e-2))
def test_time_to_a_share_comes_back(share: float, release: float) -> None:
    time = room.time_to_share(share, release, 50.0, 1e-5)
    if math.isfinite(time):
        assert room.mixed_share(release, 50.0, 1e-5, time) == pytest.approx(share)
    else:
        assert room.mixed_share(release, 50.0, 1e-5, 1e9) <= share


def test_it_refuses_impossible_tests() -> None:
    reading = leak.Reading(3e5, 293.15)
    for volume, time in ((0.0, 300.0), (1e-3, 0.0)):
        with pytest.raises(OutOfRange):
            leak.leak_rate(reading, reading, volume, time)
    with pytest.raises(OutOfRange):
        room.mixed_share(1e-5, 0.0, 0.0, 60.0)
    with pytest.raises(OutOfRange):
        purge.diffusivity(1e5, 293.15, "smoke")
