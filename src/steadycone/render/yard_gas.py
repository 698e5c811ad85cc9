"""Gas left at a station, line by line, and its bars: oxygen solid, fuel notched, never a bar for what is not known."""

from dataclasses import dataclass
from html import escape

from steadycone.assembly.figures import LineFigures
from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.render.model import Side
from steadycone.render.view_panels import gas_word, in_order, side
from steadycone.render.words import Words

_BAR, _TEXT, _WIDTH, _ROW = 74.0, 84.0, 158.0, 19.0


@dataclass(frozen=True, slots=True)
class GasLeft:
    """One line. `minutes` None: not known, or piped. `share` 0 to 1 of a full supply; None: no bar. `assumed`: full because nobody stated it."""

    side: Side
    gas: str
    minutes: float | None
    text: str
    share: float | None
    assumed: bool = False
    piped: bool = False


def gas_left(card: Card, words: Words) -> tuple[GasLeft, ...]:
    """What is left at the card's own draw, oxygen first; times rounded down."""
    return tuple(_left(card, name, words) for name in in_order(card.figures))


def _left(card: Card, name: str, words: Words) -> GasLeft:
    line = card.figures.lines[name]
    gas, said = gas_word(card.figures, name, words), reader.toml("yard.toml")["gas"]
    if not line.line.supply.has_cylinders and line.supply.contents.value is None:
        return GasLeft(side(name), gas, None, said["piped"], None, piped=True)
    lasts, assumed = line.supply.duration.value, line.supply.by == "full"
    if lasts is None:
        return GasLeft(side(name), gas, None, "?", _share(line), assumed)
    text = "\u00a0".join(words.numbers.duration(lasts, "down")) + ("?" if assumed else "")
    return GasLeft(side(name), gas, lasts / 60, text, _share(line), assumed)


def _share(line: LineFigures) -> float | None:
    now, full = line.supply.contents.value, line.supply.full.value
    return None if now is None or not full else max(0.0, min(1.0, now / full))


def gas_bars_svg(gas: tuple[GasLeft, ...], prefix: str) -> str:
    """The bars of one row, one a line, with what is left at the right. Needs tokens.css and train.css; `prefix` keeps ids apart."""
    body = "".join(_bar(left, 10.0 + _ROW * i) for i, left in enumerate(gas))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="gas" role="img" aria-labelledby="{prefix}-t" '
        f'viewBox="0 0 {_WIDTH:g} {_ROW * len(gas) + 1:g}"><title id="{prefix}-t">{escape(gas_told(gas))}</title>{body}</svg>'
    )


def gas_told(gas: tuple[GasLeft, ...]) -> str:
    """The bars in a sentence."""
    said = reader.toml("yard.toml")["gas"]
    return str(said["title"].format(lines=", ".join(said["line"].format(gas=left.gas, left=_told(left)) for left in gas)))


def _told(left: GasLeft) -> str:
    said = reader.toml("yard.toml")["gas"]
    if left.piped:
        return str(said["piped"])
    if left.minutes is None:
        return str(said["unknown_told"])
    return str(said["assumed_told"].format(left=left.text.removesuffix("?"))) if left.assumed else left.text


def _bar(left: GasLeft, y: float) -> str:
    text = f'<text class="t14" x="{_TEXT:g}" y="{y + 5:g}">{escape(left.text)}</text>'
    if left.share is None:
        return ("" if left.piped else f'<path class="dot" d="M0 {y:g}H{_BAR:g}"/>') + text
    filled = f"M0 {y:g}H{_BAR * left.share:.1f}"
    hair = f'<path class="hair" d="M0 {y:g}H{_BAR:g}"/>'
    if left.assumed:
        return f'{hair}<path class="hollow-line" d="{filled}"/><path class="hollow-core" d="M2 {y:g}H{max(2.0, _BAR * left.share - 2):.1f}"/>{text}'
    spine = f'<path class="spine" d="{filled}"/>' if left.side == "fu" else ""
    return f'{hair}{spine}<path class="line {left.side}" d="{filled}"/>{text}'
