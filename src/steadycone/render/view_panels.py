"""The panels of what a hand sets: digits, headroom, the wall."""

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.procedures import settings
from steadycone.quantity import Quantity
from steadycone.render.limit_text import limit_text, plain
from steadycone.render.model import Bar, Figure, Panel, Side, Style
from steadycone.render.numbers import step_decimals
from steadycone.render.words import Words, capital
from steadycone.units import Pressure

_WALL_AT = 0.973  # of the bar's length: the wall has room beyond it


def panels(card: Card, words: Words) -> tuple[Panel, ...]:
    """One panel a line, in the order cutting oxygen, preheat oxygen, fuel."""
    return tuple(_panel(card, name, words) for name in in_order(card.figures))


def in_order(figures: Figures) -> tuple[str, ...]:
    return tuple(name for name in ("oxygen", "preheat_oxygen", "fuel") if name in figures.lines)


def side(name: str) -> Side:
    return "fu" if name == "fuel" else "ox"


def gas_word(figures: Figures, name: str, words: Words) -> str:
    if name == "preheat_oxygen":
        return str(reader.toml("card.toml")["panel"]["preheat_oxygen"]).lower()
    return words.gas(figures.setup.station.station.fuel) if name == "fuel" else "oxygen"


def set_digits(line: LineFigures, words: Words) -> str:
    """The number to set, with the decimals of the gauge's division."""
    numbers, pressure = words.numbers, line.set_pressure.value
    if pressure is None:
        return "?"
    division = numbers.convert(line.outlet_division, "gauge pressure")
    shown = numbers.convert(pressure, "gauge pressure")
    own = abs(shown / division - round(shown / division)) < 1e-3 and abs(division * 1000 - round(division * 1000)) < 1e-3
    places = step_decimals(division) if own else numbers.decimals(shown, numbers.unit("gauge pressure"))
    return numbers.text(shown, places)


def _panel(card: Card, name: str, words: Words) -> Panel:
    figures, line, said = card.figures, card.figures.lines[name], reader.toml("card.toml")["panel"]
    sets = card.verdict != "stop"
    gas = _heading(figures, name, words)
    top, label = figures.wall(line.name)
    unit = words.numbers.unit_shown("gauge pressure")
    if sets:
        first = (said["shut"], shut_number(figures, line, words), False)
        rows = (first, (said[label], limit_text(top, words), True))
    else:
        first = (said["needs"], _would(line.flowing, figures.tip.estimate, words), False)
        rows = (first, (said[label], f"{limit_text(top, words)}\u00a0{unit}", True))
    known = line.set_pressure.value is not None
    style: Style = "unknown" if not known else "estimate" if figures.tip.estimate else "set"
    return Panel(
        side=side(name),
        heading=said["set"].format(gas=gas) if sets and known else gas,
        how=_how(figures, name, sets, known, words),
        needs=_needs(line, figures.tip.estimate, words) if sets and known else "",
        digits=Figure(set_digits(line, words), style),
        unit=unit,
        also=_also(line.set_pressure, words) if sets else "",
        bar=_bar(line, top),
        rows=rows,
        sets=sets,
    )


def _heading(figures: Figures, name: str, words: Words) -> str:
    """The gas in capitals; with three panels the two oxygens by their use."""
    said = reader.toml("card.toml")["panel"]
    if "preheat_oxygen" in figures.lines and name != "fuel":
        return str(said["preheat_three" if name == "preheat_oxygen" else "cutting_three"])
    return gas_word(figures, name, words).upper()


def _how(figures: Figures, name: str, sets: bool, known: bool, words: Words) -> str:
    table = reader.toml("card.toml")
    if not sets:
        return str(table["panel"]["stop_how"])
    if not known:
        return str(table["panel"]["unknown_how"])
    attachment = figures.setup.station.torch.attachment
    key = name if name != "oxygen" else attachment
    if "preheat_oxygen" in figures.lines and key in ("cutting", "fuel"):
        key += "_three"
    return capital(words.fill(table["how"][key], {}))


def shut_number(figures: Figures, line: LineFigures, words: Words) -> str:
    """The one lock-up number without its unit: what a person must be ready to see."""
    number = settings.shut_pressure(figures, line).value
    return "?" if number is None else words.numbers.bare(number, "gauge pressure", "up")


def _needs(line: LineFigures, estimate: bool, words: Words) -> str:
    """The flowing pressure where it is written otherwise than the mark to set: two numbers for one knob, each with its name."""
    if line.flowing.value is None:
        return ""
    shown, mark = words.numbers.bare(line.flowing.value, "gauge pressure"), words.numbers.decimal
    if plain(shown, mark) == plain(set_digits(line, words), mark):
        return ""
    return str(reader.toml("card.toml")["panel"]["needs_gauge"]).format(needs=("≈" if estimate else "") + shown)


def _would(number: Quantity, estimate: bool, words: Words) -> str:
    return ("≈" if estimate and number.value is not None else "") + words.numbers.show(number)


def _also(number: Quantity, words: Words) -> str:
    """The same pressure in the region's second unit."""
    unit = words.numbers.units.get("pressure_also", "")
    if not unit or number.value is None:
        return ""
    x = number.value / Pressure.units[unit]
    return f"{words.numbers.text(x, words.numbers.decimals(x, unit))}\u00a0{unit}"


def _bar(line: LineFigures, top: float) -> Bar | None:
    if line.flowing.value is None or line.static.high is None:
        return None
    span = max(top, line.static.high) / _WALL_AT
    return Bar(line.flowing.value / span, line.static.high / span, top / span)
