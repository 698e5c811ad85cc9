"""The log: what happened, newest first, told in words; what of it is asked for; and a period of it to take along."""

import json
from collections.abc import Iterable
from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.errors import InputError
from steadycone.records import events as e
from steadycone.records.fold import subjects
from steadycone.records.names import key
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.pages.filled import Filled, address, asked_of, number_asked, recorded
from steadycone.web.pages.told import told

if TYPE_CHECKING:
    from steadycone.records import Recorded, Site

PAGE = 100
LOOK = 10_000  # events looked through for one page: about a second where a person is asked for; older ones on the next
WINDOW = 1_000
HERE = "/log"
_ASKED = ("kind", "station", "person", "mark")


def _log(desk: Desk) -> Response:
    return _page(desk, Filled())


def _page(desk: Desk, filled: Filled) -> Response:
    site, asked = desk.site, asked_of(desk, _ASKED)
    if asked["kind"] and asked["kind"] not in e.KINDS:
        raise InputError(f'"{asked["kind"][:40]}" is not a kind of event', where="kind", try_="Pick one of the list.")
    head = site.head()
    before = min(number_asked(desk, "before", head.size + 1, 0, 1 << 53), head.size + 1)
    found, upto = looked_up(site, asked, before)
    stations = {station.name for station in desk.yard.stations(site).values()} | ({asked["station"]} if asked["station"] else set())
    return desk.page(
        "log.html.j2",
        "Log",
        events=told(desk, found),
        asked=asked,
        narrowed=any(asked.values()),
        kinds=sorted(e.KINDS),
        stations=sorted(stations, key=str.casefold),
        names=[person.name for person in site.people()],
        head=head,
        newest=before > head.size,
        upto=upto,
        at=lambda **other: address(HERE, asked, **other),
        today=desk.today.isoformat(),
        filled=filled,
    )


# --- what is asked for -----------------------------------------------------------------


def looked_up(site: "Site", asked: dict[str, str], before: int) -> "tuple[list[Recorded], int]":
    """A page of events, newest first, and the number that the next page begins before; 1 where nothing is left.

    asked : kind, station, person (who wrote it, or whom it is about) and mark; empty for any
    """
    found: list[Recorded] = []
    at, looked = before, 0
    while at > 1 and looked < LOOK:
        window, at = _window(site, asked, at)
        looked += WINDOW
        for event in window:
            if fits(event, asked):
                found.append(event)
                if len(found) == PAGE:
                    return found, event.sequence
    return found, at


def _window(site: "Site", asked: dict[str, str], before: int) -> "tuple[list[Recorded], int]":
    """Some events before a number, newest first, and the number that the next ones stand before: by the log's own index where it has one."""
    for name, about in (("mark", "mark"), ("mark", "cylinder"), ("station", "station")):
        if asked[name] and (window := site.history(limit=WINDOW, before=before, **{about: asked[name]})):
            return window, window[-1].sequence if len(window) == WINDOW else 1
    if asked["mark"] or asked["station"]:
        return [], 1
    first = max(1, before - (PAGE if not any(asked.values()) else WINDOW))
    window = list(site.events(first=first, last=before - 1, kinds=[asked["kind"]] if asked["kind"] else None))
    return window[::-1], first


def fits(event: "Recorded", asked: dict[str, str]) -> bool:
    """Whether an event is about all that is asked of."""
    about = set(subjects(event))
    if asked["kind"] and event.kind != asked["kind"]:
        return False
    if asked["person"] and key(event.author) != key(asked["person"]) and not _names(event, asked["person"]):
        return False
    if asked["mark"] and not {("item", key(asked["mark"])), ("cylinder", key(asked["mark"]))} & about:
        return False
    return not asked["station"] or ("station", key(asked["station"])) in about


def _names(event: "Recorded", person: str) -> bool:
    cleared: Iterable[e.Cleared] = getattr(event.body, "cleared", ())
    return ("person", key(person)) in subjects(event) or any(key(each.by) == key(person) for each in cleared)


# --- a note ------------------------------------------------------------------------------


def _note(desk: Desk) -> Response:
    def do() -> str:
        desk.record(e.Noted(says=desk.text("says").strip(), mark=desk.field("mark", ""), station=desk.field("station", "")))
        return HERE

    return recorded(desk, "note", do, lambda filled: _page(desk, filled))


# --- a period to take along --------------------------------------------------------------


def _export(desk: Desk) -> Response:
    """As `log export` writes it: CSV, JSON, or the audit pack.

    Raises  BadUnit, OutOfRange: no such period. InputError: no such file.
    """
    from steadycone.records import log_export

    site, wanted = desk.site, desk.asked.get("as", "")
    period = log_export.period_of(site, desk.asked.get("from", ""), desk.asked.get("to", ""), desk.today)
    name = f"{period.since.isoformat()}-to-{period.until.isoformat()}"
    if wanted == "pack":
        data, _ = log_export.audit_file(site, period, desk.now)
        return desk.file(data, f"audit-{name}.pdf", "application/pdf")
    if wanted not in ("csv", "json"):
        raise InputError(f'"{wanted[:20]}" is not a file that the log gives', where="as", try_="Ask for csv, json or pack.")
    events = [event for event in site.events() if period.holds(event)]
    if wanted == "csv":
        return desk.file(log_export.events_csv(events), f"log-{name}.csv", "text/csv; charset=utf-8")
    return desk.file(log_export.events_json(site, events, period), f"log-{name}.json", "application/json")


def pretty(found: object) -> str:
    """JSON for a person to read."""
    return json.dumps(found, ensure_ascii=False, indent=1) + "\n"


PAGES = (
    get(HERE, _log),
    get("/log/export", _export),
    post("/log/note", _note, "round"),
)
