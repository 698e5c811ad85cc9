"""LPG over its liquid: vapour pressure as the cylinder empties, and how much the wall can evaporate.

Evaporating one kilogram takes some 0.4 MJ, which must come through the wall that the liquid wets. The liquid cools until the
wall brings that heat; when it is so cold that its vapour no longer feeds the regulator, that is the limit. Frost marks the level.
"""

import math
from typing import NamedTuple

from steadycone.errors import OutOfRange
from steadycone.physics.flow.root import bracketed_root
from steadycone.physics.gas import Gas, dew_pressure, latent_heat, load, mixture, saturated_liquid_density, saturation_pressure

WALL_TRANSFER = 18.0  # W/(m² K), air to liquid over the wetted wall, the dry wall above helping as a fin: lpg-wall
WALL_TRANSFER_BAND = (15.0, 22.0)  # lpg-wall
FEED_PRESSURE = 0.7e5  # Pa above the atmosphere, the least that keeps a torch's regulator fed: lpg-feed
FILLING_RATIO = 0.42  # kg of liquid for a litre of water capacity when full: lpg-cylinder
HEIGHT_TO_DIAMETER = 2.5  # of the cylinder's body: lpg-cylinder
_COLDEST = 233.15  # K, end of the vapour pressure tables
_STEPS = 40  # of the slow boil-off: the composition settles to 0.1 % with ten


class Band(NamedTuple):
    """Best estimate and its ends, SI."""

    value: float
    low: float
    high: float


def residue(fuel: Gas, fill: float, temperature: float) -> Gas:
    """The liquid left at a share of a full cylinder: the lighter part boils off first.

    Parameters
    ----------
    fuel : Gas   the liquid when full
    fill : float   [-], 0 to 1 of the full content; below 2 % it is taken at 2 %
    temperature : float   [K] of the boiling

    Returns
    -------
    Gas : the same for a pure fuel

    Source      mass balance with Raoult's law
    """
    if not fuel.parts or fill >= 1.0:
        return fuel
    amounts = dict(fuel.components)
    pressures = {part.name: saturation_pressure(part, temperature) for part in fuel.parts}
    factor = max(fill, 0.02) ** (1.0 / _STEPS)
    for _ in range(_STEPS):
        left = sum(amounts.values())
        shown = sum(amounts[name] * pressures[name] for name in amounts)
        # within a step each part falls with its own pressure over the mean, so nothing goes below zero
        amounts = {name: n * factor ** (pressures[name] * left / shown) for name, n in amounts.items()}
    total = sum(amounts.values())
    return mixture({name: n / total for name, n in amounts.items()}, f"rest of {fuel.name}")


def vapour_pressure(fuel: Gas, temperature: float, fill: float = 1.0) -> Band:
    """Pressure over the liquid [Pa absolute].

    Parameters
    ----------
    fuel : Gas   a stated composition is read as the liquid's, by amount, of a full cylinder
    temperature : float   [K] of the liquid
    fill : float   [-] of the full content

    Returns
    -------
    Band : high is the full cylinder's, value that of the liquid left now; low the lower of that and of the case where the stated
        composition was the vapour's (its dew pressure). For a pure fuel all three are equal.

    Raises
    ------
    OutOfRange : not kept as a liquid, or the temperature is outside -40..60 °C.

    Source      coolprop; Raoult's law
    """
    full = saturation_pressure(fuel, temperature)
    if not fuel.parts:
        return Band(full, full, full)
    now = saturation_pressure(residue(fuel, fill, temperature), temperature)
    return Band(now, min(now, dew_pressure(fuel, temperature)), max(full, now))


def wetted_area(capacity: float, fill: float, liquid_density: float) -> float:
    """Wall that the liquid touches in an upright cylinder [m²]: the bottom and the side up to its level.

    Parameters
    ----------
    capacity : float   [kg] full content
    fill : float   [-], 0 to 1
    liquid_density : float   [kg/m³]

    Source      lpg-cylinder
    """
    water_volume = capacity / FILLING_RATIO * 1e-3
    diameter = (4.0 * water_volume / (math.pi * HEIGHT_TO_DIAMETER)) ** (1.0 / 3.0)
    bottom = math.pi / 4.0 * diameter**2
    level = min(capacity * fill / liquid_density / bottom, HEIGHT_TO_DIAMETER * diameter)
    return bottom + math.pi * diameter * level if fill > 0.0 else 0.0


