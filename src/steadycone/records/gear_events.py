"""Between the register's rows, what a person writes down, and the events that carry it."""

from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Any

from steadycone.errors import InputError
from steadycone.records import events
from steadycone.records.envelope import New
from steadycone.records.events import Dated, DateName, Event, ItemClass
from steadycone.records.gear_columns import RESULTS
from steadycone.records.gear_item import Listed
from steadycone.records.gear_list import RowReport
from steadycone.records.gear_names import KINDS
from steadycone.records.rows import Item
from steadycone.units import GivenDate

_DATES: tuple[DateName, ...] = ("made", "bought", "in_service", "tested")


def listed(item: Item) -> Listed:
    """A register's row as a list would have it."""
    kind: ItemClass = next((kind for kind in KINDS if kind == item.item), "other")
    dates: dict[str, Any] = {name: item.dates[name].date for name in _DATES if name in item.dates}
    return Listed(
        mark=item.mark,
        kind=kind,
        gas=item.gas,
        type=item.type,
        fitted=item.station,
        place=item.place,
        note=item.note,
        results={test: item.tests[test]["value"] for test in RESULTS if "value" in item.tests.get(test, {})},
        state=item.state,
        **dates,
    )


def added(item: Listed, basis: str, ratings: dict[str, str] | None = None) -> events.GearAdded:
    """`basis`: what the dates were read from."""
    return events.GearAdded(
        mark=item.mark,
        item=item.kind,
        gas=item.gas,
        type=item.type,
        dates={name: _dated(item, name, basis) for name in _DATES if getattr(item, name)},
        ratings=ratings or {},
        note=item.note,
    )


def _dated(item: Listed, name: DateName, basis: str) -> Dated:
    by = f"by {item.tested_by}; {basis}" if name == "tested" and item.tested_by else basis
    return Dated(date=getattr(item, name), basis=by)


def row_events(row: RowReport, basis: str, author: str, now: datetime, first_of: Callable[[str], tuple[str, Event]]) -> list[New]:
    """What a row of a list adds to the log; nothing for a row that is bad, or that the register has already.

    Parameters
    ----------
    now : with its zone
    first_of : id and body of the event that added a mark; asked only where its own words change
    """
    item = row.item
    if item is None or row.outcome not in ("add", "change"):
        return []
    bodies: list[Event]
    if row.outcome == "add":
        bodies = [added(item, basis)]
        changed = {"fitted"} if item.fitted else set()
        tests = set(item.results)
    else:
        changed = {name for name, _, _ in row.changes}
        tests = {test for test in RESULTS if test in changed}
        bodies = list(_changes(row, item, changed, basis, first_of))
    if "fitted" in changed:
        bodies.append(events.GearFitted(mark=row.mark, station=item.fitted, place=item.place))
    found = [New(body, author, now) for body in bodies]
    for test in RESULTS:
        if test in tests:
            result = events.TestResult(mark=row.mark, test=test, value=item.results[test], passed=bool(item.passed), gas=item.gas)
            found.append(New(result, author, day_of(item.tested, now)))
    return found


def _changes(row: RowReport, item: Listed, changed: set[str], basis: str, first_of: Callable[[str], tuple[str, Event]]) -> Iterator[Event]:
    for name in _DATES:
        if name.replace("_", " ") in changed:
            dated = _dated(item, name, basis)
            yield events.GearDated(mark=row.mark, which=name, date=dated.date, basis=dated.basis)
    if changed & {"gas", "type", "note"}:
        yield reworded(row.mark, item, basis, first_of)


def reworded(mark: str, item: Listed, why: str, first_of: Callable[[str], tuple[str, Event]]) -> events.Correction:
    """The event that added an item, said again with this gas, type and note where they are given."""
    first, old = first_of(mark)
    if not isinstance(old, events.GearAdded):
        raise InputError(
            f"{mark} was not added by itself", where="mark", try_="Correct the event that brought it in: steadycone log correct."
        )
    new = events.GearAdded(
        mark=old.mark,
        item=old.item,
        gas=item.gas or old.gas,
        type=item.type or old.type,
        dates=old.dates,
        ratings=old.ratings,
        note=item.note or old.note,
    )
    return events.Correction(corrects=first, why=why, replaces=new)


def day_of(text: str, now: datetime) -> datetime:
    """The beginning of a day in the zone of `now`; a month alone is its first day. Never later than `now`."""
    day = GivenDate.parse(text).day
    return min(datetime.combine(day, datetime.min.time(), now.tzinfo), now)
