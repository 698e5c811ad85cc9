"""Planted faults: which can be set on a station, where the round shows each, and what a trainee found or missed of them."""

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random
from typing import Any, Literal

from steadycone.data.reader import toml
from steadycone.errors import InputError, OutOfRange, UnknownName, nearest
from steadycone.procedures.rounds import Plan, PlanStep, Round, stops
from steadycone.units import Share

TABLE = "drills/faults.toml"
MOST = 12
State = Literal["found", "place", "missed", "unreached"]
POINTS: dict[State, float] = {"found": 1.0, "place": 0.5, "missed": 0.0, "unreached": 0.0}
_FIT = {"", "ok", "fit", "good", "fine", "go", "right", "sound", "yes"}
_CLAUSE = re.compile(r"[.,;()/]| but ")
_END = r"(?![a-z])"
_PRAISED = re.compile(r"(?<!not )\b(ok|okay|fine|good|in order|as it should)\b")
_DENIED = re.compile(r"\b(no|not|never|without|nothing|isn't|isnt|don't see|free of)\W+(\w+\W+){0,3}$")


@dataclass(frozen=True, slots=True)
class Spot:
    """A place of the round at which something could be wrong, by its number on the trainee's sheet."""

    number: int
    step: PlanStep


@dataclass(frozen=True, slots=True)
class Planted:
    """A fault of the table at a spot."""

    fault: str
    spot: Spot

    @property
    def table(self) -> dict[str, Any]:
        found: dict[str, Any] = toml(TABLE)["fault"][self.fault]
        return found

    @property
    def kills(self) -> bool:
        return bool(self.table.get("weight") == "life")


@dataclass(frozen=True, slots=True)
class FaultDrill:
    """A station with faults set on it. spots : every place that the trainee's sheet asks about, faulty or sound."""

    plan: Plan
    seed: int
    spots: tuple[Spot, ...]
    planted: tuple[Planted, ...]


@dataclass(frozen=True, slots=True)
class FaultMark:
    planted: Planted
    state: State
    said: str

    @property
    def points(self) -> float:
        return POINTS[self.state]


@dataclass(frozen=True, slots=True)
class FaultMarks:
    """What was found. false : places called unfit where nothing was set, with what was said. reached : places that were judged at all."""

    drill: FaultDrill
    marks: tuple[FaultMark, ...]
    false: tuple[tuple[Spot, str], ...]
    sound: int  # places without a fault

    @property
    def points(self) -> float:
        return sum(mark.points for mark in self.marks)

    @property
    def of(self) -> int:
        """Faults that count: those whose place was reached."""
        return sum(mark.state != "unreached" for mark in self.marks)

    @property
    def unnamed(self) -> tuple[FaultMark, ...]:
        """Faults that can kill and were not named."""
        return tuple(mark for mark in self.marks if mark.planted.kills and mark.state in ("missed", "place"))

    @property
    def too_many_false(self) -> bool:
        return len(self.false) > share("false_share") * self.sound

    @property
    def passed(self) -> bool:
        """Source  planted-pass-judged"""
        enough = self.points >= share("pass_share") * self.of - 1e-9
        return self.of > 0 and enough and not self.unnamed and not self.too_many_false


def share(key: str) -> float:
    """A limit of the table, 0 to 1."""
    return Share.parse(toml(TABLE)[key]).si


def catalogue(plan: Plan) -> dict[str, tuple[PlanStep, ...]]:
    """Every fault that this station's round can show, with the steps that show it."""
    found = {name: tuple(step for step in plan.steps if _shows(fault, step)) for name, fault in toml(TABLE)["fault"].items()}
    return {name: steps for name, steps in found.items() if steps}


def _shows(fault: Mapping[str, Any], step: PlanStep) -> bool:
    if "step" in fault:
        return bool(step.id.partition(".")[0] == fault["step"])
    if "line" in fault and step.line != fault["line"]:
        return False
    return any(look.id in fault["look"] for look in step.looks)


def plant(plan: Plan, names: Sequence[str], seed: int, count: int) -> FaultDrill:
    """The faults that were named, or some at random, each at a place of its own.

    names : of the catalogue; "hose-cracked@fuel" picks the place whose step holds that word

    Raises
    ------
    UnknownName : no such fault on this station. OutOfRange : too few or too many. InputError : two at one place.
    """
    known = catalogue(plan)
    spots = _spots(plan, known)
    random = Random(f"faults:{seed}")  # noqa: S311 - reproducible sheets, no secret
    chosen = _named(known, names, random) if names else _drawn(known, random, count)
    at = {spot.step.id: spot for spot in spots}
    planted = sorted((Planted(name, at[step.id]) for name, step in chosen), key=lambda each: each.spot.number)
    return FaultDrill(plan, seed, spots, tuple(planted))


def _spots(plan: Plan, known: Mapping[str, tuple[PlanStep, ...]]) -> tuple[Spot, ...]:
    asked = {step.id for steps in known.values() for step in steps}
    return tuple(Spot(number, step) for number, step in enumerate((step for step in plan.steps if step.id in asked), 1))


