"""One incident: what happened, what it holds, and the gate back to service, cleared whole or not at all."""

from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.records import New, events
from steadycone.records.incident_record import gate_in_words, incident_event
from steadycone.records.telling import local
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.pages.filled import Filled, item_url, recorded
from steadycone.web.pages.gear_item import people_with
from steadycone.web.pages.told import told

if TYPE_CHECKING:
    from steadycone.procedures.triage import Triage
    from steadycone.records.rows import IncidentRow


def record_incident(desk: Desk, found: "Triage", station: str, says: str) -> str:
    """Put an event into the log: it holds its station, and what the station is made up of, until its gate is cleared.

    Gives the address of its page.

    Raises  InputError, StoreError: nothing was recorded.
    """
    body, documents = incident_event(found, station, says, desk.region)
    (receipt,) = desk.site.append(New(body, desk.person, desk.now, documents=documents))
    return f"/incidents/{receipt.id}"


def _row(desk: Desk) -> "IncidentRow":
    """Raises  UnknownName."""
    from steadycone.errors import UnknownName

    wanted = desk.path["incident"]
    row = next((row for row in desk.site.incidents(open_only=False) if row.key == wanted), None)
    if row is None:
        raise UnknownName(f'no incident "{wanted[:60]}"', where="incident", try_="Look under Defects.")
    return row


def _see(desk: Desk) -> Response:
    return _page(desk, _row(desk), Filled())


def _page(desk: Desk, row: "IncidentRow", filled: Filled) -> Response:
    site = desk.site
    event = site.event(row.key)
    gate = gate_in_words(row, event, site.document, desk.region)
    after = site.history(incident=row.key, limit=50)
    return desk.page(
        "defect-incident.html.j2",
        f"Incident: {row.event}",
        row=row,
        when=local(row.happened_at),
        cleared_when=local(row.cleared_at) if row.cleared_at else "",
        sequence=event.sequence,
        documents=sorted(event.documents),
        gate=gate,
        clearers={each.id: people_with(desk, each.who) for each in gate},
        two_persons=site.policy.two_persons,
        history=told(desk, after),
        filled=filled,
        item_url=item_url,
    )


def _clear(desk: Desk) -> Response:
    row = _row(desk)

    def do() -> str:
        cleared = tuple(
            events.Cleared(condition=each.id, by=desk.field(f"by-{each.id}", ""), evidence=desk.field(f"evidence-{each.id}", ""))
            for each in row.gate
        )
        desk.record(events.IncidentCleared(incident=row.key, cleared=cleared))
        return f"/incidents/{row.key}"

    return recorded(desk, "clear", do, lambda filled: _page(desk, row, filled), "cleared")


PAGES = (
    get("/incidents/{incident}", _see),
    post("/incidents/{incident}", _clear, "release"),
)
