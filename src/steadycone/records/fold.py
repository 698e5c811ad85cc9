"""Events to what is true now. Each row depends on its own past and the next event about it, and on nothing else.

That makes a row small to derive again: after a correction, the events about one item are folded anew and nothing else moves.
"""

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import Any

from msgspec.structs import force_setattr, replace

from steadycone.records import events as e
from steadycone.records.envelope import Recorded
from steadycone.records.names import key
from steadycone.records.quarantine import kept_reason
from steadycone.records.rows import Condition, Cylinder, Defect, Grant, IncidentRow, Item, OpenDefect, Paper, Person, Row, Station

Subject = tuple[str, str]  # table, key
PAPERS = ("station", "policy", "chart")  # documents of a round that say what was proved
_UNPROVED: dict[str, Any] = {"round": "", "round_state": "", "round_verdict": "", "round_papers": {}}  # no round stands


def subjects(event: Recorded, key: Callable[[str], str] = key) -> tuple[Subject, ...]:
    """What an event is about: the rows it may change, and the people it should be found under.

    key : names.key, or what remembers it over a million events
    """
    body: Any = event.body
    kind = body.__class__
    found: list[Subject] = []
    for field, table in _fields(kind):
        if name := getattr(body, field):
            found.append((table, key(name)))
    more = _MORE.get(kind)
    if more is not None:
        found += more(event.id, body)
    return tuple(found) if len(found) < 2 else tuple(dict.fromkeys(found))


_NAMED = (("mark", "item"), ("station", "station"), ("person", "person"), ("defect", "defect"), ("incident", "incident"))


@cache
def _fields(kind: type[e.Event]) -> tuple[Subject, ...]:
    """The fields of a kind of event that name a thing, each with its table. Found out once: a million events are asked."""
    tables = [(field, table) for field, table in _NAMED if field in kind.__struct_fields__]
    return tuple((field, "cylinder" if kind is e.CylinderMoved else table) for field, table in tables)


# What else an event of a kind is about, by its id and its body.
_MORE: dict[type[e.Event], Callable[[str, Any], Iterable[Subject]]] = {
    e.Correction: lambda _, body: body.about,
    e.StationMadeUp: lambda _, body: (("item", key(mark)) for mark in (*body.makeup.values(), *body.removed)),
    e.Incident: lambda id_, body: [*(("item", key(mark)) for mark in body.marks), ("incident", id_)],
    e.IncidentCleared: lambda _, body: (("item", key(mark)) for mark in body.marks),
    e.ConditionCleared: lambda _, body: (("item", key(mark)) for mark in body.marks),
    e.StationFiled: lambda _, body: (("paper", key(name)) for name in (*body.papers, *body.dropped)),
    e.PaperFiled: lambda _, body: [("paper", key(body.name)), *(("station", key(name)) for name in body.stations)],
    e.DefectFound: lambda id_, _: [("defect", id_)],
}


def fold(table: str, name: str, row: Row | None, event: Recorded) -> Row | None:
    """The row after one more event about it. None: it is not there (yet, or its beginning was annulled)."""
    after = FOLDS[table](name, row, event, event.body)
    if after is None:
        return None
    if after is row:
        return replace(after, last=event.sequence)
    force_setattr(after, "last", event.sequence)  # it was made just now, and nobody else has it
    return after


def fold_all(table: str, name: str, history: Iterable[Recorded], corrections: Mapping[str, e.Correction]) -> Row | None:
    """A row from its whole history, oldest first, with what was corrected put right in its place."""
    row: Row | None = None
    for event in history:
        row = fold(table, name, row, corrected(event, corrections))
    return row


def corrections_in(history: Iterable[Recorded]) -> dict[str, e.Correction]:
    """What a history corrects, by the id of the event; the newest counts."""
    return {event.body.corrects: event.body for event in history if isinstance(event.body, e.Correction)}


def corrected(event: Recorded, corrections: Mapping[str, e.Correction]) -> Recorded:
    """The event as it should have been; one that was annulled becomes a remark."""
    found = corrections.get(event.id)
    if found is None:
        return event
    return replace(event, body=found.replaces if found.replaces is not None else e.Noted(says="annulled"))


