"""The shapes of the drawing: parts, nuts, marks, states. Outlines 2.5 thick that sit on the line."""

from html import escape

from steadycone.render.model import Side
from steadycone.render.textwidth import text_width


def _at(x: float, y: float, scale: float, body: str) -> str:
    sized = f" scale({scale:.3g})" if abs(scale - 1) > 1e-3 else ""
    return f'<g transform="translate({x:.1f} {y:.1f}){sized}">{body}</g>'


def nut(side: Side, x: float, y: float, scale: float = 1.0) -> str:
    """The trade's own sign: plain nut for oxygen, notched nut for fuel. 20 units across."""
    return _at(x, y, scale, nut_shape(side))


def nut_shape(side: Side) -> str:
    if side == "ox":
        return '<path class="oxf" d="M5 1.34h10L20 10l-5 8.66H5L0 10Z"/><circle class="gp" cx="10" cy="10" r="3.6"/>'
    teeth = "M15.3 7.0L18.6 7.7L18.6 12.3L15.3 13.0L16.3 16.3L12.3 18.6L10.0 16.1L7.7 18.6L3.7 16.3L4.7 13.0L1.4 12.3L1.4 7.7L4.7 7.0L3.7 3.7L7.7 1.4L10.0 3.9L12.3 1.4L16.3 3.7Z"
    return f'<path class="fuf" d="{teeth}"/><circle class="gp" cx="10" cy="10" r="2.8"/>'


_MARKS = {
    "go": '<circle class="m-go" cx="12" cy="12" r="10"/><path class="m-tick" d="M7 12.4l3.6 3.7L17.2 8.4"/>',
    "caution": (
        '<path class="m-cau" d="M12 2.2L22.8 21.3H1.2Z"/><path class="m-bang" d="M12 8.6v6"/>'
        '<circle class="m-bangdot" cx="12" cy="17.9" r="1.55"/>'
    ),
    "stop": '<path class="m-stop" d="M7.6 1.2h8.8l6.4 6.4v8.8l-6.4 6.4H7.6L1.2 16.4V7.6Z"/><path class="m-bar" d="M6 12h12"/>',
}


def mark(verdict: str) -> str:
    """Open ring with a tick, triangle, octagon: 24 units across."""
    return _MARKS[verdict]


def regulator(x: float, y: float) -> str:
    body = (
        '<circle class="g" cx="-10" cy="-21" r="7"/><circle class="g" cx="10" cy="-21" r="7"/>'
        '<path class="gl" d="M-10 -21l-3 -3M10 -21l3 -3M0 14v8M-8 23h16"/>'
        '<path class="g" d="M-18 -9q0 -5 5 -5h26q5 0 5 5v8q0 16 -18 16t-18 -16Z"/>'
    )
    return _at(x, y, 1.0, body)


_PARTS = {
    "arrestor": '<rect class="g" x="-20" y="-13" width="40" height="26" rx="5"/><path class="gl" d="M-6 -13v26M0 -13v26M6 -13v26"/>',
    "check valve": (
        '<rect class="g" x="-17" y="-13" width="34" height="26" rx="13"/><path class="gi" d="M-8 -7.5L4.5 0L-8 7.5Z"/>'
        '<path class="gl" d="M7.5 -7.5v15"/>'
    ),
    "valve": '<path class="g" d="M-14 -10L14 10V-10L-14 10Z"/><path class="gl" d="M0 0v-15M-8 -16h16"/>',
    "coupling": '<path class="g" d="M-14 -9h12v18h-12zM2 -9h12v18h-12z"/>',
}


def part(kind: str, x: float, y: float, scale: float) -> str:
    """A part on its line; a kind without a shape of its own is a plain box."""
    return _at(x, y, scale, _PARTS.get(kind, '<rect class="g" x="-14" y="-9" width="28" height="18"/>'))


def supply(shape: str, side: Side, fill: float | None, x: float, y: float, low: float) -> str:
    """A cylinder hanging from its valve on the line, filled as far as there is gas; or the end of a pipe."""
    if shape == "pipe":
        return _at(x, y, 1.0, '<path class="g" d="M-16 -12h22v24h-22z"/><path class="gl" d="M-11 -12v24M0 -12v24"/>')
    half, neck, outline = {
        "slim": (14.0, 12.0, f"M-14 {low:g}V26q0 -14 14 -14t14 14v{low - 26:g}Z"),
        "shouldered": (18.0, 18.0, f"M-18 {low:g}V28q0 -9 8 -10v-5h20v5q8 1 8 10v{low - 28:g}Z"),
        "squat": (21.0, 20.0, f"M-21 {low - 10:g}V32q0 -12 12 -12h18q12 0 12 12v{low - 42:g}q0 10 -10 10h-22q-10 0 -10 -10Z"),
    }[shape]
    collar = '<path class="g" d="M-11 20v-7h22v7"/>' if shape == "squat" else ""
    wheel = {"slim": 9, "shouldered": 4, "squat": 7}[shape]
    body = f'<path class="g" d="M-5 {neck:g}V4h10v{neck - 4:g}"/>' + collar
    body += f'<path class="gl" d="M{-wheel} -9h{2 * wheel}M0 -9v5"/><rect class="g" x="-6" y="-4" width="18" height="8"/>'
    body += f'<path class="g" d="{outline}"/>'
    if fill is not None:
        room = low - 3.5 - 24
        level = low - 3.5 - room * fill
        inset = half - 3.5
        foot = low - 3.5 if shape != "squat" else low - 4.5
        body += f'<path class="{side}f" d="M{-inset:g} {foot:g}V{min(level, foot):.1f}H{inset:g}V{foot:g}Z"/>'
    return _at(x, y, 1.0, body)


