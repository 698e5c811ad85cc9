"""How high a line may stand: acetylene's cap in force, and the lowest limit on a line with the valves shut."""

from dataclasses import dataclass
from typing import get_args

from steadycone.assembly.closing import closing_pressure
from steadycone.data.reader import toml
from steadycone.station.policy import Policy
from steadycone.station.setup import Region, Setup
from steadycone.units import ATMOSPHERE, Pressure, PressureDifference


@dataclass(frozen=True, slots=True)
class Cap:
    """Acetylene's cap at one atmosphere.

    gauge : float   [Pa gauge]
    absolute : bool   whether the absolute figure is the one that bites
    source : str   key of the figure that bites
    """

    gauge: float
    absolute: bool
    source: str


def cap(policy: Policy, atmosphere: float) -> Cap:
    """The cap in force at an atmosphere [Pa abs]: the gauge figure, or the absolute one where that is the lower. The one definition."""
    gauge, stated = policy.acetylene_cap.gauge(atmosphere), policy.acetylene_cap_absolute
    absolute = stated.gauge(atmosphere) if stated else in_compressed_air(gauge, atmosphere)
    if absolute < gauge:
        return Cap(absolute, True, policy.source("acetylene_cap_absolute") if stated else "acetylene-absolute-judged")
    return Cap(gauge, False, policy.source("acetylene_cap"))


def in_compressed_air(gauge: float, atmosphere: float) -> float:
    """A gauge cap [Pa gauge] in air [Pa abs] that is denser than any weather, where no absolute cap is known: lower by the excess.

    What makes acetylene fall apart goes by absolute pressure. Source: acetylene-absolute-judged
    """
    return gauge - max(0.0, atmosphere - PressureDifference.parse(toml("limits.toml")["compressed-air"]["value"]).si)


def region_cap(region: str, atmosphere: float = ATMOSPHERE) -> float:
    """A region's own cap [Pa gauge] at an atmosphere [Pa abs], where no site's policy is at hand.

    Raises  KeyError: no region of that name, which the edges ask for.
    """
    table = toml(f"regions/{region}.toml")
    given = [table[key] for key in ("acetylene_cap", "acetylene_cap_absolute") if key in table]
    lowest = min(Pressure.parse(text).gauge(atmosphere) for text in given)
    return lowest if "acetylene_cap_absolute" in table else in_compressed_air(lowest, atmosphere)


def strictest_cap(atmosphere: float = ATMOSPHERE) -> float:
    """The lowest cap of any region [Pa gauge], for a sum that knows no station."""
    return min(region_cap(region, atmosphere) for region in get_args(Region))


def loosest_cap(atmosphere: float = ATMOSPHERE) -> float:
    """The highest cap of any region [Pa gauge]: nobody may stand above it."""
    return max(region_cap(region, atmosphere) for region in get_args(Region))


def static_ceiling(setup: Setup, name: str, atmosphere: float) -> float:
    """Lowest limit [Pa gauge] on the static pressure of a line: the regulator's closing pressure, and for acetylene the cap."""
    return _under_cap(setup, name, atmosphere, closing_pressure(setup, name, atmosphere)[0])


def wall(setup: Setup, name: str, atmosphere: float) -> tuple[float, str]:
    """The ceiling on the static pressure [Pa gauge], and which it is: "cap", the regulator's "range" or its "closing" pressure."""
    ceiling = static_ceiling(setup, name, atmosphere)
    closing, _ = closing_pressure(setup, name, atmosphere)
    acetylene = name == "fuel" and setup.station.station.fuel == "acetylene"
    if acetylene and cap(setup.policy, atmosphere).gauge <= closing:
        return ceiling, "cap"
    return ceiling, "range" if closing <= setup.lines[name].regulator.outlet_rating.gauge(atmosphere) else "closing"


def flowing_ceiling(setup: Setup, name: str, atmosphere: float) -> float:
    """The same on the flowing pressure: the regulator's outlet rating, and for acetylene the cap."""
    return _under_cap(setup, name, atmosphere, setup.lines[name].regulator.outlet_rating.gauge(atmosphere))


def _under_cap(setup: Setup, name: str, atmosphere: float, limit: float) -> float:
    acetylene = name == "fuel" and setup.station.station.fuel == "acetylene"
    return min(limit, cap(setup.policy, atmosphere).gauge) if acetylene else limit
