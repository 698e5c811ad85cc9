"""A change of fuel as data and as text, in the region's words and units."""

import textwrap
from typing import Any

from steadycone.assembly.figures import LineFigures
from steadycone.data import reader
from steadycone.procedures.refuel import RECORDS, Item, Refuel, Side
from steadycone.quantity import Quantity, unknown
from steadycone.render.numbers import Direction
from steadycone.render.words import Words, capital
from steadycone.units import NORMAL_MOLAR_VOLUME

FORMAT = "steadycone-refuel/1"
_WIDTH = 80
_HEADINGS = {"change": "MUST BE CHANGED", "check": "TO BE LOOKED AT", "stays": "MAY STAY"}
_WIDER: tuple[Direction, Direction] = ("down", "up")  # limits are rounded so that they take in more
_PER_MJ = 1e6  # J in a megajoule


def refuel_dict(change: Refuel, region: str) -> dict[str, Any]:
    """A change of fuel as JSON has it, in the fixed units.

    Raises  UnknownName: no such region.
    """
    words = Words.of(region)
    return {
        "format": FORMAT,
        "reference_state": "0 °C, 1.01325 bar",
        "before": _side(change.before),
        "after": _side(change.after),
        "items": [_item(item, words) for item in change.items],
        "rules": [_item(item, words) for item in change.rules],
        "sources": {key: reader.sources()[key] for key in change.sources},
    }


def _item(item: Item, words: Words) -> dict[str, Any]:
    found: dict[str, Any] = {"id": item.id, "subject": words.subject(item.subject), "fate": item.fate, "says": says(item, words)}
    found["why"] = words.fill(item.why, _blanks(item, words))
    if item.finding:
        found |= {"code": item.finding.code, "verdict": item.finding.verdict, "remedy": words.remedy(item.finding)}
    return found | {"source": list(item.sources)}


def says(item: Item, words: Words) -> str:
    return capital(words.fill(item.says, _blanks(item, words)))


def _blanks(item: Item, words: Words) -> dict[str, Quantity | str]:
    found: dict[str, Quantity | str] = {}
    for name, value in item.blanks.items():
        found[name] = ", ".join(words.gas(gas) for gas in value.split(", ")) if isinstance(value, str) else value
    found["part"] = capital(words.subject(item.subject))
    if item.finding:
        found["says"] = f"{capital(words.subject(item.finding.subject))}: {words.says(item.finding)}"
    return found


def _side(side: Side) -> dict[str, Any]:
    low, high = side.air_limits
    found: dict[str, Any] = {
        "fuel": side.fuel,
        "composition_known": side.known,
        "neutral_oxygen_to_fuel": side.neutral.out(),
        "complete_oxygen_to_fuel": side.complete.out(),
        "lower_mj_per_m3": _mj(side),
        "neutral_oxygen_m3_per_mj": _oxygen(side),
        "density_to_air": side.weight.out(),
        "air_low_percent": 100 * low,
        "air_high_percent": 100 * high,
    }
    if side.cap:
        found["cap"] = side.cap.out()
    if side.figures:
        found["tip"] = side.figures.tip.size
        found["lines"] = {name: {key: value.out() for key, value in _line(side, line)} for name, line in side.figures.lines.items()}
    return found | {"withheld": [finding.code for finding in side.withheld]}


def _mj(side: Side) -> float:
    return side.heat / NORMAL_MOLAR_VOLUME / _PER_MJ


def _oxygen(side: Side) -> float:
    """Normal m³ of torch oxygen for a megajoule of fuel."""
    return side.oxygen_per_heat * NORMAL_MOLAR_VOLUME * _PER_MJ


def _line(side: Side, line: LineFigures) -> list[tuple[str, Quantity]]:
    """A line's numbers; no setting where the card stops at one."""
    hidden = unknown("gauge pressure")
    found = [
        ("torch_inlet_pressure", hidden if side.withheld else line.torch_inlet),
        ("set_pressure", hidden if side.withheld else line.set_pressure),
        ("regulator_static_pressure", hidden if side.withheld else line.static),
        ("flow", line.flow),
        ("loss_hoses", line.loss_hoses),
        ("loss_parts", line.loss_parts),
        ("purge_time", line.proving.purge_seconds),
    ]
    if line.name != "fuel":
        found.append(("duration", line.supply.duration))  # the new fuel's supply is not there yet
    if line.preheat_flow is not None:
        found.append(("preheat_flow", line.preheat_flow))
    return found