def _item(name: str, row: Any, event: Recorded, body: e.Event) -> Item | None:
    if isinstance(body, e.GearAdded):
        return Item(
            key=name, first=event.sequence, last=event.sequence, mark=body.mark, item=body.item, gas=body.gas, type=body.type,
            dates=_named(body.dates), ratings=dict(body.ratings), note=body.note,
        )  # fmt: skip
    turn = _ITEM.get(type(body))
    return row if row is None or turn is None else turn(row, event, body)


def _kept(item: Item) -> str:
    """Why it is in quarantine already; empty where it is not."""
    return item.reason if item.state == "quarantined" else ""


def _named(dates: Mapping[e.DateName, e.Dated]) -> dict[str, e.Dated]:
    return {str(name): dated for name, dated in dates.items()}


def _without(incidents: tuple[str, ...], cleared: str) -> tuple[str, ...]:
    return tuple(id_ for id_ in incidents if key(id_) != key(cleared))


def _defects_after(defects: dict[str, OpenDefect], event: Recorded, body: e.DefectFound | e.DefectClosed) -> dict[str, OpenDefect]:
    """The open ones after one more was found or closed."""
    if isinstance(body, e.DefectFound):
        return defects | {event.id: OpenDefect(severity=body.severity, says=body.says)}
    return {id_: defect for id_, defect in defects.items() if key(id_) != key(body.defect)}


def _item_in_makeup(item: Item, body: e.StationMadeUp) -> Item:
    for place, mark in body.makeup.items():
        if key(mark) == item.key:
            return replace(item, station=body.station, place=place)
    return replace(item, station="", place="") if key(item.station) == key(body.station) else item


def _tested(item: Item, event: Recorded, body: e.TestResult) -> Item:
    day = event.happened_at[:10]
    last = {"value": body.value, "result": "pass" if body.passed else "fail", "on": day, "event": event.id, "at": event.happened_at}
    last |= {"held_to": body.held_to} if body.held_to else {}
    after = replace(item, tests=item.tests | {body.test: last})
    if not body.passed:
        reason = kept_reason(item.item, _kept(item), f"failed {body.test} test: {body.value}")
        return after if item.state == "retired" else replace(after, state="quarantined", reason=reason)
    if body.completes:
        return replace(after, dates=item.dates | {"tested": e.Dated(date=day, basis=f"{body.test} test")})
    return after


def _quarantined(item: Item, event: Recorded, body: e.Quarantined) -> Item:
    return item if item.state == "retired" else replace(item, state="quarantined", reason=kept_reason(item.item, _kept(item), body.reason))


def _released(item: Item, event: Recorded, body: e.Released) -> Item:
    return replace(item, state="in service", reason="") if item.state == "quarantined" else item


# What becomes of an item that is there, by the kind of the event.
_ITEM: dict[type[e.Event], Callable[[Item, Recorded, Any], Item]] = {
    e.GearDated: lambda item, _, body: replace(item, dates=item.dates | {body.which: e.Dated(date=body.date, basis=body.basis)}),
    e.GearFitted: lambda item, _, body: replace(item, station=body.station, place=body.place),
    e.GearRemoved: lambda item, _, body: replace(item, station="", place=""),
    e.GearRetired: lambda item, _, body: replace(item, station="", place="", state="retired", reason=body.why),
    e.StationMadeUp: lambda item, _, body: _item_in_makeup(item, body),
    e.Incident: lambda item, event, _: replace(item, incidents=(*item.incidents, event.id)),
    e.IncidentCleared: lambda item, _, body: replace(item, incidents=_without(item.incidents, body.incident)),
    e.ConditionCleared: lambda item, _, body: replace(item, incidents=_without(item.incidents, body.incident)) if body.last else item,
    e.DefectFound: lambda item, event, body: replace(item, defects=_defects_after(item.defects, event, body)),
    e.DefectClosed: lambda item, event, body: replace(item, defects=_defects_after(item.defects, event, body)),
    e.TestResult: _tested,
    e.Quarantined: _quarantined,
    e.Released: _released,
}


