"""The equation of state: molar density, compressibility and residual energies from one polynomial.

With delta = d / 10 000 mol/m³ and tau = 300 K / T the residual Helmholtz energy over R T is
    alpha = sum of alpha[i][j] delta^i tau^j,
a virial series. Z = 1 + delta d(alpha)/d(delta); the residual enthalpy and heat capacity are its tau derivatives. So density,
throttling and sound speed cannot contradict each other.

Source: coefficients fitted to CoolProp's reference equations (acetylene: to correlations) by tools/tables_gas.py; the
thermodynamic relations are those of any residual Helmholtz energy.
"""

from functools import lru_cache
from typing import NamedTuple

from steadycone.errors import OutOfRange, SolveError
from steadycone.physics.gas.model import GAS_CONSTANT, UNIT_DENSITY, UNIT_TEMPERATURE, Gas, polynomial
from steadycone.physics.gas.saturation import dew_pressure

SATURATED = 1.0 + 1e-6  # vapour at its saturation pressure is still vapour


class Isotherm(NamedTuple):
    """The equation at one temperature: all that depends on temperature worked out once."""

    unit_pressure: float  # Pa: R T times the unit of density
    virials: tuple[float, ...]  # Z = 1 + sum of virials[i] delta^(i+1)
    slopes: tuple[float, ...]  # d(p / unit_pressure)/d(delta) = 1 + sum of slopes[i] delta^(i+1)
    dew: float  # Pa
    limit: float  # Pa


class Residual(NamedTuple):
    """Departure from the ideal gas at one state."""

    enthalpy: float  # over R T
    heat_capacity: float  # cv over R
    pressure_by_density: float  # dp/dd over R T
    pressure_by_temperature: float  # dp/dT over R d


@lru_cache(maxsize=256)
def isotherm(gas: Gas, temperature: float) -> Isotherm:
    """The equation at one temperature.

    Raises
    ------
    OutOfRange : temperature [K] is outside the gas's table.
    """
    limits = gas.range
    if not limits.coldest <= temperature <= limits.hottest:
        raise OutOfRange(
            f"{temperature - 273.15:.1f} °C is outside what the {gas.name} table covers, "
            f"{limits.coldest - 273.15:.0f} to {limits.hottest - 273.15:.0f} °C.",
            where="temperature",
            try_="Check the temperature and its unit.",
        )
    tau = UNIT_TEMPERATURE / temperature
    virials = tuple(i * polynomial(line, tau) for i, line in enumerate(gas.alpha, start=1))
    return Isotherm(
        GAS_CONSTANT * temperature * UNIT_DENSITY,
        virials,
        tuple((i + 1) * value for i, value in enumerate(virials, start=1)),
        dew_pressure(gas, temperature),
        limits.warm_pressure if temperature >= limits.warm_from else limits.cold_pressure,
    )


def reduced_density(gas: Gas, pressure: float, temperature: float) -> float:
    """Molar density over UNIT_DENSITY at a pressure [Pa absolute] and temperature [K].

    Raises
    ------
    OutOfRange : pressure is not positive, is above the table, or the gas would be liquid.
    """
    line = isotherm(gas, temperature)
    if not 0.0 < pressure <= line.limit or pressure > line.dew * SATURATED:
        raise _refusal(gas, pressure, temperature, line)
    target = pressure / line.unit_pressure
    delta = target / max(1.0 + line.virials[0] * target, 0.5)
    for _ in range(40):
        z = slope = 0.0
        for virial, by_density in zip(reversed(line.virials), reversed(line.slopes), strict=True):
            z = (z + virial) * delta
            slope = (slope + by_density) * delta
        step = (delta * (1.0 + z) - target) / (1.0 + slope)
        delta -= step
        if abs(step) <= 1e-11 * delta:
            return delta
    raise SolveError(f"density of {gas.name} at {pressure:.0f} Pa and {temperature:.2f} K did not settle.", where="gas")


def pressure_at(gas: Gas, delta: float, temperature: float) -> float:
    """Pressure [Pa absolute] at a reduced density.

    Raises
    ------
    OutOfRange : the pressure would be above the table, or the gas would be liquid.
    """
    line = isotherm(gas, temperature)
    # Past the densest state of the table the polynomial may turn down again and name a low pressure for a liquid.
    if delta > reduced_density(gas, min(line.limit, line.dew), temperature):
        raise _refusal(gas, min(line.limit, line.dew) * 1.001, temperature, line)
    pressure = line.unit_pressure * delta * (1.0 + polynomial((0.0, *line.virials), delta))
    if not pressure > 0.0:
        raise _refusal(gas, pressure, temperature, line)
    return pressure


def residual(gas: Gas, delta: float, temperature: float) -> Residual:
    """Departures from the ideal gas at a reduced density and temperature [K]."""
    tau = UNIT_TEMPERATURE / temperature
    z = energy = curvature = by_density = by_temperature = 0.0
    power = 1.0
    for i, line in enumerate(gas.alpha, start=1):
        power *= delta
        term = power
        for j, coefficient in enumerate(line):
            value = coefficient * term
            z += i * value
            energy += j * value
            curvature += j * (j - 1) * value
            by_density += i * (i + 1) * value
            by_temperature += i * (1 - j) * value
            term *= tau
    return Residual(energy + z, -curvature, 1.0 + by_density, 1.0 + by_temperature)


def _refusal(gas: Gas, pressure: float, temperature: float, line: Isotherm) -> OutOfRange:
    celsius = f"{temperature - 273.15:.1f} °C"
    if not pressure > 0.0:
        return OutOfRange(
            f"a pressure of {pressure / 1e5:.3g} bar abs is not above zero.", where="pressure", try_="Give an absolute pressure above zero."
        )
    if pressure > line.dew:
        return OutOfRange(
            f"{gas.name} at {celsius} would be partly liquid: it condenses above {line.dew / 1e5:.2f} bar abs.",
            where="pressure",
            try_="Give a lower pressure, a smaller amount or a higher temperature.",
        )
    return OutOfRange(
        f"the pressure is above the {line.limit / 1e5:.0f} bar abs that the {gas.name} table covers at {celsius}.",
        where="pressure",
        try_="Check the pressure or the amount, and its unit.",
    )
