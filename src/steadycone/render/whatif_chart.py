"""Curves of a what-if over one axis, with their bands, in the region's units. Grid 720 wide."""

import math
from collections.abc import Callable
from html import escape

from steadycone.quantity import Quantity, exact
from steadycone.render.textwidth import fit, wrap
from steadycone.render.whatif import Told
from steadycone.whatif.frame import Chart, Curve

HEIGHT = 236.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 76.0, 596.0, 34.0, 192.0
_MOST_TICKS = 6


class Scale:
    """From a value in the region's unit to a place on the page, with round ticks."""

    def __init__(self, values: list[float], start: float, end: float, *, zero: bool) -> None:
        low, high = min(values), max(values)
        low = min(low, 0.0) if zero and low < 0.6 * high else low
        step = _round(max(high - low, 1e-9 + 1e-6 * abs(high)) / (_MOST_TICKS - 1))
        self.low, self.step = math.floor(low / step + 1e-9) * step, step
        self.high = max(math.ceil(high / step - 1e-9) * step, self.low + step)
        self.start, self.end = start, end

    def at(self, value: float) -> float:
        return self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low)

    @property
    def ticks(self) -> list[float]:
        return [self.low + i * self.step for i in range(round((self.high - self.low) / self.step) + 1)]


def chart_svg(told: Told, chart: Chart, top: float) -> str:
    """A chart from `top` down; its words from [chart.<key>]."""
    table = told.table.get("chart", {}).get(chart.key, {})
    x_unit, x_of = _axis(told, chart.x, [x for curve in chart.curves for x, _ in curve.points])
    y_unit, y_of = _axis(told, chart.y, [])
    timed = chart.x in ("seconds", "minutes")
    across = Scale([x_of(x) for curve in chart.curves for x, _ in curve.points], _LEFT, _RIGHT, zero=timed)
    heights = [y_of(y) for curve in chart.curves for y in (*(y for _, y in curve.points), *curve.low, *curve.high)]
    heights += [y_of(y) for _, y in chart.limits]
    up = Scale(heights, top + _BOTTOM, top + _TOP, zero=True)
    title = told.fill(table.get("title", chart.key))
    drawn = [f'<text class="b t14" x="8" y="{top + 18:g}">{escape(title)}</text>', _grid(told, across, up, x_unit, y_unit)]
    for curve in chart.curves:
        points = [(across.at(x_of(x)), up.at(y_of(y))) for x, y in curve.points]
        drawn.append(_band(curve, [x for x, _ in points], [up.at(y_of(y)) for y in curve.low], [up.at(y_of(y)) for y in curve.high]))
        drawn.append(_curve(curve, points))
    names = [(up.at(y_of(y)), told.fill(table.get(key, key)), "limit") for key, y in chart.limits]
    names += [(up.at(y_of(curve.points[-1][1])), told.fill(table.get(curve.key, curve.key)), curve.side) for curve in chart.curves]
    drawn += [f'<path class="limit" d="M{_LEFT:g} {y:.1f}H{_RIGHT:g}"/>' for y, _, kind in names if kind == "limit"]
    return "".join(drawn) + _labels(names, top)


def _axis(told: Told, kind: str, values: list[float]) -> tuple[str, Callable[[float], float]]:
    """Unit shown and conversion of an axis; long times in minutes or hours."""
    numbers = told.words.numbers
    if kind in ("seconds", "minutes"):
        longest = max(values, default=0.0)
        size, unit = (3600.0, "h") if longest >= 3 * 3600 else (60.0, "min") if longest >= 300 else (1.0, "s")
        return unit, lambda value: value / size
    return numbers.unit_shown(kind), lambda value: numbers.convert(value, kind)


