"""A chart as its pages show it: rows as a table with what is in doubt marked, and on a plot."""

from dataclasses import dataclass
from urllib.parse import quote

from steadycone.files.chart_doubts import chart_doubts
from steadycone.render.chart_plot import chart_plot_svg
from steadycone.render.chart_table import chart_cells
from steadycone.render.words import Words, capital
from steadycone.station.chart import Chart

MOST_ROWS = 400  # shown on a page; a maker's chart has some ten to a hundred
MOST_PLOTTED = 120


@dataclass(frozen=True, slots=True)
class Doubt:
    """One finding of the check. line : of the file."""

    line: str
    subject: str
    says: str
    remedy: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ChartView:
    """rows : cells and whether the row is in doubt. plots : for a desk and for a phone, empty where there are too many rows."""

    title: str
    about: tuple[tuple[str, str], ...]
    heads: tuple[tuple[str, str], ...]
    rows: tuple[tuple[tuple[str, ...], bool], ...]
    left_out: int
    doubts: tuple[Doubt, ...]
    plots: tuple[str, str]
    count: int


def view_of(chart: Chart, region: str, cap: float) -> ChartView:
    """cap : acetylene's, by the policy in force [Pa gauge]"""
    words, found = Words.of(region), chart_doubts(chart, region, cap)
    doubted = {str(finding.blanks.get(name, "")) for finding in found for name in ("line", "other_line")}
    head, units, cells = chart_cells(chart, region)
    marked = [(tuple(row), str(each.line) in doubted) for row, each in zip(cells, chart.rows, strict=True)]
    doubts = tuple(Doubt(str(f.blanks["line"]), words.subject(f.subject), words.says(f), words.remedy(f), f.sources) for f in found)
    plots = ("", "")
    if len(chart.rows) <= MOST_PLOTTED:
        wide, narrow = (
            chart_plot_svg(
                chart, region, prefix=prefix, findings=found, narrow=prefix == "narrow", cap=cap if chart.fuel == "acetylene" else None
            )
            for prefix in ("wide", "narrow")
        )
        plots = (wide, narrow)
    return ChartView(
        title=chart.title or chart.name,
        about=tuple((capital(key), value) for key, value in chart.written.items() if key != "title"),
        heads=tuple((capital(name), unit) for name, unit in zip(head, units, strict=True)),
        rows=tuple(marked[:MOST_ROWS]),
        left_out=max(0, len(marked) - MOST_ROWS),
        doubts=doubts,
        plots=plots,
        count=len(chart.rows),
    )


def paper_url(what: str, name: str) -> str:
    """The page of a chart or policy; its name may stand in folders."""
    return f"/{'charts' if what == 'chart' else 'policies'}/{quote(name, safe='/')}"
