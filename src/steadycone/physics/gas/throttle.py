"""Cooling (hydrogen: warming) of a gas let down through a regulator."""

from steadycone.errors import OutOfRange, SolveError
from steadycone.physics.gas.equation import isotherm, reduced_density, residual
from steadycone.physics.gas.model import GAS_CONSTANT, UNIT_TEMPERATURE, Gas, polynomial


def throttled_temperature(gas: Gas, inlet_pressure: float, outlet_pressure: float, temperature: float) -> float:
    """Temperature after a regulator at equal enthalpy, no heat taken from its body.

    Parameters
    ----------
    gas : Gas
    inlet_pressure, outlet_pressure : float   [Pa absolute]
    temperature : float   [K], before the regulator

    Returns
    -------
    float   [K]; lower than before for all gases here but hydrogen

    Raises
    ------
    OutOfRange : the inlet is outside the gas's table, the outlet is above the inlet, or the gas would leave colder than its table
        covers or partly liquid.

    Holds for   as `compressibility`; within 0.2 K of the reference equations. Real bodies warm the gas, so it is a lower bound
                for a steady flow.
    Source      coolprop; acetylene-virial
    """
    if not 0.0 < outlet_pressure <= inlet_pressure:
        raise OutOfRange(
            "a regulator's outlet pressure must be above zero and not above its inlet.",
            where="outlet_pressure",
            try_="Check both pressures.",
        )
    heat = _enthalpy(gas, inlet_pressure, temperature)
    now = temperature
    for _ in range(60):
        if now < gas.range.coldest:
            break
        capacity = GAS_CONSTANT * polynomial(gas.heat_capacity, now / UNIT_TEMPERATURE)
        if outlet_pressure > isotherm(gas, now).dew:
            break
        step = (_enthalpy(gas, outlet_pressure, now) - heat) / capacity
        now -= step
        if abs(step) < 1e-6:
            return now
    else:
        raise SolveError(f"the throttled temperature of {gas.name} did not settle.", where="gas")
    raise OutOfRange(
        f"{gas.name} let down from {inlet_pressure / 1e5:.0f} to {outlet_pressure / 1e5:.1f} bar abs at {temperature - 273.15:.0f} °C "
        f"would leave below {gas.range.coldest - 273.15:.0f} °C or partly liquid.",
        where="temperature",
        try_="Let it down in two stages, warm it between, or start warmer.",
    )


def _enthalpy(gas: Gas, pressure: float, temperature: float) -> float:
    """Molar enthalpy [J/mol] from an arbitrary zero."""
    x = temperature / UNIT_TEMPERATURE
    ideal = x * polynomial(tuple(c / (k + 1) for k, c in enumerate(gas.heat_capacity)), x)
    departure = residual(gas, reduced_density(gas, pressure, temperature), temperature).enthalpy
    return GAS_CONSTANT * (UNIT_TEMPERATURE * ideal + temperature * departure)
