"""How long the needles are watched, and which one after the bleed, so that the leak to reject can't stay unseen."""

import math
from typing import Literal

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.assembly.fuels import LIQUEFIED
from steadycone.errors import SteadyconeError
from steadycone.physics.gas import GAS_CONSTANT
from steadycone.practice.drop import DropTest, Side, read_drop
from steadycone.practice.judging import ends
from steadycone.procedures import settings
from steadycone.procedures.rounds.limits import limit
from steadycone.quantity import Quantity, exact

LEAST = 60.0  # s, osha-1915-509-drop-test


def watch(figures: Figures) -> Quantity:
    """Seconds to touch nothing: the procedure's wait, or what these gauges need where nobody reads a temperature, whole minutes up.

    What would take longer than the longest watch is left: the reading says so then.
    Source      round-watch-judged; drop-movement
    """
    usual = settings.test_wait(figures).value or LEAST
    longest = limit("longest-watch").si
    needed = [time for line in figures.lines.values() for time in _needed(figures, line, usual) if usual < time <= longest]
    return exact(math.ceil(max([usual, *needed]) / 60 - 1e-6) * 60, "minutes")


def _needed(figures: Figures, line: LineFigures, time: float) -> list[float]:
    """What each gauge needs at the pressures to be expected; nothing where these are not known or outside the gas's table."""
    high, low = ends(line.supply.pressure), ends(settings.test_pressure(figures, line))
    if high is None or low is None or high.value < low.value:
        return []
    air = figures.atmosphere
    try:
        found = read_drop(
            DropTest(
                gas=line.gas,
                high=Side("high", high_volume(line), high.value + air, high.value + air, line.inlet_division),
                low=Side("low", low_volume(line), low.value + air, low.value + air, line.outlet_division),
                time=time,
                temperatures=None,
                acceptance=reject(figures, line),
                atmosphere=air,
                liquid_likely=liquid_likely(figures, line),
            )
        )
    except SteadyconeError:
        return []  # no sum can be made beforehand; the readings themselves are judged all the same
    return [wait.value for wait in (found.high_wait, found.low_wait) if wait.value is not None]


def bleed(figures: Figures, line: LineFigures) -> tuple[Literal["high", "low"], float]:
    """Which needle is watched after the bleed, and for how long [s], half minutes up.

    Through a passing valve comes the leak to reject. With the screw out it fills the high side alone; with the screw left in it fills
    both, and shows on the finer low gauge. A pipe's regulator may have no high gauge.

    Source      bleed-and-watch-judged; ideal gas, since it is near zero
    """
    mole = GAS_CONSTANT * figures.ambient * reject(figures, line)
    high = line.inlet_division * high_volume(line) / mole
    low = line.outlet_division * (high_volume(line) + low_volume(line)) / mole
    gauge: Literal["high", "low"] = "high" if line.line.supply.has_cylinders and high <= max(low, LEAST) else "low"
    return gauge, max(LEAST, math.ceil((high if gauge == "high" else low) / 30 - 1e-6) * 30)


def high_volume(line: LineFigures) -> float:
    """[m³]"""
    assert line.proving.high_volume.value is not None
    return line.proving.high_volume.value


def low_volume(line: LineFigures) -> float:
    """[m³]"""
    assert line.proving.trapped_volume.value is not None
    return line.proving.trapped_volume.value


def reject(figures: Figures, line: LineFigures) -> float:
    """The leak that the policy rejects [mol/s]."""
    return figures.setup.policy.leak.reject.amount(line.gas.molar_mass)


def liquid_likely(figures: Figures, line: LineFigures) -> bool:
    """A cylinder of liquefied fuel: its high side stands at vapour pressure while any liquid is left, whatever a thermometer says.

    Source      drop-vapour
    """
    return line.name == "fuel" and line.line.supply.has_cylinders and figures.setup.station.station.fuel in LIQUEFIED
