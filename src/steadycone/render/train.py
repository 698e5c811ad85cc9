"""The gas train as SVG: parts along each line, pressures between them, and the loss curtain below.

Grid 720 wide, 114 a line (98 with three). Classes only, no inline style; `prefix` keeps ids apart on one page.
"""

from html import escape

from steadycone.data import reader
from steadycone.render import glyphs
from steadycone.render.model import Figure, Train, TrainLine, TrainPart
from steadycone.render.textwidth import fit, text_width
from steadycone.render.train_layout import Layout, lay_out

WIDTH = 720
_TORCH_X = 604.0
_TURN = 578.0


def height(train: Train) -> float:
    """Of the drawing on its grid: room below the last line for its losses."""
    return 50 + _pitch(train) * (len(train.lines) - 1) + (70 if len(train.lines) < 3 else 58)


def train_svg(train: Train, *, prefix: str = "train", style: str = "", size: str = 'class="train"') -> str:
    """One SVG element. `style` is put inside it where the page brings none (PDF, a file by itself)."""
    pitch = _pitch(train)
    body = []
    middle = _torch_height(train)
    for number, line in enumerate(train.lines):
        body.append(_line(line, 50 + number * pitch, pitch, middle, number, len(train.lines), f"{prefix}-{number}"))
    body.append(_torch(train, middle))
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" aria-labelledby="{prefix}-t {prefix}-d" '
        f'viewBox="0 0 {WIDTH} {height(train):g}">'
        f'<title id="{prefix}-t">{escape(train.title)}</title><desc id="{prefix}-d">{escape(train.description)}</desc>'
    )
    return head + (f"<style>{style}</style>" if style else "") + _hatch(prefix) + "".join(body) + "</svg>"


def _pitch(train: Train) -> float:
    return 114.0 if len(train.lines) < 3 else 98.0


def _torch_height(train: Train) -> float:
    return 50 + _pitch(train) * (len(train.lines) - 1) / 2


def _hatch(prefix: str) -> str:
    return (
        f'<defs><pattern id="{prefix}-hatch" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(25)">'
        '<rect class="cauf" width="8" height="8"/><rect class="onc" width="3.4" height="8"/></pattern></defs>'
    )


def _line(line: TrainLine, y: float, pitch: float, middle: float, number: int, count: int, prefix: str) -> str:
    layout = lay_out(line)
    drawn = [_path(line, layout, y, middle, number, count)]
    drawn += [_supply(line, y, pitch), glyphs.regulator(116, y)]
    drawn += [_glyph(part, layout.centres[i], y, layout.glyph_scale) for i, part in enumerate(line.parts)]
    drawn += [_heading(line, y), *_figures(line, layout, y), _curtain(line, layout, y, pitch, prefix), *_states(line, layout, y)]
    return "".join(drawn)


def _path(line: TrainLine, layout: Layout, y: float, middle: float, number: int, count: int) -> str:
    """The line itself: solid for oxygen; a spine with teeth for fuel. After a part that chokes it runs thin."""
    cut = next((i for i, part in enumerate(line.parts) if part.state in ("CHOKED", "BLOCKED")), None)
    run = [f"M36 {y:g}"]
    thin: list[str] = []
    for i, part in enumerate(line.parts):
        into = thin if thin else run
        start, end = layout.spans[i]
        if part.waves:
            into.append(f"H{start:.1f}" + _waves(part.waves, (end - start) / (2 * part.waves)))
        if cut == i:
            run.append(f"H{end:.1f}")
            thin.append(f"M{end:.1f} {y:g}")
    (thin if thin else run).append(_to_torch(y, middle, number, count))
    shape = "hollow" if cut is not None and line.parts[cut].state == "BLOCKED" else "half"
    return _stroke(line, "".join(run)) + (_stroke(line, "".join(thin), shape) if thin else "")


def _waves(count: int, half: float) -> str:
    return "".join(f"q{half / 2:.2f} {-18 if i % 2 == 0 else 18} {half:.2f} 0" for i in range(2 * count))


def _to_torch(y: float, middle: float, number: int, count: int) -> str:
    """The end of the line's path: round a corner to the torch's back, its own inlet each."""
    inlet = middle + (number - (count - 1) / 2) * (13 if count > 2 else 16)
    if abs(inlet - y) < 1:
        return f"H{_TORCH_X - 2:g}"
    down = 1 if inlet > y else -1
    return f"H{_TURN:g}q12 0 12 {12 * down}V{inlet - 12 * down:.1f}q0 {12 * down} 10 {12 * down}h4"


