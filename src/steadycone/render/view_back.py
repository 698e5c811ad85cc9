"""The card's back side: when to change a cylinder, and in which order to purge, light and shut down, each valve named."""

from itertools import groupby
from typing import Any

from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.practice.change import ChangePoint, change_points
from steadycone.procedures.choose import steps
from steadycone.render.limit_text import plain
from steadycone.render.model import Back, Change, FindingLine
from steadycone.render.view_panels import gas_word, in_order, side
from steadycone.render.words import Words, capital


def back(card: Card, findings: tuple[FindingLine, ...], words: Words) -> Back | None:
    """`findings` are the card's stops and cautions as lines. None for a draft, which has no steps."""
    if not card.steps:
        return None
    said = reader.toml("card.toml")["back"]
    if card.verdict == "stop":
        return Back((), (), findings, said["stop_note"])
    return Back(_changes(card, words), _orders(card, words), findings, "")


def _orders(card: Card, words: Words) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    headings = reader.toml("card.toml")["back"]["phases"]
    return tuple(
        (headings[phase], tuple((words.fill(step.do, step.numbers), words.fill(step.stop, step.numbers)) for step in group))
        for phase, group in groupby(steps(card.figures, "back"), key=lambda step: step.phase)
    )


def _changes(card: Card, words: Words) -> tuple[Change, ...]:
    """A line each; the second oxygen line of a pipe or tank has nothing of its own to say."""
    points = {point.line: point for point in change_points(card.figures)}
    names = [
        name
        for name in in_order(card.figures)
        if name != "preheat_oxygen"
        or card.figures.lines[name].line.supply.has_cylinders
        or card.figures.lines["oxygen"].line.supply.has_cylinders
    ]
    return tuple(_change(card, name, points.get(name), words) for name in names)


def _change(card: Card, name: str, point: ChangePoint | None, words: Words) -> Change:
    said: dict[str, Any] = reader.toml("card.toml")["back"]
    gas, supply = capital(gas_word(card.figures, name, words)), card.figures.lines[name].line.supply
    if not supply.has_cylinders:
        return Change(side(name), _ended(said["piped"].format(gas=gas, kind=_kind(supply.kind))), "")
    if point is None:
        return Change(side(name), _ended(said["unknown"].format(gas=gas)), "")
    if point.now:
        return Change(side(name), _ended(said["now"].format(gas=gas)), said["why"].get(point.why, ""))
    each = said["each" if supply.cylinders > 1 else "one"]
    told = said["at"][point.by].format(gas=gas, each=each, reading=_reading(point, words))
    time = " ".join(words.numbers.duration(point.after.value or 0.0, "down"))
    cut = _cut(point.cut.value, words) if point.cut.value else ""
    told += said["after_cut" if cut else "after"].format(time=time, cut=cut)
    return Change(side(name), _ended(told), said["why"].get(point.why, ""))


def _cut(length: float, words: Words) -> str:
    """A length of cut that is only about so long: whole, and down."""
    return words.numbers.joined(words.numbers.text(words.numbers.convert(length, "length"), 0, "down"), "length")


def _reading(point: ChangePoint, words: Words) -> str:
    """Rounded up, without idle zeros."""
    assert point.reading.value is not None
    kind = point.reading.kind
    return words.numbers.joined(plain(words.numbers.bare(point.reading.value, kind, "up"), words.numbers.decimal), kind)


def _kind(kind: str) -> str:
    return {"pipeline": "pipeline", "bulk": "bulk tank", "liquid": "liquid tank"}.get(kind, kind)


def _ended(told: str) -> str:
    return told + "."