def refuel_text(change: Refuel, region: str) -> str:
    """A change of fuel for a terminal, 80 columns."""
    words = Words.of(region)
    lines = [f"FROM {words.gas(change.before.fuel).upper()} TO {words.gas(change.after.fuel).upper()}"]
    for fate, heading in _HEADINGS.items():
        chosen = [item for item in change.items if item.fate == fate]
        lines += ["", heading, *(line for item in chosen for line in _wrapped(_told(item, words), "  - "))] if chosen else []
    lines += ["", "DIFFERENT FROM NOW ON", *(line for rule in change.rules for line in _wrapped(_told(rule, words), "  - "))]
    lines += ["", *_table(change, words)]
    return "\n".join([*lines, "", *_wrapped(reader.toml("cautions.toml")["advice"].replace("this card", "this"))]) + "\n"


def _told(item: Item, words: Words) -> str:
    return f"{says(item, words)} {words.fill(item.why, _blanks(item, words))}"


def _table(change: Refuel, words: Words) -> list[str]:
    """The numbers before and after, in the region's units."""
    old, new = (dict(rows(side, words)) for side in (change.before, change.after))
    lines = [f"{'':<38}{words.gas(change.before.fuel):>18}{words.gas(change.after.fuel):>18}"]
    lines += [f"{name:<38}{old.get(name, '—'):>18}{new.get(name, '—'):>18}" for name in dict.fromkeys([*old, *new])]
    return [*lines, *(line for note in notes(change, words) for line in ["", *_wrapped(note)])]


def notes(change: Refuel, words: Words) -> list[str]:
    """What must be said about the numbers before and after."""
    found = []
    if change.after.figures is None:
        found.append("No flows or settings after: give the new chart. Without one there is nothing to set by.")
    else:
        found.append("After: with the present bores, lengths and flow curves. Where a part changes in size, its own card rules.")
    if any(finding.code.startswith(RECORDS) for finding in change.after.withheld):
        found.append("No settings before or after: the records hold this station, whatever it burns.")
    elif change.after.withheld:
        found.append("No settings after: the new card stops at one of them, see above.")
    for side in (change.before, change.after):
        if not side.known:
            found.append(f"The composition of the {words.gas(side.fuel)} is not known: its figures are those of the worst mixture.")
    return found


def rows(side: Side, words: Words) -> list[tuple[str, str]]:
    """Label and value of every number of one side, in the region's units."""
    numbers = words.numbers
    low, high = (numbers.text(100 * limit, 1, way) for limit, way in zip(side.air_limits, _WIDER, strict=True))
    neutral = f"{numbers.text(side.neutral.low or 0, 1)} to {numbers.text(side.neutral.high or 0, 1)}"
    found = [
        ("torch oxygen per fuel, neutral", neutral),
        ("oxygen for complete burning", numbers.show(side.complete)),
        ("heat of a normal cubic metre", f"{numbers.text(_mj(side), 1)} MJ"),
        ("torch oxygen for 1 MJ, normal", f"{numbers.text(1000 * _oxygen(side), 0)} L"),
        ("weight against air", numbers.show(side.weight)),
        ("burns in air", f"{low} to {high} %"),
        ("acetylene's cap", numbers.show(side.cap)),
    ]
    for name, line in side.figures.lines.items() if side.figures else ():
        label = name.replace("_", " ")
        found += [(f"{label}: {_LABELS[key]}", numbers.show(value)) for key, value in _line(side, line) if key in _LABELS]
    return found


_LABELS = {"set_pressure": "set, flowing", "regulator_static_pressure": "shut", "flow": "flow", "duration": "lasts", "purge_time": "purge"}


def _wrapped(told: str, lead: str = "") -> list[str]:
    return textwrap.wrap(told, _WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead))
