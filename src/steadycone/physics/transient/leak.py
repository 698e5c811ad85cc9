"""Leak rate from the pressure of a closed volume, what a gauge can see of it, and the wait that it takes.

Ideal gas is right to 1 % on the low side. Pass Z (compressibility) at both ends for the high side of a regulator.
All rates are mol/s, positive out of the volume.
"""

import math
from typing import NamedTuple

from steadycone.errors import OutOfRange
from steadycone.physics.flow.orifice import mass_flow
from steadycone.physics.flow.stream import Stream
from steadycone.units import GAS_CONSTANT


class Reading(NamedTuple):
    """Pressure [Pa absolute] and temperature [K] of the enclosed gas, with Z there [-]."""

    pressure: float
    temperature: float
    compressibility: float = 1.0

    def amount(self, volume: float) -> float:
        """Gas [mol] in a volume [m³]."""
        return self.pressure * volume / (self.compressibility * GAS_CONSTANT * self.temperature)


class Band(NamedTuple):
    """A rate [mol/s] and its ends."""

    value: float
    low: float
    high: float


def leak_rate(start: Reading, end: Reading, volume: float, time: float) -> float:
    """Mean leak [mol/s] over a test; negative when gas came in.

    Parameters
    ----------
    start, end : Reading
    volume : float   [m³], rigid. A hose swells: 1 % a bar is 1 % of the absolute pressure, creeping for minutes (estimate)
    time : float   [s]

    Raises
    ------
    OutOfRange : volume, time, a pressure or a temperature is not above 0.

    Source      mass balance; 40 CFR 1065.644 has the same form
    """
    _positive(volume=volume, time=time, temperature=min(start.temperature, end.temperature), pressure=min(start.pressure, end.pressure))
    return (start.amount(volume) - end.amount(volume)) / time


def leak_band(start: Reading, end: Reading, volume: float, time: float, pressure_doubt: float, temperature_doubt: float) -> Band:
    """The leak with what the gauge and the thermometer leave open.

    Parameters
    ----------
    pressure_doubt : float   [Pa], of the difference of both readings: the smallest change one can read
    temperature_doubt : float   [K], of the difference of both temperatures

    Returns
    -------
    Band : the doubts are added, not squared: the ends are bounds, and a verdict is taken at one of them.
    """
    value = leak_rate(start, end, volume, time)
    held = end.amount(volume)
    spread = held * (pressure_doubt / end.pressure + temperature_doubt / end.temperature) / time
    return Band(value, value - spread, value + spread)


def leak_floor(readable_change: float, volume: float, time: float, temperature: float, compressibility: float = 1.0) -> float:
    """Smallest leak [mol/s] that moves a gauge by a readable change [Pa] in a time [s]: below it, "no movement" proves nothing."""
    _positive(volume=volume, time=time, temperature=temperature, change=readable_change)
    return readable_change * volume / (compressibility * GAS_CONSTANT * temperature * time)


def wait_needed(readable_change: float, volume: float, leak: float, temperature: float, compressibility: float = 1.0) -> float:
    """Time [s] after which a leak [mol/s] has moved the gauge by a readable change [Pa]: the inverse of `leak_floor`."""
    _positive(volume=volume, leak=leak, temperature=temperature, change=readable_change)
    return readable_change * volume / (compressibility * GAS_CONSTANT * temperature * leak)


def temperature_drift(pressure: float, temperature: float, change: float) -> float:
    """Pressure change [Pa] of a tight volume at an absolute pressure [Pa] and temperature [K] when the gas warms by `change` [K]."""
    _positive(pressure=pressure, temperature=temperature)
    return pressure * change / temperature


def leak_at(leak: float, test_pressure: float, pressure: float, outside: float) -> Band:
    """The same opening's leak at another inside pressure.

    Parameters
    ----------
    leak : float   [mol/s], 0 or more, found at test_pressure
    test_pressure, pressure, outside : float   [Pa absolute]; both inside pressures above the outside

    Returns
    -------
    Band : the ends are a choked pinhole (goes with absolute pressure) and a fine laminar crack (goes with the difference of the
        squares); value is their high end, since what leaks is not known. A test far below working pressure passes leaks that matter.

    Source      leak-scaling
    """
    if not (test_pressure > outside and pressure > outside and leak >= 0.0):
        raise OutOfRange("both inside pressures must be above the outside one, and the leak not below 0", where="leak")
    pinhole = leak * pressure / test_pressure
    crack = leak * (pressure**2 - outside**2) / (test_pressure**2 - outside**2)
    return Band(max(pinhole, crack), min(pinhole, crack), max(pinhole, crack))


def decayed_pressure(pressure: float, outside: float, volume: float, area: float, stream: Stream, time: float) -> float:
    """Pressure [Pa absolute] in a closed volume after a pinhole has leaked for a time; constant temperature, ideal gas.

    Parameters
    ----------
    pressure, outside : float   [Pa absolute], at the start and around
    volume : float   [m³]
    area : float   [m²], effective, after the discharge coefficient
    stream : Stream   at the gas's temperature
    time : float   [s]

    Returns
    -------
    float   [Pa absolute], falling to the outside pressure: choked first (an exponential), then subsonic.

    Source      nozzle-ideal; Runge-Kutta in the root of the excess pressure, which nears zero in a straight line
    """
    _positive(pressure=pressure, outside=outside, volume=volume)
    if not (area >= 0.0 and time >= 0.0):
        raise OutOfRange("area and time must not be below 0", where="leak")
    if pressure <= outside or area == 0.0 or time == 0.0:
        return pressure
    stiffness = stream.gas_constant * stream.temperature / volume

    def rate(root: float) -> float:
        level = max(root, 0.0)
        if level < 1e-6 * outside**0.5:
            level = 1e-6 * outside**0.5  # the slope's limit, reached without dividing zero by zero
        return -stiffness * mass_flow(outside + level * level, outside, area, stream) / (2.0 * level)

    root, steps = math.sqrt(pressure - outside), 400
    step = time / steps
    for _ in range(steps):
        first = rate(root)
        second = rate(root + 0.5 * step * first)
        third = rate(root + 0.5 * step * second)
        fourth = rate(root + step * third)
        root += step / 6.0 * (first + 2.0 * second + 2.0 * third + fourth)
        if root <= 0.0:
            return outside
    return outside + root * root


def _positive(**values: float) -> None:
    for name, value in values.items():
        if not value > 0.0:
            raise OutOfRange(f"{name} of {value:g} must be above 0", where="leak")
