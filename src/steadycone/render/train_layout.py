"""Where the parts of one line stand, so that no words collide however many there are."""

from dataclasses import dataclass
from itertools import pairwise

from steadycone.render.model import TrainLine
from steadycone.render.textwidth import text_width

LEFT, RIGHT = 150.0, 566.0  # from beside the regulator to before the turn into the torch
_GLYPH = 40.0
_HOSE_LEAST, _HOSE_MOST = 46.0, 130.0
_GAP = 7.0  # between two texts
NOTE = 12.5  # type size of a hose's length and bore


@dataclass(frozen=True, slots=True)
class Layout:
    """All x positions of one line. Lists run along the parts; pressures has one more in front, the setting."""

    size: float  # type size of the pressures
    pressures: tuple[float, ...]
    shown: tuple[bool, ...]  # whether the pressure after each part has room
    centres: tuple[float, ...]
    spans: tuple[tuple[float, float], ...]  # of each glyph or hose
    glyph_scale: float
    notes: tuple[tuple[str, ...], ...]  # of each hose its length and bore, in one line or two
    labels: tuple[tuple[str, str], ...]  # name and loss that fit below the curtain
    left: float
    right: float


def lay_out(line: TrainLine) -> Layout:
    """Widest first: large figures between all parts, then small ones, then only the first and the last, then smaller parts.

    A hose is known by its length and bore: a layout that has no room for one of them is passed over.
    """
    for size, every, scale in ((18.0, True, 1.0), (14.0, True, 1.0), (14.0, False, 1.0), (14.0, False, 0.0)):
        shown = tuple(every or i == len(line.parts) - 1 for i in range(len(line.parts)))
        labels = [_wide(line.setting.text, size)]
        labels += [_wide(part.outlet.text, size) if shown[i] else 4.0 for i, part in enumerate(line.parts)]
        room = RIGHT - LEFT - text_width(line.unit, 13) - 6 - sum(labels)
        hoses = sum(1 for part in line.parts if part.waves)
        plain = (len(line.parts) - hoses) * _GLYPH + hoses * _hose_least(line)
        if scale == 0.0:
            return _placed(line, size, shown, labels, room, _shrunk(line, room, hoses))
        if plain <= room:
            layout = _placed(line, size, shown, labels, room, 1.0)
            if all(note for note, part in zip(layout.notes, line.parts, strict=True) if part.note):
                return layout
    raise AssertionError("the last try always returns")


def _hose_least(line: TrainLine) -> float:
    """Width of a hose that leaves room for its length over its bore."""
    return max([_HOSE_LEAST, *(text_width(told, NOTE) + 4 for part in line.parts for told in part.note.split(" × "))])


def _shrunk(line: TrainLine, room: float, hoses: int) -> float:
    """How far the parts shrink so that the hoses keep the width of their sizes; at the very least to a tenth."""
    others = len(line.parts) - hoses
    return max(0.1, min(1.0, (room - hoses * _hose_least(line)) / (others * _GLYPH))) if others else 1.0


def _wide(text: str, size: float) -> float:
    return text_width(text, size) + 12


def _placed(line: TrainLine, size: float, shown: tuple[bool, ...], labels: list[float], room: float, scale: float) -> Layout:
    hoses = sum(1 for part in line.parts if part.waves)
    plain = (len(line.parts) - hoses) * _GLYPH * scale
    hose = min(_HOSE_MOST, (room - plain) / hoses) if hoses else 0.0
    spare = max(0.0, room - plain - hoses * hose) / (2 * len(line.parts))
    x, pressures, spans = LEFT, [LEFT + labels[0] / 2], []
    x += labels[0]
    for i, part in enumerate(line.parts):
        wide = hose if part.waves else _GLYPH * scale
        x += spare
        spans.append((x, x + wide))
        x += wide + spare
        pressures.append(x + labels[i + 1] / 2)
        x += labels[i + 1]
    centres = tuple((start + end) / 2 for start, end in spans)
    right = pressures[-1] + text_width(line.parts[-1].outlet.text, size) / 2
    return Layout(
        size, tuple(pressures), shown, centres, tuple(spans), scale,
        _notes(line, pressures, shown, centres, spans, size), _labels(line, centres, right), LEFT + 2, right,
    )  # fmt: skip


def _notes(
    line: TrainLine,
    pressures: list[float],
    shown: tuple[bool, ...],
    centres: tuple[float, ...],
    spans: list[tuple[float, float]],
    size: float,
) -> tuple[tuple[str, ...], ...]:
    """Length and bore of each hose between the pressures beside it: in one line, else one above the other; nothing where neither fits."""
    found: list[tuple[str, ...]] = []
    for i, part in enumerate(line.parts):
        if not part.note:
            found.append(())
            continue
        before = pressures[i] + _half(line, i - 1, size) if i == 0 or shown[i - 1] else spans[i][0] - 12
        after = pressures[i + 1] - _half(line, i, size) if shown[i] else spans[i][1] + 12
        room = 2 * (min(centres[i] - before, after - centres[i]) - _GAP / 2)
        options = ((part.note,), tuple(part.note.split(" × ")))
        found.append(next((lines for lines in options if all(text_width(told, NOTE) <= room for told in lines)), ()))
    return tuple(found)


def _half(line: TrainLine, i: int, size: float) -> float:
    """Half the width of the pressure after part i; -1 is the setting, which stands in a frame."""
    if i < 0:
        return text_width(line.setting.text, size) / 2 + 7
    return text_width(line.parts[i].outlet.text, size) / 2


def _labels(line: TrainLine, centres: tuple[float, ...], right: float) -> tuple[tuple[str, str], ...]:
    """Name and loss below each part; where neighbours would touch, first the names go, then the smaller losses."""
    told = [(part.name, part.loss) if part.loss else (part.name, "") for part in line.parts]
    while True:
        touching = _first_touching(told, centres)
        if touching is None:
            return tuple(told)
        one, other = touching
        named = [i for i in (one, other) if told[i][0] and told[i][1]]
        if named:
            widest = max(named, key=lambda i: _label_width(told[i]))
            told[widest] = ("", told[widest][1])
        else:
            smaller = min((one, other), key=lambda i: line.parts[i].lost or 0.0)
            told[smaller] = ("", "")


def _label_width(label: tuple[str, str]) -> float:
    return text_width(" ".join(part for part in label if part), 13)


def _first_touching(told: list[tuple[str, str]], centres: tuple[float, ...]) -> tuple[int, int] | None:
    there = [i for i, label in enumerate(told) if any(label)]
    for one, other in pairwise(there):
        if centres[one] + _label_width(told[one]) / 2 + _GAP > centres[other] - _label_width(told[other]) / 2:
            return one, other
    return None
