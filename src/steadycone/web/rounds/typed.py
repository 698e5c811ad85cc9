"""What was pressed or typed in a step's form, as an answers file has it."""

from typing import TYPE_CHECKING

from steadycone.procedures.rounds import PlanStep
from steadycone.render.round_readings import asked_of
from steadycone.render.round_words import RoundWords

if TYPE_CHECKING:
    from steadycone.web.desk import Desk


def value_of(desk: "Desk", step: PlanStep, told: RoundWords) -> str:
    """Raises  InputError: a field that is missing."""
    did = desk.field("do", "")
    if step.kind in ("tick", "wait"):
        if did == "fail":
            why = desk.field("why", "")
            return f"fail: {why}" if why else "fail"
        return did
    if step.kind == "choice":
        return desk.field("choice", "")
    if step.kind == "text":
        return desk.field("text", "")
    return "not read" if did == "not-read" else _reading(desk, step, told)


def _reading(desk: "Desk", step: PlanStep, told: RoundWords) -> str:
    """A bare number is in the unit that was asked; a unit written out stands."""
    typed, asked = desk.field("number", ""), asked_of(step, told)
    if told.words.numbers.decimal == ",":
        typed = typed.replace(",", ".")
    if asked is not None and asked.unit and typed.replace(".", "", 1).removeprefix("-").isdigit():
        return f"{typed} {asked.unit}"
    return typed
