"""Properties of a gas at one state: density, viscosity, heat capacity ratio, sound speed."""

from functools import lru_cache
from math import sqrt

from steadycone.errors import OutOfRange
from steadycone.physics.gas.equation import isotherm, reduced_density, residual
from steadycone.physics.gas.model import GAS_CONSTANT, UNIT_DENSITY, UNIT_TEMPERATURE, Gas, polynomial


def specific_gas_constant(gas: Gas) -> float:
    """R / M   [J/(kg K)]."""
    return GAS_CONSTANT / gas.molar_mass


def second_virial(gas: Gas, temperature: float) -> float:
    """Second virial coefficient B [m³/mol]: Z = 1 + B p / (R T) is the cheap hose-side form.

    Against `compressibility` that form is within 0.04 % to 11 bar abs for oxygen, nitrogen, air, hydrogen and methane, 0.03 % to
    2.5 bar abs for acetylene, 0.2 % to 2.5 bar abs and 0.8 % to 5 bar abs for propane and propylene (all at 20 °C).

    Raises
    ------
    OutOfRange : temperature [K] is outside the gas's table.

    Source      coolprop; acetylene-virial
    """
    return isotherm(gas, temperature).virials[0] / UNIT_DENSITY


def compressibility(gas: Gas, pressure: float, temperature: float) -> float:
    """Z = p / (d R T), d molar density.

    Parameters
    ----------
    gas : Gas
    pressure : float   [Pa absolute]
    temperature : float   [K]

    Raises
    ------
    OutOfRange : outside the table, or the gas would be liquid; the message says which.

    Holds for   oxygen, nitrogen, air, hydrogen, methane: -43..72 °C to 401 bar abs and -128..-43 °C (methane from -103) to 16 bar abs,
                within 0.1 % of the reference equations. Propane, propylene, butane, isobutane, ethane, carbon dioxide: -48..72 °C, as vapour, to
                25 bar abs, within 0.1 %. Acetylene: -48..72 °C to 26 bar abs from a correlation, unchecked against measurement.
                Mixtures: to 16 bar abs, estimated 1 %.
    Source      coolprop; acetylene-virial
    """
    delta = reduced_density(gas, pressure, temperature)
    return pressure / (delta * UNIT_DENSITY * GAS_CONSTANT * temperature)


def density(gas: Gas, pressure: float, temperature: float) -> float:
    """Mass density [kg/m³]. Parameters, range and errors as `compressibility`."""
    return reduced_density(gas, pressure, temperature) * UNIT_DENSITY * gas.molar_mass


@lru_cache(maxsize=256)
def viscosity(gas: Gas, temperature: float, pressure: float | None = None) -> float:
    """Viscosity [Pa s] near 1 atm, or at a pressure.

    Parameters
    ----------
    gas : Gas
    temperature : float   [K]
    pressure : float or None   [Pa absolute]; None gives the value near 1 atm, which is what the flow in hoses is worked out with.
        A mixture's value is that near 1 atm, by Wilke's rule, at any pressure that its table covers.

    Raises
    ------
    OutOfRange : outside the table, or the gas would be liquid; the message says which.

    Holds for   None: the temperatures of the gas's table. At -40..60 °C the gas itself is up to 1.6 % more viscous at 11 bar abs (oxygen,
                nitrogen, air, methane, hydrogen), a vapour up to 1.4 % at 7 bar abs (ethane 2.3 %); at 60 °C propane at saturation is
                10 %, propylene at 25 bar abs 20 % more viscous.
                At a pressure, against the reference models: -40..60 °C to 301 bar abs, worst 0.32 % oxygen, 0.13 % nitrogen, 0.11 % air,
                0.53 % methane, 0.03 % hydrogen (to 401 bar abs, and colder to 16 bar abs, 0.4 %). Vapours -40..60 °C, to saturation or
                25 bar abs: worst 0.6 % propane, 0.9 % propylene, 0.4 % butanes, 0.3 % ethane, 0.1 % carbon dioxide. The models
                themselves are within 2 % for nitrogen and 5 % for oxygen and air. Acetylene from a correlation, unchecked against
                measurement: 2 % near 1 atm, 6 % at 26 bar abs. Mixtures: what density adds is left out, estimated from the parts
                0.5 % to 3 bar abs, 1.2 % to 7, 3 % to 11, 6 % at 16 bar abs.
    Source      coolprop; lemmon-jacobsen-2004; cantera-gri30 and lohrenz-bray-clark for acetylene; Wilke's rule from memory
    Example     oxygen at 200 bar gauge and 15 °C: 27.1 µPa s, against 20.0 µPa s near 1 atm.
    """
    if pressure is not None:
        return viscosity(gas, temperature) + _dense_viscosity(gas, reduced_density(gas, pressure, temperature), temperature)
    _need_temperature(gas, temperature)
    if not gas.parts:
        return polynomial(gas.viscosity, temperature / UNIT_TEMPERATURE)
    values = [viscosity(part, temperature) for part in gas.parts]
    shares = [gas.components[part.name] for part in gas.parts]
    total = 0.0
    for own, share, part in zip(values, shares, gas.parts, strict=True):
        hindrance = 0.0
        for other, fraction, partner in zip(values, shares, gas.parts, strict=True):
            ratio = part.molar_mass / partner.molar_mass
            hindrance += fraction * (1.0 + sqrt(own / other) * ratio**-0.25) ** 2 / sqrt(8.0 * (1.0 + ratio))
        total += share * own / hindrance
    return total