def torch(attachment: str, x: float, y: float, lines: int) -> str:
    """The torch with a knob on each of two lines; a cutting torch has its lever, a heating one a round head."""
    tall = 30 if lines < 3 else 44
    lever = '<path class="gl" d="M18 -15v-5q2 -9 12 -9h46"/>' if attachment == "cutting" and lines < 3 else ""
    body = f'<rect class="g" x="-4" y="{-tall / 2:g}" width="70" height="{tall}" rx="6"/><path class="gl" d="M12 -6h30M12 0h30M12 6h30"/>'
    neck = '<path class="g" d="M64 -7h14q13 0 13 13v26h-15v-20q0 -4 -4 -4h-8Z"/>'
    tips = {
        "cutting": '<path class="g" d="M76 32h15l-3 20h-9Z"/><path class="cone" d="M79 55h9q-.5 12 -4.5 23q-4 -11 -4.5 -23Z"/>',
        "heating": (
            '<path class="g" d="M73 32h21v14q0 6 -5 6h-11q-5 0 -5 -6Z"/>'
            '<path class="cone" d="M75 55h5q0 9 -2.5 13q-2.5 -4 -2.5 -13ZM81 55h5q0 9 -2.5 15q-2.5 -6 -2.5 -15ZM87 55h5q0 9 -2.5 13'
            'q-2.5 -4 -2.5 -13Z"/>'
        ),
        "welding": '<path class="g" d="M78 32h11l-2 20h-7Z"/><path class="cone" d="M81 55h5q0 9 -2.5 16q-2.5 -7 -2.5 -16Z"/>',
    }
    knobs = (
        f'<path class="gl" d="M-14 {-(tall / 2 + 21):g}h13M-1 {-(tall / 2 + 28):g}v14M-14 {tall / 2 + 21:g}h13M-1 {tall / 2 + 14:g}v14"/>'
    )
    return _at(x, y, 1.0, (knobs if lines < 3 else "") + lever + neck + body + tips[attachment])


def work(attachment: str, x: float, y: float, told: str) -> str:
    """The plate under the tip: cut through, whole, or a joint; its thickness below."""
    shapes = {
        "cutting": (
            '<path class="frame" d="M40 84h41v17h-41zM86 84h27v17h-27z"/>'
            '<path class="hatch" d="M44 101l13 -17M55 101l13 -17M66 101l13 -17M90 101l13 -17M101 101l12 -15.7"/>'
        ),
        "heating": (
            '<path class="frame" d="M40 84h73v17h-73z"/>'
            '<path class="hatch" d="M44 101l13 -17M55 101l13 -17M66 101l13 -17M77 101l13 -17M88 101l13 -17M99 101l13 -17"/>'
        ),
        "welding": (
            '<path class="frame" d="M40 84h37l7 17h-44zM113 84h-23l-6 17h29z"/>'
            '<path class="hatch" d="M44 101l13 -17M55 101l13 -17M66 101l11 -14M92 101l13 -17M103 101l10 -13"/>'
        ),
    }
    text = f'<text class="b t13 mid" x="76" y="117">{escape(told)}</text>' if told else ""
    return _at(x, y, 1.0, shapes[attachment] + text)


def state_shape(state: str, x: float, y: float) -> str:
    """What the state does to the line: two wedges, an ink bar, the front of the other gas, two end bars."""
    shapes = {
        "CHOKED": '<path class="gi" d="M-14 -19H14L2 -4H-2ZM-14 19H14L2 4H-2Z"/>',
        "BLOCKED": '<rect class="gi" x="-4" y="-19" width="8" height="38"/>',
        "REVERSED": '<path class="gl" d="M0 -12v24"/><path class="gi" d="M42 -17H20v-6L5 -13l15 10v-6h22Z"/>',
        "LOCKED UP": '<path class="gl" d="M0 -13v26"/>',
    }
    return _at(x, y, 1.0, shapes[state])


def plate(state: str, x: float, y: float) -> str:
    """The word for the state: solid with a mark for trouble, open for a line that only holds its pressure."""
    wide = text_width(state, 13)
    if state == "LOCKED UP":
        return (
            f'<rect class="frame" x="{x - wide / 2 - 10:.1f}" y="{y:g}" width="{wide + 20:.1f}" height="22"/>'
            f'<text class="b t13 mid" x="{x:.1f}" y="{y + 16:g}">{state}</text>'
        )
    left = x - (wide + 34) / 2
    octagon = '<path class="gp" d="M7.6 1.2h8.8l6.4 6.4v8.8l-6.4 6.4H7.6L1.2 16.4V7.6Z"/><path class="m-barinv" d="M6 12h12"/>'
    return (
        f'<rect class="gi" x="{left:.1f}" y="{y:g}" width="{wide + 34:.1f}" height="24" rx="2"/>'
        + _at(left + 5, y + 4, 0.667, octagon)
        + f'<text class="b t13 inv" x="{left + 26:.1f}" y="{y + 17:g}">{state}</text>'
    )
