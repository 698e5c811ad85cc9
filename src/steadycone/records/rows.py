"""What is true now, one row a thing. Each is the fold of the events that mention it: fold.py."""

from datetime import date

import msgspec

from steadycone.records.events import Dated

NEVER = 9_999_999  # a day after the calendar's end: no rule makes the item due
UNKNOWN = 0  # a day before it: unknown age is out of date


class Row(msgspec.Struct, frozen=True, kw_only=True):
    """key : names.key of the mark or name, or an event's id. first, last : sequence of the first and the last event about it."""

    key: str
    first: int
    last: int


class OpenDefect(msgspec.Struct, frozen=True, kw_only=True):
    """A defect that is not closed, beside the thing it is of."""

    severity: str
    says: str


class Item(Row, frozen=True, kw_only=True):
    """One piece of gear. `station` and `place` are empty where it is not fitted; `reason` says why it is quarantined or retired."""

    mark: str
    item: str
    gas: str = ""
    type: str = ""
    dates: dict[str, Dated] = {}
    ratings: dict[str, str] = {}
    note: str = ""
    state: str = "in service"  # in service, quarantined, retired
    reason: str = ""
    incidents: tuple[str, ...] = ()  # ids of those that hold it, since it was on the station when they happened
    defects: dict[str, OpenDefect] = {}  # its own open ones, by the id of the event that found them
    station: str = ""
    place: str = ""
    tests: dict[str, dict[str, str]] = {}  # the last of each test: value, result, on
    due_day: int = UNKNOWN  # ordinal of the first day that a rule ends, by the policy in force
    due_why: str = "unknown age"  # replace, test, unknown age, or "" where no rule applies
    stop_day: int = UNKNOWN  # the first after which nobody may use it; later than due_day where a habit alone asks for that one

    @property
    def due_on(self) -> date | None:
        """None where its age is unknown (out of date) or no rule makes it due; `due_why` tells which."""
        return date.fromordinal(self.due_day) if UNKNOWN < self.due_day < NEVER else None

    def overdue(self, on: date) -> bool:
        """Whether nobody may use it for its age. Due today is still in date, as on the card."""
        return self.stop_day < on.toordinal()


class Station(Row, frozen=True, kw_only=True):
    """A station, what it is made up of, and what its last sign-off is worth."""

    name: str
    makeup: dict[str, str] = {}  # place: mark as written
    makeup_at: int = 0  # sequence of the event that changed it last
    incidents: tuple[str, ...] = ()  # ids of those that hold it
    defects: dict[str, OpenDefect] = {}  # open ones of the station itself, by id; those of its gear go with the gear
    cleared_by: tuple[str, ...] = ()  # who signed a gate since the last sign-off
    round: str = ""  # event id of the last round since the make-up changed
    round_state: str = ""
    round_verdict: str = ""
    round_papers: dict[str, str] = {}  # hashes of the station's file, policy and chart that it was about
    sign_off: str = ""  # event id
    signed_by: str = ""
    signed_at: str = ""
    valid_until: str = ""
    longest_break: int = 0
    ended: str = ""  # why the sign-off ended before its time
    ended_at: str = ""
    file: str = ""  # name of its file; empty where none is kept
    text: str = ""  # hash of the file's text
    papers: tuple[str, ...] = ()  # chart and policy that the text names
    filed_at: str = ""
    filed_by: str = ""
    retired: str = ""  # why it is out of use; empty: it is not

    @property
    def held(self) -> bool:
        """By an incident whose gate is not cleared."""
        return bool(self.incidents)


class Grant(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    role: str
    since: str  # day
    until: str = ""  # last day
    basis: str = ""
    by: str = ""
    ended: str = ""  # day


class Person(Row, frozen=True, kw_only=True):
    name: str
    grants: tuple[Grant, ...] = ()

    def roles(self, on: date) -> set[str]:
        """The roles held on a day."""
        day = on.isoformat()
        return {g.role for g in self.grants if g.since <= day and (not g.until or day <= g.until) and (not g.ended or day < g.ended)}


class Defect(Row, frozen=True, kw_only=True):
    """`key` is the id of the event that found it."""

    says: str
    severity: str
    mark: str = ""
    station: str = ""
    found_by: str = ""
    found_at: str = ""
    closed_by: str = ""
    closed_at: str = ""
    how: str = ""


class Condition(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One condition of a gate: who may clear it, and who has. `at` is empty while it is open. `outside`: who from outside did it."""

    id: str
    who: str
    by: str = ""
    evidence: str = ""
    at: str = ""
    outside: str = ""


class IncidentRow(Row, frozen=True, kw_only=True):
    """`key` is the id of the event. `gate`: the conditions of triage. `cleared_at` is empty until every one of them is cleared."""

    station: str
    event: str
    says: str = ""
    gate: tuple[Condition, ...] = ()
    marks: tuple[str, ...] = ()
    happened_at: str = ""
    told_by: str = ""
    cleared_by: str = ""
    cleared_at: str = ""

    @property
    def open(self) -> tuple[Condition, ...]:
        """What is still to be cleared; nothing once the gate is."""
        return () if self.cleared_at else tuple(each for each in self.gate if not each.at)


class Cylinder(Row, frozen=True, kw_only=True):
    mark: str
    gas: str
    place: str
    state: str
    contents: str = ""
    moved_at: str = ""


class Paper(Row, frozen=True, kw_only=True):
    """A chart or a policy that station files name. `stations`: those that name it now."""

    name: str
    what: str  # chart, policy
    hash: str
    filed_at: str = ""
    filed_by: str = ""
    stations: tuple[str, ...] = ()


TABLES: dict[str, type[Row]] = {
    "item": Item,
    "station": Station,
    "person": Person,
    "defect": Defect,
    "incident": IncidentRow,
    "cylinder": Cylinder,
    "paper": Paper,
}
