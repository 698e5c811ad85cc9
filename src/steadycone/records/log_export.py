"""A period of the records as files to hand on: events as CSV and JSON, and the audit pack as PDF."""

import json
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING

from steadycone.errors import BadUnit, OutOfRange
from steadycone.records.audit_pack import Period, audit_pack
from steadycone.records.envelope import Recorded
from steadycone.records.telling import event_dict, local, says
from steadycone.render.audit import pdf_audit
from steadycone.render.sheets import csv_bytes

if TYPE_CHECKING:
    from steadycone.records.store import Site

FORMAT = "steadycone-export/1"
HEADINGS = ("event", "happened", "written", "by", "kind", "says", "id")


def period_of(site: "Site", since: str, until: str, today: date, where: tuple[str, str] = ("from", "to")) -> Period:
    """The days asked for; from the first event on, until today, where they are left out. `where`: what the two are called.

    Raises  BadUnit, OutOfRange.
    """
    last = _day(until, where[1]) if until else today
    first = _day(since, where[0]) if since else datetime.fromisoformat(site.event(1).happened_at).astimezone().date()
    if first > last:
        raise OutOfRange(f"{first.isoformat()} is after {last.isoformat()}", where=where[0], try_="Give the earlier day first.")
    return Period(first, last)


def _day(text: str, where: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise BadUnit(f'"{text[:40]}" is not a date', where=where, try_="Write year, month and day: 2026-11-25.") from error


def events_csv(events: Sequence[Recorded]) -> bytes:
    """The events, one a row."""

    def rows() -> Iterator[tuple[str, ...]]:
        for event in events:
            times = (local(event.happened_at), local(event.recorded_at))
            yield (str(event.sequence), *times, event.author, event.kind, says(event.body), event.id)

    return csv_bytes(HEADINGS, rows())


def events_json(site: "Site", events: Sequence[Recorded], period: Period) -> bytes:
    """The events as they stand in the log, and the head they can be proved under."""
    head = site.head()
    told = {
        "format": FORMAT,
        "site": head.site,
        "from": period.since.isoformat(),
        "to": period.until.isoformat(),
        "head": json.loads(head.text),
        "events": [event_dict(event) for event in events],
    }
    return (json.dumps(told, ensure_ascii=False, indent=1) + "\n").encode("utf-8", "replace")


def audit_file(site: "Site", period: Period, when: datetime, paper: str | None = None) -> tuple[bytes, bool]:
    """The audit pack as PDF, and whether the log under it holds: it says so itself on its first page.

    when : the moment it is made, with its zone. paper : the region's where it is left out
    """
    from steadycone import __version__
    from steadycone.data.reader import fingerprint

    checked = site.verify()
    head = site.head()
    if checked.sound:
        first = f"{head.size:,} events, each verified on {when.date().isoformat()}: none changed, removed or put in between."
    else:
        first = f"THE LOG DOES NOT HOLD. {checked.problems[0].says}"
    log = (first, f"Head {head.code}, signed by key {head.key[:16]}.", f"To check: steadycone log verify --code {head.code}")
    tables = fingerprint().partition(":")[2][:8]
    made = f"Made {when.date().isoformat()} by steadycone {__version__}, tables {tables}. Times as at the place it was made."
    sheet = paper or ("Letter" if site.policy.region in ("us", "ca") else "A4")
    return pdf_audit(audit_pack(site, period, when.date(), made, log, sheet)), checked.sound
