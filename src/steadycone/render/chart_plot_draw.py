"""Lanes of a tip chart's plot as SVG: spans, the sizes written at them, scales. Nothing that is written covers anything else."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from itertools import groupby
from typing import NamedTuple

from steadycone.data import reader
from steadycone.render.chart_plot_lanes import Across, Lane, Span
from steadycone.render.glyphs import mark, nut
from steadycone.render.textwidth import fit, text_width, wrap
from steadycone.render.whatif_chart import Scale
from steadycone.render.words import Words

TEXT = 14.0  # units: px on a phone
BAND, GAP = 24.0, 16.0
_RIGHT = 10.0
_HEADROOM, _TALL = 39.0, 92.0  # of a lane: above its scale for labels of the topmost spans, and the scale
_HALF = 5.0  # of a span's thickness, and a little air
_POINT = 16.0  # width of a row with a single thickness: a nut
_MARK = 16.0  # a triangle


@dataclass(frozen=True, slots=True)
class Page:
    words: Words
    prefix: str
    width: float
    left: float  # of the plots: the scales' numbers stand before it

    @property
    def hatch(self) -> str:
        return f"{self.prefix}-doubt"

    def at(self, share: float) -> float:
        """A share of the axis as a place."""
        return self.left + 6 + (self.width - self.left - _RIGHT - 12) * share


class Box(NamedTuple):
    left: float
    top: float
    right: float
    bottom: float

    def hits(self, other: "Box") -> bool:
        return self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom


class Made(NamedTuple):
    """A lane's drawing, where it ends, and whether a size found no room."""

    svg: str
    bottom: float
    crowded: bool


def lane_svg(page: Page, lane: Lane, across: Across, top: float) -> Made:
    """Heading with the gas's nut, scale, spans, sizes; from `top` down."""
    bottom = top + _HEADROOM + _TALL
    up = _up(lane, bottom, top + _HEADROOM)
    body = nut(lane.side, 2, top + 2, 0.8) + f'<text class="cp-text cp-bold cp-halo" x="23" y="{top + 15:g}">{escape(lane.heading)}</text>'
    body += _scale(page, up)
    taken = [_box(page, span, up) for span in lane.spans]
    room = Box(page.left, top + 18, page.width, bottom - 1)
    body += "".join(_span(page, span, lane, up) for span in lane.spans) + _cap(page, lane, up, taken, room)
    labels, crowded = _labels(page, lane, across, up, taken, room)
    bottom += 10
    note = ""
    if lane.unplaced:
        for line in wrap(reader.toml("chart_plot.toml")["mark"]["unplaced"], TEXT, page.width - page.left):
            note += f'<text class="cp-note" x="{page.left:g}" y="{bottom + 8:g}">{escape(line)}</text>'
            bottom += 18
    return Made(body + labels + note, bottom, crowded)


def left_of(words: Words, lanes: Iterable[Lane]) -> float:
    """Room for the longest number of any scale, at the left of every plot."""
    widest = 24.0
    for lane in lanes:
        up = _up(lane, 1.0, 0.0)
        each = _each(up)
        widest = max([widest, *(text_width(_number(words, value, each * up.step), TEXT) for value in up.ticks)])
    return widest + 12


def _up(lane: Lane, bottom: float, top: float) -> Scale:
    """From zero to the highest of the spans and the cap."""
    values = [end for span in lane.spans for end in (span.low, span.high)] + [lane.cap or 0.0]
    return Scale([*values, 0.0 if any(values) else 1.0, 0.0], bottom, top, zero=True)


def _each(up: Scale) -> int:
    """Every tick has its number, or every other where they would stand close."""
    return 1 if len(up.ticks) <= 4 else 2


