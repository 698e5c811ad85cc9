"""One moment of a what-if: each line as cylinder, regulator, parts and a tube that shows what is in it; the torch at the end.

Grid 720 wide. In the tube the line's own gas fills what the other does not: the height of each is its share, so a front is where
they cross. Fuel is notched as on every band. Classes only.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Literal

from steadycone.assembly.figures import Figures
from steadycone.quantity import exact
from steadycone.render import glyphs
from steadycone.render.limit_text import limit_text
from steadycone.render.model import Side
from steadycone.render.textwidth import fit, text_width
from steadycone.render.view_panels import gas_word, in_order, side
from steadycone.render.whatif import Told
from steadycone.station.parts import Hose, Pipe
from steadycone.whatif.frame import Frame, LineFrame, Plate

WIDTH = 720.0
HEAD = 30.0  # of a frame, for its time and caption
PITCH = 82.0  # of a line
_LEFT, _RIGHT, _TORCH = 196.0, 540.0, 600.0  # tube from, tube to, torch from
_HALF = 11.0  # of the tube's height
_PART = 0.62  # scale of a part's glyph
_STEP = 26.0  # from one part to the next


@dataclass(frozen=True, slots=True)
class Row:
    """One line as laid out: y, tube ends, total hose length [m], and the part numbers on either side of the tube."""

    y: float
    left: float
    right: float
    length: float
    before: tuple[int, ...]
    after: tuple[int, ...]


def height(figures: Figures) -> float:
    return HEAD + PITCH * len(figures.lines) + 8.0


def rows(figures: Figures, top: float) -> dict[str, Row]:
    """Where each line stands; parts in front of the first hose left of the tube, those behind it right."""
    found = {}
    for number, name in enumerate(in_order(figures)):
        parts = figures.lines[name].line.part
        hoses = [i for i, part in enumerate(parts, 1) if isinstance(part, Hose | Pipe)]
        before = tuple(i for i in range(1, len(parts) + 1) if i < hoses[0])
        after = tuple(i for i in range(1, len(parts) + 1) if i > hoses[-1])
        length = float(sum(part.length.si for part in parts if isinstance(part, Hose | Pipe)))
        y = top + HEAD + PITCH * number + 34.0
        found[name] = Row(y, _LEFT + _STEP * len(before), _RIGHT - _STEP * len(after), length, before, after)
    return found


def frame_svg(told: Told, frame: Frame, top: float, *, gases: bool = True) -> str:
    """A frame from `top` down. Without `gases` the tubes stay empty: a moving picture draws what is in them by itself."""
    placed = rows(told.figures, top)
    head = f'<path class="hair" d="M8 {top + 1:g}H{WIDTH - 8:g}"/><text class="b t14" x="8" y="{top + 21:g}">{escape(heading(told, frame))}</text>'
    lines = [_line(told, line, placed[line.name], gases=gases) for line in frame.lines if line.name in placed]
    return head + _torch(told, placed, frame) + "".join(lines)


def heading(told: Told, frame: Frame) -> str:
    """Time and caption of a frame."""
    caption = told.text("caption", frame.caption) if frame.caption else ""
    if frame.time is None:
        return caption
    time = told.show(exact(frame.time, "seconds"))
    return f"{time}: {caption}" if caption else time


def _line(told: Told, line: LineFrame, row: Row, *, gases: bool) -> str:
    own = side(line.name)
    drawn = [_names(told, line, row, own)]
    drawn.append(f'<path class="gl" d="M104 {row.y:g}H{row.left - 2:.1f}M{row.right + 2:.1f} {row.y:g}H{_TORCH:g}"/>')
    drawn.append(glyphs.regulator(132, row.y))
    drawn += [_part(told, line, number, row.left - _STEP * (len(row.before) - i) + 8, row.y) for i, number in enumerate(row.before)]
    drawn += [_part(told, line, number, row.right + _STEP * (i + 0.5) + 4, row.y) for i, number in enumerate(row.after)]
    drawn.append(_valve(line, row))
    drawn.append(filling(line, row, own) if gases else "")
    drawn.append(tube(row))
    drawn += [_pressures(told, line, row), _front(told, line, row), _burns(told, line, row), _plates(line, row)]
    return "".join(drawn)


def _names(told: Told, line: LineFrame, row: Row, own: Side) -> str:
    name = gas_word(told.figures, line.name, told.words).upper()
    if text_width(name, 12.5) > 84:
        name = name.replace("OXYGEN", "OX.")
    size = "t14" if text_width(name, 14) <= 82 else "t12"
    found = glyphs.nut(own, 8, row.y - 10, 0.9) + f'<text class="b {size}" x="30" y="{row.y - 16:g}">{escape(fit(name, 12.5, 90))}</text>'
    if line.supply is not None:
        shown = told.words.numbers.show(exact(line.supply, "gauge pressure"))
        found += f'<text class="b t13" x="30" y="{row.y + 2:g}">{escape(shown)}</text>'
    if line.name == "fuel" and told.figures.setup.station.station.fuel == "acetylene":  # its cap stands beside every pressure of it
        cap = told.words.numbers.joined(limit_text(told.figures.cap.gauge, told.words), "gauge pressure")
        found += f'<text class="t13" x="30" y="{row.y + 19:g}">{escape(f"cap {cap}")}</text>'
    return found


def _part(told: Told, line: LineFrame, number: int, x: float, y: float) -> str:
    """A part on its line; one that is taken away leaves the line bare, one that has failed is crossed out."""
    if number in line.absent:
        return ""
    drawn = glyphs.part(told.figures.lines[line.name].line.part[number - 1].word, x, y, _PART)
    return drawn + (f'<path class="mark" d="M{x - 11:.1f} {y - 13:.1f}l22 26m0 -26l-22 26"/>' if number in line.broken else "")


def _valve(line: LineFrame, row: Row) -> str:
    """The torch valve: open outline, or solid when shut, its word above."""
    if not line.valve:
        return ""
    x, kind = _TORCH - 22.0, "gi" if line.valve == "shut" else "g"
    shape = f'<path class="{kind}" d="M{x - 9:.1f} {row.y - 7:.1f}l18 14v-14l-18 14Z"/>'
    return shape + f'<text class="t13 mid" x="{x:.1f}" y="{row.y - 13:.1f}">{line.valve}</text>'


def tube(row: Row) -> str:
    """The hose's wall."""
    wide = row.right - row.left
    return f'<rect class="tube" x="{row.left:.1f}" y="{row.y - _HALF:.1f}" width="{wide:.1f}" height="{2 * _HALF:g}"/>'


