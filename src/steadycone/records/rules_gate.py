"""The gate back to service: an incident's conditions, cleared one by one by persons who sign in, and never against the register."""

from collections.abc import Iterable
from typing import Any

from msgspec.structs import replace

from steadycone.data.reader import toml
from steadycone.errors import InputError, Refused, UnknownName, nearest
from steadycone.procedures.triage.gate import GATES
from steadycone.procedures.triage.weigh import EVENTS, for_fuel
from steadycone.records import events as e
from steadycone.records.envelope import New
from steadycone.records.gate_checks import contradicted
from steadycone.records.names import checked, key
from steadycone.records.rows import Condition, IncidentRow, Station
from steadycone.records.rules_gear import check_text, needed
from steadycone.records.rules_people import check_evidence, check_known, check_outside, check_role_of, is_outside
from steadycone.records.times import read
from steadycone.records.world import World


def incident(world: World, new: New, body: e.Incident) -> e.Event:
    """Evidence is never refused; a station not known yet is known from now on. Its gate is never smaller than the event's own."""
    name = checked(body.station, "station")
    needed(body.event, "event", "Name the event, as triage has it.")
    check_text(body.says, "says")
    station = world.station(name)
    return replace(
        body,
        station=station.name if station else name,
        gate=_whole_gate(body, _fuel(world, station)),
        marks=_there(world, station, new) if station else (),
        cylinders=tuple(cylinder.mark for cylinder in world.cylinders() if key(cylinder.place) == key(name)),
    )


def _there(world: World, station: Station, new: New) -> tuple[str, ...]:
    """What was on the station when it happened: what is on it now, and what was taken off since, before anybody told."""
    taken: list[str] = []
    for event in world.history(("station", station.key)):
        if read(event.happened_at) < new.happened_at:
            continue
        if isinstance(event.body, e.GearRemoved | e.GearRetired) and key(event.body.station) == station.key:
            taken.append(event.body.mark)
        elif isinstance(event.body, e.StationMadeUp):
            taken += event.body.removed
    return tuple(dict.fromkeys((*station.makeup.values(), *taken)))


def _fuel(world: World, station: Station | None) -> str | None:
    noun = world.filed.noun(station) if station else None
    return str(noun.station.fuel) if noun else None


def _whole_gate(body: e.Incident, fuel: str | None) -> tuple[e.GateCondition, ...]:
    """The conditions given, and what they leave out of the event's own gate.

    Raises  UnknownName: a condition that no gate has. InputError: one twice, or for another role than its own.
    """
    given = {condition.id: condition for condition in body.gate}
    if len(given) != len(body.gate):
        raise InputError("a condition twice", where="gate", try_="Each condition once.")
    known = {name: entry for name, entry in toml(GATES).items() if isinstance(entry, dict)}
    for condition in body.gate:
        if condition.id not in known:
            raise UnknownName(f'"{condition.id[:60]}" is no condition of a gate', where="gate", try_=nearest(condition.id[:60], known))
        if condition.who != known[condition.id]["who"]:
            raise InputError(
                f"{condition.id} is cleared by a {known[condition.id]['who']}, not by a {condition.who[:40]}",
                where="gate",
                try_="Leave the gate out: it is put in as triage has it.",
            )
    left = [name for name in _least(body.event, fuel, set(given)) if name not in given]
    return (*body.gate, *(e.GateCondition(id=name, who=known[name]["who"]) for name in left))


def _least(event: str, fuel: str | None, given: set[str]) -> Iterable[str]:
    """What the gate of an event holds in any case. Where it chooses between conditions and none is given, the strictest: as if confirmed."""
    events = toml(EVENTS)
    gates: dict[str, Any] = toml(GATES)
    asked = [name for name in events.get(event, events["unclear"])["gate"] if for_fuel(gates[name], fuel)]
    unconfirmed = {name for name in asked if gates[name].get("when") == "unconfirmed"}
    yield from (name for name in asked if "when" not in gates[name] and "variant" not in gates[name])
    if not given & unconfirmed:
        yield from (name for name in asked if gates[name].get("when") == "confirmed")


def condition_cleared(world: World, new: New, body: e.ConditionCleared) -> e.Event:
    """Raises  InputError: no such incident or condition, cleared already, or no evidence. Refused: by nobody known, without the role,
    by the same person as all others where the site asks for two, or against the register.

    Source      own-name-judged
    """
    found, condition = _open_condition(world, body.incident, body.condition)
    if new.happened_at < read(found.happened_at):
        raise InputError("this is before it happened", where="happened_at", try_="Check both times.")
    if condition.at:
        raise InputError(f"{condition.by} cleared it", where=condition.id, try_="Nothing is left to do.")
    check_evidence(body.evidence, condition.id)
    check_known(new, condition.id)
    if is_outside(condition.who):
        outside = checked(body.outside, "outside")
        check_outside(world, new, condition.id)
    else:
        outside = ""
        check_role_of(world, new, condition.who, condition.id)
    if problem := contradicted(world, found, condition.id):
        raise problem
    last = len(found.open) == 1
    if last:
        _check_last(world, new, found)
    return replace(
        body, incident=found.key, outside=outside, station=found.station, marks=found.marks, known_by=new.known_by, last=last
    )  # fmt: skip


def _check_last(world: World, new: New, found: IncidentRow) -> None:
    """Before the gate opens: what was cleared days ago still holds, and it was not all one person's word."""
    for condition in found.gate:
        if condition.at and (problem := contradicted(world, found, condition.id)):
            problem.says = f"{condition.id} was cleared, and does not hold any more: {problem.says}"
            raise problem
    others = [condition for condition in found.gate if condition.at]
    if world.policy.two_persons and others and all(key(condition.by) == key(new.author) for condition in others):
        raise Refused(
            f"{new.author} cleared all the others: this site asks for two persons", where="gate", try_="Let another person clear this one."
        )


def condition_reopened(world: World, new: New, body: e.ConditionReopened) -> e.Event:
    """Raises  InputError: nothing to open again. Refused: by nobody known."""
    found, condition = _open_condition(world, body.incident, body.condition)
    needed(body.why, "why", "Say why it counts no more.")
    if not condition.at:
        raise InputError("it is open", where=condition.id, try_="Nothing is left to do.")
    check_known(new, condition.id)
    return replace(body, incident=found.key, station=found.station)


def _open_condition(world: World, incident: str, condition: str) -> tuple[IncidentRow, Condition]:
    """Raises  UnknownName: no such incident, or condition of it. InputError: its gate is cleared."""
    found = world.incident(incident)
    if found is None:
        raise UnknownName(f'no incident "{incident[:60]}"', where="incident", try_="Give the id of its event.")
    if found.cleared_at:
        raise InputError(f"its gate is cleared, by {found.cleared_by} last", where="incident", try_="Nothing is left to do.")
    asked = next((each for each in found.gate if each.id == condition), None)
    if asked is None:
        ids = [each.id for each in found.gate]
        raise UnknownName(f'"{condition[:60]}" is no condition of this gate', where="gate", try_=f"Its conditions: {', '.join(ids)}.")
    return found, asked


def incident_cleared(world: World, new: New, body: e.IncidentCleared) -> e.Event:
    """Raises  Refused: nobody clears a whole gate at once."""
    raise Refused(
        "a gate is cleared one condition at a time, each by its own person",
        where="gate",
        try_="steadycone gate clear INCIDENT CONDITION, or the incident's page.",
    )