def vaporisation(
    fuel: Gas, capacity: float, fill: float, ambient: float, *, atmosphere: float = 101325.0, feed_pressure: float = FEED_PRESSURE
) -> Band:
    """What one upright cylinder evaporates for as long as it is asked to.

    Parameters
    ----------
    fuel : Gas
    capacity : float   [kg] full content
    fill : float   [-] of it that is left
    ambient : float   [K]
    atmosphere : float   [Pa]; feed_pressure : float   [Pa] above it

    Returns
    -------
    Band   [kg/s]; 0 where the vapour cannot feed the regulator. value is for the liquid left now at the judged wall figure; low for
        the poorer wall and the lower vapour pressure, high for the better ones. A fresh cylinder gives more for a quarter of an hour
        or so, out of the warmth of its liquid.

    Raises
    ------
    OutOfRange : capacity not above 0, fill outside 0..1, not kept as a liquid, ambient outside -40..60 °C.

    Source      lpg-wall; lpg-feed; lpg-cylinder; latent heat coolprop
    """
    if not (capacity > 0.0 and 0.0 <= fill <= 1.0):
        raise OutOfRange(f"capacity {capacity:g} kg must be above 0 and fill {fill:g} from 0 to 1", where="cylinder")
    least = atmosphere + feed_pressure
    now = residue(fuel, fill, ambient)
    low, high = WALL_TRANSFER_BAND
    value = _evaporated(now, capacity, fill, ambient, least, WALL_TRANSFER)
    poor = _evaporated(_heavier(fuel, now, ambient), capacity, fill, ambient, least, low)
    return Band(value, poor, _evaporated(fuel, capacity, fill, ambient, least, high))


def lowest_liquid_temperature(fuel: Gas, pressure: float, ambient: float) -> float | None:
    """Temperature [K] at which the liquid's vapour has a pressure [Pa absolute], -40 °C at least; None when it lacks it at ambient."""
    if saturation_pressure(fuel, ambient) <= pressure:
        return None
    at_coldest = saturation_pressure(fuel, _COLDEST)
    if at_coldest >= pressure:
        return _COLDEST
    return bracketed_root(lambda t: saturation_pressure(fuel, t) - pressure, _COLDEST, ambient, value_low=at_coldest - pressure)


def worst_lpg() -> Gas:
    """What LPG of unknown composition is judged as: butane, the least volatile sold. Source: lpg-unknown."""
    return load("butane")


def worst_of(fuel: str) -> tuple[Gas, Gas]:
    """The least and the most volatile of what is sold under a name, for a composition that is not known: "lpg" or "mps".

    Source      lpg-unknown; mps-stand-in: methylacetylene's own vapour pressure is met by propane and isobutane within 3 % from 0 to 30 °C
    """
    if fuel == "mps":
        return mixture({"propane": 0.35, "isobutane": 0.65}, "methylacetylene"), load("propylene")
    return worst_lpg(), load("propane")


def _evaporated(fuel: Gas, capacity: float, fill: float, ambient: float, least_pressure: float, transfer: float) -> float:
    coldest = lowest_liquid_temperature(fuel, least_pressure, ambient)
    if coldest is None:
        return 0.0
    area = wetted_area(capacity, fill, saturated_liquid_density(fuel, coldest))
    return transfer * area * (ambient - coldest) / latent_heat(fuel, coldest)


def _heavier(fuel: Gas, now: Gas, temperature: float) -> Gas:
    """The less volatile of what is left now and of the liquid under a vapour of the stated composition."""
    if not fuel.parts:
        return fuel
    dew = dew_pressure(fuel, temperature)
    if dew >= saturation_pressure(now, temperature):
        return now
    under = {part.name: fuel.components[part.name] * dew / saturation_pressure(part, temperature) for part in fuel.parts}
    return mixture(under, f"liquid under {fuel.name}")
