"""How large the words of the panels are set, so that none runs over its neighbour or its edge."""

from steadycone.render.model import Panel
from steadycone.render.textwidth import text_width

POINT = 25.4 / 72  # mm
HOW_SIZES = (8.5, 8.0, 7.6, 7.2, 6.8, 6.4)  # points
ROW_SIZES = ((10.5, 13.0), (9.5, 12.0), (8.5, 11.0), (7.6, 10.0), (7.0, 8.5))  # label and value
_DIGIT_SIZES = (50, 42, 36, 34, 28, 26, 22, 18)
_GAP = 3.2  # points between a label and its value


def digits_size(panel: Panel, largest: float, inner: float, panels: int) -> int:
    """The largest type [points], up to `largest`, that leaves room for the unit beside the number."""
    three = panels > 2
    room = _width(inner, panels) / POINT - 9.9 / POINT - text_width(panel.unit, 11 if three else 15) - 5
    room -= text_width(panel.also, 8.5) + 7 if panel.also else 0
    framed = panel.digits.style in ("estimate", "unknown")
    told = ("≈" if panel.digits.style == "estimate" else "") + panel.digits.text
    room -= 9 if framed else 0
    fitting = [size for size in _DIGIT_SIZES if size <= largest * (0.9 if framed else 1) and text_width(told, size) <= room]
    return fitting[0] if fitting else _DIGIT_SIZES[-1]


def how_size(panels: tuple[Panel, ...], inner: float) -> float:
    """One size [points] for the lines that say how the torch stands, small enough for the longest."""
    room = _room(inner, len(panels))
    sizes = [size for size in HOW_SIZES if size <= (6.8 if len(panels) > 2 else 8.5)]
    told = [text for panel in panels for text in (panel.how, panel.needs)]
    return next((size for size in sizes if all(text_width(text, size) <= room for text in told)), sizes[-1])


def row_sizes(panels: tuple[Panel, ...], inner: float, row: float) -> tuple[float, float]:
    """Sizes [points] of a row's label and value in rows `row` mm high; the same in all panels."""
    room = _room(inner, len(panels))
    rows = [line for panel in panels for line in panel.rows]
    choices = ROW_SIZES[3:] if len(panels) > 2 else ROW_SIZES
    for label, value in choices:
        value = max(size for _, size in ROW_SIZES if size <= min(value, row * 0.82 / POINT))
        if all(text_width(one, label) + _GAP + text_width(other, value) <= room for one, other, _ in rows):
            break
    return label, value


def _width(inner: float, panels: int) -> float:
    """Of one panel [mm]: the sheet's inner width shared out, with gaps."""
    return (inner - 3 * (panels - 1)) / panels


def _room(inner: float, panels: int) -> float:
    """For a line of words [points]: the panel without band, frame and padding, as the narrower of page and print has it."""
    return (_width(inner, panels) - (8.2 if panels > 2 else 9.8)) / POINT