def axis_svg(page: Page, across: Across, top: float, bottom: float) -> tuple[str, float, bool]:
    """Hairlines through all lanes and what they stand at. A text that would touch its neighbour is left out; True where a size was."""
    kept = _kept(page, across.ticks)
    drawn = ""
    if not across.by_size:
        drawn = "".join(f'<path class="cp-grid" d="M{page.at(x):.1f} {top:g}V{bottom:g}"/>' for x, _ in across.ticks)
    for x, text in kept:
        drawn += f'<text class="cp-text cp-mid" x="{_held(page, x, text):.1f}" y="{bottom + 13:g}">{escape(text)}</text>'
    bottom += 20
    for line in wrap(across.title, TEXT, page.width - page.left - _RIGHT):
        drawn += f'<text class="cp-note" x="{page.left + 6:g}" y="{bottom + 13:g}">{escape(line)}</text>'
        bottom += 18
    return drawn, bottom, across.by_size and len(kept) < len(across.ticks)


def _held(page: Page, share: float, text: str) -> float:
    """Where a tick's text is centred: on the tick, but inside the page."""
    half = text_width(text, TEXT) / 2
    return max(half + 1, min(page.at(share), page.width - 1 - half))


def _kept(page: Page, ticks: tuple[tuple[float, str], ...]) -> list[tuple[float, str]]:
    """First and last, and of those between as many as do not touch."""
    longest = (page.width - page.left) / 2
    named = [(x, fit(text, TEXT, longest)) for x, text in ticks]

    def apart(one: tuple[float, str], other: tuple[float, str]) -> bool:
        half = (text_width(one[1], TEXT) + text_width(other[1], TEXT)) / 2
        return abs(_held(page, *other) - _held(page, *one)) >= half + 6

    kept = named[:1]
    for tick in named[1:-1]:
        if apart(kept[-1], tick) and apart(tick, named[-1]):
            kept.append(tick)
    return kept + [tick for tick in named[-1:] if len(named) > 1 and apart(kept[-1], tick)]


def _scale(page: Page, up: Scale) -> str:
    """Hairlines at round values, every one or every other with its number."""
    drawn, right = "", page.width - _RIGHT
    ticks = up.ticks
    each = _each(up)
    for i, value in enumerate(ticks):
        y = up.at(value)
        drawn += f'<path class="{"cp-axis" if i == 0 else "cp-grid"}" d="M{page.left:g} {y:.1f}H{right:g}"/>'
        if i % each == 0:
            drawn += f'<text class="cp-text cp-end" x="{page.left - 6:g}" y="{y + 5:.1f}">{escape(_number(page.words, value, each * up.step))}</text>'
    return drawn


def _number(words: Words, value: float, step: float) -> str:
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    uneven = abs(step * 10**decimals - round(step * 10**decimals)) > 1e-6  # 2.5 and its like
    return words.numbers.text(value, decimals + uneven)


def _ends(page: Page, span: Span) -> tuple[float, float]:
    """Left and right of a span, a little apart from its neighbours; one thickness alone has a nut's width."""
    start, end = page.at(span.start), page.at(span.end)
    if span.end <= span.start:
        return start - _POINT / 2, start + _POINT / 2
    air = min(1.5, (end - start) / 4)
    return start + air, end - air


def _box(page: Page, span: Span, up: Scale) -> Box:
    left, right = _ends(page, span)
    half = _HALF if span.end > span.start else _POINT / 2
    return Box(left, up.at(span.high) - half, right, up.at(span.low) + half)


def _path(page: Page, span: Span, up: Scale) -> str:
    """The line that the tool reads a setting from: along the thickness, or the middle of a range."""
    left, right = _ends(page, span)
    if not span.rise:
        return f"M{left:.1f} {up.at((span.low + span.high) / 2):.1f}H{right:.1f}"
    return "M" + "L".join(f"{max(left, min(page.at(x), right)):.1f} {up.at(value):.1f}" for x, value in span.rise)


def _span(page: Page, span: Span, lane: Lane, up: Scale) -> str:
    path, side = _path(page, span, up), lane.side
    veil = ""
    if span.high > span.low and not span.rise:
        left, right = _ends(page, span)
        top, low = up.at(span.high), up.at(span.low)
        veil = f'<rect class="cp-veil {side}" x="{left:.1f}" y="{top:.1f}" width="{right - left:.1f}" height="{low - top:.1f}"/>'
    if span.doubted:
        return f'{veil}<path class="cp-edge" d="{path}"/><path class="cp-hatch" stroke="url(#{page.hatch})" d="{path}"/>'
    if span.end <= span.start:
        left, right = _ends(page, span)
        return veil + nut(side, left, up.at((span.low + span.high) / 2) - _POINT / 2, _POINT / 20)
    spine = f'<path class="cp-spine" d="{path}"/>' if side == "fu" else ""
    return f'{veil}{spine}<path class="cp-line {side}" d="{path}"/>'


