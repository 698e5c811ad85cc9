"""How high a line may stand: acetylene's cap in force, and the lowest limit on a line with the valves shut."""

from dataclasses import dataclass

from steadycone.assembly.closing import closing_pressure
from steadycone.station.policy import Policy
from steadycone.station.setup import Setup


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
    gauge = policy.acetylene_cap.gauge(atmosphere)
    if policy.acetylene_cap_absolute is not None:
        absolute = policy.acetylene_cap_absolute.gauge(atmosphere)
        if absolute < gauge:
            return Cap(absolute, True, policy.source("acetylene_cap_absolute"))
    return Cap(gauge, False, policy.source("acetylene_cap"))


def static_ceiling(setup: Setup, name: str, atmosphere: float) -> float:
    """Lowest limit [Pa gauge] on the static pressure of a line: the regulator's closing pressure, and for acetylene the cap."""
    return _under_cap(setup, name, atmosphere, closing_pressure(setup, name, atmosphere)[0])


def flowing_ceiling(setup: Setup, name: str, atmosphere: float) -> float:
    """The same on the flowing pressure: the regulator's outlet rating, and for acetylene the cap."""
    return _under_cap(setup, name, atmosphere, setup.lines[name].regulator.outlet_rating.gauge(atmosphere))


def _under_cap(setup: Setup, name: str, atmosphere: float, limit: float) -> float:
    acetylene = name == "fuel" and setup.station.station.fuel == "acetylene"
    return min(limit, cap(setup.policy, atmosphere).gauge) if acetylene else limit