def _named(known: Mapping[str, tuple[PlanStep, ...]], names: Sequence[str], random: Random) -> list[tuple[str, PlanStep]]:
    if len(names) > MOST:
        raise OutOfRange(f"{len(names)} faults", where="--plant", try_=f"Set 1 to {MOST}.")
    chosen: list[tuple[str, PlanStep]] = []
    for each in names:
        name, _, where = each.strip().lower().partition("@")
        if name not in known:
            raise UnknownName(f'"{name[:60]}" can\'t be set on this station', where="--plant", try_=nearest(name[:60], list(known)))
        taken = {step.id for _, step in chosen}
        fits = [step for step in known[name] if where in step.id]
        if not fits:
            raise UnknownName(
                f'"{name}" has no place "{where[:40]}" here', where="--plant", try_=f"Places: {', '.join(s.id for s in known[name])}."
            )
        free = [step for step in fits if step.id not in taken]
        if not free:
            raise InputError(
                f'no place is free for "{name}"', where="--plant", try_="One fault a place: take another fault, or another place."
            )
        chosen.append((name, random.choice(free)))
    return chosen


def _drawn(known: Mapping[str, tuple[PlanStep, ...]], random: Random, count: int) -> list[tuple[str, PlanStep]]:
    """At random, half or more of them such as can kill."""
    if not 1 <= count <= MOST:
        raise OutOfRange(f"{count} faults", where="--count", try_=f"Set 1 to {MOST}.")
    table = toml(TABLE)["fault"]
    shuffled = random.sample(list(known), len(known))
    deadly = [name for name in shuffled if table[name].get("weight") == "life"][: math.ceil(count / 2)]
    chosen: list[tuple[str, PlanStep]] = []
    for name in [*deadly, *(each for each in shuffled if each not in deadly)]:
        taken = {step.id for _, step in chosen}
        free = [step for step in known[name] if step.id not in taken]
        if free and len(chosen) < count:
            chosen.append((name, random.choice(free)))
    return chosen


def mark_found(drill: FaultDrill, found: Mapping[int, str]) -> FaultMarks:
    """What a trainee wrote, by place number; a place without a line was held fit.

    Raises  InputError: a place that is not on the sheet.
    """
    if strange := sorted(set(found) - {spot.number for spot in drill.spots}):
        raise InputError(f"there is no place {strange[0]}", where="found", try_=f"This sheet has places 1 to {len(drill.spots)}.")
    return _marks(drill, {spot.number: found.get(spot.number, "") for spot in drill.spots})


def mark_round(drill: FaultDrill, now: Round) -> FaultMarks:
    """What a trainee's round says: a step answered with a fail or stopped by its reading was called unfit.

    Holds for   a round of the same plan. A place that the round did not reach is neither found nor missed, and counts nothing.
    """
    stopped = {each.step.id for each in stops(now)}
    said: dict[int, str | None] = {}
    for spot in drill.spots:
        given = now.given.get(spot.step.id)
        if given is None:
            said[spot.number] = None
        elif given.value.stops:
            said[spot.number] = given.value.said
        else:
            said[spot.number] = _READING if spot.step.id in stopped else ""
    return _marks(drill, said)


_READING = "the reading itself"


def _marks(drill: FaultDrill, said: Mapping[int, str | None]) -> FaultMarks:
    marks = tuple(FaultMark(each, _state(each, said[each.spot.number]), said[each.spot.number] or "") for each in drill.planted)
    faulty = {each.spot.number for each in drill.planted}
    sound = [spot for spot in drill.spots if spot.number not in faulty and said[spot.number] is not None]
    false = tuple((spot, told) for spot in sound if not held_fit(told := said[spot.number] or ""))
    return FaultMarks(drill, marks, false, len(sound))


def _state(planted: Planted, said: str | None) -> State:
    if said is None:
        return "unreached"
    if said == _READING or names_it(planted.table, said):
        return "found"
    return "missed" if held_fit(said) else "place"


def held_fit(said: str) -> bool:
    """Whether a line calls its place fit."""
    return said.strip().strip(".!").lower() in _FIT


def names_it(fault: Mapping[str, Any], said: str) -> bool:
    """Whether a line names a fault of the table: in a clause that does not call the thing good, one of its words that is not denied, or one of
    its things with a defect that is not denied."""
    clauses = [clause for clause in _CLAUSE.split(f" {said.lower()} ".replace("’", "'")) if not _PRAISED.search(clause)]
    return any(
        any(_says(word, clause) for word in fault["words"])
        or (any(_holds(thing, clause) for thing in fault.get("things", ())) and any(_says(word, clause) for word in toml(TABLE)["defect"]))
        for clause in clauses
    )


def _says(word: str, clause: str) -> bool:
    """Whether a clause has a word, or its beginning, undenied: "crack" in "it is cracked", and not in "no cuts or cracks"."""
    places = re.finditer(rf"(?<![a-z]){re.escape(word)}{_END if word in ('no', 'not', 'old', 'other') else ''}", clause)
    return any(not _DENIED.search(clause[: match.start()]) and not _denies_a_defect(word, clause[match.end() :]) for match in places)


def _denies_a_defect(word: str, rest: str) -> bool:
    """Whether "no" or "not" takes a defect back: "not loose", "no broken glass"."""
    if word not in ("no", "not", "without"):
        return False
    following = rest.split()[:3]
    return any(each.startswith(defect) for each in following for defect in toml(TABLE)["defect"] if defect not in ("no", "not"))


def _holds(thing: str, clause: str) -> bool:
    return re.search(rf"(?<![a-z]){re.escape(thing)}{_END}", clause) is not None
