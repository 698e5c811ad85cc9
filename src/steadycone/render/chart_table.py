"""A tip chart as a plain table in a region's units."""

from steadycone.render.numbers import Numbers
from steadycone.render.words import Words
from steadycone.station.chart import Chart, Row
from steadycone.units import ATMOSPHERE, GasFlow, Length, Measure, Pressure, Speed

# field of a row: heading of two lines, kind of quantity
_COLUMNS: dict[str, tuple[str, str]] = {
    "oxygen_pressure": ("oxygen", "gauge pressure"),
    "preheat_oxygen_pressure": ("preheat", "gauge pressure"),
    "fuel_pressure": ("fuel", "gauge pressure"),
    "cutting_oxygen": ("cutting", "flow"),
    "preheat_oxygen": ("preheat", "flow"),
    "fuel_flow": ("fuel", "flow"),
    "cutting_bore": ("bore", "thickness"),
    "speed": ("speed", "speed"),
    "kerf": ("kerf", "thickness"),
    "pierce_limit": ("pierce to", "thickness"),
}


def chart_table(chart: Chart, region: str) -> str:
    """About-lines and one line a row. Flows given by mass stay in the unit they were written in."""
    head, units, rows = chart_cells(chart, region)
    wide = [max(len(row[i]) for row in [head, units, *rows]) for i in range(len(head))]
    table = ["  ".join(f"{cell:>{size}}" for cell, size in zip(row, wide, strict=True)).rstrip() for row in [head, units, *rows]]
    numbers = Numbers.of(region)
    about = [chart.title or chart.name, *(f"{key}: {value}" for key, value in chart.written.items() if key != "title")]
    return "\n".join([*about, f"shown with flows at {numbers.reference_state}", "", *table]) + "\n"


def chart_cells(chart: Chart, region: str) -> tuple[list[str], list[str], list[list[str]]]:
    """Headings, their units, and a line a row in the chart's order; "" where a chart says nothing. Raises UnknownName."""
    words = Words.of(region)
    numbers = words.numbers
    columns = [name for name in _COLUMNS if any(getattr(row, name) is not None for row in chart.rows)]
    head = [words.table["tip"], "thickness", *(_COLUMNS[name][0] for name in columns)]
    units = ["", numbers.unit_shown("thickness"), *(numbers.unit_shown(_COLUMNS[name][1]) for name in columns)]
    rows = [
        [row.size, _thickness(row, numbers), *(_cell(getattr(row, name), _COLUMNS[name][1], numbers) for name in columns)]
        for row in chart.rows
    ]
    return head, units, rows


def _thickness(row: Row, numbers: Numbers) -> str:
    ends = [numbers.bare(end.si, "thickness") for end in (row.thickness_from, row.thickness_to) if end is not None]
    return " to ".join(ends)


def _cell(given: Measure | tuple[Measure, Measure] | None, kind: str, numbers: Numbers) -> str:
    if given is None:
        return ""
    ends = given if isinstance(given, tuple) else (given, given)
    shown = [_one(end, kind, numbers) for end in ends]
    return shown[0] if shown[0] == shown[1] else " to ".join(shown)


def _one(value: Measure, kind: str, numbers: Numbers) -> str:
    if isinstance(value, Pressure):
        return numbers.bare(value.gauge(ATMOSPHERE), kind)
    if isinstance(value, GasFlow) and value.by_mass:
        return value.text
    if isinstance(value, GasFlow | Length | Speed):
        return numbers.bare(value.si, kind)
    raise TypeError(type(value))