def _stroke(line: TrainLine, path: str, extra: str = "") -> str:
    kind = f" {extra}" if extra else ""
    if extra == "hollow":
        return f'<path class="hollow-line" d="{path}"/><path class="hollow-core" d="{path}"/>'
    spine = f'<path class="spine{kind}" d="{path}"/>' if line.side == "fu" else ""
    return spine + f'<path class="line {line.side}{kind}" d="{path}"/>'


def _supply(line: TrainLine, y: float, pitch: float) -> str:
    """Cylinder or pipe, and what is in it; a pipe leaves room for one line only where lines are close."""
    low, step = (y + 38, 16) if pitch > 100 else (y + 36, 13)
    drawn = glyphs.supply(line.shape, line.side, line.fill, 24, y, 60 if pitch > 100 else 44)
    if line.shape == "pipe":
        return drawn + f'<text class="b t13" x="8" y="{low:g}">{escape(fit(" ".join(line.stock), 13, 126))}</text>'
    return drawn + "".join(f'<text class="b t13" x="48" y="{low + step * i:g}">{escape(text)}</text>' for i, text in enumerate(line.stock))


def _glyph(part: TrainPart, x: float, y: float, scale: float) -> str:
    return "" if part.waves else glyphs.part(part.kind, x, y, scale)


def _heading(line: TrainLine, y: float) -> str:
    nut = glyphs.nut(line.side, 0, y - 49, 0.85)
    size = "t14" if text_width(line.heading, 14) <= 92 else "t12" if text_width(line.heading, 12.5) <= 92 else ""
    if size:
        title = f'<text class="b {size}" x="22" y="{y - 35:g}">{escape(line.heading)}</text>'
    else:
        title = f'<text class="b t12" x="22" y="{y - 35:g}">{escape(line.heading.replace("OXYGEN", "OX."))}</text>'
    return nut + title + f'<text class="t13" x="22" y="{y - 19:g}">{escape(fit(line.flow, 13, 76))}</text>'


def _figures(line: TrainLine, layout: Layout, y: float) -> list[str]:
    """Pressures above the line, the first named for what it is; hose sizes between them."""
    needs = reader.toml("card.toml")["panel"]["needs_short"]
    frame = layout.pressures[0] - text_width(line.setting.text, layout.size) / 2 - 6
    drawn = [f'<text class="t12 q end" x="{frame - 4:.1f}" y="{y - 33:g}">{escape(needs)}</text>']
    drawn += [_pressure(line.setting, layout.pressures[0], y, layout.size)]
    for i, part in enumerate(line.parts):
        if layout.shown[i]:
            drawn.append(_pressure(part.outlet, layout.pressures[i + 1], y, layout.size))
        lines = layout.notes[i]
        for number, told in enumerate(lines):
            base = y - 27 if len(lines) == 1 else y - 33 + 12 * number
            drawn.append(f'<text class="t12 q mid" x="{layout.centres[i]:.1f}" y="{base:g}">{escape(told)}</text>')
    last = layout.pressures[-1] + text_width(line.parts[-1].outlet.text, layout.size) / 2 + 9
    return [*drawn, f'<text class="t13" x="{last:.1f}" y="{y - 23:g}">{escape(line.unit)}</text>']


def _pressure(figure: Figure, x: float, y: float, size: float) -> str:
    wide = text_width(figure.text, size)
    named = "t18" if size == 18 else "t14"
    text = f'<text class="b {named} mid" x="{x:.1f}" y="{y - 23:g}">{escape(figure.text)}</text>'
    half = wide / 2 + 6
    if figure.style in ("set", "would", "estimate", "unknown", "none"):
        frame = "heavy" if figure.style == "set" else "dashbox"
        return f'<rect class="{frame}" x="{x - half:.1f}" y="{y - 43:g}" width="{2 * half:.1f}" height="26"/>' + text
    if figure.style == "chart":
        return text + f'<path class="gl" d="M{x - half + 3:.1f} {y - 17:g}h{2 * half - 6:.1f}"/>'
    return text


