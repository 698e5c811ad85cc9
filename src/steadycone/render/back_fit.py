"""How the back side is set: the largest type at which the change points, every step and the sources go on one side."""

from dataclasses import dataclass

from steadycone.render.model import Back, FindingLine, View
from steadycone.render.page_fit import SIDE, SIZES
from steadycone.render.panel_fit import POINT
from steadycone.render.textwidth import wrap

PITCH = 1.22  # of the type size, from line to line
NUMBER = 6.5  # mm, the column of numbers and marks
SOURCE = 6.8  # points
_HEADER, _HEADING, _GAP, _FLOOR = 9.5, 5.6, 1.6, 29.6
_SIZES = (10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
_SURE = 0.96  # of a line's width that is counted on: a word may be broken earlier than the widths say


@dataclass(frozen=True, slots=True)
class BackPage:
    """What of the back goes on its side, and how large."""

    size: float  # points
    name: tuple[str, ...]
    settle: tuple[FindingLine, ...]
    more: str  # "And 3 more: see the list.", or empty
    sources: tuple[tuple[str, str], ...]  # whole, by letter; of those that fit


def back_page(view: View, back: Back, more: str) -> BackPage:
    """The steps are never left out; of what is to settle as much as fits, the number of the rest said with `more`."""
    width, tall = SIZES[view.paper]
    inner = width - 2 * SIDE
    name = tuple(wrap(view.name, 11.0, (inner - 32) / POINT))
    sources = tuple((line.letter, line.told) for line in view.sources)
    room = tall - _FLOOR - 4.5 - _HEADER - (len(name) - 1) * 11.0 * PITCH * POINT - _sources(sources, inner)
    size, left = _SIZES[-1], 0.0
    for size in _SIZES:
        left = room - _orders(view, back, size, inner)
        if left >= sum(_settle(finding, size, inner) for finding in back.settle) + (_HEADING if back.settle else 0.0):
            return BackPage(size, name, back.settle, "", sources)
    size, shown = max(
        ((size, _shown(view, back, size, inner, room)) for size in _SIZES if size <= 8.5), key=lambda found: (found[1], found[0])
    )
    shown = max(shown, 0)
    rest = len(back.settle) - shown
    return BackPage(size, name, back.settle[:shown], more.format(count=rest) if rest else "", sources)


def _shown(view: View, back: Back, size: float, inner: float, room: float) -> int:
    """How many of the things to settle fit at this size, above the line that counts the rest; -1 where not even the steps do."""
    left = room - _orders(view, back, size, inner) - _HEADING - size * PITCH * POINT - 0.7
    if left < 0:
        return -1
    shown = 0
    while shown < len(back.settle) and left >= _settle(back.settle[shown], size, inner):
        left -= _settle(back.settle[shown], size, inner)
        shown += 1
    return shown


def _lines(text: str, size: float, inner: float, indent: float = NUMBER) -> int:
    return len(wrap(text, size, (inner - indent) / POINT * _SURE))


def _orders(view: View, back: Back, size: float, inner: float) -> float:
    """Height [mm] of the closed place's note, the change points, the stop's note and the steps."""
    line = size * PITCH * POINT
    changes = sum(_lines(f"{change.told} {change.why}", size, inner - 4) * line + 0.6 for change in back.changes)
    if changes:
        changes += _HEADING + 2.4
    place = 1.6 + _lines(f"{view.place_note[0]} {view.place_note[1]}", size, inner, 0.0) * line if view.place_note else 0.0
    note = place + _lines(back.note, size, inner, 0.0) * line + _GAP if back.note else 0.0
    steps = 0.0
    for _, each in back.orders:
        steps += _HEADING + sum(_lines(f"{do} {stop}      ", size, inner) * line + 0.7 for do, stop in each)
    return changes + note + steps


def _settle(finding: FindingLine, size: float, inner: float) -> float:
    told = f"{finding.do} {finding.subject}: {finding.says} {finding.remedy}"
    return _lines(told, size, inner) * size * PITCH * POINT + 0.7


def _sources(sources: tuple[tuple[str, str], ...], inner: float) -> float:
    if not sources:
        return 0.0
    told = " · ".join(f"{letter} {text}" for letter, text in sources) + "."
    return _lines(told, SOURCE, inner, 0.0) * SOURCE * PITCH * POINT + 3.6
