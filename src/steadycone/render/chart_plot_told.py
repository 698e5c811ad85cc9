"""A tip chart row by row in words, for those who don't see its plot."""

from steadycone.data import reader
from steadycone.practice.finding import Finding
from steadycone.render.chart_plot_lanes import MEASURES, Ends, thickness_of
from steadycone.render.chart_plot_lanes import lane_name as named
from steadycone.render.numbers import Numbers
from steadycone.render.words import Words
from steadycone.station.chart import Chart, Row
from steadycone.units import ATMOSPHERE, GasFlow, Pressure


def description(chart: Chart, words: Words, doubts: tuple[Finding, ...]) -> str:
    """Every row with its figures, then what is in doubt."""
    said = reader.toml("chart_plot.toml")["told"]
    rows = [_row(chart, row, words) for row in chart.rows]
    doubted = [said["doubt"].format(subject=words.subject(found.subject), says=words.says(found)) for found in doubts]
    return " ".join([*rows, *(doubted or [said["none"]])])


def _row(chart: Chart, row: Row, words: Words) -> str:
    said, numbers = reader.toml("chart_plot.toml")["told"], words.numbers
    figures = []
    for fields in MEASURES.values():
        for field in fields:
            ends: Ends | None = getattr(row, field)
            if ends is not None:
                figures.append(f"{named(chart, field, words).lower()} {_figure(ends, numbers)}")
    return words.fill(
        said["row"], {"size": row.size, "thickness": _thickness(row, words), "figures": ", ".join(figures) or words.fill("—", {})}
    )


def _thickness(row: Row, words: Words) -> str:
    said, ends = reader.toml("chart_plot.toml")["told"], thickness_of(row)
    if ends is None:
        return ""
    low, high = (words.numbers.joined(words.numbers.bare(end, "thickness"), "thickness") for end in ends)
    one = str(said["thickness_one"]).format(value=high)
    return one if low == high else str(said["thickness_two"]).format(low=low, high=high)


def _figure(ends: Ends, numbers: Numbers) -> str:
    shown = [_one(end, numbers) for end in ends]
    return shown[0] if shown[0] == shown[1] else reader.toml("chart_plot.toml")["told"]["range"].format(low=shown[0], high=shown[1])


def _one(end: Pressure | GasFlow, numbers: Numbers) -> str:
    if isinstance(end, Pressure):
        return numbers.joined(numbers.bare(end.gauge(ATMOSPHERE), "gauge pressure"), "gauge pressure")
    if end.by_mass:
        return end.text
    return numbers.joined(numbers.bare(end.si, "flow"), "flow")
