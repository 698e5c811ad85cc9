"""Two gauges as a person sees them: an open mark where the needle stood, the needle where it stands now."""

from math import cos, pi, sin

from steadycone.render import styles
from steadycone.render.words import Words
from steadycone.whatif.drills.model import Dials

_START, _SWEEP = 225.0, 270.0  # degrees, from zero at the lower left to full scale at the lower right
_WIDTH, _HEIGHT, _R = 240, 112, 46
_TALL = 5  # divisions between tall ticks


def dials_svg(dials: Dials, words: Words) -> str:
    """Both gauges side by side, cylinder gauge left: 240 by 112 units, colours written out."""
    ink = styles.light_colours()["ink"]
    body = _dial(58, dials.high, words, "cylinder") + _dial(182, dials.low, words, "outlet")
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {_HEIGHT}" font-family="B612" fill="{ink}" stroke="{ink}">{body}</svg>'


def told(dials: Dials, words: Words) -> str:
    """The drawing in words."""
    shown = [_shown(words, reading[k]) for reading in (dials.high, dials.low) for k in (0, 1)]
    return f"Cylinder gauge from {shown[0]} to {shown[1]}; outlet gauge from {shown[2]} to {shown[3]}."


def _short(words: Words, pressure: float) -> str:
    """A dial's own figure, without idle zeros."""
    shown, mark = words.numbers.bare(pressure, "gauge pressure"), words.numbers.decimal
    return shown.rstrip("0").rstrip(mark) if mark in shown else shown


def _shown(words: Words, pressure: float) -> str:
    return words.numbers.joined(words.numbers.bare(pressure, "gauge pressure"), "gauge pressure")


def _dial(x: float, reading: tuple[float, float, float, float], words: Words, name: str) -> str:
    start, end, scale, division = reading
    y, count = 54.0, round(scale / division)
    ticks = "".join(_tick(x, y, k / count, 4.0 if k % _TALL else 7.0) for k in range(count + 1))
    labels = "".join(_label(x, y, k / 5, _short(words, scale * k / 5)) for k in range(6))
    return (
        f'<circle cx="{x}" cy="{y}" r="{_R + 4}" fill="none" stroke-width="2"/>'
        + ticks + labels + _mark(x, y, start / scale) + _needle(x, y, end / scale)
        + f'<circle cx="{x}" cy="{y}" r="3.4" stroke="none"/>'
        f'<text x="{x}" y="{y + 30}" font-size="7" text-anchor="middle" stroke="none">{words.numbers.unit_shown("gauge pressure")}</text>'
        f'<text x="{x}" y="{y + 40}" font-size="7" text-anchor="middle" stroke="none">{name}</text>'
    )  # fmt: skip


def _at(x: float, y: float, share: float, radius: float) -> tuple[float, float]:
    angle = (_START - _SWEEP * share) * pi / 180.0
    return x + radius * cos(angle), y - radius * sin(angle)


def _tick(x: float, y: float, share: float, length: float) -> str:
    (a, b), (c, d) = _at(x, y, share, _R), _at(x, y, share, _R - length)
    return f'<path d="M{a:.2f} {b:.2f}L{c:.2f} {d:.2f}" stroke-width="{0.9 if length > 5 else 0.5}"/>'


def _label(x: float, y: float, share: float, text: str) -> str:
    a, b = _at(x, y, share, _R - 14)
    return f'<text x="{a:.1f}" y="{b + 2.5:.1f}" font-size="7" text-anchor="middle" stroke="none">{text}</text>'


def _mark(x: float, y: float, share: float) -> str:
    """Where the needle stood: a hollow pointer on the rim."""
    (a, b), (c, d), (e, f) = _at(x, y, share, _R - 8), _at(x, y, share + 0.018, _R + 3), _at(x, y, share - 0.018, _R + 3)
    return f'<path d="M{a:.2f} {b:.2f}L{c:.2f} {d:.2f}L{e:.2f} {f:.2f}Z" fill="#FFFFFF" stroke-width="1"/>'


def _needle(x: float, y: float, share: float) -> str:
    (a, b), (c, d) = _at(x, y, share, _R - 3), _at(x, y, share, -10)
    return f'<path d="M{c:.2f} {d:.2f}L{a:.2f} {b:.2f}" stroke-width="2"/>'
