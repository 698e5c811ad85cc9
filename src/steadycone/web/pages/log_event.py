"""One event: what it says, as it stands in the log, its papers, its proof, and putting it right."""

import json
from typing import TYPE_CHECKING, Any

import msgspec
from starlette.responses import Response

from steadycone.errors import BadUnit, InputError, UnknownName
from steadycone.records import events as e
from steadycone.records.corrected import with_fields
from steadycone.records.telling import event_dict, local
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.pages.filled import Filled, recorded
from steadycone.web.pages.log import pretty
from steadycone.web.pages.told import told

if TYPE_CHECKING:
    from steadycone.records import Recorded

_FILLED = ("station", "marks", "removed", "came_from")  # put in by the log itself: not asked for where they were empty


def event_of(desk: Desk) -> "Recorded":
    """The event that the address names, by number or id.

    Raises  UnknownName.
    """
    which = desk.path["event"]
    if which.isascii() and which.isdigit():
        if len(which) > 15:
            raise UnknownName(f"no event {which[:20]}", where="event", try_="Look in the log.")
        return desk.site.event(int(which))
    return desk.site.event(which)


def _see(desk: Desk) -> Response:
    return _page(desk, event_of(desk), Filled())


def _page(desk: Desk, event: "Recorded", filled: Filled) -> Response:
    (shown,) = told(desk, [event])
    site = desk.site
    corrects = site.event(event.body.corrects).sequence if isinstance(event.body, e.Correction) else 0
    return desk.page(
        "log-event.html.j2",
        f"Event {event.sequence}",
        event=event,
        shown=shown,
        happened=local(event.happened_at),
        recorded=local(event.recorded_at),
        clock=local(event.clock) if event.clock else "",
        documents=list(event.documents.items()),
        json=pretty(event_dict(event)),
        corrects=corrects,
        size=site.size,
        may_correct=isinstance(event.body, e.Correctable) and desk.may("release"),
        fields=fields_of(event.body),
        filled=filled,
    )


# --- papers and proof ------------------------------------------------------------------


def _document(desk: Desk) -> Response:
    """Always to be kept, never shown: whatever stands in it can do nothing in this page's name.

    Raises  UnknownName: the event has no such document. StoreBroken: it is not what was recorded.
    """
    event, name = event_of(desk), desk.path["name"]
    if name not in event.documents:
        raise UnknownName(f'event {event.sequence} has no document "{name[:60]}"', where="document", try_="Look at the event.")
    data = desk.site.document(event.documents[name])
    return desk.file(data, f"event-{event.sequence}-{name}{ending(data)}", "application/octet-stream")


def ending(data: bytes) -> str:
    """What a file of this content is called at its end: by its first letters, since the log keeps no names of files."""
    if data.startswith(b"%PDF"):
        return ".pdf"
    if data.startswith(b"PK\x03\x04"):
        return ".zip"
    if data[:1] in (b"{", b"["):
        try:
            json.loads(data)
        except ValueError:
            return ".txt"
        return ".json"
    return ".txt" if b"\0" not in data[:4000] else ".bin"


def _proof(desk: Desk) -> Response:
    """As `log prove` writes it."""
    event = event_of(desk)
    return desk.file(pretty(desk.site.prove(event.sequence)).encode(), f"proof-{event.sequence}.json", "application/json")


# --- putting it right ------------------------------------------------------------------


def fields_of(body: Any) -> list[tuple[str, str, bool]]:
    """Name, text and whether it is JSON, of each field that a person may put right."""
    values = msgspec.to_builtins(body)
    found = []
    for field in msgspec.structs.fields(body):
        value = values.get(field.name)
        if field.name in _FILLED and not value:
            continue
        plain = value is None or isinstance(value, str)
        found.append((field.name, value or "" if plain else json.dumps(value, ensure_ascii=False), not plain))
    return found


def _correct(desk: Desk) -> Response:
    event = event_of(desk)

    def do() -> str:
        if not isinstance(event.body, e.Correctable):
            raise InputError(f"{event.kind} is not corrected", where="event", try_="Record the right one as a new event.")
        new: Any = None if desk.field("annul", "") else with_fields(event.body, changed(desk, event.body), where="correction")
        if new == event.body:
            raise InputError("nothing is changed", where="correction", try_="Write what it should have said, or annul it.")
        (receipt,) = desk.record(e.Correction(corrects=event.id, why=desk.field("why"), replaces=new))
        return f"/log/{receipt.sequence}"

    return recorded(desk, "correct", do, lambda filled: _page(desk, event, filled))


def changed(desk: Desk, body: Any) -> dict[str, Any]:
    """The fields that were typed otherwise than they stand.

    Raises  BadUnit: a field that is a list or a table, and is not JSON any more.
    """
    found: dict[str, Any] = {}
    for name, old, is_json in fields_of(body):
        text = desk.text(f"field-{name}", old)
        plain = " ".join(text.split())
        if plain == " ".join(old.split()):
            continue
        try:
            found[name] = json.loads(text) if is_json else plain
        except (ValueError, RecursionError) as error:
            raise BadUnit(f"not JSON ({error})", where=name, try_=f"It said {old[:200]}") from error
    return found


PAGES = (
    get("/log/{event}", _see),
    get("/log/{event}/document/{name}", _document),
    get("/log/{event}/proof.json", _proof),
    post("/log/{event}/correct", _correct, "release"),
)
