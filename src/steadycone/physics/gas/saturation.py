"""Gases kept as liquids: vapour pressure, latent heat, liquid density; and where a vapour begins to condense."""

from math import exp, inf

from steadycone.errors import OutOfRange
from steadycone.physics.gas.model import UNIT_TEMPERATURE, Gas, polynomial

COLDEST, HOTTEST = 233.1, 333.2  # K: -40 to 60 °C, with room for rounding at the ends


def saturation_pressure(gas: Gas, temperature: float) -> float:
    """Pressure over the liquid.

    For a mixture, the bubble pressure of a liquid of that composition by Raoult's law: what a full cylinder shows, 3 % high
    for propane with 40 % butane, 2 % low for propane with propylene. It falls as the lighter part boils off first.

    Parameters
    ----------
    gas : Gas   propane, propylene, butane, isobutane or a mixture of these
    temperature : float   [K]

    Returns
    -------
    float   [Pa absolute]

    Raises
    ------
    OutOfRange : the gas is not kept as a liquid, or temperature is outside -40..60 °C.

    Holds for   -40..60 °C, within 0.1 % of the reference equation of the pure liquids.
    Source      coolprop
    """
    _need_liquid(gas, temperature)
    if gas.parts:
        return sum(share * _pressure(part, temperature) for part, share in _shares(gas))
    return _pressure(gas, temperature)


def latent_heat(gas: Gas, temperature: float) -> float:
    """Heat to evaporate the liquid [J/kg]; a mixture's parts are weighted by mass.

    Raises
    ------
    OutOfRange : as `saturation_pressure`.

    Holds for   -40..60 °C, within 0.2 %.
    Source      coolprop
    """
    _need_liquid(gas, temperature)
    x = temperature / UNIT_TEMPERATURE
    if gas.parts:
        heat = sum(share * part.molar_mass * _series(part, "latent_heat", x) for part, share in _shares(gas))
        return heat / gas.molar_mass
    return _series(gas, "latent_heat", x)


def saturated_liquid_density(gas: Gas, temperature: float) -> float:
    """Density of the liquid at its vapour pressure [kg/m³]; the volumes of a mixture's parts are added.

    Raises
    ------
    OutOfRange : as `saturation_pressure`.

    Holds for   -40..60 °C, within 0.2 %.
    Source      coolprop
    """
    _need_liquid(gas, temperature)
    x = temperature / UNIT_TEMPERATURE
    if gas.parts:
        volume = sum(share * part.molar_mass / _series(part, "liquid_density", x) for part, share in _shares(gas))
        return gas.molar_mass / volume
    return _series(gas, "liquid_density", x)


def dew_pressure(gas: Gas, temperature: float) -> float:
    """Pressure at which the gas begins to condense [Pa absolute]; infinite where it cannot at this temperature.

    A mixture's by Raoult's law, parts above their critical temperature counted as never condensing.
    """
    if not gas.parts:
        return _pressure(gas, temperature)
    total = sum(share / _pressure(part, temperature) for part, share in _shares(gas))
    return 1.0 / total if total > 0.0 else inf


def _pressure(gas: Gas, temperature: float) -> float:
    curve = gas.saturation
    if curve is None or temperature >= curve.critical_temperature - 1.0:
        return inf
    return 1e5 * exp(polynomial(curve.log_pressure, UNIT_TEMPERATURE / temperature))


def _series(gas: Gas, quantity: str, x: float) -> float:
    assert gas.saturation is not None
    return polynomial(gas.saturation.latent_heat if quantity == "latent_heat" else gas.saturation.liquid_density, x)


def _shares(gas: Gas) -> list[tuple[Gas, float]]:
    return [(part, gas.components[part.name]) for part in gas.parts]


def _need_liquid(gas: Gas, temperature: float) -> None:
    for part in gas.parts or (gas,):
        if part.saturation is None or not part.saturation.latent_heat:
            raise OutOfRange(
                f"{part.name} is not kept as a liquid at -40 to 60 °C.", where="gas", try_="Use propane, propylene, butane or isobutane."
            )
    if not COLDEST <= temperature <= HOTTEST:
        raise OutOfRange(
            f"{temperature - 273.15:.1f} °C is outside the -40 to 60 °C that the vapour pressure table covers.",
            where="temperature",
            try_="Give a temperature from -40 to 60 °C.",
        )