def filling(line: LineFrame, row: Row, own: Side) -> str:
    """What is in the hose: its own gas, and from below the other one by its share."""
    kind = own_shape(row, own)
    if not line.share or max(line.share) < 0.005:
        return kind
    return kind + foreign(line.other, outline(line.share, row))


def own_shape(row: Row, own: Side) -> str:
    wide = row.right - row.left
    body = f'<rect class="{own}f" x="{row.left:.1f}" y="{row.y - _HALF:.1f}" width="{wide:.1f}" height="{2 * _HALF:g}"/>'
    return body + (_teeth(row) if own == "fu" else "")


def foreign(other: str, path: str, moving: str = "") -> str:
    """The other gas as an area, with a seam of paper round it so that it stands off in grey too; `moving` goes inside the shape."""
    kind = {"oxygen": "oxf", "air": "tubeair"}.get(other, "fuf")
    inside = f">{moving}</path>" if moving else "/>"
    body = f'<path class="{kind}" d="{path}"{inside}'
    if kind == "fuf":  # the fuel's notches, along the lower wall here
        top = float(path[1:].split("L")[0].split()[1]) - 2 * _HALF
        name = f"notch-{top:g}".replace(".", "-")
        body = (
            f'<defs><pattern id="{name}" x="0" y="{top:g}" width="13" height="{2 * _HALF:g}" patternUnits="userSpaceOnUse">'
            f'<rect class="fuf" width="13" height="{2 * _HALF:g}"/><path class="tooth" d="M9 {2 * _HALF - 7:g}h3.4v7h-3.4Z"/></pattern></defs>'
            f'<path fill="url(#{name})" d="{path}"{inside}'
        )
    return body + f'<path class="seam" d="{path}"{inside}'


