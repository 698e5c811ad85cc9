"""Gear in date: regulators and hoses by when they were made, arrestors by when they were last tested. No date is out of date."""

from calendar import monthrange
from datetime import date, timedelta

from steadycone.assembly.figures import Figures
from steadycone.practice.finding import Finding
from steadycone.practice.judging import not_below, word
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, exact
from steadycone.station.parts import Arrestor, Hose
from steadycone.units import GivenDate, Interval

_DAY = 86400.0


def judge(figures: Figures) -> tuple[Finding, ...]:
    """One finding an item: part-overdue when its date is known, part-age-unknown when it is not."""
    policy = figures.setup.policy
    found = []
    for line in figures.lines.values():
        regulator = line.line.regulator
        found.append(_item(figures, f"{word(line)} regulator", regulator.made, policy.intervals.regulator, "regulator"))
        for part in line.parts:
            if isinstance(part.part, Hose):
                found.append(_item(figures, part.subject, part.part.made, policy.intervals.hose, "hose"))
            elif isinstance(part.part, Arrestor):
                found.append(_item(figures, part.subject, part.part.tested or part.part.made, policy.intervals.arrestor, "arrestor"))
    return tuple(found)


def due(since: date, interval: Interval) -> date:
    """The day an interval ends: whole months by the calendar, the month's last day where it has no such day, then days."""
    months = int(interval.si)
    year, month = divmod(since.year * 12 + since.month - 1 + months, 12)
    day = min(since.day, monthrange(year, month + 1)[1])
    return date(year, month + 1, day) + timedelta(days=int((interval.si - months) * 30))


def _item(figures: Figures, subject: str, since: GivenDate | None, interval: Interval, kind: str) -> Finding:
    source = figures.setup.policy.source(f"intervals.{kind}")
    if since is None:
        return Finding("part-age-unknown", "stop", subject, sources=(source,))
    if since.day > figures.on:
        return Finding("part-age-unknown", "stop", subject, sources=(source,), blanks={"date": since.text}, text="future")
    ends_on = due(since.day, interval)
    left = (ends_on - figures.on).days
    soon = limit("due-soon")
    blanks: dict[str, Quantity | str] = {"due": ends_on.isoformat(), "days": str(abs(left))}
    # A day is left on the due day itself; a caution from the thirtieth day before it, that day included.
    remaining = exact(left * _DAY, "days")
    return not_below(
        "part-overdue", subject, remaining, stop=0.0, caution=soon.si + 0.5 * _DAY, sources=(source, soon.source), blanks=blanks
    )
