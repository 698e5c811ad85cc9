"""Line by line figures as label and value rows, and the answer to what the gauges show now."""

from steadycone.assembly.figures import AsSetLine, LineFigures, LineTest, SideTest
from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.quantity import Quantity
from steadycone.render.model import Rows
from steadycone.render.numbers import Direction
from steadycone.render.view_panels import gas_word, in_order, set_digits, shut_number
from steadycone.render.words import Words, capital


def line_rows(card: Card, words: Words) -> tuple[Rows, ...]:
    """One block a line: all figures a lead hand may ask for."""
    found = []
    for name in in_order(card.figures):
        line = card.figures.lines[name]
        rows = [*_pressures(card, line, words), *_gas(card, line, words), *_proving(line, card.figures.leak_test.lines[name], words)]
        found.append(Rows(capital(gas_word(card.figures, name, words)), tuple(rows)))
    return tuple(found)


def ranged(number: Quantity, words: Words) -> str:
    """The value, and its range where the two ends would be written differently."""
    if number.value is None or number.low is None or number.high is None:
        return "?"
    shown = words.numbers.show(number)
    low, high = (words.numbers.show(Quantity(end, end, end, number.kind)) for end in (number.low, number.high))
    if low == high:
        return shown
    return f"{shown} ({low.rpartition(chr(160))[0] or low} to {high.rpartition(chr(160))[0] or high})"


def _pressures(card: Card, line: LineFigures, words: Words) -> list[tuple[str, str]]:
    torch = words.table["torch"]
    unit = words.numbers.unit_shown("gauge pressure")
    needs = ("Needs, flowing", ranged(line.flowing, words))
    if card.verdict == "stop":  # one number, as on the panel, and no mark to set
        asked = [("Would need, don't set", ranged(line.flowing, words))]
    else:
        asked = [("Set on the gauge", f"{set_digits(line, words)}\u00a0{unit}" if line.set_pressure.value is not None else "?"), needs]
    return [
        *asked,
        ("Valves shut, up to", f"{shut_number(card.figures, line, words)}\u00a0{unit}" if line.static.value is not None else "?"),
        (f"At the {torch}", ranged(line.torch_inlet, words)),
        ("Lost in hoses", ranged(line.loss_hoses, words)),
        ("Lost in other parts", ranged(line.loss_parts, words)),
    ]


def _gas(card: Card, line: LineFigures, words: Words) -> list[tuple[str, str]]:
    need = card.needs.get(line.name)
    rows = [("Flow", ranged(line.flow, words))]
    if line.cutting_flow is not None and line.preheat_flow is not None:
        rows += [("of it cutting", ranged(line.cutting_flow, words)), ("of it preheat", ranged(line.preheat_flow, words))]
    rows.append(("Gas there now", ranged(line.supply.contents, words) + (", full, assumed" if line.supply.by == "full" else "")))
    rows.append(("Lasts", words.numbers.show(line.supply.duration, "down")))
    if need and need.draw_limit is not None:
        rows.append(("Draw limit", words.numbers.show(need.draw_limit, "down")))
    if line.name == "fuel":
        rows += _draw_rules(card, words)
    if need and line.line.supply.has_cylinders:
        rows.append(("Cylinders needed", f"{_count(need.cylinders_needed)}; half full {_count(need.cylinders_needed_at_half)}"))
    return rows


def _draw_rules(card: Card, words: Words) -> list[tuple[str, str]]:
    """The customary rules side by side, one row a reading of "contents": they disagree, and people quote them all."""
    rules = card.draw_rules
    readings = dict.fromkeys(rule.of for rule in rules)
    return [
        (f"Draw, of {of}", ", ".join(f"{r.share} {words.numbers.show(r.limit, 'down')}" for r in rules if r.of == of)) for of in readings
    ]


def _count(number: int | None) -> str:
    return "?" if number is None else str(number)


def _proving(line: LineFigures, test: LineTest, words: Words) -> list[tuple[str, str]]:
    each = line.proving
    return [
        ("Shut in, low side", ranged(each.trapped_volume, words)),
        (
            "Leak the gauges show",
            f"{_side(test.low, test.low.floor, words, 'nearest')} low, {_side(test.high, test.high.floor, words, 'nearest')} high side",
        ),
        (
            "Wait for the leak test",
            f"{_side(test.low, test.low.wait, words)} low, {_side(test.high, test.high.wait, words)} high side",
        ),
        ("Purge", f"{words.numbers.show(each.purge_seconds, 'up')}, lets out {words.numbers.show(each.purge_released)}"),
    ]


def _side(side: SideTest, number: Quantity, words: Words, direction: Direction = "up") -> str:
    """A wait or floor at its long end; a dash where the needle shows nothing."""
    return words.numbers.show(number.at("high"), direction) if number.value is not None else reader.toml("card.toml")["side"][side.state]


def as_set_rows(card: Card, words: Words) -> Rows | None:
    """What really flows with the gauges as they stand; None where the file has no settings."""
    answer, said = card.figures.as_set, reader.toml("card.toml")
    if answer is None:
        if not card.figures.as_set_problem:
            return None
        return Rows(said["as_set"]["heading"], (("", "No answer. See the findings."),))
    rows = []
    for name in in_order(card.figures):
        if name in answer.lines:
            rows.append((capital(gas_word(card.figures, name, words)), _as_set(answer.lines[name], words)))
    if answer.oxygen_to_fuel is not None:
        label, told = rows[-1]
        rows[-1] = (label, f"{told} · ratio {words.numbers.show(answer.oxygen_to_fuel)}")
    return Rows(said["as_set"]["heading"], tuple(rows))


def _as_set(line: AsSetLine, words: Words) -> str:
    states = reader.toml("card.toml")["states"]
    numbers, torch = words.numbers, words.table["torch"]
    told = f"{numbers.show(line.regulator)} set, {numbers.show(line.torch_inlet)} at the {torch}, {numbers.show(line.flow)}"
    return told if line.state == "ok" else f"{states.get(line.state, line.state.upper())}: {told}"
