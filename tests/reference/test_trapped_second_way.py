"""A shut station against closed forms: blow-down through a pinhole, warming of a closed vessel, Boyle's law across a seat."""

import pytest
from tests.checks import ANOTHER, check

from steadycone.physics.flow.orifice import mass_flux
from steadycone.physics.flow.stream import stream_of
from steadycone.physics.gas import amount_stored, load, pressure_of_amount, warmed_pressure
from steadycone.physics.transient.leak import decayed_pressure
from steadycone.physics.transient.trapped import Trapped, Ways, settling, watch

AIR, T = 101325.0, 288.15
OXYGEN = load("oxygen")


def shut(**changes: object) -> Trapped:
    usual = {
        "gas": OXYGEN,
        "high_volume": 3e-5,
        "low_volume": 5.7e-4,
        "high_pressure": 141e5,
        "low_pressure": 4e5,
        "cylinder": 141e5,
        "atmosphere": AIR,
    }
    return Trapped(**(usual | changes))  # type: ignore[arg-type]


def steady(_: float) -> float:
    return T


def test_a_leaking_hose_falls_as_the_blow_down_of_a_pinhole() -> None:
    rate = 2e-4
    stream = stream_of(OXYGEN, T)
    area = rate * OXYGEN.molar_mass / mass_flux(4e5, AIR, stream)
    expected = decayed_pressure(4e5, AIR, 5.7e-4, area, stream, 300.0)
    found = watch(shut(), Ways(low=rate), steady, 300.0)[-1]
    check(
        "whatif-drop-blow-down", kind=ANOTHER, got=found.low, expected=expected, rel=0.003, unit="Pa", source="closed form of a choked, then subsonic blow-down of an ideal gas",
        why="oxygen at 4 bar absolute is 0.3 % from ideal",
    )  # fmt: skip
    assert found.high == pytest.approx(141e5, rel=1e-9)


def test_what_a_wide_open_seat_lets_through_ends_at_one_pressure() -> None:
    found = watch(shut(high_pressure=30e5, cylinder=30e5), Ways(seat=5e-4), steady, 3600.0)[-1]
    total = amount_stored(OXYGEN, 3e-5, 30e5, T) + amount_stored(OXYGEN, 5.7e-4, 4e5, T)
    expected = pressure_of_amount(OXYGEN, total, 6e-4, T)
    check(
        "whatif-drop-boyle",
        kind=ANOTHER,
        got=found.low,
        expected=expected,
        rel=1e-4,
        unit="Pa",
        source="Boyle's law with real gas, both volumes together",
        why="the last pascals pass slowly",
    )
    assert found.high == pytest.approx(found.low, rel=1e-3)


def test_a_tight_side_follows_the_gas_law_as_it_warms() -> None:
    warmed = watch(shut(), Ways(), settling(T, 5.0, -20.0, 60.0, 300.0), 300.0)
    first, last = warmed[0], warmed[-1]
    for side in ("high", "low"):
        expected = warmed_pressure(OXYGEN, getattr(first, side), first.temperature, last.temperature)
        assert getattr(last, side) == pytest.approx(expected, rel=1e-9)


def test_gas_is_neither_made_nor_lost_between_the_sides() -> None:
    for moment in watch(shut(), Ways(seat=3e-5), steady, 600.0):
        assert moment.high_lost == pytest.approx(-moment.low_lost, abs=1e-15)
