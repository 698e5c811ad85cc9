"""What the register says of an item on a day, in few words: the same on a screen, on a label and in an audit."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from steadycone.practice.finding import Verdict
from steadycone.practice.limits import limit
from steadycone.records.rows import NEVER, Item

_DAY = 86400.0


@dataclass(frozen=True, slots=True)
class State:
    """`word` is what a label says: in service, out of date, quarantined or retired. `until`: ISO, or empty. `days` left, where known."""

    verdict: Verdict
    word: str
    says: str
    until: str = ""
    days: int | None = None


def state(item: Item, on: date) -> State:
    """Quarantine first, then age: no date counts as out of date."""
    until = item.due_on
    days = (until - on).days if until else None
    told = until.isoformat() if until else ""
    if item.state != "in service":
        return State("stop", item.state, f"{item.state}: {item.reason}" if item.reason else item.state, told, days)
    if item.due_day >= NEVER:
        return State("go", "in service", "in service, no set date")
    if days is None:
        return State("stop", "out of date", "age not known")
    if days < 0:
        return State("stop", "out of date", f"out of date since {told}", told, days)
    if days * _DAY <= limit("due-soon").si:
        return State("caution", "in service", f"due in {days} day{'s' if days != 1 else ''}", told, days)
    return State("go", "in service", "in service", told, days)


def basis(item: Item) -> str:
    """What the day an item is due counts from, for a label: "tested 2026-03-04"."""
    order = ("tested", "made") if item.due_why == "test" else ("made",)
    return next((f"{name} {item.dates[name].date}" for name in order if name in item.dates), "")


def item_dict(item: Item, on: date) -> dict[str, Any]:
    """One item as JSON."""
    now = state(item, on)
    return {
        "mark": item.mark,
        "item": item.item,
        "gas": item.gas or None,
        "type": item.type or None,
        "state": now.word,
        "verdict": now.verdict,
        "says": now.says,
        "until": now.until or None,
        "days": now.days,
        "due_why": item.due_why or None,
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
    now = state(item, on)
    dates: Mapping[str, Any] = item.dates
    days = tuple(dates[name].date if name in dates else "" for name in ("made", "bought", "in_service", "tested"))
    return (item.mark, item.item, item.gas, item.type, *days, item.station, item.place, now.says, now.until, item.note)
