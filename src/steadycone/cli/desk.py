"""The records from the command line: which store and site, who writes, and when. The clock is read here."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any, TypeVar

import click

from steadycone.cli.card import day
from steadycone.errors import BadUnit, InputError, StoreMissing, StoreReadOnly

if TYPE_CHECKING:
    from steadycone.records import Receipt, Site, Store
    from steadycone.records.events import Event

MARKS = {"go": "[ok]", "caution": "[ ! ]", "stop": "[STOP]"}
Command = TypeVar("Command", bound=Callable[..., Any])
_STORE = "Where the records are: a file, or the address of a PostgreSQL database. Otherwise STEADYCONE_STORE, else the usual place."
store_option = click.option("--store", envvar="STEADYCONE_STORE", metavar="PATH-OR-URL", help=_STORE)
site_option = click.option("--site", envvar="STEADYCONE_SITE", metavar="NAME", help="Which site; needed where the store holds several.")
by_option = click.option("--by", envvar="STEADYCONE_BY", metavar="NAME", help="Who answers for this entry; else STEADYCONE_BY.")
at_option = click.option("--at", metavar="TIME", help="When it was so, such as 2026-11-25 or 2026-11-25T07:40; now if left out.")
json_option = click.option("--json", "as_json", is_flag=True, help="Write JSON to stdout, and nothing else.")


def reading(command: Command) -> Command:
    """The options of every command that reads the records."""
    return store_option(site_option(json_option(command)))


def writing(command: Command) -> Command:
    """The options of every command that writes to them."""
    return store_option(site_option(by_option(at_option(json_option(command)))))


def now() -> datetime:
    """The machine's clock in its own zone."""
    return datetime.now(UTC).astimezone()


def clock() -> datetime:
    """The same clock for the records, in UTC."""
    return now().astimezone(UTC)


def today(on: str | None) -> date:
    """The day asked for, or the clock's.

    Raises  BadUnit.
    """
    return day(on) if on is not None else now().date()


def moment(text: str | None) -> datetime:
    """The time given, or now. A time without a zone is of this machine's; a day alone is its beginning.

    Raises  BadUnit.
    """
    if text is None:
        return now()
    try:
        found = datetime.fromisoformat(text)
    except ValueError as error:
        raise BadUnit(f'"{text[:40]}" is not a time', where="--at", try_="Write 2026-11-25, or 2026-11-25T07:40.") from error
    try:
        found.astimezone(UTC)
        return found.astimezone() if found.tzinfo is None else found
    except (OverflowError, ValueError) as error:  # at the calendar's ends
        raise BadUnit(f'"{text[:40]}" is outside the calendar', where="--at", try_="Check the year.") from error


def author(by: str | None) -> str:
    """Raises InputError: nobody answers for the entry."""
    if not by or not by.strip():
        raise InputError("nobody answers for this entry", where="--by", try_='Write your name: --by "A. Lindqvist", or set STEADYCONE_BY.')
    return by


@contextmanager
def open_records(store: str | None, *, writes: bool) -> "Iterator[Store]":
    """The records, which must be there already. To be read, they may lie where nothing can be written.

    Raises  StoreError.
    """
    from steadycone.records import open_store

    try:
        found = open_store(store, create=False, clock=clock)
    except StoreMissing as error:
        error.try_ = 'Check the path, or begin the records: steadycone log open "Tern Quay" --region uk --by NAME'
        raise
    except StoreReadOnly:
        if writes:
            raise
        found = open_store(store, create=False, read_only=True, clock=clock)
    with found:
        yield found


@contextmanager
def open_site(store: str | None, site: str | None, *, writes: bool = False) -> "Iterator[Site]":
    """The site asked for, or the only one.

    Raises  InputError: several, and none named. StoreError.
    """
    with open_records(store, writes=writes) as found:
        try:
            picked = found.site(site)
        except StoreMissing as error:
            error.try_ = 'Open one: steadycone log open "Tern Quay" --region uk --by NAME'
            raise
        if not writes:  # whoever writes is told by the receipt
            _warn_of_clock(picked)
        yield picked


def _warn_of_clock(site: "Site") -> None:
    """Dates that are judged by a clock that was set back are judged too kindly."""
    from steadycone.records.times import clock_behind

    if says := clock_behind(site.head().at, clock()):
        sys.stderr.write(says + "\n")


def record(site: "Site", by: str | None, at: datetime, *bodies: "Event", as_json: bool = False) -> "tuple[Receipt, ...]":
    """Put events in together, and tell what the log gave for them."""
    from steadycone.cli.person import known_by
    from steadycone.records import New

    who = author(by)
    known = known_by(site, who, bodies)
    return told(site.append(*(New(body, who, at, known_by=known) for body in bodies)), as_json)


def told(receipts: "tuple[Receipt, ...]", as_json: bool) -> "tuple[Receipt, ...]":
    """One line for a person, or one object; warnings go to stderr."""
    from steadycone.render.table import plain

    for warning in dict.fromkeys(warning for receipt in receipts for warning in receipt.warnings):
        sys.stderr.write(plain(warning) + "\n")
    last = receipts[-1]
    if as_json:
        events = [{"sequence": receipt.sequence, "id": receipt.id, "kind": receipt.event.kind} for receipt in receipts]
        write_json({"events": events, "head": last.head.code, "warnings": [w for receipt in receipts for w in receipt.warnings]})
    else:
        numbers = " and ".join(str(receipt.sequence) for receipt in receipts)
        sys.stdout.write(f"Event{'s' if len(receipts) > 1 else ''} {numbers}. Head {last.head.code}\n")
    return receipts


def write_json(told: Any) -> None:
    import json

    sys.stdout.write(json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n")