def outline(share: Sequence[float], row: Row) -> str:
    """The area of a share along the tube, regulator to torch, from the lower wall up."""
    low, wide = row.y + _HALF, (row.right - row.left) / len(share)
    points = [f"M{row.left:.1f} {low:.1f}L{row.left:.1f} {low - 2 * _HALF * share[0]:.1f}"]
    points += [f"L{row.left + (i + 0.5) * wide:.1f} {low - 2 * _HALF * x:.1f}" for i, x in enumerate(share)]
    return "".join(points) + f"L{row.right:.1f} {low - 2 * _HALF * share[-1]:.1f}L{row.right:.1f} {low:.1f}Z"


def _teeth(row: Row) -> str:
    """Notches of the fuel's band: narrow gaps in its upper half."""
    x, drawn = row.left + 9.0, []
    while x < row.right - 3.0:
        drawn.append(f"M{x:.1f} {row.y - _HALF:.1f}h3.4v7h-3.4Z")
        x += 13.0
    return f'<path class="tooth" d="{"".join(drawn)}"/>'


def pressure_text(told: Told, pressure: float) -> str:
    """With its unit, and no finer than a gauge is read."""
    numbers = told.words.numbers
    least = 0.5 * 10.0 ** -numbers.most_decimals("gauge pressure")
    small = abs(numbers.convert(pressure, "gauge pressure")) < least
    return numbers.show(exact(0.0 if small else pressure, "gauge pressure"))


def _pressures(told: Told, line: LineFrame, row: Row) -> str:
    """At the regulator and at the torch; the unit behind the first."""
    found = []
    for pressure, x, kind in ((line.pressures[0], row.left, ""), (line.pressures[-1], row.right, " end")):
        if pressure is not None:
            shown = pressure_text(told, pressure)
            found.append(f'<text class="b t14{kind}" x="{x:.1f}" y="{row.y - _HALF - 7:.1f}">{escape(shown)}</text>')
    return "".join(found)


def _place(row: Row, from_torch: float) -> float:
    return row.right - (row.right - row.left) * min(1.0, max(0.0, from_torch / row.length))


def _front(told: Told, line: LineFrame, row: Row) -> str:
    """A stroke at the front, its distance from the torch, and an arrow the way it runs."""
    found = []
    middle = 0.5 * (row.left + row.right)
    if line.flow != "none" and (line.front is None or not 0.0 < line.front < row.length):
        found.append(_arrow(middle, row.y + _HALF + 11, line.flow))
    if line.front is None or line.front <= 0.0 or line.front >= row.length:
        return "".join(found)
    x = _place(row, line.front)
    label = told.words.numbers.show(exact(line.front, "length"))
    half = text_width(label, 14) / 2
    near = min(max(x, row.left + _room(told, line.pressures[0]) + half), row.right - _room(told, line.pressures[-1]) - half)
    found.append(f'<path class="mark" d="M{x:.1f} {row.y - _HALF - 4:.1f}v{2 * _HALF + 8:.1f}"/>')
    if row.left + half < near < row.right - half:
        found.append(f'<text class="b t14 mid" x="{near:.1f}" y="{row.y - _HALF - 7:.1f}">{escape(label)}</text>')
    if line.flow != "none":
        found.append(_arrow(x, row.y, line.flow))
    return "".join(found)


