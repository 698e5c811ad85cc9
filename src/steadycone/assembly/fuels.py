"""The gas in each line, and what counts as the same fuel."""

from dataclasses import dataclass

from steadycone.physics.gas import Gas, load, mixture, vapour_over
from steadycone.station.setup import Station

# Judged as the worst where the composition is not known: half butane for the flow, see supply.py for the vapour pressure.
_UNKNOWN = {"lpg": {"propane": 0.5, "butane": 0.5}, "natural gas": {"methane": 1.0}}
_SAME = ({"lpg", "propane", "butane"}, {"natural gas", "methane"})


@dataclass(frozen=True, slots=True)
class Fuel:
    """`stored`: what the supply holds; `flowing`: what comes over in the line, richer in the lighter part for an LPG mixture."""

    stored: Gas
    flowing: Gas
    known: bool  # False: lpg or natural gas whose composition the file does not give


def station_fuel(station: Station, ambient: float) -> Fuel:
    """The station's fuel at an ambient temperature [K].

    Raises  OutOfRange: an LPG mixture outside -40..60 °C, and as `fuel_gas`.
    """
    stored, known = fuel_gas(station)
    liquid = station.station.fuel == "lpg" and station.fuel.supply.has_cylinders
    return Fuel(stored, vapour_over(stored, ambient) if liquid else stored, known)


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


def serves(made_for: str, gas: str) -> bool:
    """Whether a thing made for one gas serves another: propane's serve lpg and the reverse."""
    return made_for == gas or any(made_for in group and gas in group for group in _SAME)
