"""What is worked out about a setup, before anything is judged. Everything here is SI; gauge is above the station's atmosphere."""

import math
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from steadycone.assembly.ceiling import Cap, cap, flowing_ceiling, static_ceiling, wall
from steadycone.physics.gas import Gas
from steadycone.quantity import Quantity, exact, unknown
from steadycone.station.chart import Row
from steadycone.station.parts import Part
from steadycone.station.setup import Line, Setup


@dataclass(frozen=True, slots=True)
class PartFigure:
    """One part of a line at the chart's flow. `subject` such as "oxygen part 2 (hose)"."""

    subject: str
    part: Part
    inlet: Quantity  # gauge pressure, the side of the regulator
    outlet: Quantity
    loss: Quantity  # pressure difference
    state: str  # "ok" or "choked"
    static: Quantity  # gauge pressure it sees with the torch valves shut


@dataclass(frozen=True, slots=True)
class SupplyFigures:
    """The whole supply of one line, all its cylinders together."""

    contents: Quantity  # mol, there now
    contents_mass: Quantity  # kg
    usable: Quantity  # mol above the reserve
    full: Quantity  # mol, when full
    at_end: Quantity  # mol, left when the job ends; unknown without a job time
    pressure: Quantity  # gauge, in the cylinder (or pipe) now, at ambient temperature
    pressure_at_end: Quantity  # the same when the job ends
    drawn: Quantity  # mol/s while the flame burns: this torch's own flow and what is shared
    shared: Quantity  # mol/s
    duration: Quantity  # s, usable over the average drawn
    vaporisation: Quantity | None  # mol/s that the walls evaporate, liquefied fuel only
    temperature: float  # K
    by: str  # how the contents are known: "pressure", "weight", "full" (assumed), "stated flow"
    filled_to: Quantity | None = None  # gauge, of a full cylinder at its filling temperature; None for liquefied gas and pipes
    full_now: Quantity | None = None  # the same at the ambient temperature
    duty: float = 1.0  # share of the job's time that this torch's flame burns

    @property
    def average(self) -> Quantity:
        """Drawn over the job's time, pauses counted [mol/s]; what others share runs on."""
        if self.duty == 1.0:
            return self.drawn
        idle, shared = 1.0 - self.duty, self.shared.value or 0.0
        return self.drawn.map(lambda flow: flow - idle * max(0.0, flow - shared))


LEAST_PURGE = 5.0  # s: shorter nobody can time by hand


@dataclass(frozen=True, slots=True)
class ProvingFigures:
    """What is shut in and the purge of one line. What its gauges show of a leak is in `LeakTest`."""

    trapped_volume: Quantity  # m³, regulator seat to torch valve
    high_volume: Quantity  # m³, cylinder valve to regulator seat
    purge_flow: Quantity  # mol/s with this gas alone
    purge_time: Quantity  # s, by the policy's rule
    purge_released: Quantity  # mol

    @property
    def purge_seconds(self) -> Quantity:
        """What a person is told to purge: the long end in whole seconds up, five at the least. Too short leaves a mixture in the hose.

        Source      purge-five-seconds
        """
        long = self.purge_time.high
        return unknown("seconds") if long is None else exact(max(LEAST_PURGE, math.ceil(long - 1e-9)), "seconds")


@dataclass(frozen=True, slots=True)
class LineFigures:
    """One line: from the chart's figures at the torch back to what must be set. `name` is oxygen, fuel or preheat_oxygen."""

    name: str
    gas: Gas
    line: Line
    torch_inlet: Quantity  # gauge pressure
    flowing: Quantity  # gauge pressure at the regulator outlet
    static: Quantity  # the same with torch valves shut, locked up, at what is set; the high end counts `rise`
    rise: Quantity  # pressure difference by which a single-stage outlet climbs as the cylinder empties over the job
    set_pressure: Quantity  # what to read on the gauge; low and high = the true pressure it may be
    flow: Quantity  # mol/s in this line, in the station's air
    cutting_flow: Quantity | None  # of it; None where it cannot apply
    preheat_flow: Quantity | None
    parts: tuple[PartFigure, ...]
    loss_hoses: Quantity
    loss_parts: Quantity
    rated_here: Quantity | None  # mol/s the regulator can pass at the torch's pressure; None = not rated
    state: str  # ok, choked
    supply: SupplyFigures
    proving: ProvingFigures
    outlet_division: float  # Pa
    inlet_division: float
    outlet_scale: float  # Pa, full scale of the outlet gauge
    cutting_charted: Quantity | None = None  # cutting oxygen in the chart's own air: what the cut was charted with


