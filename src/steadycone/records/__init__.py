"""What happened, kept so that it can be trusted: events that are added and never changed, and what is true now derived from them.

    from steadycone.records import New, events, open_store

    store = open_store("yard.db")                        # a path, or postgresql://…; None: STEADYCONE_STORE, else the usual place
    site = store.open_site("tern-quay", region="uk", author="M. Reyes")       # there already: store.site("tern-quay")
    receipt, = site.append(New(events.GearAdded(mark="R-0142", item="regulator", gas="oxygen",
                               dates={"made": events.Dated(date="2023-02", basis="stamp")}), author="M. Reyes", happened_at=now))
    receipt.sequence, receipt.id, receipt.head.code, receipt.warnings

Writing (see store.py; everything in one call goes in together, or nothing of it)
    site.append(New, ...)          -> tuple[Receipt, ...]       raises InputError, Refused, StoreError. The same id again is not doubled.
    site.append_each([New, ...])   -> list[Receipt | InputError]   each for itself: an import that takes what is good
    site.preview([New, ...])       -> list[InputError | None]      what append_each would say; writes nothing
A round with its sign-off: site.append(New(RoundDone(...), documents={"report": bytes, ...}, id=round_id), New(SignOff(round=round_id, ...))).
Keep the answers file until append has returned: a StoreError means that nothing was written.

Reading (see views.py; rows.py has the rows)
    site.items(state=, item=, station=, search=, after=, limit=) -> list[Item]      site.item(mark) -> Item, with .due_on and .due_why
    site.due(on, days=30, limit=None) -> list[Due], worst first; unknown age first of all
    site.history(mark=|station=|person=|cylinder=|paper=, limit=, before=) -> list[Recorded], newest first
    site.events(first=, last=, kinds=) -> iterator[Recorded]        site.event(id or sequence) -> Recorded
    site.document(hash) -> bytes
    site.stations() site.station(name) -> Station                   site.sign_off(station, now) -> Holding
    site.defects(open_only=True) site.incidents(open_only=True) site.people() site.cylinders() site.corrections() -> {old id: newest id}
    site.policy -> SitePolicy (records/policy.py: classes, two_persons, sign_off_by; from_station_policy makes rules of a policy file)

Files of stations (see station_files.py; the texts are in the log, with who changed them and from what)
    file_paper(site, author, at, name, "chart" | "policy", data, base="", why="") -> Receipt
    file_station(site, author, at, file, text, base="", why="", editing="") -> Receipt          raises Overtaken: somebody was first
    read_station(site, name) -> StationFiles    read_hashes(site, file, hashes) -> StationFiles    read_all(site) -> iterator
    site.papers(what=None) site.paper(name) -> Paper; events.StationRetired takes a station out of use

Beside the log, in the same database
    store.accounts (accounts.py, sessions.py): accounts, sessions, failed attempts, the code for the first account
    site.drafts (drafts.py): rounds on their way: extend, get, open_ones, mark
    record_round(report, site, papers, id=None) (round_record.py): a round with its sign-off, once however often it is delivered

Trust
    site.head() -> SignedHead (.size .root .at .code .text)         site.prove(id or sequence) -> dict (JSON)
    site.verify(heads=(), codes=(), key=None, every_signature=False, progress=None) -> Verified (.sound .problems .size .head .notices)
    verify_proof(proof, head, key=None) -> Proven: no database needed       parse_head(text) -> SignedHead
    site.rebuild() -> int: what is true now, derived again; site.stale() -> what differs from the events (nothing, unless tampered with)
    site.change_key(author, why, at)

Keeping
    store.backup(path) -> Backup (SQLite: a copy of the file while in use; path ending .jsonl, and PostgreSQL: the log as lines)
    restore(source, address) -> tuple[Verified, ...] into an empty place
    site.lines() -> iterator[str], the log as JSON lines            store.sites() -> list[str]       store.close(), or `with`

Pure, without any library of a database: events, rows, policy, merkle, heads, proof, fold_*, rules_*. Nothing here is imported by the card.
"""

from typing import TYPE_CHECKING

from steadycone.records import events

if TYPE_CHECKING:
    from steadycone.records.backup import restore
    from steadycone.records.envelope import New, Receipt, Recorded
    from steadycone.records.heads import SignedHead, parse_head
    from steadycone.records.proof import verify_proof
    from steadycone.records.store import Site, Store, open_store

__all__ = [
    "New",
    "Receipt",
    "Recorded",
    "SignedHead",
    "Site",
    "Store",
    "events",
    "open_store",
    "parse_head",
    "restore",
    "verify_proof",
]

_WHERE = {
    "New": "envelope",
    "Receipt": "envelope",
    "Recorded": "envelope",
    "SignedHead": "heads",
    "Site": "store",
    "Store": "store",
    "open_store": "store",
    "parse_head": "heads",
    "restore": "backup",
    "verify_proof": "proof",
}


def __getattr__(name: str) -> object:
    """What needs a database is imported when it is first asked for."""
    if name not in _WHERE:
        raise AttributeError(name)
    from importlib import import_module

    return getattr(import_module(f"steadycone.records.{_WHERE[name]}"), name)
