"""How fast a flame runs into unburnt fuel and oxygen: the computed burning velocity, and the faster one that burners showed.

A mechanism made for fuel in air gives acetylene in oxygen about half of what burners measured. Which is right is not settled here:
both ends are given, and whoever judges a flashback takes the faster.
"""

from functools import cache
from itertools import pairwise
from typing import NamedTuple

from steadycone.data.reader import rows
from steadycone.physics.gas.combustion import burns, complete_oxygen
from steadycone.physics.gas.flame import flame, flame_range
from steadycone.physics.gas.load import load
from steadycone.physics.gas.model import Gas

COLD = 293.15  # K, of the mixture in the table
_POWER = 1.7  # of temperature: burning-velocity-warm
_SPREADS = 1.75  # of temperature, for diffusivity and kinematic viscosity: burning-velocity-warm


class Velocity(NamedTuple):
    """Laminar burning velocity [m/s]. computed : at this ratio, None where no computation is held; low, high : all of it, the peaks of
    the literature included, whatever the ratio."""

    computed: float | None
    low: float
    high: float


def burning_velocity(fuel: Gas, oxygen_to_fuel: float, temperature: float = COLD) -> Velocity:
    """Burning velocity of a fuel with so much oxygen, at 1 atm.

    Parameters
    ----------
    fuel : Gas   a mixture has the ends of its parts: its low is their lowest, its high their highest
    oxygen_to_fuel : float   [mol/mol]; outside the computed ratios the nearest one's value stands
    temperature : float   [K] of the unburnt mixture

    Raises
    ------
    InputError : the gas does not burn.

    Holds for   an order of magnitude: computed and measured differ by up to a factor of two
    Source      cantera-free-flame; burning-velocity-oxygen; burning-velocity-heavier; burning-velocity-warm
    """
    demand = complete_oxygen(fuel)
    parts = [load(name) for name in fuel.components]
    found = [_pure(part.name, oxygen_to_fuel * complete_oxygen(part) / demand) for part in parts if burns(part)]
    factor = (temperature / COLD) ** _POWER
    computed = [one.computed for one in found if one.computed is not None]
    return Velocity(
        factor * max(computed) if computed else None, factor * min(one.low for one in found), factor * max(one.high for one in found)
    )


def unburnt(fuel: Gas, oxygen_to_fuel: float, temperature: float = COLD) -> tuple[float, float, float]:
    """Density [kg/m³], kinematic viscosity [m²/s] and thermal diffusivity [m²/s] of the unburnt mixture at 1 atm.

    A ratio outside the flame table takes its nearest end: these change by a few per cent there.

    Raises
    ------
    InputError : the gas does not burn, or more than 5 % of it is inert.

    Source      cantera-gri30; cantera-nasa; burning-velocity-warm
    """
    low, high = flame_range(fuel)
    state = flame(fuel, min(max(oxygen_to_fuel, low), high))
    warmer = temperature / COLD
    spreads = warmer**_SPREADS
    return state.unburnt_density / warmer, state.unburnt_viscosity / state.unburnt_density * spreads, state.unburnt_diffusivity * spreads


def _pure(fuel: str, ratio: float) -> Velocity:
    points, peak_low, peak_high = _table()[fuel]
    computed = _between(points, ratio) if points else None
    return Velocity(computed, min(peak_low, computed or peak_low), max(peak_high, computed or peak_high))


def _between(points: tuple[tuple[float, float], ...], ratio: float) -> float:
    for (left, low), (right, high) in pairwise(points):
        if ratio <= right:
            return low + (high - low) * max(0.0, (ratio - left) / (right - left))
    return points[-1][1]


@cache
def _table() -> dict[str, tuple[tuple[tuple[float, float], ...], float, float]]:
    """By fuel: computed points (ratio, m/s), and the low and high peak of the literature."""
    table = rows("gases/flame-speed.csv")
    found = {}
    for fuel in dict.fromkeys(row["fuel"] for row in table):
        own = [row for row in table if row["fuel"] == fuel]
        points = tuple((float(row["ratio"]), float(row["value"])) for row in own if row["quantity"] == "computed")
        low, high = (float(row["value"]) for key in ("peak_low", "peak_high") for row in own if row["quantity"] == key)
        found[fuel] = points, low, high
    return found