def _station(name: str, row: Any, event: Recorded, body: e.Event) -> Station | None:
    told = getattr(body, "station", "")
    station: Station = row or Station(key=name, name=told or name, first=event.sequence, last=event.sequence)
    if isinstance(body, e.StationMadeUp):
        if station.makeup == body.makeup and row is not None:
            return station
        return _made_up(station, event, dict(body.makeup), body.why or "part-changed")
    if isinstance(body, e.GearFitted):
        others = {place: mark for place, mark in station.makeup.items() if key(mark) != key(body.mark)}
        return _made_up(station, event, others | {body.place: body.mark}, "part-changed")
    if isinstance(body, e.GearRemoved | e.GearRetired):
        left = {place: mark for place, mark in station.makeup.items() if key(mark) != key(body.mark)}
        return _made_up(station, event, left, "part-changed")
    if isinstance(body, e.Quarantined) or (isinstance(body, e.TestResult) and not body.passed):
        return _ended(station, event, f"quarantined: {body.mark}")
    if isinstance(body, e.DefectFound | e.DefectClosed):
        found = station if body.mark else replace(station, defects=_defects_after(station.defects, event, body))
        stops = isinstance(body, e.DefectFound) and body.severity == "stop"
        return _ended(found, event, "defect") if stops else found
    if isinstance(body, e.StationFiled | e.PaperFiled | e.StationRetired):
        return _station_on_file(station, event, body)
    return _station_at_work(station, event, body)


def _station_on_file(station: Station, event: Recorded, body: e.Event) -> Station:
    """Whatever is filed, the last round was about something else, and the sign-off with it."""
    if isinstance(body, e.StationFiled):
        text = event.documents.get("station", "")
        filed = {"file": body.file, "text": text, "filed_at": event.happened_at, "filed_by": event.author, "retired": ""}
        return _ended(replace(station, papers=body.papers, **filed, **_UNPROVED), event, "file changed")
    if isinstance(body, e.StationRetired):
        return _ended(replace(station, retired=body.why, **_UNPROVED), event, "retired")
    assert isinstance(body, e.PaperFiled)
    return _ended(replace(station, **_UNPROVED), event, f"{body.what} changed")


def _station_at_work(station: Station, event: Recorded, body: e.Event) -> Station:
    if isinstance(body, e.RoundDone):
        papers = {name: event.documents[name] for name in PAPERS if name in event.documents}
        return replace(station, round=event.id, round_state=body.state, round_verdict=body.verdict, round_papers=papers)
    if isinstance(body, e.SignOff):
        signed = {"sign_off": event.id, "signed_by": event.author, "signed_at": event.happened_at, "valid_until": body.valid_until}
        return replace(station, longest_break=body.longest_break, ended="", ended_at="", cleared_by=(), **signed)
    if isinstance(body, e.SignOffEnded):
        return _ended(station, event, body.why)
    if isinstance(body, e.Incident):
        return _ended(replace(station, incidents=(*station.incidents, event.id), **_UNPROVED), event, "event")
    if isinstance(body, e.IncidentCleared | e.ConditionCleared):
        cleared_by = tuple(dict.fromkeys((*station.cleared_by, event.author)))
        freed = isinstance(body, e.IncidentCleared) or body.last
        left = _without(station.incidents, body.incident) if freed else station.incidents
        return replace(station, incidents=left, cleared_by=cleared_by)
    return station


def _made_up(station: Station, event: Recorded, makeup: dict[str, str], why: str) -> Station:
    """Another make-up: the last round was about another station, and the sign-off with it."""
    after = replace(station, makeup=makeup, makeup_at=event.sequence, **_UNPROVED)
    return _ended(after, event, why)


def _ended(station: Station, event: Recorded, why: str) -> Station:
    """Ends a sign-off that stands. One that is told late ends no earlier than it began: the signature was not worth more for that."""
    if not station.sign_off or station.ended:
        return station
    return replace(station, ended=why, ended_at=max(event.happened_at, station.signed_at))


