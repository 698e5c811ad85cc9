"""Whether a round is of one day: card, answers and signature. What was looked at in another shift counts no more, whatever is answered again."""

from collections.abc import Iterator
from datetime import date, timedelta

from steadycone.practice.finding import Finding
from steadycone.procedures.rounds.limits import limit
from steadycone.procedures.rounds.plan import Plan
from steadycone.procedures.rounds.state import Round
from steadycone.quantity import exact

_ZONES = timedelta(days=1)  # a phone's date and the yard's may differ by a zone; a night shift crosses midnight
_SOURCES = ("round-day-judged", "sign-off-ends")


def of_its_day(now: Round) -> Iterator[Finding]:
    """Stops that nothing clears but a new round.

    Source      round-day-judged
    """
    if not now.log:
        return
    first, last = now.log[0].at, now.log[-1].at
    most, age = limit("longest-shift"), (last - first).total_seconds()
    if age > most.si:
        about = exact(age, "minutes"), exact(most.si, "minutes")
        yield Finding("round-break", "stop", now.plan.steps[0].id, *about, None, (most.source, "sign-off-ends"), {}, "old")
    on = now.plan.judged.figures.on
    if abs(first.date() - on) > _ZONES:
        yield _stop(now.plan, "", day=first.date(), on=on)
    elif new := _new_stops(now.plan, last.date()):
        yield _stop(now.plan, "stops", day=last.date(), on=on, found=new)


def _new_stops(plan: Plan, day: date) -> tuple[str, ...]:
    """Codes of the stops that the card made for that day has and this one has not; a card that can't be made is one."""
    if day == plan.judged.figures.on:
        return ()
    if plan.anew is None:
        return ("card-of-another-day",)
    known = {(finding.code, finding.subject) for finding in plan.card_stops}
    return tuple(finding.code for finding in plan.anew(day) if (finding.code, finding.subject) not in known)


def _stop(plan: Plan, text: str, *, day: date, on: date, found: tuple[str, ...] = ()) -> Finding:
    blanks = {"day": day.isoformat(), "on": on.isoformat(), "found": ", ".join(code.replace("-", " ") for code in found)}
    return Finding("round-day", "stop", plan.steps[0].id, sources=_SOURCES, blanks=dict(blanks), text=text)
