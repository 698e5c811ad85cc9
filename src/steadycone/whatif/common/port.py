"""A torch's port against its flame: the outflow at the wall over what the flame can run up, looked at from every corner."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product

from steadycone.assembly.figures import Figures
from steadycone.physics.flow import Station
from steadycone.physics.flow.port import CONSTANT, CONSTANT_BAND, PortFlow, bore_of, critical_gradient, wall_gradient
from steadycone.physics.flow.solver import without_cutting
from steadycone.physics.gas.model import NORMAL_PRESSURE
from steadycone.physics.gas.speed import Velocity, burning_velocity, unburnt
from steadycone.whatif.common.fitted import Flows, flows_of, looks

_COEFFICIENT = 0.8  # of a drilled port: port-count
_GAMMA = 1.3  # heat capacity ratio of the mixture, 1.28 to 1.4


@dataclass(frozen=True, slots=True)
class Case:
    """The torch at the card's settings. warm [K], of the mixture in the tip."""

    figures: Figures
    pressures: Mapping[str, float]
    ports: int
    counted: bool
    warm: float

    def stations(self) -> Iterator[Station]:
        """As described and at every corner, the cutting oxygen shut: the preheat flame is what can run back."""
        yield from (without_cutting(station) for station in looks(self.figures))

    def numbers_of_ports(self) -> tuple[int, ...]:
        """As many as were counted, else half and twice as many as are usual too."""
        return (self.ports,) if self.counted else (self.ports, max(1, self.ports // 2), 2 * self.ports)

    def flow(self, station: Station) -> Flows:
        return flows_of(station, self.figures, self.pressures)


@dataclass(frozen=True, slots=True)
class Held:
    """One look at the port: the outflow, the burning velocity taken, and by how much the wall's gradient is over the critical one."""

    port: PortFlow
    velocity: float
    critical: float

    @property
    def margin(self) -> float:
        return self.port.gradient / self.critical

    @property
    def speed_ratio(self) -> float:
        return self.port.speed / self.velocity


def held(case: Case, station: Station, flows: Flows, ports: int, temperature: float, fast: bool | None) -> Held | None:
    """Port against flame. fast : True takes the largest burning velocity and constant against it, False the smallest, None the middle.

    None where no fuel or no oxygen flows.
    """
    ratio = flows.ratio
    if not ratio:
        return None
    fuel, air = case.figures.fuel, case.figures.atmosphere
    density, kinematic, diffusivity = unburnt(fuel, ratio, temperature)
    thinner = NORMAL_PRESSURE / air
    mass = flows.solution.fuel_flow + flows.solution.preheat_flow
    bore = bore_of(station.openings.port_area, ports, _COEFFICIENT)
    speed = mass * _COEFFICIENT / (station.openings.port_area * density / thinner)
    speed = min(speed, math.sqrt(_GAMMA * air * thinner / density))  # no port throws faster than sound
    port = wall_gradient(speed, bore, kinematic * thinner)
    every = burning_velocity(fuel, ratio, temperature)
    velocity = _taken(every, fast)
    constant = CONSTANT if fast is None else CONSTANT_BAND[0] if fast else CONSTANT_BAND[1]
    return Held(port, velocity, critical_gradient(velocity, diffusivity * thinner, constant))


def _taken(every: Velocity, fast: bool | None) -> float:
    """The literature's faster one at the unsafe end; in the middle the geometric mean of both."""
    return (every.low * every.high) ** 0.5 if fast is None else every.high if fast else every.low


def seen(case: Case, travel: float, oxygen: float, temperature: float) -> list[Held]:
    """The middle first, then every corner, with both valves at a share of their opening and the oxygen's at another on top."""
    found = []
    for number, station in enumerate(case.stations()):
        moved = moved_valves(station, travel, travel * oxygen)
        flows = case.flow(moved)
        kinds: list[tuple[int, bool | None]] = [(case.ports, None)] if number == 0 else []
        kinds += list(product(case.numbers_of_ports(), (True, False)))
        found += [one for ports, fast in kinds if (one := held(case, moved, flows, ports, temperature, fast))]
    return found


def moved_valves(station: Station, fuel: float, oxygen: float) -> Station:
    """The torch valves at shares of their opening: valve and mixer's opening are one area here, taken in proportion."""
    openings = station.openings
    return replace(station, openings=replace(openings, fuel_area=fuel * openings.fuel_area, oxygen_area=oxygen * openings.oxygen_area))
