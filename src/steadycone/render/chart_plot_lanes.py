"""What a tip chart's plot shows, before it has places: one lane a column of the chart, one span a row in it."""

import math
from dataclasses import dataclass, replace

from steadycone.assembly.ceiling import region_cap
from steadycone.assembly.fuels import MIXED
from steadycone.data import reader
from steadycone.physics.gas import load
from steadycone.practice.chart_doubt import ends_of, is_cutting
from steadycone.practice.finding import Finding
from steadycone.render.limit_text import limit_text
from steadycone.render.model import Side
from steadycone.render.words import Words, capital
from steadycone.station.chart import Chart, Row
from steadycone.units import ATMOSPHERE, GasFlow, Pressure

Ends = tuple[Pressure, Pressure] | tuple[GasFlow, GasFlow]
MEASURES = {
    "pressure": ("oxygen_pressure", "preheat_oxygen_pressure", "fuel_pressure"),
    "flow": ("cutting_oxygen", "preheat_oxygen", "fuel_flow"),
}
KINDS = {"pressure": "gauge pressure", "flow": "flow"}
_ALONG = ("oxygen_pressure", "cutting_oxygen")  # a range of these is read along the thickness: assembly/target.py
_STEPS = 8  # of a bow


@dataclass(frozen=True, slots=True)
class Span:
    """One row in one lane. Places are of `Across`; `low` and `high` in the region's unit.

    rise : where a range is read along the thickness, the places and values it goes through; else empty
    """

    size: str
    start: float
    end: float
    low: float
    high: float
    rise: tuple[tuple[float, float], ...]
    doubted: bool


@dataclass(frozen=True, slots=True)
class Lane:
    """One column of the chart. `cap` in the region's unit, `cap_text` beside it; `unplaced`: rows that could not be converted."""

    heading: str
    side: Side
    spans: tuple[Span, ...]
    cap: float | None = None
    cap_text: str = ""
    unplaced: bool = False


@dataclass(frozen=True, slots=True)
class Across:
    """The axis that all lanes share: shares 0 to 1 of its width. `ticks`: place and text. `by_size`: the chart's rows in order.

    least, most : the thickness [m] at its ends; 0 where it is by size
    """

    places: tuple[tuple[float, float], ...]  # of each row
    ticks: tuple[tuple[float, str], ...]
    title: str
    by_size: bool
    least: float = 0.0
    most: float = 0.0

    def at(self, thickness: float) -> float:
        """The place of a thickness [m]."""
        wide = math.log(self.most / self.least)
        return math.log(max(thickness, self.least) / self.least) / wide if wide > 0 else 0.5


def thickness_of(row: Row) -> tuple[float, float] | None:
    """A row's thickness band [m]; None where it has none."""
    return ends_of(row)


def across_of(chart: Chart, words: Words) -> Across:
    """By thickness where every row has one, each doubling as wide; else every row a slot of its own."""
    said = reader.toml("chart_plot.toml")["axis"]
    bands = [ends for row in chart.rows if (ends := thickness_of(row))]
    if not bands or len(bands) < len(chart.rows) or any(high <= 0 for _, high in bands):
        count = max(len(chart.rows), 1)
        places = tuple(((i + 0.15) / count, (i + 0.85) / count) for i in range(len(chart.rows)))
        ticks = tuple(((i + 0.5) / count, row.size) for i, row in enumerate(chart.rows))
        return Across(places, ticks, words.fill(said["size"], {}), by_size=True)
    steps = sorted({end for band in bands for end in band if end > 0})
    opened = any(low <= 0 for low, _ in bands)
    title = words.fill(said["thickness"], {"unit": words.numbers.unit_shown("thickness")})
    axis = Across((), (), title, by_size=False, least=steps[0] / (2 if opened else 1), most=steps[-1])
    ticks = tuple((axis.at(end), words.numbers.bare(end, "thickness")) for end in steps)
    return replace(axis, places=tuple((axis.at(low), axis.at(high)) for low, high in bands), ticks=ticks)


def lanes_of(chart: Chart, words: Words, measure: str, doubts: tuple[Finding, ...], cap: float | None) -> tuple[Lane, ...]:
    """The lanes of one panel: pressure or flow. A column that the chart does not have is no lane."""
    doubted = doubted_figures(doubts)
    across = across_of(chart, words)
    return tuple(
        _lane(chart, field, words, across, doubted, cap)
        for field in MEASURES[measure]
        if any(getattr(row, field) is not None for row in chart.rows)
    )


