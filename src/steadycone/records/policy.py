"""A site's choices for its records: when gear is due, who may clear it, whether two persons are needed."""

from datetime import date
from functools import cache
from typing import Any

import msgspec

from steadycone.data.reader import toml
from steadycone.errors import InputError, UnknownName, nearest
from steadycone.practice.dates import DATED, due
from steadycone.records.events import ClassRule, Dated, DateName, PolicyChanged
from steadycone.records.rows import NEVER, UNKNOWN, Item
from steadycone.station.policy import Policy
from steadycone.units import GivenDate, Interval

TABLE = "records.toml"
_NO_RULE = ClassRule()


class SitePolicy(msgspec.Struct, frozen=True, kw_only=True):
    """In force at a site. `classes`: rules by item class; a class without one is never due."""

    region: str
    classes: dict[str, ClassRule]
    two_persons: bool = False
    sign_off_by: tuple[str, ...] = ()

    def rule(self, item: str) -> ClassRule:
        return self.classes.get(item, _NO_RULE)

    def tester(self, item: str) -> str:
        """The role that may complete an examination of a class.

        Source      tester-judged
        """
        return self.rule(item).test_by or str(toml(TABLE)["tester"]["any"])


@cache
def template(region: str) -> SitePolicy:
    """What a region starts from. Raises UnknownName."""
    from steadycone.files.policy import region_policy

    table = toml(TABLE)
    classes = from_station_policy(region_policy(region))
    for name, entry in table["class"].items():
        rule = {key: value for key, value in entry.items() if key != "source"}
        classes[name] = msgspec.convert(rule | {"release_by": _release(name)}, ClassRule)
    for name in ("tip", "gauge", "coupling", "valve", "trolley", "other"):
        classes[name] = ClassRule(release_by=_release(name))
    return SitePolicy(region=region, classes=classes)


def from_station_policy(policy: Policy) -> dict[str, ClassRule]:
    """A station policy's intervals as rules, for a person to read. When gear is due by it is counted by the card's own clocks: due.py."""
    found = {}
    for kind, name in DATED.items():
        asked = getattr(policy.intervals, name)
        start: tuple[DateName, ...] = ("tested",) if asked.examined_from == "test" else ("tested", "made")
        found[kind] = ClassRule(replace=_text(asked.life), test=_text(asked.examined), test_from=start, release_by=_release(kind))
    return found


def _text(interval: Interval | None) -> str:
    return interval.text if interval is not None else ""


def _release(item: str) -> str:
    table = toml(TABLE)["release"]
    return str(table.get(item, table["any"]))


def changed(policy: SitePolicy, event: PolicyChanged) -> SitePolicy:
    """The policy with an event's changes laid over it."""
    return msgspec.structs.replace(
        policy,
        classes={**policy.classes, **event.classes},
        two_persons=policy.two_persons if event.two_persons is None else event.two_persons,
        sign_off_by=policy.sign_off_by if event.sign_off_by is None else event.sign_off_by,
    )


def check_rules(event: PolicyChanged) -> None:
    """Raises  InputError: an interval that is none, a rule that counts from nothing, or a role nobody knows."""
    for name, rule in event.classes.items():
        for which in ("replace", "test"):
            text, start = getattr(rule, which), getattr(rule, f"{which}_from")
            if not text:
                continue
            try:
                Interval.parse(text)
            except InputError as error:
                error.at(f"{name}, {which}")
                raise
            if not start:
                raise InputError("it counts from no date", where=f"{name}, {which}_from", try_='Name dates, such as ["tested", "made"].')
        check_role(rule.release_by, f"{name}, release_by")
        if rule.test_by:
            check_role(rule.test_by, f"{name}, test_by")
    for role in event.sign_off_by or ():
        check_role(role, "sign_off_by")


def check_role(role: str, where: str) -> None:
    """Raises  UnknownName."""
    known = roles()
    if role not in known:
        raise UnknownName(f'"{role[:40]}" is not a role', where=where, try_=nearest(role[:40], known))


def roles() -> dict[str, Any]:
    """Every role, and those it may stand in for."""
    return dict(toml(TABLE)["role"])


def covers(held: set[str], wanted: str) -> bool:
    """Whether somebody with these roles may do what is asked of one role."""
    return any(role == wanted or wanted in roles().get(role, ()) for role in held)


@cache
def _end(text: str, interval: str) -> int:
    """Ordinal of the day an interval from a written date ends."""
    return due(GivenDate.parse(text).day, Interval.parse(interval)).toordinal()


def due_day(rule: ClassRule, dates: dict[str, Dated]) -> tuple[int, str]:
    """The first day one of the rules ends, as an ordinal, and which one. Without a date to count from: UNKNOWN, out of date."""
    found = []
    for which, interval, start in (("replace", rule.replace, rule.replace_from), ("test", rule.test, rule.test_from)):
        if interval:
            text = next((dates[name].date for name in start if name in dates), None)
            if text is None:
                return UNKNOWN, "unknown age"
            found.append((_end(text, interval), which))
    return min(found) if found else (NEVER, "")


class Due(msgspec.Struct, frozen=True):
    """One line of the due list. `days`: left until it is due, negative when over; None where its age is unknown."""

    item: Item
    due_on: date | None
    days: int | None
    why: str
