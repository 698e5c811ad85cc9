"""What the register itself holds against a condition of the gate: retired hoses, test figures, cylinders moved, a round."""

from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

from steadycone.data.reader import toml
from steadycone.errors import Refused
from steadycone.practice.examination import asked_of
from steadycone.records import events as e
from steadycone.records.fitness import fitness
from steadycone.records.names import key
from steadycone.records.rows import IncidentRow, Item, Station
from steadycone.records.rules_day import check_day
from steadycone.records.rules_files import check_proved
from steadycone.records.times import read
from steadycone.records.world import World

TABLE = "gate_checks.toml"


def contradicted(world: World, incident: IncidentRow, condition: str) -> Refused | None:
    """Why the register says that a condition is not met, and what to do; None where nothing speaks against it.

    Source      gate-checks-judged
    """
    entry = toml(TABLE)["check"].get(condition)
    if not isinstance(entry, dict):
        return None
    station = world.station(incident.station)
    return None if station is None else _CHECKS[entry["how"]](world, incident, station, entry)


def _was_there(world: World, incident: IncidentRow, kinds: list[str]) -> Iterator[Item]:
    """Gear of these kinds that was on the station when it happened."""
    for mark in incident.marks:
        item = world.item(mark)
        if item is not None and item.item in kinds:
            yield item


def _tested_since(item: Item, incident: IncidentRow, tests: tuple[str, ...]) -> bool:
    """Whether the last of each test passed, within a known limit, after the incident. A kind without a list: any test that passed since."""
    if not tests:
        return any(_since(test, incident) for test in item.tests.values())
    return all(bool(item.tests.get(test, {}).get("held_to")) and _since(item.tests[test], incident) for test in tests)


def _since(test: dict[str, str], incident: IncidentRow) -> bool:
    return test["result"] == "pass" and "at" in test and read(test["at"]) > read(incident.happened_at)


def _missing(world: World, incident: IncidentRow, station: Station, kinds: list[str]) -> str:
    """A gas whose items are fewer on the station now than when it happened, counting only what may be used; empty where none is."""
    asked = Counter((item.item, item.gas) for item in _was_there(world, incident, kinds))
    there = Counter((item.item, item.gas) for mark in station.makeup.values() if (item := world.item(mark)) and _may_be_used(world, item))
    return next((f"{gas} {kind}".strip() for (kind, gas), count in asked.items() if there[kind, gas] < count), "")


def _may_be_used(world: World, item: Item) -> bool:
    """Whether nothing but an incident speaks against it today."""
    return not any(reason.verdict == "stop" and reason.code != "incident" for reason in fitness(item, world.now.date()).reasons)


def _new_one(world: World, incident: IncidentRow, station: Station, kinds: list[str]) -> Refused | None:
    if missing := _missing(world, incident, station, kinds):
        return Refused(
            f"the register has no {missing} on {station.name} in the place of the old one",
            where="register",
            try_="Add the new one with its mark and dates, fit it, then clear this condition.",
        )
    return None


def _replaced(world: World, incident: IncidentRow, station: Station, entry: dict[str, Any]) -> Refused | None:
    for item in _was_there(world, incident, entry["kinds"]):
        if item.state != "retired":
            return Refused(
                f"{item.mark} was on it and is {item.state} in the register, not retired",
                where="register",
                try_=f"Cut it through, retire {item.mark}, fit another; then clear this condition.",
            )
    return _new_one(world, incident, station, entry["kinds"])


def _tested(world: World, incident: IncidentRow, station: Station, entry: dict[str, Any]) -> Refused | None:
    for item in _was_there(world, incident, entry["kinds"]):
        tests = tuple(entry.get("tests", ())) or asked_of(item.item)
        if item.state != "retired" and not _tested_since(item, incident, tests):
            return Refused(
                f"the register has no passed {' and '.join(tests) or 'test'} of {item.mark} since it happened",
                where="register",
                try_=f"Record the figures of {item.mark}, or retire it and fit another; then clear this condition.",
            )
    return None


