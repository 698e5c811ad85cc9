"""Gear in date, by two clocks: when it was last examined, and how old it is. No date is out of date.

The card, the inspection list and the register ask `clocks` when a thing is due; nothing else counts days.
"""

from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.practice.finding import Finding, Verdict
from steadycone.practice.judging import not_below, word
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, exact
from steadycone.station.policy import ClockName, Clocks, Policy
from steadycone.units import GivenDate, Interval

_DAY = 86400.0
# The kinds of gear that a date is asked of, and their table in the policy's intervals.
DATED = {"regulator": "regulator", "arrestor": "arrestor", "check valve": "check_valve", "hose": "hose"}
State = Literal["in date", "soon", "late", "unknown", "ahead"]


@dataclass(frozen=True, slots=True)
class Clock:
    """One clock of one thing. `since`: the date it counts from; None = not known, and then there is no `due` either.

    `late` and `unknown`: the verdict once it has run out, and while its date is not known. `source`: who asks for it.
    """

    which: ClockName
    interval: Interval
    since: GivenDate | None
    due: date | None
    late: Verdict
    unknown: Verdict
    source: str

    def state(self, on: date) -> State:
        """Where this clock stands on a day. On the due day itself it is still in date; "soon" is the last thirty days of one that stops."""
        if self.since is None or self.due is None:
            return "unknown"
        if self.since.day > on:
            return "ahead"
        if self.due < on:
            return "late"
        near = self.late == "stop" and (self.due - on).days * _DAY <= limit("due-soon").si
        return "soon" if near else "in date"

    def verdict(self, on: date) -> Verdict:
        """go, caution or stop on a day."""
        state = self.state(on)
        if state == "unknown":
            return self.unknown
        return {"in date": "go", "soon": "caution", "late": self.late, "ahead": "stop"}[state]  # type: ignore[return-value]


def clocks(kind: str, made: GivenDate | None, tested: GivenDate | None, policy: Policy) -> tuple[Clock, ...]:
    """The clocks that run for a thing of one kind (a name of DATED; any other kind has none), examination first.

    Source      the policy's intervals, each with its own
    """
    if kind not in DATED:
        return ()
    name = DATED[kind]
    asked: Clocks = getattr(policy.intervals, name)
    unknown: Verdict = "stop" if (asked.unknown_age or policy.intervals.unknown_age) == "overdue" else "caution"
    found = []
    for which, interval, since in (("examined", asked.examined, _last_examined(asked, made, tested)), ("life", asked.life, made)):
        if interval is None or (which == "examined" and since is None and asked.examined_from == "test"):
            continue
        ends_on = due(since.day, interval) if since is not None else None
        late: Verdict = "caution" if which in asked.caution else "stop"
        # One date that is in order says that somebody looked at it: then the other date is to be found, and no more than that.
        missing: Verdict = "caution" if since is None and tested is not None else unknown
        found.append(Clock(which, interval, since, ends_on, late, missing, policy.source(f"intervals.{name}.{which}")))  # type: ignore[arg-type]
    return tuple(found)


def _last_examined(asked: Clocks, made: GivenDate | None, tested: GivenDate | None) -> GivenDate | None:
    return tested or (made if asked.examined_from == "test or make" else None)


def due(since: date, interval: Interval) -> date:
    """The day an interval ends: whole months by the calendar, the month's last day where it has no such day, then days."""
    months = int(interval.si)
    year, month = divmod(since.year * 12 + since.month - 1 + months, 12)
    day = min(since.day, monthrange(year, month + 1)[1])
    return date(year, month + 1, day) + timedelta(days=int((interval.si - months) * 30))


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Each thing's nearest clock (part-overdue), and what can't be counted (part-age-unknown)."""
    found: list[Finding] = []
    for line in figures.lines.values():
        regulator = line.line.regulator
        found += judge_one(f"{word(line)} regulator", "regulator", regulator.made, regulator.tested, figures.setup.policy, figures.on)
        for part in line.parts:
            found += judge_one(part.subject, part.part.word, part.part.made, part.part.tested, figures.setup.policy, figures.on)
    return tuple(found)


def judge_one(subject: str, kind: str, made: GivenDate | None, tested: GivenDate | None, policy: Policy, on: date) -> Iterator[Finding]:
    """At most one part-overdue and one part-age-unknown for one thing; none for a kind that no date is asked of."""
    running = clocks(kind, made, tested, policy)
    ahead = next((given for given in (made, tested) if given is not None and given.day > on), None)
    if running and ahead is not None:
        sources = tuple(dict.fromkeys(clock.source for clock in running))
        which = "made" if ahead is made else "tested"
        yield Finding("part-age-unknown", "stop", subject, sources=sources, blanks={"date": ahead.told, "which": which}, text="future")
        return
    known = [clock for clock in running if clock.due is not None]
    if known:
        yield _counted(subject, min(known, key=lambda clock: _urgency(clock, on)), on)
    lost = [clock for clock in running if clock.due is None]
    if lost:
        worst = min(lost, key=lambda clock: clock.unknown != "stop")
        yield _not_counted(subject, worst, tested)


def _urgency(clock: Clock, on: date) -> tuple[int, int, date]:
    """Stop before caution before go; then a life that is over, which no examination mends; then the nearer day."""
    order = {"stop": 0, "caution": 1, "go": 2}[clock.verdict(on)]
    over = 0 if clock.which == "life" and clock.state(on) == "late" else 1
    return order, over, clock.due or date.max


def _counted(subject: str, clock: Clock, on: date) -> Finding:
    """How long a clock still has. `days` is never negative: the text says whether they are gone or left."""
    assert clock.due is not None
    left = (clock.due - on).days
    soon, state = limit("due-soon"), clock.state(on)
    blanks: dict[str, Quantity | str] = {"due": clock.due.isoformat(), "days": str(abs(left)), **_said(clock)}
    # A day is left on the due day itself; a caution from the thirtieth day before it, that day included.
    stop, caution = (0.0, soon.si + 0.5 * _DAY) if clock.late == "stop" else (None, 0.0)
    sources = (clock.source, soon.source) if clock.late == "stop" else (clock.source,)
    found = not_below("part-overdue", subject, exact(left * _DAY, "days"), stop=stop, caution=caution, sources=sources, blanks=blanks)
    text = "" if state == "in date" else f"{'habit' if found.verdict == 'caution' and state == 'late' else state} {clock.which}"
    if text == "late life" and subject.endswith("regulator"):
        text = "late life regulator"  # of all gear only a regulator is overhauled
    return replace(found, text=text)


def _not_counted(subject: str, clock: Clock, tested: GivenDate | None) -> Finding:
    blanks = _said(clock)
    if tested is not None:
        blanks["tested"] = tested.told
    text = "no make" if tested is not None else "habit" if clock.unknown == "caution" else ""
    return Finding("part-age-unknown", clock.unknown, subject, sources=(clock.source,), blanks=blanks, text=text)


def _said(clock: Clock) -> dict[str, Quantity | str]:
    """What a text tells of a clock: how long it runs, since when, and who asks for it."""
    said: dict[str, Quantity | str] = {"interval": clock.interval.text, "asked": asked_by(clock.source)}
    return said | ({"since": clock.since.told} if clock.since is not None else {})


def asked_by(source: str) -> str:
    """Law, code of practice, habit or the site's own rule, in words: data/dates.toml by source key."""
    return str(toml("dates.toml")["asked_by"][source])
