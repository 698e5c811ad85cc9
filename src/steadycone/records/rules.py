"""Every kind of event and the rule it must pass. What a rule gives back is what is recorded: the store's own fields are filled in."""

from collections.abc import Callable, Sequence
from typing import Any

import msgspec
from msgspec.structs import replace

from steadycone.errors import InputError, OutOfRange, Refused, UnknownName
from steadycone.practice.examination import asked_of
from steadycone.records import events as e
from steadycone.records import rules_files, rules_gate, rules_gear, rules_people, rules_station, rules_training
from steadycone.records.due import finished
from steadycone.records.envelope import New, Recorded, check_document, checked_id
from steadycone.records.fold import Subject, corrected, corrections_in, fold, fold_all, subjects
from steadycone.records.gear_day import gear_day
from steadycone.records.names import checked, key
from steadycone.records.policy import changed, check_rules
from steadycone.records.quarantine import never_back
from steadycone.records.rows import Defect, IncidentRow, Item, Row, Station
from steadycone.records.rules_instruments import measured_with
from steadycone.records.times import AHEAD, read, told
from steadycone.records.world import World

Find = Callable[[str], Recorded | None]  # an event by its id

_FILLED = ("station", "mark", "marks", "removed", "came_from")
_OLDEST = 1900


def check_form(new: New) -> None:
    """What can be said of an event without knowing anything else.

    Raises  InputError.
    """
    checked(new.author, "author")
    checked_id(new.id)
    told(new.happened_at, "happened_at")
    if new.happened_at.year < _OLDEST:
        raise OutOfRange(f"{new.happened_at.isoformat()} is before {_OLDEST}", where="happened_at", try_="Check the year.")
    for name, data in new.documents.items():
        check_document(name, data)
    try:
        msgspec.convert(msgspec.to_builtins(new.body), type(new.body))
    except (msgspec.ValidationError, TypeError) as error:
        raise InputError(f"{e.kind_of(new.body)}: {error}", where="event", try_="See records/events.py for its fields.") from error


def allowed(world: World, new: New, find: Find) -> e.Event:
    """The event's body, filled in, if nothing speaks against it. Its form was checked before.

    Raises  InputError: it can't be so. Refused: a rule of safety speaks against it.
    """
    if new.happened_at > world.now + AHEAD:
        raise OutOfRange(
            f"{new.happened_at.isoformat()} is in the future",
            where="happened_at",
            try_=f"This machine's clock says {world.now:%Y-%m-%d %H:%M} UTC.",
        )
    if isinstance(new.body, e.Correction):
        return _correction(world, new, new.body, find)
    rule = RULES.get(type(new.body))
    if rule is None:
        raise InputError(f"{e.kind_of(new.body)} is written by the store itself", where="kind", try_="Leave it out.")
    return rule(world, new, new.body)


def policy_changed(world: World, new: New, body: e.PolicyChanged) -> e.Event:
    check_rules(body)
    return body


RULES: dict[type[e.Event], Callable[[World, New, Any], e.Event]] = {
    e.PolicyChanged: policy_changed,
    e.GearAdded: rules_gear.gear_added,
    e.GearDated: rules_gear.gear_dated,
    e.GearFitted: rules_gear.gear_fitted,
    e.GearRemoved: rules_gear.gear_removed,
    e.GearRetired: rules_gear.gear_retired,
    e.StationMadeUp: rules_gear.station_made_up,
    e.TestResult: rules_gear.test_result,
    e.Quarantined: rules_gear.quarantined,
    e.Repaired: rules_gear.repaired,
    e.Released: rules_gear.released,
    e.DefectFound: rules_gear.defect_found,
    e.DefectClosed: rules_gear.defect_closed,
    e.CylinderMoved: rules_gear.cylinder_moved,
    e.RoundDone: rules_station.round_done,
    e.SignOff: rules_station.sign_off,
    e.SignOffEnded: rules_station.sign_off_ended,
    e.StationFiled: rules_files.station_filed,
    e.PaperFiled: rules_files.paper_filed,
    e.StationRetired: rules_files.station_retired,
    e.Incident: rules_gate.incident,
    e.ConditionCleared: rules_gate.condition_cleared,
    e.ConditionReopened: rules_gate.condition_reopened,
    e.IncidentCleared: rules_gate.incident_cleared,
    e.Noted: rules_station.noted,
    e.Authorised: rules_people.authorised,
    e.AuthorisationEnded: rules_people.authorisation_ended,
    e.Trained: rules_training.trained,
}


def needs(new: New) -> list[Subject]:
    """What a rule will ask for, to be read ahead. Only speed depends on it."""
    body = new.body
    found = [(table, name) for table, name in subjects(_sketch(new))]
    judged = isinstance(body, e.SignOff | e.Released | e.ConditionCleared | e.Trained) or (
        isinstance(body, e.TestResult) and body.completes
    )
    people = {new.author} if judged else set()
    return [*found, *(("person", key(name)) for name in people)]


