"""How high a regulator may stand with the torch valves shut. Its outlet rating is a flowing pressure."""

from steadycone.data.reader import toml
from steadycone.station.setup import Setup
from steadycone.units import Pressure


def closing_pressure(setup: Setup, name: str, atmosphere: float) -> tuple[float, str]:
    """The highest pressure with the valves shut [Pa gauge] of one line's regulator, and the key of its source.

    As the file states it; else 1.3 outlet ratings for a cylinder regulator of a class of ISO 2503 that is not for acetylene; else the
    outlet rating, which is the lower and so the safe end.

    Source      gear-rating, closing-pressure-class, closing-pressure-rating
    """
    line, usual = setup.lines[name], toml("defaults.toml")["closing"]
    regulator = line.regulator
    if regulator.closing_pressure is not None:
        return regulator.closing_pressure.gauge(atmosphere), "gear-rating"
    rating = regulator.outlet_rating.gauge(atmosphere)
    if line.supply.has_cylinders and _of_a_class(setup, name, rating):
        return rating * float(usual["over_rating"]), str(usual["source"])
    return rating, str(usual["source_rating"])


def _of_a_class(setup: Setup, name: str, rating: float) -> bool:
    """Whether an outlet rating [Pa gauge] is one of the standard's, for the gas of the line, where that standard is used."""
    usual, about = toml("defaults.toml")["closing"], setup.station.station
    if about.region not in usual["regions"] or (name == "fuel" and about.fuel == "acetylene"):
        return False
    liquefied = name == "fuel" and about.fuel in usual["liquefied"]
    classes = usual["liquefied_classes"] if liquefied else usual["classes"]
    return any(abs(rating - Pressure.parse(size).si) <= 1e-6 * rating for size in classes)
