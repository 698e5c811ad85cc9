"""A row of a chart against the rows beside it: a slipped decimal point stands out."""

from math import sqrt

from steadycone.practice.chart_doubt import suspect
from steadycone.practice.finding import Finding
from steadycone.practice.limits import limit
from steadycone.quantity import exact
from steadycone.station.chart import Chart, Row
from steadycone.units import GasFlow, Measure

# Row fields that rise slowly from size to size, and what a reader sees them as.
_FIGURES = {
    "oxygen_pressure": "gauge pressure",
    "fuel_pressure": "gauge pressure",
    "cutting_oxygen": "flow",
    "preheat_oxygen": "flow",
    "fuel_flow": "flow",
    "cutting_bore": "thickness",
    "speed": "speed",
}
_OXYGEN = 31.9988e-3  # kg/mol, for flows given by mass; only ratios within a column are looked at here


def doubts(chart: Chart) -> list[Finding]:
    """One finding for each figure that stands far off its neighbours; a chart of two rows has none."""
    return [finding for field in _FIGURES for finding in _column(chart, field)]


def _column(chart: Chart, field: str) -> list[Finding]:
    filled = [(row, size) for row in chart.rows if (size := _size(row, field))]
    found = []
    for number, (row, size) in enumerate(filled):
        likely = _likely([size for _, size in filled], number)
        times = limit("chart-neighbour-times" if 0 < number < len(filled) - 1 else "chart-neighbour-end-times")
        if likely is not None and not likely / times.si <= size <= likely * times.si:
            kind = _FIGURES[field]
            told = suspect(row, "neighbours", (field,), exact(size, kind), exact(likely, kind), times.source)
            found.append(told)
            told.blanks["figure"] = field.replace("_", " ")
    return found


def _likely(sizes: list[float], number: int) -> float | None:
    """What the neighbours make likely: their geometric mean, at an end the next one carried on by its own step."""
    if len(sizes) < 3:
        return None
    if 0 < number < len(sizes) - 1:
        return sqrt(sizes[number - 1] * sizes[number + 1])
    if number == 0:
        return sizes[1] * min(1.0, max(0.5, sizes[1] / sizes[2]))
    return sizes[-2] * min(2.0, max(1.0, sizes[-2] / sizes[-3]))


def _size(row: Row, field: str) -> float:
    """The middle of a figure, SI; nothing where the row has none."""
    cell = getattr(row, field)
    if cell is None:
        return 0.0
    ends = cell if isinstance(cell, tuple) else (cell, cell)
    return float(sum(_si(end) for end in ends)) / 2


def _si(measure: Measure) -> float:
    return measure.amount(_OXYGEN) if isinstance(measure, GasFlow) else measure.si