def _person(name: str, row: Any, event: Recorded, body: e.Event) -> Person | None:
    if not isinstance(body, e.Authorised | e.AuthorisationEnded):
        return row  # type: ignore[no-any-return]
    person: Person = row or Person(key=name, name=body.person, first=event.sequence, last=event.sequence)
    day = event.happened_at[:10]
    if isinstance(body, e.Authorised):
        grant = Grant(role=body.role, since=day, until=body.until, basis=body.basis, by=event.author)
        return replace(person, grants=(*person.grants, grant))
    return replace(person, grants=tuple(replace(g, ended=day) if g.role == body.role and not g.ended else g for g in person.grants))


def _defect(name: str, row: Any, event: Recorded, body: e.Event) -> Defect | None:
    if isinstance(body, e.DefectFound):
        about = {"says": body.says, "severity": body.severity, "mark": body.mark, "station": body.station}
        return Defect(key=name, first=event.sequence, last=event.sequence, found_by=event.author, found_at=event.happened_at, **about)
    if row is not None and isinstance(body, e.DefectClosed):
        return replace(row, closed_by=event.author, closed_at=event.happened_at, how=body.how)  # type: ignore[no-any-return]
    return row  # type: ignore[no-any-return]


def _incident(name: str, row: Any, event: Recorded, body: e.Event) -> IncidentRow | None:
    if isinstance(body, e.Incident):
        told = {"says": body.says, "happened_at": event.happened_at, "told_by": event.author}
        return IncidentRow(
            key=name,
            first=event.sequence,
            last=event.sequence,
            station=body.station,
            event=body.event,
            gate=tuple(Condition(id=condition.id, who=condition.who) for condition in body.gate),
            marks=body.marks,
            **told,
        )
    if row is None:
        return None
    if isinstance(body, e.IncidentCleared):
        whole = {each.condition: {"by": each.by, "evidence": each.evidence, "at": event.happened_at} for each in body.cleared}
        return replace(_with_conditions(row, whole), cleared_by=event.author, cleared_at=event.happened_at)
    if isinstance(body, e.ConditionCleared):
        told = {"by": event.author, "evidence": body.evidence, "at": event.happened_at, "outside": body.outside}
        after = _with_conditions(row, {body.condition: told})
        return replace(after, cleared_by=event.author, cleared_at=event.happened_at) if body.last else after
    if isinstance(body, e.ConditionReopened):
        return _with_conditions(row, {body.condition: {"by": "", "evidence": "", "at": "", "outside": ""}})
    return row  # type: ignore[no-any-return]


def _with_conditions(row: IncidentRow, told: Mapping[str, Mapping[str, str]]) -> IncidentRow:
    return replace(row, gate=tuple(replace(each, **told.get(each.id, {})) for each in row.gate))


def _cylinder(name: str, row: Any, event: Recorded, body: e.Event) -> Cylinder | None:
    if not isinstance(body, e.CylinderMoved):
        return row  # type: ignore[no-any-return]
    first = row.first if row else event.sequence
    now = {"mark": body.mark, "gas": body.gas, "place": body.to, "state": body.state, "contents": body.contents}
    return Cylinder(key=name, first=first, last=event.sequence, moved_at=event.happened_at, **now)


def _paper(name: str, row: Any, event: Recorded, body: e.Event) -> Paper | None:
    if isinstance(body, e.PaperFiled):
        first, stations = (row.first, row.stations) if row else (event.sequence, ())
        filed = {"filed_at": event.happened_at, "filed_by": event.author, "hash": event.documents.get("paper", "")}
        return Paper(key=name, first=first, last=event.sequence, name=body.name, what=body.what, stations=stations, **filed)
    if row is not None and isinstance(body, e.StationFiled):
        others = tuple(station for station in row.stations if key(station) != key(body.station))
        uses = any(key(paper) == name for paper in body.papers)
        return replace(row, stations=(*others, body.station) if uses else others)  # type: ignore[no-any-return]
    return row  # type: ignore[no-any-return]


FOLDS: dict[str, Callable[[str, Any, Recorded, Any], Row | None]] = {
    "item": _item,
    "station": _station,
    "person": _person,
    "defect": _defect,
    "incident": _incident,
    "cylinder": _cylinder,
    "paper": _paper,
}