def _cap(page: Page, lane: Lane, up: Scale, taken: list[Box], room: Box) -> str:
    """The wall above which nobody sets acetylene, named where there is room: at its right end, above it, or else below or at the left."""
    if lane.cap is None:
        return ""
    y, right = up.at(lane.cap), page.width - _RIGHT
    wide = text_width(lane.cap_text, TEXT)
    places = [
        Box(x, top, x + wide, top + TEXT + 2)
        for x in (right - wide, (page.left + right - wide) / 2, page.left + 4)
        for top in (y - 20, y + 4)
    ]
    inside = [box for box in places if box.top >= room.top and box.bottom <= room.bottom]
    box = next((box for box in inside if not any(box.hits(other) for other in taken)), places[0])
    taken += [box, Box(page.left, y - 3, right, y + 3)]
    text = f'<text class="cp-text cp-bold cp-halo" x="{box.left:.1f}" y="{box.bottom - 3:.1f}">{escape(lane.cap_text)}</text>'
    return f'<path class="cp-wall" d="M{page.left:g} {y:.1f}H{right:g}"/>{text}'


def _labels(page: Page, lane: Lane, across: Across, up: Scale, taken: list[Box], room: Box) -> tuple[str, bool]:
    """The size at each span or run of spans of one size, a triangle before one in doubt; above, below, or farther off."""
    drawn, crowded = "", False
    runs = [tuple(run) for _, run in groupby(lane.spans, key=lambda span: (span.size, span.doubted))]
    for run in sorted(runs, key=lambda run: not run[0].doubted):  # a doubt finds its place first
        span = run[len(run) // 2]
        text = "" if across.by_size else fit(span.size, TEXT, (room.right - room.left) / 2)
        wide = text_width(text, TEXT) + (_MARK + 2 if span.doubted else 0)
        if not wide:
            continue
        box = _free(_box(page, span, up), wide, taken, room)
        if box is None:
            crowded = True
            drawn += _triangle(page, span, up) if span.doubted else ""
            continue
        taken.append(box)
        drawn += _label(text, span, box)
    return drawn, crowded


def _free(of: Box, wide: float, taken: list[Box], room: Box) -> Box | None:
    """The nearest place for a label of this width that touches nothing, or None."""
    middle = (of.left + of.right) / 2
    left = max(room.left, min(middle - wide / 2, room.right - wide - 1))
    tops = [
        of.top - TEXT - 1,
        of.bottom + 1,
        *(of.top - TEXT - 1 - 8 * i for i in range(1, 5)),
        *(of.bottom + 1 + 8 * i for i in range(1, 5)),
    ]
    for top in tops:
        box = Box(left - 1, top, left + wide + 1, top + TEXT)
        if top >= room.top and box.bottom <= room.bottom and not any(box.hits(other) for other in taken):
            return box
    return None


def _label(text: str, span: Span, box: Box) -> str:
    x, drawn = box.left + 1, ""
    if span.doubted:
        drawn = f'<g transform="translate({x:.1f} {box.top - 1:.1f}) scale({_MARK / 24:.3f})">{mark("caution")}</g>'
        x += _MARK + 2
    return drawn + (f'<text class="cp-text cp-bold cp-halo" x="{x:.1f}" y="{box.bottom - 2:.1f}">{escape(text)}</text>' if text else "")


def _triangle(page: Page, span: Span, up: Scale) -> str:
    """The mark alone, on the span itself: a doubt is never left out."""
    box = _box(page, span, up)
    x, y = (box.left + box.right - _MARK) / 2, (box.top + box.bottom - _MARK) / 2
    return f'<g transform="translate({x:.1f} {y:.1f}) scale({_MARK / 24:.3f})">{mark("caution")}</g>'