def _grid(told: Told, across: Scale, up: Scale, x_unit: str, y_unit: str) -> str:
    bottom, drawn = up.start, []
    for value in up.ticks:
        y = up.at(value)
        drawn.append(f'<path class="gridline" d="M{_LEFT:g} {y:.1f}H{_RIGHT:g}"/>')
        drawn.append(f'<text class="t13 end" x="{_LEFT - 7:g}" y="{y + 4.5:.1f}">{_number(told, value, up.step)}</text>')
    for value in across.ticks:
        x = across.at(value)
        drawn.append(f'<path class="axis" d="M{x:.1f} {bottom:.1f}v5"/>')
        drawn.append(f'<text class="t13 mid" x="{x:.1f}" y="{bottom + 19:.1f}">{_number(told, value, across.step)}</text>')
    drawn.append(f'<path class="axis" d="M{_LEFT:g} {bottom:.1f}H{_RIGHT:g}M{_LEFT:g} {bottom:.1f}V{up.end:.1f}"/>')
    drawn.append(f'<text class="b t13" x="{_RIGHT + 26:g}" y="{bottom + 19:.1f}">{escape(x_unit)}</text>')
    drawn.append(f'<text class="b t13" x="8" y="{up.end + 4.5:.1f}">{escape(y_unit)}</text>')
    return "".join(drawn)


def _number(told: Told, value: float, step: float) -> str:
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    if abs(step * 10**decimals - round(step * 10**decimals)) > 1e-6:  # 2.5
        decimals += 1
    return escape(told.words.numbers.text(value, decimals))


def _band(curve: Curve, xs: list[float], low: list[float], high: list[float]) -> str:
    if not low or not high:
        return ""
    edge = [*zip(xs, high, strict=False), *reversed(list(zip(xs, low, strict=False)))]
    return f'<path class="band{curve.side}" d="M{"L".join(f"{x:.1f} {y:.1f}" for x, y in edge)}Z"/>'


def _curve(curve: Curve, points: list[tuple[float, float]]) -> str:
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    spine = f'<path class="spine" d="{path}"/>' if curve.side == "fu" else ""
    return spine + f'<path class="curve {curve.side}" d="{path}"/>'


def _labels(names: list[tuple[float, str, str]], top: float) -> str:
    """Names at the right of curves and limits, moved apart so that none covers another."""
    wide = 720.0 - _RIGHT - 12.0
    ordered = [(y, wrap(text, 13, wide)[:3], kind) for y, text, kind in sorted(names)]
    places: list[float] = []
    below = top + _TOP
    for y, lines, _ in ordered:
        places.append(max(y, below))
        below = places[-1] + 15.0 * len(lines)
    over = below - 15.0 - (top + _BOTTOM)
    for i in range(len(places) - 1, -1, -1):  # pushed up from below where they would leave the chart
        room = 15.0 * len(ordered[i][1])
        ceiling = top + _BOTTOM + 15.0 - room if i == len(places) - 1 else places[i + 1] - room
        places[i] = min(places[i], ceiling) if over > 0.0 else places[i]
    drawn = []
    for place, (_, lines, kind) in zip(places, ordered, strict=True):
        bold = "b " if kind == "limit" else ""
        drawn += [
            f'<text class="{bold}t13" x="{_RIGHT + 8:g}" y="{place + 4.5 + 15.0 * i:.1f}">{escape(fit(line, 13, wide))}</text>'
            for i, line in enumerate(lines)
        ]
    return "".join(drawn)


def _round(step: float) -> float:
    """The 1-2-2.5-5 step at or above this one."""
    power = 10.0 ** math.floor(math.log10(step))
    return next(size * power for size in (1.0, 2.0, 2.5, 5.0, 10.0) if size * power >= step * (1 - 1e-9))


def told_points(told: Told, chart: Chart) -> str:
    """A chart in a sentence, for those who don't see it: first and last point of each curve."""
    table = told.table.get("chart", {}).get(chart.key, {})
    said = []
    for curve in chart.curves:
        (x0, y0), (x1, y1) = curve.points[0], curve.points[-1]
        name = told.fill(table.get(curve.key, curve.key))
        said.append(
            f"{name}: {_told(told, y0, chart.y)} at {_told(told, x0, chart.x)}, {_told(told, y1, chart.y)} at {_told(told, x1, chart.x)}"
        )
    return f"{told.fill(table.get('title', chart.key))}. " + "; ".join(said) + "."


def _told(told: Told, value: float, kind: str) -> str:
    quantity: Quantity = exact(value, kind)
    return told.show(quantity)
