"""Compressed gas in a cylinder, real gas: what can be used down to the reserve, and how long it lasts."""

import math

from steadycone.errors import OutOfRange
from steadycone.physics.gas import GAS_CONSTANT, Gas, amount_stored


def usable_amount(pressure: float, reserve: float, temperature: float, water_volume: float, gas: Gas) -> float:
    """Gas that leaves a cylinder between its pressure and a reserve.

    Parameters
    ----------
    pressure, reserve : float   [Pa absolute]
    temperature : float   [K], the same before and after
    water_volume : float   [m³]
    gas : Gas

    Returns
    -------
    float   [mol]; 0 when the pressure is not above the reserve

    Raises
    ------
    OutOfRange : outside the gas's table. Not for dissolved acetylene or a liquefied gas.

    Source      coolprop, through amount_stored
    """
    if pressure <= reserve:
        return 0.0
    return amount_stored(gas, water_volume, pressure, temperature) - amount_stored(gas, water_volume, reserve, temperature)


def duration(pressure: float, reserve: float, flow: float, temperature: float, water_volume: float, gas: Gas) -> float:
    """Time [s] from pressure to reserve [Pa absolute] at a steady flow [mol/s]; math.inf without a flow.

    Raises
    ------
    OutOfRange : flow below 0, or as `usable_amount`.
    """
    if not flow >= 0.0:
        raise OutOfRange(f"a flow of {flow:g} mol/s must not be below 0", where="flow")
    usable = usable_amount(pressure, reserve, temperature, water_volume, gas)
    return usable / flow if flow > 0.0 else math.inf


def ideal_amount(pressure: float, temperature: float, water_volume: float) -> float:
    """The ideal-gas answer [mol], for showing its error: 7 % short for oxygen at 150 to 200 bar, 13 % too much for hydrogen at 200."""
    return pressure * water_volume / (GAS_CONSTANT * temperature)