def _renewed(world: World, incident: IncidentRow, station: Station, entry: dict[str, Any]) -> Refused | None:
    return _tested(world, incident, station, entry) or _new_one(world, incident, station, entry["kinds"])


def _gone(world: World, incident: IncidentRow, station: Station, entry: dict[str, Any]) -> Refused | None:
    found = list(_was_there(world, incident, entry["kinds"]))
    if not found or any(item.state != "in service" for item in found):
        return None
    return Refused(
        f"none of {', '.join(item.mark for item in found)} is in quarantine or retired",
        where="register",
        try_="Quarantine the one that it happened to, with its reason; then clear this condition.",
    )


def _one(world: World, incident: IncidentRow, station: Station, entry: dict[str, Any]) -> Refused | None:
    found = list(_was_there(world, incident, entry["kinds"]))
    done = [item for item in found if item.state != "in service" or key(item.station) != station.key]
    if not found or done or any(_tested_since(item, incident, asked_of(item.item)) for item in found):
        return None
    return Refused(
        f"none of {', '.join(item.mark for item in found)} was taken off or examined since it happened",
        where="register",
        try_="Take off the one that it happened to, or record its test figures; then clear this condition.",
    )


def _withdrawn(world: World, incident: IncidentRow, station: Station, entry: dict[str, Any]) -> Refused | None:
    told = next((event.body for event in world.history(("incident", incident.key)) if isinstance(event.body, e.Incident)), None)
    there = [cylinder for mark in (told.cylinders if told else ()) if (cylinder := world.cylinder(mark))]
    found = [cylinder for cylinder in there if cylinder.gas in entry.get("gases", (cylinder.gas,))]
    gone = [cylinder for cylinder in found if any(word in key(cylinder.place) for word in toml(TABLE)["supplier"]["words"])]
    if not found or gone:
        return None
    return Refused(
        f"none of the cylinders that stood there ({', '.join(cylinder.mark for cylinder in found)}) has gone to the gas supplier",
        where="register",
        try_="Move it in the register, to the gas supplier, with a note; then clear this condition.",
    )


def _first(world: World, incident: IncidentRow, station: Station, entry: dict[str, Any]) -> Refused | None:
    for item in _was_there(world, incident, entry["kinds"]):
        on_it = item.state == "in service" and key(item.station) == station.key
        before = [
            event
            for event in world.history(("item", item.key))
            if isinstance(event.body, e.Incident) and event.body.event == incident.event and key(event.id) != incident.key
        ]
        if on_it and before:
            return Refused(
                f"{item.mark} was in a {incident.event} before, event {before[-1].sequence}",
                where="register",
                try_=f"Take {item.mark} off: it goes to a repair station, whatever it looks like.",
            )
    return None


def _round(world: World, incident: IncidentRow, station: Station, entry: dict[str, Any]) -> Refused | None:
    try_ = "Go round the station as it is now, to the end. It can't be signed off yet; its readings count. Then clear this condition."
    if not station.round or station.round_state not in ("signed", "unsigned") or station.round_verdict == "stop":
        told = f"the last round is {station.round_state}, verdict {station.round_verdict}" if station.round else "no round"
        return Refused(f"{told} since it happened and since the last change of gear", where="register", try_=try_)
    for mark in station.makeup.values():
        item = world.item(mark)
        if item is not None and not _may_be_used(world, item):
            return Refused(f"{mark} on it may not be used", where="register", try_=f"Put {mark} right or take it off. {try_}")
    try:
        check_proved(world, station)
        check_day(world, station, world.now)
    except Refused as problem:
        return problem
    return None


_CHECKS: dict[str, Callable[[World, IncidentRow, Station, dict[str, Any]], Refused | None]] = {
    "replaced": _replaced,
    "tested": _tested,
    "renewed": _renewed,
    "gone": _gone,
    "one": _one,
    "withdrawn": _withdrawn,
    "first": _first,
    "round": _round,
}
