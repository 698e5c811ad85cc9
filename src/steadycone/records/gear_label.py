"""What the register says of an item, as a label has it."""

from dataclasses import replace
from datetime import date

from steadycone.errors import InputError
from steadycone.records.gear_state import basis, state
from steadycone.records.rows import Item
from steadycone.render.labels import Label


def label_of(item: Item, on: date) -> Label:
    """What stands on an item's label on a day. Gear that an incident holds is never "in service".

    Raises  InputError: the item is retired.
    """
    now = state(item, on)
    if now.word == "retired":
        raise InputError(f"{item.mark} is retired", where="label", try_="Cut it up, and take its label off.")
    label = Label(item.mark, item.item, item.gas, "in service", until=now.until or "no set date", basis=basis(item), type=item.type)
    if now.word == "quarantined":
        return replace(label, state="quarantined", reason=item.reason)
    if item.incidents:
        return replace(label, state="quarantined", reason="held by an incident until its gate is cleared")
    if now.word == "out of date":
        since = f"since {now.until}; counted from {basis(item)}" if now.until else now.says
        return replace(label, state="out of date", reason=since)
    return label