def doubted_figures(doubts: tuple[Finding, ...]) -> dict[int, set[str]]:
    """Figures in doubt, by the line of their row; an overlap or a gap is of both its rows."""
    found: dict[int, set[str]] = {}
    for doubt in doubts:
        for key in ("line", "other_line"):
            line = doubt.blanks.get(key)
            if isinstance(line, str) and line.isdigit():
                found.setdefault(int(line), set()).update(str(doubt.blanks.get("figures", "thickness")).split(", "))
    return found


def lane_name(chart: Chart, field: str, words: Words) -> str:
    """What a column is called: the gas, and its use where oxygen has two."""
    said = reader.toml("chart_plot.toml")["lane"]
    if field in ("fuel_pressure", "fuel_flow"):
        return capital(words.gas(chart.fuel)) if chart.fuel and "," not in chart.fuel else str(said["fuel"])
    if field == "oxygen_pressure":
        return str(said["cutting" if any(row.preheat_oxygen_pressure for row in chart.rows) else "oxygen"])
    if field == "cutting_oxygen":
        return str(said["cutting"])
    return str(said["preheat"]) if field == "preheat_oxygen_pressure" or is_cutting(chart) else str(said["oxygen"])


def _lane(chart: Chart, field: str, words: Words, across: Across, doubted: dict[int, set[str]], cap: float | None) -> Lane:
    kind = KINDS["pressure" if "pressure" in field else "flow"]
    side: Side = "fu" if field in ("fuel_pressure", "fuel_flow") else "ox"
    spans, unplaced = [], False
    for row, (start, end) in zip(chart.rows, across.places, strict=True):
        ends: Ends | None = getattr(row, field)
        if ends is None:
            continue
        sizes = [_si(one, chart, side) for one in ends]
        if None in sizes:
            unplaced = True
            continue
        low, high = sorted(words.numbers.convert(si, kind) for si in sizes if si is not None)
        figures = doubted.get(row.line, set())
        rise = _rise(thickness_of(row), low, high, across) if field in _ALONG else ()
        spans.append(Span(row.size, start, end, low, high, rise, bool(figures & {field, "thickness"})))
    heading = f"{lane_name(chart, field, words)}, {words.numbers.unit_shown(kind)}"
    limit = _cap(chart, words, cap) if field == "fuel_pressure" else None
    if limit is None:
        return Lane(heading, side, tuple(spans), unplaced=unplaced)
    shown = words.numbers.joined(limit_text(limit, words), kind)
    told = reader.toml("chart_plot.toml")["mark"]["cap"].format(limit=shown)
    return Lane(heading, side, tuple(spans), words.numbers.convert(limit, kind), told, unplaced)


def _rise(band: tuple[float, float] | None, low: float, high: float, across: Across) -> tuple[tuple[float, float], ...]:
    """A range read in equal steps of the plate, on an axis of equal ratios: a bow, not a chord."""
    if across.by_size or band is None or band[1] <= max(band[0], across.least) or high <= low:
        return ()
    start, end = max(band[0], across.least), band[1]
    plates = [start * (end / start) ** (i / _STEPS) for i in range(_STEPS + 1)]
    return tuple((across.at(plate), low + (plate - band[0]) / (band[1] - band[0]) * (high - low)) for plate in plates)


def _si(end: Pressure | GasFlow, chart: Chart, side: Side) -> float | None:
    """Pa gauge or mol/s; None for a mass of gas whose molar mass the chart leaves open."""
    if isinstance(end, Pressure):
        return end.gauge(ATMOSPHERE)
    if not end.by_mass:
        return end.si
    if side == "ox":
        return end.amount(load("oxygen").molar_mass)
    if not chart.fuel or "," in chart.fuel or chart.fuel in MIXED:
        return None
    return end.amount(load(chart.fuel).molar_mass)


def _cap(chart: Chart, words: Words, cap: float | None) -> float | None:
    """Acetylene's cap [Pa gauge], as given or the region's own; None for another fuel."""
    if chart.fuel is None or "acetylene" not in chart.fuel.split(", "):
        return None
    return region_cap(words.region) if cap is None else cap
