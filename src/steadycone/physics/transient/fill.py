"""Closed forms of a hose that another gas is pushed into: where the front stops, and how fast it runs through an open end."""

import math

from steadycone.errors import OutOfRange
from steadycone.units import GAS_CONSTANT


def bore_volume(bore: float, length: float) -> float:
    """m³ of a hose of a bore and length [m]."""
    return math.pi / 4.0 * bore * bore * length


def boyle_front(start: float, pressure: float, length: float, volume: float, dead_volume: float = 0.0) -> float:
    """How far [m] another gas has come into a hose with a closed far end.

    Parameters
    ----------
    start, pressure : float   [Pa absolute] of the hose before and now
    length : float   [m]; volume, dead_volume : float   [m³] of the hose, and of what lies closed behind its far end

    Returns
    -------
    float   [m] from the end it came in at, never beyond the far end. Plug, no mixing, isothermal.

    Raises
    ------
    OutOfRange : a pressure, the length or the volume is not above 0.

    Source      Boyle: what was in hose and dead volume now takes start/pressure of them
    """
    if not (start > 0.0 and pressure > 0.0 and length > 0.0 and volume > 0.0 and dead_volume >= 0.0):
        raise OutOfRange("pressures, length and volume must be above 0, and a dead volume not below 0", where="front")
    front = (1.0 + dead_volume / volume) * (1.0 - start / pressure) * length
    return min(max(front, 0.0), length)


def filled_pressure(start: float, length: float, volume: float, dead_volume: float, front: float) -> float | None:
    """Pressure [Pa absolute] at which the front stands at `front` [m]; None: the dead volume is too small for it. The inverse of boyle_front."""
    left = 1.0 - front / (length * (1.0 + dead_volume / volume))
    return start / left if left > 0.0 else None


def swept_time(inlet: float, outlet: float, flow: float, volume: float, temperature: float) -> float:
    """Seconds for a plug to run through a hose whose end is open, at a steady flow.

    Parameters
    ----------
    inlet, outlet : float   [Pa absolute], of the steady flow of the new gas, inlet not below outlet
    flow : float   [mol/s]; volume : float   [m³]; temperature : float   [K]

    Raises
    ------
    OutOfRange : the flow or a pressure is not above 0.

    Source      plug flow: what the hose holds over what comes in, with the mean of a pressure whose square falls in a straight line
    """
    if not (flow > 0.0 and inlet >= outlet > 0.0):
        raise OutOfRange("flow and pressures must be above 0, and the inlet not below the outlet", where="front")
    mean = outlet if inlet - outlet < 1e-9 * outlet else 2.0 / 3.0 * (inlet**3 - outlet**3) / (inlet**2 - outlet**2)
    return mean * volume / (GAS_CONSTANT * temperature * flow)


def swept_front(inlet: float, outlet: float, flow: float, volume: float, length: float, temperature: float, time: float) -> float:
    """How far [m] a plug has come after a time [s], as `swept_time`; never beyond the end.

    The gas behind the front at x holds the sum of the pressure to x, with the square of the pressure falling in a straight line.
    """
    if inlet - outlet < 1e-9 * outlet:
        return min(length, length * time / swept_time(inlet, outlet, flow, volume, temperature))
    pushed = flow * GAS_CONSTANT * temperature * time / volume  # mean pressure of a hose that held it all
    fall = inlet**2 - outlet**2
    left = inlet**3 - 1.5 * fall * pushed
    if left <= outlet**3:
        return length
    return length * (inlet**2 - float(left ** (2.0 / 3.0))) / fall
