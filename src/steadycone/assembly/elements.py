"""Parts of a line as elements that a march understands."""

from steadycone.assembly.bores import bore_doubt
from steadycone.assembly.corner import Corner
from steadycone.assembly.sharing import others, shared_parts
from steadycone.assembly.target import CHART_AIR
from steadycone.data.reader import toml
from steadycone.errors import SteadyconeError
from steadycone.physics.flow import (
    FlowPoint,
    Hose,
    Orifice,
    Resistance,
    Shared,
    Stream,
    equivalent_bore,
    fit,
    fit_band,
    of_opening,
    stream_of,
)
from steadycone.physics.flow import Line as FlowLine
from steadycone.physics.flow.line import Element
from steadycone.physics.gas import Gas, load
from steadycone.station import parts
from steadycone.station.setup import Line

TEST_TEMPERATURE = 293.15  # K, of the gas in a maker's flow curve: room temperature, judged by us


def part_subject(line_name: str, number: int, part: parts.Part) -> str:
    """ "oxygen part 2 (hose)"; number counts from 1."""
    return f"{line_name} part {number} ({part.word})"


def flow_line(line: Line, name: str, stream: Stream, corner: Corner) -> FlowLine:
    """The line's parts at one corner, regulator to torch."""
    bore = narrowest_bore(line)
    elements = []
    for number, part in enumerate(line.part, start=1):
        try:
            elements.append(element(part, stream, corner, bore))
        except SteadyconeError as error:
            raise error.at(part_subject(name + ".", number, part).replace(". ", ".")) from error
    return FlowLine(tuple(elements))


class FlowLines:
    """The flow lines of one station, each built at a corner when it is first asked for."""

    def __init__(self, lines: dict[str, Line], streams: dict[str, Stream], atmosphere: float) -> None:
        self._lines, self.streams, self.atmosphere = lines, streams, atmosphere
        self._built: dict[tuple[str, Corner], FlowLine] = {}

    def at(self, name: str, corner: Corner) -> FlowLine:
        """Raises InputError: a part that no flow line can hold."""
        if (name, corner) not in self._built:
            alone = flow_line(self._lines[name], name, self.streams[name], corner)
            self._built[name, corner] = _with_others(alone, self._lines[name], self.streams[name].molar_mass)
        return self._built[name, corner]


def _with_others(alone: FlowLine, line: Line, molar_mass: float) -> FlowLine:
    """The parts that other torches draw through carry their flow too."""
    more, count = others(line, molar_mass) * molar_mass, shared_parts(line)
    if not more or not count:
        return alone
    return FlowLine((*(Shared(element, more) for element in alone.elements[:count]), *alone.elements[count:]))


def narrowest_bore(line: Line) -> float:
    """Bore of the narrowest hose [m]: what undescribed parts are sized by."""
    return min(part.bore.si for part in line.part if isinstance(part, parts.Hose))


def element(part: parts.Part, stream: Stream, corner: Corner, hose_bore: float) -> Element:
    """One part as an element."""
    if isinstance(part, parts.Hose | parts.Pipe):
        roughness = part.roughness.si if part.roughness else corner.roughness
        fittings = part.fittings.si if part.fittings else corner.fittings
        bore = part.bore.si + (corner.bore * bore_doubt(part) if isinstance(part, parts.Hose) else 0.0)
        return Hose(stream, bore, part.length.si, roughness, fittings)
    cracking = opening_pressure(part)[corner.index]
    if part.flow_points:
        conductance, ratio = _fitted(part, corner, cracking)
        return Resistance(stream, conductance, ratio, cracking)
    if part.sonic_conductance:
        assert part.critical_ratio is not None  # the reader asks for both
        return Resistance(stream, part.sonic_conductance.si, part.critical_ratio.si, cracking)
    area = _opening_area(part, corner, hose_bore)
    return Orifice(stream, area) if cracking == 0.0 else Resistance(stream, *of_opening(area), cracking)


def flow_unknown(part: parts.Part) -> bool:
    """Whether it has a valve in it and nothing says what it passes: then both its opening and its opening pressure are judged."""
    if not isinstance(part, parts.Arrestor | parts.CheckValve):
        return False
    return not (part.flow_points or part.sonic_conductance or part.equivalent_bore)


def opening_pressure(part: parts.Restriction) -> tuple[float, float, float]:
    """What holds a part shut [Pa], at the kind end, as taken, and at the unkind end.

    As stated. Left out it is nothing, but for a part of unknown flow with a valve in it.

    Source      judged-part-bore
    """
    if part.cracking is not None:
        return (part.cracking.si,) * 3
    if not flow_unknown(part):
        return (0.0,) * 3
    kind, taken, unkind = toml("defaults.toml")["part"]["opening_pressure_mbar"]
    return 100.0 * kind, 100.0 * taken, 100.0 * unkind


def coefficient_of(part: parts.Restriction) -> float:
    """Of discharge of its opening, as stated or as usual. Source: judged-part-bore."""
    return part.coefficient.si if part.coefficient else float(toml("defaults.toml")["part"]["coefficient"])


def shares_of_bore(part: parts.Restriction) -> tuple[float, float, float]:
    """The opening of a part that nothing describes, as a share of the hose's bore: kind, as taken, unkind. Source: judged-part-bore."""
    kind, taken, unkind = toml("defaults.toml")["part"][part.word]
    return kind, taken, unkind


def _opening_area(part: parts.Restriction, corner: Corner, hose_bore: float) -> float:
    bore = part.equivalent_bore.si if part.equivalent_bore else shares_of_bore(part)[corner.index] * hose_bore
    return equivalent_bore(bore, coefficient_of(part))


def _fitted(part: parts.Restriction, corner: Corner, cracking: float) -> tuple[float, float]:
    """From the maker's points, taken on a bench in ordinary air wherever the part is used."""
    points = []
    for point in part.flow_points:
        gas: Gas = load(point.gas)
        stream = stream_of(gas, TEST_TEMPERATURE)
        flow = point.flow.amount(gas.molar_mass) * gas.molar_mass
        points.append(FlowPoint(point.inlet.abs(CHART_AIR), point.drop.si, flow, stream))
    found = fit(points, cracking) if corner.end == 0 else fit_band(points, cracking)[max(corner.end, 0)]
    return found.conductance, found.critical_ratio
