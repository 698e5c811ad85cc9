"""A chart row in the station's own air.

A chart gives gauge pressures and flows in ordinary air. At the same gauge pressure thin air lets less through the tip and compressed
air more: a choked jet goes by its absolute pressure. So the openings are fitted in the chart's air, and what they pass is solved in
the station's (docs/decisions/0030).
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from steadycone.assembly.corner import Corner
from steadycone.assembly.station import inlet, openings
from steadycone.assembly.target import CHART_AIR, Target
from steadycone.errors import OutOfRange
from steadycone.physics.flow import Line, Openings, Solution, Station, Stream, solve, stream_of
from steadycone.physics.flow.orifice import mass_flux
from steadycone.physics.gas import Gas


@dataclass(frozen=True, slots=True)
class Torch:
    """What a solve at the torch inlet needs beside the row. `shares`: mixing point over the fuel's gauge pressure, low, taken, high."""

    fuel: Gas
    oxygen: Gas
    ambient: float
    three_hose: bool
    cutting: bool
    injector: bool
    shares: tuple[float, float, float]

    def fitted(self, row: Target, mixing_share: float) -> Openings | None:
        """The openings of a row in the chart's air; None where the row leaves out what a solve needs.

        Raises  OutOfRange: the row's pressures cannot drive its flows.
        """
        full = inlet(row, self.three_hose, self.cutting)
        return None if full is None else openings(full, self.fuel, self.oxygen, self.ambient, CHART_AIR, mixing_share, self.injector)


def in_air(charted: Target, torch: Torch, atmosphere: float, corner: Corner) -> Target:
    """The row at the same gauge pressures, with the flows that its openings pass in this air [Pa absolute].

    At a corner the mixing point is at whichever end gives that corner's end of each flow.
    """
    if atmosphere == CHART_AIR:
        return charted
    here = _at_pressures(charted, atmosphere)
    low, taken, high = torch.shares
    try:
        found = [_solved(charted, here, torch, atmosphere, share) for share in ((taken,) if corner.end == 0 else (low, high))]
    except OutOfRange:
        return _each_alone(charted, here, torch, atmosphere)
    solved = [one for one in found if one is not None]
    if len(solved) < len(found):
        return _each_alone(charted, here, torch, atmosphere)
    end: Callable[[list[float]], float] = max if corner.end > 0 else min
    return replace(
        here,
        cutting_flow=end([one.cutting_flow for one in solved]) if torch.cutting else None,
        preheat_flow=end([one.preheat_flow for one in solved]),
        fuel_flow=end([one.fuel_flow for one in solved]),
    )


def at_share(charted: Target, torch: Torch, atmosphere: float, share: float) -> Solution | None:
    """What the openings fitted at a mixing share pass in this air [Pa absolute] at the row's gauge pressures; None where the row has no answer.

    Raises  OutOfRange: the row's pressures cannot drive its flows.
    """
    return _solved(charted, _at_pressures(charted, atmosphere), torch, atmosphere, share)


def _at_pressures(charted: Target, atmosphere: float) -> Target:
    """The gauge reads the same: only the air under it changes."""

    def moved(pressure: float | None) -> float | None:
        return None if pressure is None else pressure - CHART_AIR + atmosphere

    return replace(
        charted,
        oxygen_pressure=moved(charted.oxygen_pressure),
        fuel_pressure=moved(charted.fuel_pressure),
        preheat_pressure=moved(charted.preheat_pressure),
    )


def _solved(charted: Target, here: Target, torch: Torch, atmosphere: float, share: float) -> Solution | None:
    """The openings of the chart's air with the row's gauge pressures straight at the torch inlet."""
    fitted = torch.fitted(charted, share)
    full = inlet(here, torch.three_hose, torch.cutting)
    if fitted is None or full is None:
        return None
    oxygen, fuel, bare = stream_of(torch.oxygen, torch.ambient), stream_of(torch.fuel, torch.ambient), Line(())
    station = Station(bare, bare, fitted, oxygen, fuel, atmosphere, bare if torch.three_hose else None)
    return solve(station, full.oxygen_pressure, full.fuel_pressure, full.preheat_pressure if torch.three_hose else None)


def _each_alone(charted: Target, here: Target, torch: Torch, atmosphere: float) -> Target:
    """A row that no torch can be fitted to: each gas as through an opening of its own into the air. The card is never go then."""
    oxygen, fuel = stream_of(torch.oxygen, torch.ambient), stream_of(torch.fuel, torch.ambient)

    def passed(flow: float | None, before: float | None, now: float | None, stream: Stream) -> float | None:
        if flow is None or before is None or now is None:
            return flow
        charted_flux = mass_flux(before, CHART_AIR, stream)
        return flow * mass_flux(now, atmosphere, stream) / charted_flux if charted_flux > 0 else flow

    leg = (charted.preheat_pressure, here.preheat_pressure) if torch.three_hose else (charted.oxygen_pressure, here.oxygen_pressure)
    return replace(
        here,
        cutting_flow=passed(charted.cutting_flow, charted.oxygen_pressure, here.oxygen_pressure, oxygen),
        preheat_flow=passed(charted.preheat_flow, *leg, oxygen),
        fuel_flow=passed(charted.fuel_flow, charted.fuel_pressure, here.fuel_pressure, fuel),
    )
