"""One item as a row of a table and as JSON: what the register has of it, and what that comes to on a day."""

from collections.abc import Mapping
from datetime import date
from typing import Any, get_args

from steadycone.records.events import Test
from steadycone.records.fitness import fitness
from steadycone.records.rows import Item

_TESTS = frozenset(f"{test} test" for test in get_args(Test))


def basis(item: Item) -> str:
    """What the day an item is due counts from, for a label: "tested 2026-03-04"."""
    order = ("tested", "made") if item.due_why == "test" else ("made",)
    return next((f"{name} {item.dates[name].date}" for name in order if name in item.dates), "")


def on_record(basis: str) -> bool:
    """Whether a date's basis is a test that was recorded here ("flow test"); nobody may write such words over a paper."""
    return " ".join(basis.casefold().split()) in _TESTS


def by_paper(item: Item) -> bool:
    """Whether its last examination is known by a paper alone, and not by tests in this register."""
    return "tested" in item.dates and not on_record(item.dates["tested"].basis)


def counts_from_paper(item: Item) -> bool:
    """Whether the day it is due counts from such an examination."""
    return item.due_why == "test" and by_paper(item)


def item_dict(item: Item, on: date) -> dict[str, Any]:
    """One item as JSON. `against`: everything that speaks against it, the worst first; `says` is the first of it."""
    now = fitness(item, on)
    return {
        "mark": item.mark,
        "item": item.item,
        "gas": item.gas or None,
        "type": item.type or None,
        "state": now.word,
        "verdict": now.verdict,
        "says": now.says,
        "against": [{"code": reason.code, "verdict": reason.verdict, "says": reason.says} for reason in now.reasons],
        "until": now.until or None,
        "days": now.days,
        "due_why": item.due_why or None,
        "by_paper": by_paper(item),
        "reason": item.reason or None,
        "station": item.station or None,
        "place": item.place or None,
        "dates": {name: {"date": dated.date, "basis": dated.basis} for name, dated in item.dates.items()},
        "ratings": dict(item.ratings),
        "tests": {name: dict(test) for name, test in item.tests.items()},
        "note": item.note or None,
    }


HEADINGS = ("mark", "kind", "gas", "type", "made", "bought", "in service", "tested", "fitted", "place", "state", "until", "note")


def item_row(item: Item, on: date) -> tuple[str, ...]:
    """One item as a row under HEADINGS; the first ones are those that `gear import` reads."""
    now = fitness(item, on)
    dates: Mapping[str, Any] = item.dates
    days = tuple(dates[name].date if name in dates else "" for name in ("made", "bought", "in_service", "tested"))
    return (item.mark, item.item, item.gas, item.type, *days, item.station, item.place, now.says, now.until, item.note)