def _sketch(new: New) -> Recorded:
    """The event before the store has seen it."""
    body: Any = new.body
    return Recorded(author=new.author, body=body, data="", happened_at="", id=new.id, program="", recorded_at="", sequence=0, site="")


def needs_more(world: World, news: list[New]) -> list[Subject]:
    """What hangs on the rows read so far: the stations of items, the items of stations."""
    found: list[Subject] = []
    for new in news:
        body = new.body
        station = world.station(body.station) if isinstance(body, e.SignOff | e.StationMadeUp | e.Incident) else None
        if station:
            found += [("item", key(mark)) for mark in station.makeup.values()]
            found += [("paper", key(name)) for name in station.papers]
        about = isinstance(body, e.Quarantined | e.TestResult | e.Repaired | e.GearRemoved | e.GearRetired | e.DefectFound | e.Noted)
        item = world.item(body.mark) if about and body.mark else None  # type: ignore[attr-defined]
        if item and item.station:
            found.append(("station", key(item.station)))
        if isinstance(body, e.StationFiled) and (filed := world.station(body.station)):
            found += [("paper", key(name)) for name in filed.papers]
        if isinstance(body, e.PaperFiled) and (paper := world.paper(body.name)):
            found += [("station", key(name)) for name in paper.stations]
        if isinstance(body, e.ConditionCleared | e.ConditionReopened) and (incident := world.incident(body.incident)):
            found += [("station", key(incident.station)), *(("item", key(mark)) for mark in incident.marks)]
        if isinstance(body, e.DefectClosed) and (defect := world.defect(body.defect)):
            found += [(table, key(name)) for table, name in (("item", defect.mark), ("station", defect.station)) if name]
    return found


def apply(world: World, event: Recorded) -> None:
    """Lay an event that is in the log now over what is true now."""
    body = event.body
    if isinstance(body, e.PolicyChanged):
        world.policy = changed(world.policy, body)
    world.added.append(event)
    for subject in subjects(event):
        row = refolded(world, subject) if isinstance(body, e.Correction) else fold(*subject, world.get(subject), event)
        world.put(subject, _dated(world, row) if isinstance(row, Item) else row)
    if isinstance(body, e.StationFiled) or (isinstance(body, e.PaperFiled) and body.what == "policy"):
        _date_gear(world, body)


def _dated(world: World, item: Item) -> Item:
    return finished(item, world.policy, world.filed.policy(item.station))


def _date_gear(world: World, body: e.StationFiled | e.PaperFiled) -> None:
    """When gear is due on the stations that what was filed is of: their policy may be another now."""
    for name in [body.station] if isinstance(body, e.StationFiled) else body.stations:
        station = world.station(name)
        for mark in station.makeup.values() if station else ():
            item = world.item(mark)
            if item is not None and (after := _dated(world, item)) is not item:
                world.put(("item", item.key), after)


def refolded(world: World, subject: Subject) -> Row | None:
    """A row derived again from all that was recorded about it, corrections in place."""
    history = world.history(subject)
    return fold_all(*subject, history, corrections_in(history))


def _correction(world: World, new: New, body: e.Correction, find: Find) -> e.Event:
    """Raises  UnknownName: no such event. InputError: of another kind, or about something else. Refused: it would open a gate."""
    old = find(body.corrects) or next((event for event in world.added if event.id == body.corrects), None)
    if old is None:
        raise UnknownName(f'no event "{body.corrects[:60]}"', where="corrects", try_="Give the id that log show has.")
    rules_gear.needed(body.why, "why", "Say what was wrong.")
    if isinstance(old.body, e.Correction):
        raise InputError("that is a correction itself", where="corrects", try_=f"Correct the event it names: {old.body.corrects}.")
    if not isinstance(old.body, e.Correctable):
        raise InputError(f"{old.kind} is not corrected", where="corrects", try_="Record the right one as a new event.")
    about = subjects(old)
    if body.replaces is not None:
        body = replace(body, replaces=_filled(old.body, body.replaces))
        assert body.replaces is not None
        if type(body.replaces) is not type(old.body) or set(subjects(replace(old, body=body.replaces))) != set(about):
            raise InputError(
                f"it must be a {old.kind} about the same things",
                where="replaces",
                try_="Annul it (leave replaces out) and record the right one anew.",
            )
        _check_dates(world, body.replaces)
        body = replace(body, replaces=_judged(world, old, body.replaces))
    body = replace(body, about=about)
    _check_gates(world, new, body, about)
    _check_examination(world, new, old, body)
    return body


def _filled(old: e.Event, given: Any) -> Any:
    """What the store had filled in stays filled in."""
    kept = {name: getattr(old, name) for name in _FILLED if getattr(given, name, None) in ("", ()) and getattr(old, name, None)}
    return replace(given, **kept)


def _check_dates(world: World, body: e.Event) -> None:
    if isinstance(body, e.GearAdded):
        for name, dated in body.dates.items():
            gear_day(dated.date, name, world.now.date())
    if isinstance(body, e.GearDated):
        gear_day(body.date, body.which, world.now.date())
    _check_paper(world, body)


