"""The gas in each line, and which fuels are kept as a liquid."""

from dataclasses import dataclass
from typing import get_args

from steadycone.physics.gas import Gas, load, mixture, vapour_over
from steadycone.station.setup import Fuel as FuelName
from steadycone.station.setup import Station

LIQUEFIED = ("lpg", "propane", "butane", "isobutane", "propylene", "mps")  # in cylinders
MIXED = ("lpg", "natural gas", "mps")  # names that stand for a mixture
# What flows where the composition is not known: half butane; see supply.py for the vapour pressure that is judged.
# Methylacetylene has no table of ours: propylene and propane stand in for it (mps-stand-in).
_UNKNOWN = {"lpg": {"propane": 0.5, "butane": 0.5}, "natural gas": {"methane": 1.0}, "mps": {"propylene": 0.7, "propane": 0.3}}


@dataclass(frozen=True, slots=True)
class Fuel:
    """`stored`: what the supply holds; `flowing`: what comes over in the line, richer in the lighter part for an LPG mixture."""

    stored: Gas
    flowing: Gas
    known: bool  # False: a mixture whose composition the file does not give


def station_fuel(station: Station, ambient: float) -> Fuel:
    """The station's fuel at an ambient temperature [K].

    Raises  OutOfRange: an LPG mixture outside -40..60 °C, and as `fuel_gas`.
    """
    stored, known = fuel_gas(station)
    liquid = station.station.fuel in LIQUEFIED and station.fuel.supply.has_cylinders
    return Fuel(stored, vapour_over(stored, ambient) if liquid else stored, known)


def gas_named(fuel: str) -> Gas | None:
    """The gas of a fuel by its name alone; None for a mixture whose composition matters, several fuels, or a name that is no fuel."""
    return load(fuel) if fuel in get_args(FuelName) and fuel not in MIXED else None


def fuel_gas(station: Station) -> tuple[Gas, bool]:
    """The fuel as supplied, and whether its composition is known.

    Raises  UnknownName, InputError: a component that is not a gas of ours, or shares that do not add up.
    """
    name = station.station.fuel
    given = station.fuel.supply.composition
    if given:
        return mixture({part: share.si for part, share in given.items()}, name), True
    if name in _UNKNOWN:
        return mixture(_UNKNOWN[name], name), False
    return load(name), True
