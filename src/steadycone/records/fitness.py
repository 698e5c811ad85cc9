"""May this item be used on a day? The one judgement of it: register, label, due list, audit pack, pages and sign-off rule all ask here."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

from steadycone.practice.finding import Verdict
from steadycone.practice.limits import limit
from steadycone.records.rows import NEVER, UNKNOWN, Item

Word = Literal["in service", "out of date", "held", "quarantined", "retired"]
Code = Literal["retired", "quarantined", "incident", "defect", "age-unknown", "overdue", "small-defect", "date-missing", "late", "due-soon"]
_DAY = 86400.0
_LONGEST = 160  # letters of a reason on a row or a card; the register has the whole


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing that speaks against it. `word`: what it makes of the item.

    about : the words somebody gave for it, or empty. day : of its age, the ordinal of the day that a clock ends; 0 where it is not known
    """

    code: Code
    verdict: Verdict
    word: Word
    says: str
    about: str = ""
    day: int = UNKNOWN


@dataclass(frozen=True, slots=True)
class Fitness:
    """Whether it may be used. `verdict`, `word` and `says` are of the worst reason, and never better than any of them.

    until : ISO, the last day in date; empty where it is not known or no rule makes it due. days : left until then
    reasons : all that speaks against it, worst first; none where nothing does
    """

    verdict: Verdict
    word: Word
    says: str
    until: str = ""
    days: int | None = None
    reasons: tuple[Reason, ...] = ()

    def has(self, *codes: Code) -> bool:
        """Whether one of these speaks against it, be it the worst or not."""
        return any(reason.code in codes for reason in self.reasons)


def fitness(item: Item, on: date) -> Fitness:
    """What its state, its incidents, its open defects and its age come to, the worst of them first.

    A failed test stands in its state: it puts the item in quarantine until somebody authorised releases it. Due today is in date;
    an age that is not known is out of date.
    """
    until = last_day(item, on)
    told, days = (until.isoformat(), (until - on).days) if until else ("", None)
    reasons = sorted((*_by_state(item), *_by_defect(item), *_by_age(item, on)), key=lambda reason: _ORDER[reason.code])
    if not reasons:
        return Fitness("go", "in service", "in service" if until else "in service, no set date", told, days)
    first = reasons[0]
    return Fitness(first.verdict, first.word, first.says, told, days, tuple(reasons))


_ORDER: dict[Code, int] = {
    "retired": 0, "quarantined": 1, "incident": 2, "defect": 3, "age-unknown": 4, "overdue": 5, "small-defect": 6,
    "date-missing": 7, "late": 8, "due-soon": 9,
}  # fmt: skip


def _by_state(item: Item) -> Iterator[Reason]:
    about = short(item.reason)
    if item.state == "retired":
        yield Reason("retired", "stop", "retired", f"retired: {about}" if about else "retired", about)
    elif item.state != "in service":  # a state that nobody knows is no service
        yield Reason("quarantined", "stop", "quarantined", f"quarantined: {about}" if about else "quarantined", about)
    if item.incidents:
        count = len(item.incidents)
        yield Reason("incident", "stop", "held", "held by an incident" if count == 1 else f"held by {count} incidents")


def _by_defect(item: Item) -> Iterator[Reason]:
    """A severity that nobody knows counts as a stop."""
    for defect in item.defects.values():
        about = short(defect.says)
        if defect.severity == "caution":
            yield Reason("small-defect", "caution", "in service", f"defect: {about}", about)
        else:
            yield Reason("defect", "stop", "held", f"defect: {about}", about)


def _by_age(item: Item, on: date) -> Iterator[Reason]:
    """A clock that law or the site's own rule keeps ends in a stop, one of habit alone in a caution; the card's clocks say which."""
    today, stop, first = on.toordinal(), item.stop_day, item.due_day
    if stop == UNKNOWN:
        yield Reason("age-unknown", "stop", "out of date", "age not known")
        return
    if stop < today:
        yield Reason("overdue", "stop", "out of date", f"out of date since {_iso(stop)}", day=stop)
        return
    if first == UNKNOWN:
        yield Reason("date-missing", "caution", "in service", "a date is missing")
    elif first < today:
        told = f"{_LATE.get(item.due_why, 'due')} since {_iso(first)}"
        yield Reason("late", "caution", "in service", told, told, day=first)
    if (stop - today) * _DAY <= limit("due-soon").si:
        days = stop - today
        told = "due today" if days == 0 else f"due in {days} day{'s' if days != 1 else ''}"
        yield Reason("due-soon", "caution", "in service", told, day=stop)


_LATE = {"test": "examination due", "replace": "replacement due"}


def last_day(item: Item, on: date) -> date | None:
    """Until when it is in date: the nearest day that a clock ends; one of habit that has passed is told by itself. None: not known, or never."""
    today = on.toordinal()
    known = [day for day in (item.due_day, item.stop_day) if UNKNOWN < day < NEVER]
    if item.stop_day < today:
        return date.fromordinal(item.stop_day) if item.stop_day > UNKNOWN else None
    return date.fromordinal(min((day for day in known if day >= today), default=max(known))) if known else None


def _iso(day: int) -> str:
    return date.fromordinal(day).isoformat()


def short(text: str) -> str:
    """A reason in one line that fits a row."""
    line = " ".join(text.split()).rstrip(".")
    return line if len(line) <= _LONGEST else line[: _LONGEST - 1].rstrip() + "…"
