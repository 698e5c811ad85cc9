"""Where the parts of one line stand, so that no words collide however many there are."""

from dataclasses import dataclass
from itertools import pairwise

from steadycone.render.model import TrainLine
from steadycone.render.textwidth import text_width

LEFT, RIGHT = 138.0, 566.0  # from beside the regulator to before the turn into the torch
_GLYPH = 40.0
_HOSE_LEAST, _HOSE_MOST = 46.0, 130.0
_GAP = 7.0  # between two texts


@dataclass(frozen=True, slots=True)
class Layout:
    """All x positions of one line. Lists run along the parts; pressures has one more in front, the setting."""

    size: float  # type size of the pressures
    pressures: tuple[float, ...]
    shown: tuple[bool, ...]  # whether the pressure after each part has room
    centres: tuple[float, ...]
    spans: tuple[tuple[float, float], ...]  # of each glyph or hose
    glyph_scale: float
    notes: tuple[str, ...]  # hose sizes that fit
    labels: tuple[tuple[str, str], ...]  # name and loss that fit below the curtain
    left: float
    right: float


def lay_out(line: TrainLine) -> Layout:
    """Widest first: large figures between all parts, then small ones, then only the first and the last, then smaller parts."""
    for size, every, scale in ((18.0, True, 1.0), (14.0, True, 1.0), (14.0, False, 1.0), (14.0, False, 0.0)):
        shown = tuple(every or i == len(line.parts) - 1 for i in range(len(line.parts)))
        labels = [_wide(line.setting.text, size)]
        labels += [_wide(part.outlet.text, size) if shown[i] else 4.0 for i, part in enumerate(line.parts)]
        room = RIGHT - LEFT - text_width(line.unit, 13) - 6 - sum(labels)
        hoses = sum(1 for part in line.parts if part.waves)
        plain = (len(line.parts) - hoses) * _GLYPH + hoses * _HOSE_LEAST
        if plain <= room or scale == 0.0:
            return _placed(line, size, shown, labels, room, min(1.0, room / plain))
    raise AssertionError("the last try always returns")


def _wide(text: str, size: float) -> float:
    return text_width(text, size) + 12


def _placed(line: TrainLine, size: float, shown: tuple[bool, ...], labels: list[float], room: float, scale: float) -> Layout:
    hoses = sum(1 for part in line.parts if part.waves)
    plain = (len(line.parts) - hoses) * _GLYPH * scale
    hose = min(_HOSE_MOST, max(_HOSE_LEAST * scale, (room - plain) / hoses)) if hoses else 0.0
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
) -> tuple[str, ...]:
    """Length and bore of each hose as far as they fit between the pressures beside it."""
    found = []
    for i, part in enumerate(line.parts):
        before = pressures[i] + _half(line, i - 1, size) if i == 0 or shown[i - 1] else spans[i][0] - 12
        after = pressures[i + 1] - _half(line, i, size) if shown[i] else spans[i][1] + 12
        room = 2 * (min(centres[i] - before, after - centres[i]) - _GAP / 2)
        options = [part.note, part.note.partition(" × ")[0]]
        found.append(next((note for note in options if note and text_width(note, 13) <= room), ""))
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