def _curtain(line: TrainLine, layout: Layout, y: float, pitch: float, prefix: str) -> str:
    """What the line has lost, hanging from a hairline; beyond the policy's limit it is hatched."""
    top, room = (y + 24, 29.0) if pitch > 100 else (y + 20, 17.0)
    left, right = layout.left, layout.right
    hair = f'<path class="hair" d="M{left - 2:.1f} {top:g}H{right + 2:.1f}"/>'
    labels = _labels(line, layout, y + (66 if pitch > 100 else 50))
    if any(part.lost is None for part in line.parts):
        return hair + labels
    most = max([line.limit or 0.0, *(part.lost or 0.0 for part in line.parts)])
    scale = min(28.0 / line.limit if line.limit else room / max(most, 1e-9), room / max(most, 1e-9))
    points, lost = [(left, top)], 0.0
    for i, part in enumerate(line.parts):
        points.append((layout.spans[i][0], top + lost * scale))
        lost = max(0.0, part.lost or 0.0)
        points.append((layout.spans[i][1], top + lost * scale))
    points.append((right, points[-1][1]))
    return (
        _veil(line, points, top, scale, prefix)
        + hair
        + _limit(line, points, top, scale, pitch)
        + _profile(line, points)
        + labels
        + _total(line, points)
    )


def _profile(line: TrainLine, points: list[tuple[float, float]]) -> str:
    return _stroke(line, _joined(points), "thin")


def _joined(points: list[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def _veil(line: TrainLine, points: list[tuple[float, float]], top: float, scale: float, prefix: str) -> str:
    area = _joined([*points, (points[-1][0], top)]) + "Z"
    drawn = f'<path class="veil-{line.side}" d="{area}"/>'
    if line.limit is None or points[-1][1] <= top + line.limit * scale + 0.05:
        return drawn
    edge, left, right = top + line.limit * scale, points[0][0], points[-1][0]
    clip = f'<clipPath id="{prefix}-over"><path d="M{left:.1f} {edge:.1f}H{right:.1f}V{top + 60:g}H{left:.1f}Z"/></clipPath>'
    hatch = prefix.rpartition("-")[0] + "-hatch"
    return drawn + clip + f'<g clip-path="url(#{prefix}-over)"><path class="gp" d="{area}"/><path fill="url(#{hatch})" d="{area}"/></g>'


def _limit(line: TrainLine, points: list[tuple[float, float]], top: float, scale: float, pitch: float) -> str:
    if line.limit is None:
        return ""
    edge = top + line.limit * scale
    # the words stand where the profile still hangs high: above the dots when there is room, else below them
    base = edge - 4 if edge - top > 18 else edge + 13
    dots = f'<path class="dot" d="M{points[0][0] - 2:.1f} {edge:.1f}H{points[-1][0] + 2:.1f}"/>'
    if pitch < 100:
        return dots
    return dots + f'<text class="t12 q halo" x="{points[0][0]:.1f}" y="{base:.1f}">{escape(line.limit_text)}</text>'


def _labels(line: TrainLine, layout: Layout, y: float) -> str:
    drawn = []
    for i, (name, loss) in enumerate(layout.labels):
        if name or loss:
            told = f'<tspan class="q">{escape(name)} </tspan>' if name else ""
            drawn.append(
                f'<text class="t13 mid" x="{layout.centres[i]:.1f}" y="{y:g}">{told}<tspan class="b">{escape(loss)}</tspan></text>'
            )
    return "".join(drawn)


def _total(line: TrainLine, points: list[tuple[float, float]]) -> str:
    return f'<text class="b t14" x="{points[-1][0] + 7:.1f}" y="{points[-1][1] + 5:.1f}">{escape(line.total)}</text>'


def _states(line: TrainLine, layout: Layout, y: float) -> list[str]:
    """A plate with mark and word, and the shape on the line, at each part in trouble."""
    drawn = []
    for i, part in enumerate(line.parts):
        if part.state:
            drawn += [glyphs.state_shape(part.state, layout.spans[i][1], y), glyphs.plate(part.state, layout.centres[i], y + 29)]
    return drawn


def _torch(train: Train, middle: float) -> str:
    return glyphs.torch(train.attachment, _TORCH_X, middle, len(train.lines)) + glyphs.work(train.attachment, _TORCH_X, middle, train.work)