def _check_paper(world: World, body: e.Event) -> None:
    """A correction sets the clock of an examination on by no less than an entry does."""
    item = world.item(body.mark) if isinstance(body, e.GearAdded | e.GearDated) else None
    if item is None:
        return
    if isinstance(body, e.GearDated) and body.which == "tested":
        rules_gear.check_paper(item, body.date, body.basis)
    if isinstance(body, e.GearAdded) and "tested" in body.dates:
        rules_gear.check_paper(item, body.dates["tested"].date, body.dates["tested"].basis)


def _judged(world: World, old: Recorded, body: Any) -> Any:
    """A test that is put right is judged like one that is entered."""
    item = world.item(body.mark) if isinstance(body, e.TestResult) else None
    if item is None:
        return body
    found = rules_gear.judged(item, body)
    if found.instrument and found.instrument != getattr(old.body, "instrument", ""):
        mark, until = measured_with(world, item, found, read(old.happened_at))
        found = replace(found, instrument=mark, instrument_until=until)
    if found.completes and not (isinstance(old.body, e.TestResult) and old.body.completes):
        raise Refused("a correction completes no examination", where="completes", try_="Record the last test anew.")
    return found


def _check_gates(world: World, new: New, body: e.Correction, about: tuple[Subject, ...]) -> None:
    """A correction mends what was written. It lets nothing back into service and makes no sign-off hold that did not."""
    trial = _sketch(replace(new, body=body))
    for subject in about:
        history = [*world.history(subject), trial]
        before, after = world.get(subject), fold_all(*subject, history, corrections_in(history))
        if why := _opens(before, after):
            raise Refused(f"the correction would {why}", where=subject[1], try_="Use release, a cleared gate or a closed defect for that.")


def _check_examination(world: World, new: New, old: Recorded, body: e.Correction) -> None:
    """No test is struck that the item's last examination rests on: its date would stand on what nobody measured.

    One that is put right as failed quarantines the item by itself.
    """
    if not isinstance(old.body, e.TestResult) or (isinstance(body.replaces, e.TestResult) and not body.replaces.passed):
        return
    item = world.item(old.body.mark)
    if item is None or old.body.test not in asked_of(item.item):
        return
    history = world.history(("item", item.key))
    before, after = (_unproved(item, events) for events in (history, [*history, _sketch(replace(new, body=body))]))
    if old.body.test in after and old.body.test not in before:
        raise Refused(
            f"the last examination of {item.mark} rests on it",
            where="corrects",
            try_="Strike the test that ended the examination first, then this one.",
        )


def _unproved(item: Item, history: Sequence[Recorded]) -> list[str]:
    """What the last examination lacks, by a history with its corrections put in place."""
    corrections = corrections_in(history)
    return rules_gear.no_longer_proved(item, [corrected(event, corrections) for event in history])


def _proves(row: Station) -> bool:
    """Whether its last round was gone to its end without a stop."""
    return row.round_state in ("signed", "unsigned") and row.round_verdict != "stop"


def _lost(row: Row | None) -> bool:
    """Gear that is never released again."""
    return isinstance(row, Item) and bool(never_back(row.item, row.reason))


def _opens(before: Row | None, after: Row | None) -> str:
    if isinstance(before, Item) and before.state != "in service" and not (isinstance(after, Item) and after.state == before.state):
        return f"end that {before.mark} is {before.state}"
    if isinstance(before, Item) and _lost(before) and not _lost(after):
        return f"make {before.mark} gear that may come back"
    held = isinstance(before, Item) and bool(before.incidents or before.state == "quarantined")
    if held and isinstance(before, Item) and isinstance(after, Item) and (after.item, after.gas) != (before.item, before.gas):
        return f"make {before.mark} another thing while it is held or quarantined"
    if isinstance(before, Item) and before.incidents and not (isinstance(after, Item) and set(before.incidents) <= set(after.incidents)):
        return "free gear that an incident holds"
    if isinstance(before, Station) and isinstance(after, Station):
        if set(before.incidents) - set(after.incidents):
            return "free a station that an incident holds"
        stood, stands = before.sign_off and not before.ended, after.sign_off and not after.ended
        if stands and (not stood or after.valid_until > before.valid_until or not after.round):
            return "make a sign-off hold that did not, or let it stand without its round"
        if _proves(after) and not _proves(before):
            return "let a round prove what it did not"
    if isinstance(before, Defect) and before.severity == "stop" and not before.closed_at:
        left = isinstance(after, Defect) and after.severity == "stop" and not after.closed_at
        return "" if left else "close a defect that stops a station"
    if isinstance(before, IncidentRow) and not before.cleared_at:
        still = {(each.id, each.who) for each in after.open} if isinstance(after, IncidentRow) else set()
        gone = not isinstance(after, IncidentRow) or bool(after.cleared_at) or {(each.id, each.who) for each in before.open} - still
        return "open a gate" if gone else ""
    return ""


__all__ = ["RULES", "allowed", "apply", "check_form", "needs", "needs_more", "refolded"]