@dataclass(frozen=True, slots=True)
class SideTest:
    """One gauge in the leak test, and the gas shut in behind it.

    state : "ok"; "blind": liquid may keep the pressure up; "low": it stands too low for its marks to show any fall;
        "no gauge": a pipe's regulator need not have one here
    """

    pressure: Quantity  # gauge, at which it is tested
    volume: Quantity  # m³
    division: float  # Pa
    reject: Quantity  # mol/s at this pressure: a leak that is the policy's at work
    wait: Quantity  # s until that leak can't pass unseen; unknown where it never shows
    floor: Quantity  # mol/s at work: a larger leak can't pass unseen in the watch
    finer: float | None  # Pa, the division that would show it in the longest watch, where this one can't; None = none would
    state: str


@dataclass(frozen=True, slots=True)
class LineTest:
    """The leak test of one line, and the bleed that shows a supply valve that passes: which needle to watch, how long [s]."""

    low: SideTest
    high: SideTest
    stated: bool  # the site's own test pressure
    bleed: Literal["high", "low"]  # gauge
    bleed_watch: float
    high_bleed_watch: float  # of the high needle, whichever is the quicker


@dataclass(frozen=True, slots=True)
class LeakTest:
    """The one leak test of a station: what card, steps, JSON and round tell. `reject` is the policy's, of the fuel [mol/s]."""

    watch: Quantity  # s, whole minutes: the policy's wait, or what the slowest gauge needs
    reject: Quantity
    lines: dict[str, LineTest]


@dataclass(frozen=True, slots=True)
class AsSetLine:
    """What really flows with the gauges as they stand. States: ok, choked, blocked, locked, below atmosphere; unknown: pressures alone."""

    regulator: Quantity  # gauge pressure, flowing
    regulator_static: Quantity
    torch_inlet: Quantity
    flow: Quantity
    cutting_flow: Quantity | None
    preheat_flow: Quantity | None
    parts: tuple[PartFigure, ...]
    state: str
    trimmed: tuple[tuple[float, float], ...] = ()  # mol/s: what flows, and what the chart's pressures give here, each at one mixing point


@dataclass(frozen=True, slots=True)
class AsSet:
    lines: dict[str, AsSetLine]
    oxygen_to_fuel: Quantity | None


@dataclass(frozen=True, slots=True)
class JobFigures:
    kind: str
    material: str | None  # the tool's own name of it, None when the file does not say or the name is not known
    thickness: Quantity | None
    effective_thickness: Quantity | None  # along the bevel
    length: Quantity | None
    speed: Quantity | None
    time: Quantity | None  # s from first light to last, pauses of the duty counted; None or unknown where it cannot be told


@dataclass(frozen=True, slots=True)
class Tip:
    """The row chosen, None where the chart cannot answer. `used` names the row's figures that the card relies on."""

    size: str | None
    row: Row | None
    estimate: bool
    used: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Figures:
    setup: Setup
    on: date
    atmosphere: float  # Pa absolute
    ambient: float  # K
    fuel: Gas  # as it flows
    fuel_stored: Gas  # as the supply holds it
    fuel_known: bool  # False: lpg or natural gas of unknown composition, judged as the worst
    tip: Tip
    job: JobFigures
    lines: dict[str, LineFigures]
    leak_test: LeakTest
    flame_ratio: Quantity | None  # preheat oxygen over fuel
    as_set: AsSet | None
    as_set_problem: str  # why there is no as-set answer although the file has settings: a word, or empty
    assumed: tuple[tuple[str, str], ...]  # (dotted field, what was taken) for every optional field left out
    as_read: dict[str, AsSetLine] = field(default_factory=dict)  # pressures as set, where the file has settings and no flow can be told

    def now(self, name: str) -> AsSetLine | None:
        """One line as the gauges stand: its pressures are known wherever the file has settings, its flows where there is an answer."""
        return self.as_set.lines.get(name) if self.as_set else self.as_read.get(name)

    @property
    def cap(self) -> Cap:
        """Acetylene's cap in force here, whatever the station burns."""
        return cap(self.setup.policy, self.atmosphere)

    def static_ceiling(self, name: str) -> float:
        """Lowest limit [Pa gauge] on a line's pressure with the valves shut."""
        return static_ceiling(self.setup, name, self.atmosphere)

    def wall(self, name: str) -> tuple[float, str]:
        """The same, and which it is: "cap", "range" or "closing"."""
        return wall(self.setup, name, self.atmosphere)

    def flowing_ceiling(self, name: str) -> float:
        """Lowest limit [Pa gauge] on a line's flowing pressure."""
        return flowing_ceiling(self.setup, name, self.atmosphere)