def _room(told: Told, pressure: float | None) -> float:
    """Width that a pressure takes at its end of the tube, and a gap."""
    if pressure is None:
        return 0.0
    return text_width(pressure_text(told, pressure), 14) + 14


def _arrow(x: float, y: float, flow: Literal["forward", "back", "none"]) -> str:
    way = 1 if flow == "forward" else -1
    return f'<path class="gi" d="M{x + 3 * way:.1f} {y - 6:.1f}l{13 * way} 6l{-13 * way} 6Z"/>'


def _burns(told: Told, line: LineFrame, row: Row) -> str:
    """Stretches that burn, hatched under the tube, with their length."""
    found = []
    total = sum(b - a for a, b in line.burns)
    for near, far in line.burns:
        left, right = _place(row, far), _place(row, near)
        found.append(
            f'<rect class="gp" x="{left:.1f}" y="{row.y + _HALF + 3:.1f}" width="{right - left:.1f}" height="8"/>'
            f'<rect fill="url(#burns)" x="{left:.1f}" y="{row.y + _HALF + 3:.1f}" width="{right - left:.1f}" height="8"/>'
        )
    if total > 0.0:
        label = f"burns: {told.words.numbers.show(exact(total, 'length'))}"
        middle = 0.5 * (_place(row, line.burns[0][0]) + _place(row, line.burns[-1][1]))
        half = text_width(label, 13) / 2
        middle = min(max(middle, row.left + half), row.right - half)
        found.append(f'<text class="b t13 mid" x="{middle:.1f}" y="{row.y + _HALF + 24:.1f}">{escape(label)}</text>')
    return "".join(found)


def _plates(line: LineFrame, row: Row) -> str:
    """States: under the regulator, under the tube's middle, at the torch; the tip's is drawn with the torch."""
    found = []
    for plate in line.plates:
        x = _plate_place(plate, line, row)
        if x is not None:
            found.append(glyphs.plate(plate.word, x, row.y + _HALF + (15 if plate.at != "hose" else 6)))
    return "".join(found)


def _plate_place(plate: Plate, line: LineFrame, row: Row) -> float | None:
    places = {"supply": 66.0, "regulator": 132.0, "torch": _TORCH - 40.0}
    if plate.at == "tip":
        return None
    if plate.at == "hose":
        # as far as can be from what burns, which has its own words under the tube
        burning = 0.5 * (_place(row, line.burns[0][0]) + _place(row, line.burns[-1][1])) if line.burns else row.left
        return max((row.left + 60, row.right - 60), key=lambda x: abs(x - burning))
    if plate.at.isdigit():
        number = int(plate.at)
        if number in row.before:
            return row.left - _STEP * (len(row.before) - row.before.index(number)) + 8
        if number in row.after:
            return row.right + _STEP * (row.after.index(number) + 0.5)
        return 0.5 * (row.left + row.right)
    return places.get(plate.at)


def _torch(told: Told, placed: dict[str, Row], frame: Frame) -> str:
    """One body that all lines end in, its tip to the right; a bar across it where it is blocked."""
    first, last = min(row.y for row in placed.values()), max(row.y for row in placed.values())
    middle = 0.5 * (first + last)
    body = (
        f'<path class="g" d="M{_TORCH:g} {first - 13:.1f}h22v{last - first + 26:.1f}h-22Z"/>'
        f'<path class="g" d="M{_TORCH + 22:g} {middle - 11:.1f}h26l14 5v12l-14 5h-26Z"/>'
    )
    blocked = any(plate.at == "tip" for line in frame.lines for plate in line.plates)
    words = [plate.word for line in frame.lines for plate in line.plates if plate.at == "tip"]
    if blocked:
        body += f'<rect class="gi" x="{_TORCH + 60:g}" y="{middle - 15:.1f}" width="8" height="30"/>'
        body += glyphs.plate(words[0], _TORCH + 66, middle + 22)
    return body
