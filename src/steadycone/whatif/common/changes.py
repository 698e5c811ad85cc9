"""Changes that free a line, in the order of their cost, and what each brings. No part that protects is left out to gain flow."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from steadycone.assembly.figures import Figures
from steadycone.physics.flow import Hose, Orifice, Resistance, Station
from steadycone.physics.flow.line import Element
from steadycone.practice.hose import bores
from steadycone.practice.limits import limit
from steadycone.station import parts
from steadycone.whatif.common.fitted import Change, Flows, changed, flows_of

_LENGTHS = (60.0, 40.0, 30.0, 20.0, 15.0, 10.0, 5.0)  # m, as hoses are sold: judged, with restriction-order
_TIMES = 2.0  # arrestor-higher-flow


@dataclass(frozen=True, slots=True)
class Case:
    """The station at some regulator pressures [Pa gauge]: as described, then at every outer corner."""

    figures: Figures
    stations: tuple[Station, ...]
    pressures: Mapping[str, float]

    @property
    def station(self) -> Station:
        return self.stations[0]

    def wanted(self) -> dict[str, float]:
        """mol/s by the chart; a stream it does not have is left out."""
        lines = self.figures.lines
        preheat, cutting = lines.get("preheat_oxygen", lines["oxygen"]).preheat_flow, lines["oxygen"].cutting_flow
        every = {"fuel": lines["fuel"].flow.value, "preheat": preheat and preheat.value, "cutting": cutting and cutting.value}
        return {name: flow for name, flow in every.items() if flow}

    def shares(self, flows: Flows) -> dict[str, float]:
        """Each stream over what the chart wants."""
        return {name: getattr(flows, name) / flow for name, flow in self.wanted().items()}

    def feeding(self, stream: str) -> str:
        """The line that feeds a stream."""
        three = "preheat_oxygen" in self.figures.lines
        return {"fuel": "fuel", "preheat": "preheat_oxygen" if three else "oxygen", "cutting": "oxygen"}[stream]

    def flow(self, station: Station, pressures: Mapping[str, float] | None = None) -> Flows:
        return flows_of(station, self.figures, pressures or self.pressures)


@dataclass(frozen=True, slots=True)
class Tried:
    """One change, in the order of its cost. `what` such as "15 m" or "8 mm", "" where nothing is to be named.

    shares : of the chart, as described;  least : of all streams at the unsafe end, by which it cures or not
    """

    key: str
    what: str
    shares: dict[str, float]
    least: float
    flows: Flows

    @property
    def cures(self) -> bool:
        return enough(self.least)


def enough(share: float) -> bool:
    """Whether a share of the chart's flow is no caution for the tip."""
    return share >= 1.0 - limit("tip-short-caution").si - 1e-9


def tried(case: Case, short: list[str]) -> Iterator[Tried]:
    """Every change that can be had, cheapest first; of lengths and bores the first that cures, else the last.

    Source      restriction-order
    """
    if not short:
        return
    if (pressures := _as_card(case.figures)) is not None and pressures != dict(case.pressures):
        yield _try(case, "screw", "", case.stations, pressures)
    for key, changes in (("length", _shorter(case, short)), ("bore", _wider(case, short)), ("arrestor", _freer(case, short))):
        yield from _first_cure(case, key, changes, short)
    both = [(text, _both(bore)) for text, bore in _bores(case, short)]
    yield from _first_cure(case, "bore-and-arrestor", both, short)


def short_lines(case: Case, ends: list[dict[str, float]]) -> list[str]:
    """Lines that feed a stream which may be short."""
    return list(dict.fromkeys(case.feeding(stream) for shares in ends for stream, share in shares.items() if not enough(share)))


def _as_card(figures: Figures) -> dict[str, float] | None:
    """What the card says to set, where every line may be set so: static under its ceiling even at the unsafe end."""
    found = {}
    for name, line in figures.lines.items():
        ceiling = figures.static_ceiling(name)
        if line.set_pressure.value is None or line.static.high is None or line.static.high > ceiling * (1 + 1e-9):
            return None
        found[name] = line.set_pressure.value
    return found


def _first_cure(case: Case, key: str, changes: list[tuple[str, Change]], short: list[str]) -> Iterator[Tried]:
    last = None
    for what, change in changes:
        last = _try(case, key, what, tuple(_all_changed(station, short, change) for station in case.stations), None)
        if last.cures:
            break
    if last is not None:
        yield last


def _all_changed(station: Station, names: list[str], change: Change) -> Station:
    for name in names:
        station = changed(station, name, change)
    return station


def _try(case: Case, key: str, what: str, stations: tuple[Station, ...], pressures: Mapping[str, float] | None) -> Tried:
    flows = [case.flow(station, pressures) for station in stations]
    shares = [case.shares(each) for each in flows]
    return Tried(key, what, shares[0], min(min(each.values()) for each in shares), flows[0])


def _shorter(case: Case, short: list[str]) -> list[tuple[str, Change]]:
    longest = max(part.length.si for name in short for part in case.figures.lines[name].line.part if isinstance(part, parts.Hose))
    return [(f"{length:g} m", _cut(length)) for length in _LENGTHS if length < longest - 1e-9]


def _wider(case: Case, short: list[str]) -> list[tuple[str, Change]]:
    return [(text, _bored(bore)) for text, bore in _bores(case, short)]


def _bores(case: Case, short: list[str]) -> list[tuple[str, float]]:
    narrowest = min(part.bore.si for name in short for part in case.figures.lines[name].line.part if isinstance(part, parts.Hose))
    return [(text, bore) for text, bore in bores(case.figures) if bore > 1.02 * narrowest][:3]


def _freer(case: Case, short: list[str]) -> list[tuple[str, Change]]:
    has = any(isinstance(part, parts.Arrestor) for name in short for part in case.figures.lines[name].line.part)
    return [("", lambda _, element: _double(element))] if has else []


def _cut(most: float) -> Change:
    """Hoses no longer than `most` [m]."""
    return lambda _, element: replace(element, length=min(element.length, most)) if isinstance(element, Hose) else element


def _bored(bore: float) -> Change:
    """Hoses no narrower than a bore [m]."""
    return lambda _, element: _wide(element, bore)


def _both(bore: float) -> Change:
    return lambda _, element: _double(_wide(element, bore))


def _wide(element: Element, bore: float) -> Element:
    return replace(element, bore=max(element.bore, bore)) if isinstance(element, Hose) else element


def _double(element: Element) -> Element:
    """Arrestors, check valves and valves of twice the flow."""
    if isinstance(element, Resistance):
        return replace(element, conductance=_TIMES * element.conductance)
    return replace(element, area=_TIMES * element.area) if isinstance(element, Orifice) else element
