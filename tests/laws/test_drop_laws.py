"""What must hold for a pressure-drop test whatever the readings."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadycone.physics.gas import amount_stored, load, pressure_of_amount, warmed_pressure
from steadycone.practice.drop import DropReading, DropTest, Side, Temperatures, read_drop

AIR = 101325.0
REJECTED = 2e-3 / 22.41397e-3 / 3600.0
READINGS = {
    "no movement seen", "leak before regulator", "leak after regulator", "seat passing", "cylinder valve passing", "leak both sides",
    "leak, not located", "not clear",
}  # fmt: skip


def made(
    high: tuple[float, float], low: tuple[float, float], steps: tuple[float, float] = (1e5, 5e3), minutes: float = 5.0, gas: str = "oxygen",
    kelvin: tuple[float, float] | None = (293.15, 293.15), screw: str = "out", acceptance: float = REJECTED,
) -> DropTest:  # fmt: skip
    return DropTest(
        load(gas), Side("high", 3e-5, high[0] + AIR, high[1] + AIR, steps[0]), Side("low", 5.7e-4, low[0] + AIR, low[1] + AIR, steps[1]),
        minutes * 60.0, Temperatures(*kelvin, 0.07) if kelvin else None, acceptance, screw,  # type: ignore[arg-type]
    )  # fmt: skip


HIGH, LOW = st.floats(20e5, 200e5), st.floats(1e5, 9e5)
ENDS = st.floats(0.7, 1.3)


@st.composite
def random_tests(draw: st.DrawFn) -> DropTest:
    high, low = draw(HIGH), draw(LOW)
    kelvin = draw(st.none() | st.tuples(st.floats(268.0, 308.0), st.floats(268.0, 308.0)))
    return made(
        (high, high * draw(ENDS)), (low, low * draw(ENDS)), (draw(st.sampled_from((1e4, 1e5, 5e5))), draw(st.sampled_from((1e2, 2e3, 2e4)))),
        draw(st.floats(0.5, 120.0)), draw(st.sampled_from(("oxygen", "methane", "hydrogen"))), kelvin, draw(st.sampled_from(("out", "in"))),
    )  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(test=random_tests())
def test_every_test_gets_one_of_the_readings_and_only_no_movement_is_go(test: DropTest) -> None:
    found = read_drop(test)
    assert found.reading in READINGS
    assert found.reading not in found.also_possible
    assert len(set(found.also_possible)) == len(found.also_possible)
    if found.reading != "no movement seen":
        assert found.verdict != "go"
        assert found.also_possible or found.reading == "seat passing"
    for leak, floor in ((found.high_leak, found.high_floor), (found.low_leak, found.low_floor)):
        assert leak.low < leak.value < leak.high
        assert floor.value > 0.0
        if found.verdict == "go":
            assert leak.low < 0.0 < leak.high < 1.05 * floor.value
            assert floor.value <= test.acceptance


@settings(max_examples=60, deadline=None)
@given(high=HIGH, low=LOW, first=st.floats(270.0, 305.0), warmer=st.floats(-8.0, 8.0))
def test_a_tight_station_that_warms_or_cools_shows_no_leak(high: float, low: float, first: float, warmer: float) -> None:
    gas = load("oxygen")
    ends = [(p, warmed_pressure(gas, p + AIR, first, first + warmer) - AIR) for p in (high, low)]
    found = read_drop(made(*ends, kelvin=(first, first + warmer)))
    assert found.reading in ("no movement seen", "not clear")
    assert found.high_leak.value == pytest.approx(0.0, abs=1e-6 * REJECTED)
    assert found.low_leak.value == pytest.approx(0.0, abs=1e-6 * REJECTED)


@settings(max_examples=60, deadline=None)
@given(high=st.floats(40e5, 200e5), low=st.floats(1e5, 5e5), amount=st.floats(1e-5, 4e-3))
def test_what_leaves_the_high_side_through_the_seat_arrives_at_the_low_side(high: float, low: float, amount: float) -> None:
    gas = load("oxygen")
    ends = []
    for pressure, volume, moved in ((high, 3e-5, -amount), (low, 5.7e-4, amount)):
        held = amount_stored(gas, volume, pressure + AIR, 293.15)
        ends.append((pressure, pressure_of_amount(gas, held + moved, volume, 293.15) - AIR))
    found = read_drop(made(*ends))
    assert found.high_leak.value == pytest.approx(-found.low_leak.value, rel=1e-6)
    if amount / 300.0 > found.low_floor.value:
        assert (found.reading, found.verdict) == ("seat passing", "stop")
        # in balance, so nothing else arrived and nothing else left
        assert not {"other gas arriving"} & set(found.also_possible) or found.high_floor.value > amount / 300.0


@settings(max_examples=60, deadline=None)
@given(low=st.floats(1.5e5, 9e5), fall=st.floats(0.0, 1e5), more=st.floats(1e3, 4e4), step=st.sampled_from((2e3, 1e4, 2e4)))
def test_a_larger_fall_is_a_larger_leak_and_never_a_milder_verdict(low: float, fall: float, more: float, step: float) -> None:
    order = {"go": 0, "caution": 1, "stop": 2}
    less, larger = (read_drop(made((120e5, 120e5), (low, low - f), (1e5, step))) for f in (fall, fall + more))
    assert less.low_leak.value < larger.low_leak.value
    assert order[less.verdict] <= order[larger.verdict]


@settings(max_examples=60, deadline=None)
@given(test=random_tests(), times=st.floats(1.1, 10.0))
def test_a_longer_wait_lowers_the_floor_and_the_leak_alike(test: DropTest, times: float) -> None:
    longer = read_drop(replace(test, time=test.time * times))
    shorter = read_drop(test)
    assert longer.high_leak.value == pytest.approx(shorter.high_leak.value / times)
    assert longer.low_floor.value < shorter.low_floor.value
    assert longer.high_floor.value < shorter.high_floor.value


@settings(max_examples=60, deadline=None)
@given(test=random_tests())
def test_the_wait_it_names_is_the_one_whose_floor_is_the_acceptance(test: DropTest) -> None:
    found = read_drop(test)
    for name in ("high", "low"):
        wait = getattr(found, f"{name}_wait").value
        if wait < 1e7:
            again = read_drop(replace(test, time=wait))
            assert getattr(again, f"{name}_floor").value == pytest.approx(test.acceptance, rel=1e-3)


@settings(max_examples=60, deadline=None)
@given(test=random_tests(), stricter=st.floats(0.05, 0.9))
def test_a_stricter_acceptance_is_never_milder(test: DropTest, stricter: float) -> None:
    order = {"go": 0, "caution": 1, "stop": 2}
    strict: DropReading = read_drop(replace(test, acceptance=test.acceptance * stricter))
    assert order[strict.verdict] >= order[read_drop(test).verdict]


@settings(max_examples=80, deadline=None)
@given(high=HIGH, low=LOW, loss=st.floats(0.0, 5.0), at=st.floats(0.0, 1.0), steps=st.sampled_from((5e3, 1e4, 2e4)))
def test_a_leak_over_the_floor_is_never_called_still_wherever_the_needle_stood(
    high: float, low: float, loss: float, at: float, steps: float
) -> None:
    # the low pressure falls by `loss` divisions, seen through a gauge that rounds to the division, at any place between two marks
    start, end = low + at * steps, low + at * steps - loss * steps
    seen = [round(p / steps) * steps for p in (start, end)]
    found = read_drop(made((high, high), (seen[0], seen[1]), (1e5, steps)))
    gas = load("oxygen")
    true = (amount_stored(gas, 5.7e-4, start + AIR, 293.15) - amount_stored(gas, 5.7e-4, end + AIR, 293.15)) / 300.0
    assert found.low_leak.low <= true <= found.low_leak.high
    if true > found.low_floor.value:
        assert found.reading == "leak after regulator"
