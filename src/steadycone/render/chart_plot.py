"""The rows of a tip chart on a plot: pressures above flows, against thickness, each gas on a scale of its own."""

from collections.abc import Iterable
from html import escape

from steadycone.data import reader
from steadycone.practice.finding import Finding
from steadycone.quantity import exact
from steadycone.render.chart_plot_draw import BAND, GAP, Page, axis_svg, lane_svg, left_of
from steadycone.render.chart_plot_lanes import Across, Lane, across_of, lanes_of
from steadycone.render.chart_plot_told import description
from steadycone.render.glyphs import mark
from steadycone.render.textwidth import wrap
from steadycone.render.view import hose_colours
from steadycone.render.words import Words, capital
from steadycone.station.chart import Chart

WIDE, NARROW = 720.0, 358.0  # viewBox units: a desk, and a phone of 390 px less its margins, where one unit is one px
_TITLE, _NOTE = 22.0, 18.0


def chart_plot_svg(
    chart: Chart, region: str, *, prefix: str, findings: Iterable[Finding], narrow: bool = False, cap: float | None = None
) -> str:
    """One inline SVG. Needs tokens.css, train.css and chart_plot.css.

    Parameters
    ----------
    chart : as read
    region : whose words, units and hose colours
    prefix : makes ids unlike those of other drawings on the page
    findings : what check_chart found; the rows they name are hatched
    narrow : 358 units wide instead of 720; text is 14 units in both
    cap : float   [Pa gauge], acetylene's cap by the policy in force; left out, the region's own

    Raises  UnknownName: no such region.
    """
    words, doubts = Words.of(region), tuple(findings)
    lanes = {measure: lanes_of(chart, words, measure, doubts, cap) for measure in ("pressure", "flow")}
    page = Page(words, prefix, NARROW if narrow else WIDE, left_of(words, lanes["pressure"] + lanes["flow"]))
    across = across_of(chart, words)
    body, top = "", 2.0
    for measure, each in lanes.items():
        drawn, top = _panel(page, chart, across, each, measure, top)
        body += drawn
    if doubts:
        body += _key(page, top)
        top += BAND
    return _whole(chart, page, body, top, description(chart, words, doubts))


def _panel(page: Page, chart: Chart, across: Across, lanes: tuple[Lane, ...], measure: str, top: float) -> tuple[str, float]:
    """Title, note, lanes and the axis below them, from `top` down; and where it ends."""
    said, words = reader.toml("chart_plot.toml"), page.words
    title = words.fill(said["panel"][f"{measure}_by_size" if across.by_size else measure], {})
    body = f'<text class="cp-title" x="2" y="{top + 16:g}">{escape(title)}</text>'
    top += _TITLE
    note = _basis(chart, words) if measure == "pressure" else said["note"]["flow"].format(state=words.numbers.reference_state)
    for line in wrap(note if lanes else said["mark"]["empty"], 14, page.width - 4):
        body += f'<text class="cp-note" x="2" y="{top + 13:g}">{escape(line)}</text>'
        top += _NOTE
    if not lanes:
        return body, top + GAP
    started, crowded = top, False
    drawn = ""
    for lane in lanes:
        made = lane_svg(page, lane, across, top)
        drawn, top, crowded = drawn + made.svg, made.bottom, crowded or made.crowded
    axis, top, thinned = axis_svg(page, across, started, top)
    body += axis + drawn
    if crowded or thinned:
        for line in wrap(said["mark"]["crowded"], 14, page.width - 4):
            body += f'<text class="cp-note" x="2" y="{top + 13:g}">{escape(line)}</text>'
            top += _NOTE
    return body, top + GAP


def _basis(chart: Chart, words: Words) -> str:
    said = reader.toml("chart_plot.toml")["note"]
    if chart.basis == "regulator" and chart.basis_hose:
        length, bore = chart.basis_hose
        return words.fill(said["regulator hose"], {"length": exact(length.si, "length"), "bore": exact(bore.si, "thickness")})
    return words.fill(said[chart.basis or "unknown"], {})


def _key(page: Page, top: float) -> str:
    """What the hatching means."""
    told = reader.toml("chart_plot.toml")["mark"]["doubt"]
    return (
        f'<g transform="translate(2 {top:g}) scale(0.75)">{mark("caution")}</g>'
        f'<rect class="cp-doubt" fill="url(#{page.hatch})" x="26" y="{top + 4:g}" width="30" height="11"/>'
        f'<text class="cp-text" x="64" y="{top + 15:g}">{escape(told)}</text>'
    )


def _whole(chart: Chart, page: Page, body: str, tall: float, told: str) -> str:
    title = reader.toml("chart_plot.toml")["title"].format(chart=capital(chart.title or chart.name))
    fuel = (chart.fuel or "").partition(",")[0]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="chart-plot {hose_colours(page.words.region, fuel)}" role="img" '
        f'aria-labelledby="{page.prefix}-t {page.prefix}-d" viewBox="0 0 {page.width:g} {tall:g}">'
        f'<title id="{page.prefix}-t">{escape(title)}</title><desc id="{page.prefix}-d">{escape(told)}</desc>'
        f'<defs><pattern id="{page.hatch}" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(25)">'
        f'<rect class="cauf" width="8" height="8"/><rect class="onc" width="3.4" height="8"/></pattern></defs>{body}</svg>'
    )
