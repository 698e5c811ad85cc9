"""The gas train as words, shares and states; train.py draws it."""

import math
from typing import Literal

from steadycone.assembly.figures import Figures, LineFigures, PartFigure
from steadycone.assembly.fuels import LIQUEFIED
from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.quantity import Quantity, exact
from steadycone.render.limit_text import limit_text
from steadycone.render.model import Figure, Style, Train, TrainLine, TrainPart
from steadycone.render.view_panels import gas_word, in_order, side
from steadycone.render.words import Words, capital
from steadycone.station.parts import Hose, Pipe

_BY_WEIGHT = ("acetylene", *LIQUEFIED)


def train(card: Card, words: Words) -> Train:
    figures = card.figures
    lines = tuple(_line(card, name, words) for name in in_order(figures))
    thickness = figures.job.thickness
    return Train(
        title=f"Gas train of {figures.setup.station.station.name}: pressures along each line, gauge",
        description=" ".join(_told(line, words) for line in lines),
        lines=lines,
        attachment=figures.setup.station.torch.attachment,
        work=words.numbers.show(thickness) if thickness else "",
    )


def _line(card: Card, name: str, words: Words) -> TrainLine:
    figures, line = card.figures, card.figures.lines[name]
    numbers, estimate = words.numbers, card.figures.tip.estimate
    parts, choked = [], False
    for number, part in enumerate(line.parts, 1):
        last = number == len(line.parts)
        choked = choked or part.state == "choked"
        outlet = _figure(part.outlet, "chart" if last else "plain", estimate, words) if not choked else Figure("—", "none")
        parts.append(_part(part, outlet, line, choked, words))
    asked: Style = "set" if card.verdict != "stop" else "would"
    share = figures.setup.policy.loss.si
    return TrainLine(
        side=side(name),
        heading=gas_word(figures, name, words).upper(),
        flow=_flow(line.flow, estimate, words),
        shape=_shape(figures, line),
        fill=_fill(line),
        stock=_stock(figures, line, words),
        setting=_figure(line.flowing, asked, estimate, words),
        unit=numbers.unit_shown("gauge pressure"),
        parts=tuple(parts),
        total="" if line.state != "ok" else _total(line, words),
        limit=share,
        limit_text=f"{numbers.bare(share, 'share')} % of set",
    )


def _flow(flow: Quantity, estimate: bool, words: Words) -> str:
    """Of an estimate only the whole number: more digits would claim more than it knows."""
    if not estimate or flow.value is None:
        return words.numbers.show(flow)
    shown = words.numbers.text(words.numbers.convert(flow.value, "flow"), 0)
    return "≈" + words.numbers.joined(shown, "flow")


def _figure(number: Quantity, style: Style, estimate: bool, words: Words) -> Figure:
    if number.value is None:
        return Figure("?", "unknown")
    shown = words.numbers.bare(number.value, "gauge pressure")
    return Figure("≈" + shown, "estimate") if estimate else Figure(shown, style)


def _part(part: PartFigure, outlet: Figure, line: LineFigures, choked: bool, words: Words) -> TrainPart:
    kind = part.part.word
    note, waves = "", 0
    if isinstance(part.part, Hose | Pipe):
        note = f"{_written(part.part.length.si, 'length', words)} × {_written(part.part.bore.si, 'thickness', words)}"
        waves = max(1, min(6, math.ceil(part.part.length.si / 10 - 1e-6)))
    start, end = line.flowing.value, part.outlet.value
    lost = (start - end) / start if start and end is not None and not choked else None
    loss = "" if choked else _loss(part.loss, words)
    short = reader.toml("card.toml")["short"]
    name = words.part(kind)
    return TrainPart(kind, short.get(name, name), note, waves, outlet, loss, lost, "CHOKED" if part.state == "choked" else "")


def _written(si: float, kind: str, words: Words) -> str:
    return words.numbers.joined(words.numbers.bare(si, kind), kind)


def _total(line: LineFigures, words: Words) -> str:
    one, other = line.loss_hoses.value, line.loss_parts.value
    if one is None or other is None:
        return ""
    shown = _loss(exact(one + other, "pressure difference"), words)
    return shown if shown.startswith("<") else f"−{shown}"


def _shape(figures: Figures, line: LineFigures) -> Literal["slim", "shouldered", "squat", "pipe"]:
    if not line.line.supply.has_cylinders:
        return "pipe"
    fuel = figures.setup.station.station.fuel
    if line.name != "fuel":
        return "slim"
    return "shouldered" if fuel == "acetylene" else "squat" if fuel in LIQUEFIED else "slim"


def _fill(line: LineFigures) -> float | None:
    now, full = line.supply.contents.value, line.supply.full.value
    return None if now is None or not full else max(0.0, min(1.0, now / full))


def _stock(figures: Figures, line: LineFigures, words: Words) -> tuple[str, ...]:
    """Two short lines: what the gauge or the scales say, and what is left; the cap beside acetylene."""
    numbers, supply, given = words.numbers, line.supply, line.line.supply
    fuel = figures.setup.station.station.fuel if line.name == "fuel" else "oxygen"
    weighed = fuel in _BY_WEIGHT
    count = f" in {given.cylinders}" if given.has_cylinders and given.cylinders > 1 else ""
    left = (numbers.show(supply.contents_mass) if weighed else numbers.show(supply.contents)) + (count or " left")
    if supply.by == "full":
        left = f"full?{count}"
    pressure = numbers.show(supply.pressure)
    if fuel == "acetylene":
        return left, f"cap {numbers.joined(limit_text(figures.cap.gauge, words), 'gauge pressure')}"
    if not given.has_cylinders:
        return pressure, given.kind
    return (left, f"{pressure} now") if weighed else (pressure, left)


def _loss(number: Quantity, words: Words) -> str:
    """A loss; one too small to show is only called smaller."""
    if number.value is None:
        return ""
    numbers = words.numbers
    least = 10.0 ** -numbers.most_decimals("pressure difference")
    if abs(numbers.convert(number.value, number.kind)) < 0.5 * least:
        return "<" + numbers.text(least, numbers.most_decimals("pressure difference"))
    return numbers.bare(number.value, "pressure difference")


def _told(line: TrainLine, words: Words) -> str:
    """One line for those who don't see the drawing."""
    unit, torch = line.unit, words.table["torch"]
    said = [f"{capital(line.heading.lower())}, {', '.join(line.stock)}: {line.setting.text} {unit} at the regulator"]
    for number, part in enumerate(line.parts, 1):
        where = f"at the {torch}" if number == len(line.parts) else "after it"
        what = f"{part.note} of {part.kind}" if part.note else part.name
        state = f", {part.state.lower()}" if part.state else ""
        said.append(f"{what}{state}, {part.outlet.text} {where}")
    lost = f"; {line.total.lstrip('−')} {unit} lost" if line.total else ""
    return "; ".join(said) + lost + "."
