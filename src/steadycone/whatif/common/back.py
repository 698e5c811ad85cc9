"""One gas pushed back into the other's hose through the torch: what feeds it, how far it comes, and what the hose then holds.

The lumped closed forms give the numbers and their bands; the march along the hose gives front against time, mixing, and pictures.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

from steadycone.physics.flow import Hose, Orifice, Stream, march_up
from steadycone.physics.flow.line import needed
from steadycone.physics.flow.mixer import lift_slopes
from steadycone.physics.flow.orifice import mass_flow
from steadycone.physics.flow.root import rising_root
from steadycone.physics.gas import limits
from steadycone.physics.transient.feed import Feed, Filling, feed_table
from steadycone.physics.transient.fill import bore_volume, boyle_front, swept_front, swept_time
from steadycone.physics.transient.hose_1d import Bore, Pair, Run, push
from steadycone.whatif.common.rig import Rig

Valve = Literal["good", "leaking", "failed", "none"]
VALVES: tuple[Valve, ...] = ("good", "leaking", "failed", "none")
LEAST_SHARE = 0.01  # of oxygen in a fuel: what is purer counts as fuel alone, though acetylene needs none to go off (judged-burnable)
PERMITTED_LEAK = 0.05e-3 / 22.41397e-3 / 3600.0  # mol/s, 50 cm³/h: memory-reverse-leak
LEAST_FLOW = 1e-12  # mol/s; below it nothing has moved in any time here


@dataclass(frozen=True, slots=True)
class Back:
    """One case. `donor` pushes, `receiver` is pushed into; pressures [Pa abs].

    static : the donor's regulator with nothing flowing; droop [Pa s/mol]; start : the receiver's hose before
    opening : share of the torch openings; port : share of the tip's port that is open (0: blocked); far : pressure of an open end
    """

    donor: str
    receiver: str
    static: float
    droop: float
    start: float
    dead_volume: float
    opening: float
    mixing_share: float
    valve: Valve = "none"
    port: float = 0.0
    far: float | None = None
    leak: float = PERMITTED_LEAK


class Lumped(NamedTuple):
    """front [m]; filled [s] or None: never; pressure : at the torch end [Pa abs] after the time; flow [mol/s] then."""

    front: float
    filled: float | None
    pressure: float
    flow: float


@dataclass(frozen=True)
class Case:
    """A case with its feed worked out."""

    back: Back
    feed: Feed
    bore: Bore
    pair: Pair
    donor: Stream
    rig: Rig
    path: "Path"

    @property
    def volume(self) -> float:
        return bore_volume(self.bore.bore, self.bore.length)

    def pushes(self) -> bool:
        """Whether anything runs back at all."""
        return self.feed.top > self.back.start and self.feed.flows[-1] > LEAST_FLOW

    def lumped(self, time: float) -> Lumped:
        """Front, filling time, pressure and flow after a time [s]: Boyle where the far end is closed, a swept plug where it is open."""
        back, bore = self.back, self.bore
        if not self.pushes():
            return Lumped(0.0, None, back.start, 0.0)
        if back.far is not None:
            inlet, flow = self.through
            filled = swept_time(inlet, back.far, flow, self.volume, bore.temperature)
            front = swept_front(inlet, back.far, flow, self.volume, bore.length, bore.temperature, time)
            return Lumped(front, filled, inlet, flow)
        filling = self.filling
        pressure = filling.pressure_at(time)
        front = boyle_front(back.start, pressure, bore.length, self.volume, bore.dead_volume)
        ready: float | None = None
        if bore.dead_volume > 0.0:  # the front reaches a dead volume once that alone holds what hose and it held
            full = back.start * (1.0 + self.volume / bore.dead_volume)
            ready = filling.time_to(full) if full < self.feed.top else None
        return Lumped(front, ready, pressure, self.feed.flow(pressure))

    def time_to(self, pressure: float) -> float | None:
        """Seconds until a closed hose reaches a pressure [Pa abs]; None: never."""
        if self.back.far is not None or not self.pushes():
            return None
        return self.filling.time_to(pressure)

    @cached_property
    def filling(self) -> Filling:
        """Of hose and dead volume together, the far end closed."""
        return self.feed.filling(self.volume + self.bore.dead_volume, self.bore.temperature, self.back.start)

    @cached_property
    def through(self) -> tuple[float, float]:
        """Pressure at the torch end [Pa abs] and flow [mol/s] once the hose is full and its far end open."""
        far, mass = self.back.far, self.donor.molar_mass
        assert far is not None
        hose = Hose(self.donor, self.bore.bore, self.bore.length, self.bore.roughness)
        if self.feed.top <= far:
            return far, 0.0
        flow = rising_root(lambda m: m - mass * self.feed.flow(hose.upstream(far, m)), mass * self.feed.flow(far))
        return hose.upstream(far, flow), flow / mass

    def march(self, times: Sequence[float], cells: int = 100) -> Run:
        return push(self.bore, self.pair, self.feed, self.back.start, times, open_end=self.back.far, limits=self.burns(), cells=cells)

    def burns(self) -> tuple[float, float]:
        """Least and largest share of the incoming gas that burns with the one there; (1, 1) where no limit in oxygen is known."""
        found = limits(self.rig.fuel, "oxygen")
        if found is None:
            return 1.0, 1.0
        low, high = found[0], min(found[1], 1.0 - LEAST_SHARE)
        return (low, high) if self.back.donor == "fuel" else (1.0 - high, 1.0 - low)


def case_of(rig: Rig, back: Back, nodes: int = 48) -> Case:
    """Work the feed out: the donor's regulator and line, two torch openings in series, and what stands before the hose.

    Raises  InputError: as Rig.openings.
    """
    donor = rig.stream(back.donor)
    path = Path(rig, back, donor)
    top = path.top() if back.static > rig.atmosphere else rig.atmosphere
    bottom = min(back.start, back.far if back.far is not None else back.start)
    bore, pair = rig.bore(back.receiver, back.dead_volume), rig.pair(back.donor, back.receiver)
    if top <= bottom or back.valve == "good":
        return Case(back, Feed(max(top, bottom), 1.0, (0.0, 0.0)), bore, pair, donor, rig, path)
    if back.valve == "leaking":
        full = mass_flow(top, bottom, 1.0, donor)
        feed = feed_table(lambda p: back.leak * mass_flow(top, p, 1.0, donor) / full, top, bottom, nodes)
    else:
        feed = feed_table(lambda p: path.flow_at(p, top), top, bottom, nodes)
    return Case(back, feed, bore, pair, donor, rig, path)


class Path:
    """From the donor's regulator to the receiver's hose, marched up from the hose."""

    def __init__(self, rig: Rig, back: Back, donor: Stream) -> None:
        self.rig, self.back, self.donor = rig, back, donor
        fitted = rig.openings(back.mixing_share)
        areas = {"fuel": fitted.fuel_area, "oxygen": fitted.oxygen_area, "preheat_oxygen": fitted.oxygen_area}
        self.own = Orifice(donor, areas[back.donor] * back.opening)
        self.other = Orifice(donor, areas[back.receiver] * back.opening)
        self.port = fitted.port_area * back.port
        self.injector = fitted.injector if back.port > 0.0 and back.donor != "fuel" else None
        self.line = rig.flow_line(back.donor)
        self.parts = rig.back_through(back.receiver, donor)

    def needed(self, hose: float, flow: float) -> float:
        """Static pressure [Pa] that drives a flow [kg/s] into the hose at its pressure [Pa]."""
        pressure = hose
        for part in self.parts:
            pressure = part.upstream(pressure, flow)
        return self.from_mixing(self.other.upstream(pressure, flow), flow)

    def from_mixing(self, mixing: float, flow: float) -> float:
        total = flow + mass_flow(mixing, self.rig.atmosphere, self.port, self.donor)
        inlet = self.own.upstream(mixing, total)
        return needed(self.line, inlet, total) + self.back.droop * total / self.donor.molar_mass

    def top(self) -> float:
        """Pressure [Pa] that just stops it: the donor's own, less what the open port and an injector take off."""
        atmosphere = self.rig.atmosphere
        if self.port <= 0.0:
            return self.back.static - (needed(self.line, self.back.static, 0.0) - self.back.static)
        above = rising_root(lambda x: self.from_mixing(atmosphere + x, 0.0) - self.back.static, 0.2 * (self.back.static - atmosphere))
        return atmosphere + above - self.lift(atmosphere + above)

    def lift(self, mixing: float) -> float:
        """What an injector's jet takes off the chamber that the fuel's opening sees [Pa]."""
        if self.injector is None:
            return 0.0
        flow = mass_flow(mixing, self.rig.atmosphere, self.port, self.donor)
        return lift_slopes(self.injector, mixing, 0.0, flow, self.own.area, self.rig.stream("fuel"), self.donor)[0]

    def flow_at(self, pressure: float, top: float) -> float:
        """mol/s into the hose at a pressure [Pa]. An injector's lift is taken as it is with nothing running back."""
        lifted = self.lift(top) if self.injector else 0.0
        if pressure >= top:
            return 0.0
        guess = mass_flow(top + lifted, pressure, self.other.area, self.donor) or 1e-9
        found = rising_root(lambda m: self.needed(pressure + lifted, m) - self.back.static, guess)
        return found / self.donor.molar_mass

    def along(self, hose: float, flow: float) -> tuple[tuple[float | None, ...], float]:
        """The donor's pressures [Pa] from regulator to torch at a flow into the hose [mol/s], and the receiver's at its torch inlet."""
        mass = flow * self.donor.molar_mass
        inlet_other = hose
        for part in self.parts:
            inlet_other = part.upstream(inlet_other, mass)
        mixing = self.other.upstream(inlet_other, mass)
        total = mass + mass_flow(mixing, self.rig.atmosphere, self.port, self.donor)
        return march_up(self.line, self.own.upstream(mixing, total), total).pressures, inlet_other
