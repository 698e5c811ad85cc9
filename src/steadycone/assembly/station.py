"""The setup as one flow network: lines, and openings fitted to the chart row at the torch inlet."""

from dataclasses import dataclass, replace

from steadycone.assembly.corner import Corner
from steadycone.assembly.elements import FlowLines
from steadycone.assembly.target import Target
from steadycone.physics.flow import Openings, Station, fit_openings, stream_of
from steadycone.physics.gas import Gas
from steadycone.station.setup import Setup


@dataclass(frozen=True, slots=True)
class Inlet:
    """The chart row at the torch inlet, complete: pressures [Pa abs], flows [kg/s]. `preheat_pressure` is the oxygen's in a two-hose torch."""

    oxygen_pressure: float
    fuel_pressure: float
    preheat_pressure: float
    cutting_flow: float
    preheat_flow: float
    fuel_flow: float


def inlet(target: Target, three_hose: bool, cutting: bool) -> Inlet | None:
    """The target as an inlet, or None when the chart leaves out what a solve needs."""
    leg = target.preheat_pressure if three_hose else target.oxygen_pressure
    needed = (target.oxygen_pressure, target.fuel_pressure, leg, target.preheat_flow, target.fuel_flow)
    if any(value is None for value in needed) or (cutting and target.cutting_flow is None):
        return None
    oxygen, fuel, preheat, preheat_flow, fuel_flow = (float(value) for value in needed if value is not None)
    return Inlet(oxygen, fuel, preheat, target.cutting_flow or 0.0, preheat_flow, fuel_flow)


def openings(row: Inlet, fuel: Gas, oxygen: Gas, ambient: float, atmosphere: float, mixing_share: float, injector: bool) -> Openings:
    """Openings that give the row back, the mixing point at a share of the fuel's gauge pressure.

    An injector is taken to hold its suction chamber at the atmosphere in the charted flame (judged by us: it is what lets a fuel
    of a few millibar in), and its lift to follow the oxygen jet from there.

    Raises  OutOfRange: the row's pressures cannot drive its flows.
    """
    mixing = atmosphere + mixing_share * (row.fuel_pressure - atmosphere)
    return fit_openings(
        row.preheat_pressure,
        row.fuel_pressure,
        row.preheat_flow,
        row.fuel_flow,
        row.cutting_flow,
        mixing,
        atmosphere,
        stream_of(oxygen, ambient),
        stream_of(fuel, ambient),
        cutting_oxygen_pressure=row.oxygen_pressure,
        suction=mixing - atmosphere if injector else 0.0,
    )


def flow_lines(setup: Setup, fuel: Gas, oxygen: Gas, ambient: float, atmosphere: float) -> FlowLines:
    """The setup's lines with their gases in them."""
    oxygen_stream, fuel_stream = stream_of(oxygen, ambient), stream_of(fuel, ambient)
    lines = setup.lines
    return FlowLines(lines, {name: fuel_stream if name == "fuel" else oxygen_stream for name in lines}, atmosphere)


def network(setup: Setup, fuel: Gas, oxygen: Gas, fitted: Openings, corner: Corner, ambient: float, atmosphere: float) -> Station:
    """All lines at one corner with these openings."""
    return connected(flow_lines(setup, fuel, oxygen, ambient, atmosphere), fitted, corner)


def connected(lines: FlowLines, fitted: Openings, corner: Corner, fuel: Corner | None = None) -> Station:
    """The same from lines that may have been built before; the fuel's line at a corner of its own where one is given."""
    streams = lines.streams
    return Station(
        lines.at("oxygen", corner),
        lines.at("fuel", fuel or corner),
        fitted,
        streams["oxygen"],
        streams["fuel"],
        lines.atmosphere,
        lines.at("preheat_oxygen", corner) if "preheat_oxygen" in streams else None,
    )


def only(station: Station, gas: str) -> Station:
    """The station with the torch valves of the other gas shut, as in a purge: "fuel", "oxygen" or "preheat_oxygen"."""
    fitted = station.openings
    if gas == "fuel":
        return replace(station, openings=replace(fitted, oxygen_area=0.0, cutting_area=0.0, injector=None))
    if gas == "preheat_oxygen":
        return replace(station, openings=replace(fitted, fuel_area=0.0, cutting_area=0.0, injector=None))
    return replace(station, openings=replace(fitted, fuel_area=0.0, injector=None))
