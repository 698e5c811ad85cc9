"""What the register says of an item, as a label has it."""

from datetime import date

from steadycone.errors import InputError
from steadycone.records.fitness import Fitness, fitness
from steadycone.records.gear_told import basis
from steadycone.records.rows import Item
from steadycone.render.labels import Label


def label_of(item: Item, on: date) -> Label:
    """What stands on an item's label on a day: in service, or why it is not.

    Raises  InputError: the item is retired.
    """
    now = fitness(item, on)
    if now.word == "retired":
        raise InputError(f"{item.mark} is retired", where="label", try_="Cut it up, and take its label off.")
    told = basis(item)
    word = "quarantined" if now.word == "held" else now.word  # a tag has one word for what nobody may use
    return Label(
        item.mark, item.item, item.gas, word, until=now.until or "no set date", basis=told, type=item.type, reason=_reason(now, told)
    )


def _reason(now: Fitness, basis: str) -> str:
    """Why it is not in service; empty where it is."""
    if now.word == "in service":
        return ""
    first = now.reasons[0]
    if first.code == "incident":
        return f"{first.says} until the gate is cleared"
    if first.code == "overdue":
        return f"since {now.until}; counted from {basis}"
    return first.about or first.says
