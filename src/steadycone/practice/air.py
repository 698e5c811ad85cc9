"""What the air of a station's place may hold: its region's limits, the policy's, and what a country or a ship tightens. From data/air.toml."""

from dataclasses import dataclass

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.units import Share


@dataclass(frozen=True, slots=True)
class AirLimit:
    """A share of one and the key of its source."""

    si: float
    source: str


def oxygen_low(figures: Figures) -> AirLimit:
    """Least oxygen in the air [share]."""
    return max((_of(table, "oxygen_low") for table in _tables(figures) if "oxygen_low" in table), key=lambda found: found.si)


def oxygen_high(figures: Figures) -> AirLimit:
    """Oxygen above which the air is enriched [share]: the policy's, or less where the place asks it."""
    policy = figures.setup.policy
    own = AirLimit(policy.enrichment.si, policy.source("enrichment"))
    return min([own, *(_of(table, "oxygen_high") for table in _tables(figures) if "oxygen_high" in table)], key=lambda found: found.si)


def fuel_most(figures: Figures) -> AirLimit:
    """Most fuel in the air, as a share of its lower limit."""
    return min((_of(table, "fuel") for table in _tables(figures) if "fuel" in table), key=lambda found: found.si)


def _tables(figures: Figures) -> list[dict[str, str]]:
    """The region's table, and those of the country, the province and the ship that there are."""
    table, about, place = toml("air.toml"), figures.setup.station.station, figures.setup.station.place
    found = [table["region"][about.region]]
    country = (place.country or "").upper()
    found += [table["country"][name] for name in (country.partition("-")[0], country) if name in table["country"]]
    if place.ship and about.region in table["ship"]:
        found.append(table["ship"][about.region])
    return found


def _of(table: dict[str, str], name: str) -> AirLimit:
    return AirLimit(Share.parse(table[name]).si, table["source"])
