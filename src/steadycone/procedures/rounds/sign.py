"""What a sign-off is worth: until when, and what ends it before."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from steadycone.errors import InputError, UnknownName, nearest
from steadycone.practice.finding import Verdict, worst
from steadycone.procedures.rounds.answers import moment
from steadycone.procedures.rounds.fold import next_step
from steadycone.procedures.rounds.judge import judged, stops
from steadycone.procedures.rounds.state import Round, upcoming

# What ends a sign-off at once, whatever the time.
ENDS = ("joint-broken", "cylinder-changed", "hose-changed", "tip-changed", "part-changed", "moved", "shift-ended", "event")
BREAK = "break"


@dataclass(frozen=True, slots=True)
class SignOff:
    """by : who signed. valid_until : the shift's end. longest_break [s]. lit : whether it was lit in the round."""

    by: str
    at: datetime
    valid_until: datetime
    longest_break: float
    lit: bool


def verdict(now: Round) -> Verdict:
    """The worst of card and round; what is not signed is never go."""
    found: list[Verdict] = [finding.verdict for finding in now.plan.judged.findings]
    found += [each.finding.verdict for each in judged(now)]
    return worst([*found, "go" if sign_off(now) else "caution"])


def sign_off(now: Round) -> SignOff | None:
    """The sign-off, where every step that is asked is answered and no stop stands."""
    signed, shift = now.given.get("sign"), now.given.get("shift-end")
    if upcoming(now) is not None or signed is None or shift is None or shift.value.until is None:
        return None
    if now.plan.card_stops or stops(now):
        return None
    return SignOff(
        by=signed.value.said,
        at=signed.first_at,
        valid_until=shift.value.until,
        longest_break=now.plan.judged.figures.setup.policy.reclose.si,
        lit=now.given["light-now"].value.said == "now",
    )


def state(now: Round) -> str:
    """signed, stopped (a stop stands before what is asked next), or open."""
    if sign_off(now):
        return "signed"
    return "open" if next_step(now) else "stopped"


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened to a signed station: one of ENDS, or a break from `at` to `until` (None: it lasts)."""

    kind: str
    at: datetime
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class Holding:
    """Whether a sign-off still holds; if not, what ended it and when."""

    holds: bool
    ended_by: str = ""
    at: datetime | None = None


def still_holds(report: Mapping[str, Any], now: datetime, events: Iterable[Event]) -> Holding:
    """Whether the sign-off of a round's report holds at a moment, after what happened since.

    Parameters
    ----------
    report : a round report, "steadycone-round/1"
    now : with its zone
    events : in any order; those before the signature or after `now` count nothing

    Raises  InputError: a time without a zone, or a report whose times can't be read. UnknownName: an event of an unknown kind.
    """
    sign = report.get("sign_off")
    if not isinstance(sign, Mapping):
        return Holding(False, "not signed")
    if now.utcoffset() is None:
        raise InputError("now has no zone", where="now", try_="Give a time with its zone.")
    signed, until = moment(sign.get("at"), "sign_off, at"), moment(sign.get("valid_until"), "sign_off, valid_until")
    longest = timedelta(minutes=float(sign["longest_break"]["value"]))
    ended = [(until, "shift-ended"), *(end for event in events if (end := _end(event, signed, now, longest)))]
    at, why = min(ended)
    if now < signed:
        return Holding(False, "not signed yet", signed)
    return Holding(False, why, at) if at <= now else Holding(True)


def _end(event: Event, signed: datetime, now: datetime, longest: timedelta) -> tuple[datetime, str] | None:
    """When and why an event ends a sign-off, or None."""
    if event.kind not in (*ENDS, BREAK):
        raise UnknownName(
            f'"{event.kind[:40]}" is not known to end a sign-off or not', where="event", try_=nearest(event.kind, (*ENDS, BREAK))
        )
    if event.kind != BREAK:
        return (event.at, event.kind) if signed <= event.at <= now else None
    begun = max(event.at, signed)
    lasted = min(event.until or now, now) - begun
    return (begun + longest, BREAK) if lasted > longest else None