@lru_cache(maxsize=256)
def gamma(gas: Gas, temperature: float) -> float:
    """Heat capacity ratio cp / cv of the ideal gas.

    The real ratio at pressure is higher: at 20 °C oxygen 1.395 -> 1.397 at 1 atm and 1.417 at 11 bar abs, propane 1.130 -> 1.139 at
    1 atm and 1.167 at 3.5 bar abs. The ideal-gas flow formulas want the ideal one; `real_gamma` has the other.

    Raises
    ------
    OutOfRange : temperature [K] is outside the gas's table.

    Holds for   the same temperatures as the gas's table, within 0.1 % (acetylene 1 %).
    Source      coolprop; cantera-gri30 for acetylene
    """
    _need_temperature(gas, temperature)
    capacity = polynomial(gas.heat_capacity, temperature / UNIT_TEMPERATURE)
    return capacity / (capacity - 1.0)


def real_gamma(gas: Gas, pressure: float, temperature: float) -> float:
    """cp / cv of the real gas at pressure [Pa absolute] and temperature [K]. Range and errors as `compressibility`."""
    delta = reduced_density(gas, pressure, temperature)
    parts = residual(gas, delta, temperature)
    volume_heat = polynomial(gas.heat_capacity, temperature / UNIT_TEMPERATURE) - 1.0 + parts.heat_capacity
    return 1.0 + parts.pressure_by_temperature**2 / (parts.pressure_by_density * volume_heat)


def sound_speed(gas: Gas, pressure: float, temperature: float) -> float:
    """Speed of sound [m/s]. Parameters, range and errors as `compressibility`.

    Holds for   within 0.2 % of the reference equations (acetylene 1 %, unchecked at pressure).
    Source      coolprop; acetylene-virial
    """
    delta = reduced_density(gas, pressure, temperature)
    parts = residual(gas, delta, temperature)
    volume_heat = polynomial(gas.heat_capacity, temperature / UNIT_TEMPERATURE) - 1.0 + parts.heat_capacity
    stiffness = parts.pressure_by_density + parts.pressure_by_temperature**2 / volume_heat
    return sqrt(specific_gas_constant(gas) * temperature * stiffness)


def critical_pressure_ratio(gamma: float) -> float:
    """Throat over stagnation pressure at sonic flow of an ideal gas, (2 / (gamma + 1))^(gamma / (gamma - 1)).

    Raises
    ------
    OutOfRange : gamma is not above 1.
    """
    if not gamma > 1.0:
        raise OutOfRange(f"a heat capacity ratio of {gamma} is not above 1.", where="gamma", try_="Gases have 1.1 to 1.67.")
    return float((2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0)))


def _dense_viscosity(gas: Gas, delta: float, temperature: float) -> float:
    """What density adds to the viscosity [Pa s]; nothing for a mixture, whose table is empty."""
    tau = UNIT_TEMPERATURE / temperature
    return 1e-6 * polynomial((0.0, *(polynomial(line, tau) for line in gas.dense_viscosity)), delta)


def _need_temperature(gas: Gas, temperature: float) -> None:
    isotherm(gas, temperature)
