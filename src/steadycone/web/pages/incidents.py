"""One incident: what happened, what it holds, and the gate back to service, each condition cleared by its own person."""

from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.records import New, events
from steadycone.records.incident_record import gate_in_words, incident_event
from steadycone.records.telling import local
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.pages.asked import asked_again
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
    (receipt,) = desk.site.append(New(body, desk.person, desk.now, documents=documents, known_by="session"))
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
    standing = {each.id: each for each in row.gate}
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
        standing=standing,
        left=len(row.open),
        when_of={each.id: local(each.at) for each in row.gate if each.at},
        clearers={each.id: people_with(desk, each.who) for each in gate},
        two_persons=site.policy.two_persons,
        history=told(desk, after),
        filled=filled,
        item_url=item_url,
    )


def _clear(desk: Desk) -> Response:
    """One condition, by the person who is asked for again."""
    row = _row(desk)
    condition = desk.field("condition")

    def do() -> str:
        body = events.ConditionCleared(
            incident=row.key, condition=condition, evidence=desk.field("evidence", ""), outside=desk.field("outside", "")
        )
        desk.site.append(New(body, asked_again(desk), desk.now, known_by="password"))
        return f"/incidents/{row.key}"

    return recorded(desk, condition, do, lambda filled: _page(desk, _row(desk), filled), "condition")


def _reopen(desk: Desk) -> Response:
    """A condition that was cleared in error, or holds no more."""
    row = _row(desk)
    condition = desk.field("condition")

    def do() -> str:
        body = events.ConditionReopened(incident=row.key, condition=condition, why=desk.field("why", ""))
        desk.site.append(New(body, asked_again(desk), desk.now, known_by="password"))
        return f"/incidents/{row.key}"

    return recorded(desk, f"reopen {condition}", do, lambda filled: _page(desk, _row(desk), filled), "recorded")


PAGES = (
    get("/incidents/{incident}", _see),
    post("/incidents/{incident}", _clear, "round"),
    post("/incidents/{incident}/reopen", _reopen, "release"),
)
