"""A what-if as one SVG: a strip of frames, and its curves below; or the same frames one after another in one place, moving once."""

import re
from html import escape

from steadycone.card.card import Card
from steadycone.render import styles
from steadycone.render.textwidth import wrap
from steadycone.render.view import hose_colours
from steadycone.render.view_panels import in_order, side
from steadycone.render.whatif import Told
from steadycone.render.whatif_chart import HEIGHT as CHART
from steadycone.render.whatif_chart import chart_svg, told_points
from steadycone.render.whatif_frame import WIDTH, foreign, frame_svg, heading, height, outline, own_shape, pressure_text, rows
from steadycone.whatif.frame import Frame, LineFrame, Outcome

_TITLE, _GAP = 26.0, 14.0
HOLD, SLIDE = 2.5, 0.25  # s that a frame stands, and in which a front slides on to the next
_HATCH = (
    '<defs><pattern id="burns" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(25)">'
    '<rect class="cauf" width="8" height="8"/><rect class="onc" width="3.4" height="8"/></pattern></defs>'
)


def strip_svg(outcome: Outcome, card: Card, *, alone: bool = True, prefix: str = "whatif") -> str:
    """Frames one below the other, then the curves. `alone`: colours written out, for a file by itself."""
    told = Told(outcome, card.figures)
    body, top = _heads(told)
    for frame in outcome.frames:
        body.append(frame_svg(told, frame, top))
        top += height(card.figures)
    for chart in outcome.charts:
        body.append(f'<path class="hair" d="M8 {top + 1:g}H{WIDTH - 8:g}"/>' + chart_svg(told, chart, top + 4))
        top += CHART + _GAP
    if alone:
        body, top = _foot(told, body, top)
    return _whole(told, "".join(body), top, alone=alone, prefix=prefix)


def moving_svg(outcome: Outcome, card: Card, *, prefix: str = "moving") -> str:
    """The frames in one place, one after another, once: fronts slide for a quarter of a second, words and digits snap. Needs no script."""
    told = Told(outcome, card.figures)
    placed = rows(card.figures, 0.0)
    body = []
    for name in in_order(card.figures):
        own = side(name)
        body.append(own_shape(placed[name], own))
        body.append(_sliding(outcome.frames, name, told))
    for number, frame in enumerate(outcome.frames):
        start, last = number * (HOLD + SLIDE), number == len(outcome.frames) - 1
        shown = f'<set attributeName="visibility" to="visible" begin="{start:g}s" fill="freeze"/>'
        gone = "" if last else f'<set attributeName="visibility" to="hidden" begin="{start + HOLD + SLIDE:g}s" fill="freeze"/>'
        body.append(f'<g visibility="{"visible" if number == 0 else "hidden"}">{shown}{gone}{frame_svg(told, frame, 0.0, gases=False)}</g>')
    return _whole(told, "".join(body), height(card.figures), alone=False, prefix=prefix)


def _sliding(frames: tuple[Frame, ...], name: str, told: Told) -> str:
    """The other gas in one line's tube, through all frames: it holds, then slides on."""
    lines = [next((line for line in frame.lines if line.name == name), None) for frame in frames]
    count = max((len(line.share) for line in lines if line), default=0)
    if not count:
        return ""
    row = rows(told.figures, 0.0)[name]
    shapes = [outline(line.share if line and len(line.share) == count else (0.0,) * count, row) for line in lines]
    total = len(frames) * (HOLD + SLIDE)
    values, times = [shapes[0]], [0.0]
    for number in range(1, len(shapes)):
        turn = number * (HOLD + SLIDE)
        values += [shapes[number - 1], shapes[number]]
        times += [(turn - SLIDE) / total, turn / total]
    values.append(shapes[-1])
    times.append(1.0)
    key_times = ";".join(f"{t:.5f}" for t in times)
    moving = (
        f'<animate attributeName="d" begin="0s" dur="{total:g}s" fill="freeze" calcMode="linear" keyTimes="{key_times}" '
        f'values="{";".join(values)}"/>'
    )
    other = next((line.other for line in lines if line and line.other), "air")
    return foreign(other, shapes[0], moving)


def _heads(told: Told) -> tuple[list[str], float]:
    drawn, top = [], 8.0
    for line in wrap(f"{told.figures.setup.station.station.name}: {told.title}", 18, WIDTH - 16):
        top += _TITLE - 4
        drawn.append(f'<text class="b t18" x="8" y="{top:g}">{escape(line)}</text>')
    for line in wrap(told.state, 14, WIDTH - 16):
        top += 19
        drawn.append(f'<text class="t14" x="8" y="{top:g}">{escape(line)}</text>')
    return drawn, top + 12


def _foot(told: Told, body: list[str], top: float) -> tuple[list[str], float]:
    """What not to trust, on the drawing itself: it may be passed on without its page."""
    top += 4
    for doubt in told.doubts():
        for number, line in enumerate(wrap(f"{doubt}", 12.5, WIDTH - 34)):
            top += 17
            lead = f'<text class="b t12" x="8" y="{top:g}">!</text>' if number == 0 else ""
            body.append(f'{lead}<text class="t12 q" x="22" y="{top:g}">{escape(line)}</text>')
    return body, top + 14


def _whole(told: Told, body: str, tall: float, *, alone: bool, prefix: str) -> str:
    style = f"<style>{_alone(told)}</style>" if alone else ""
    ground = f'<rect class="gp" width="{WIDTH:g}" height="{tall:g}"/>' if alone else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="train" role="img" aria-labelledby="{prefix}-t {prefix}-d" '
        f'viewBox="0 0 {WIDTH:g} {tall:g}"><title id="{prefix}-t">{escape(told.title)}</title>'
        f'<desc id="{prefix}-d">{escape(description(told))}</desc>{style}{_HATCH}{ground}{body}</svg>'
    )


def description(told: Told) -> str:
    """Every frame and curve in words."""
    said = [told.state]
    for frame in told.outcome.frames:
        said.append(f"{heading(told, frame)}. " + " ".join(_line(told, line) for line in frame.lines))
    return " ".join([*said, *(told_points(told, chart) for chart in told.outcome.charts)])


def _line(told: Told, line: LineFrame) -> str:
    name, shown = line.name.replace("_", " "), told.words.numbers
    found = [f"{name.capitalize()}:"]
    for pressure, where in ((line.pressures[0], "at the regulator"), (line.pressures[-1], f"at the {told.words.table['torch']}")):
        found.append(f"{pressure_text(told, pressure)} {where}," if pressure is not None else "")
    if line.front is not None:
        found.append(f"front {shown.bare(line.front, 'length')} {shown.unit_shown('length')} from the {told.words.table['torch']},")
    found += [plate.word.lower() + "," for plate in line.plates]
    return " ".join(piece for piece in found if piece).rstrip(",:") + "."


def _alone(told: Told) -> str:
    """Both style sheets with light colours written out."""
    about = told.figures.setup.station.station
    colours = styles.light_colours()
    gases = dict(part.split("-") for part in hose_colours(about.region, about.fuel).split())
    named = colours | {gas: colours[colour] for gas, colour in gases.items()}
    sheets = styles.sheet("train.css") + styles.sheet("whatif.css")
    return re.sub(r"var\(--([\w-]+)\)", lambda found: named[found[1]], sheets).replace("\n", "")
