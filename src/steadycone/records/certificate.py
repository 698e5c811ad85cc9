"""From the register to a certificate: an item's last examination as the log has it, corrections included."""

from datetime import date, datetime
from typing import TYPE_CHECKING, NamedTuple

from steadycone.data.reader import sources
from steadycone.errors import InputError, OutOfRange
from steadycone.practice.examination import asked_of, held_to_limit, window_days
from steadycone.practice.finding import Verdict
from steadycone.records import events as e
from steadycone.records.envelope import Recorded
from steadycone.records.fitness import Fitness, fitness
from steadycone.records.fold import corrected, corrections_in
from steadycone.records.names import key
from steadycone.records.rows import Item
from steadycone.records.times import read
from steadycone.render.certificate import Certificate, TestLine
from steadycone.render.labels import kind_words
from steadycone.render.words import capital

if TYPE_CHECKING:
    from steadycone.records.store import Site

_MOST = 2000  # events of an item looked through, newest first
_LETTERS = "abcdefghijklmnopqrstuvwxyz"


def certificate(site: "Site", mark: str, on: date) -> Certificate:
    """The certificate of an item's last examination: every test within its window before the last one.

    Raises  UnknownName: no such item. InputError: no test of it is recorded. OutOfRange: dated before its last test.
    """
    item = site.item(mark)
    tests = _last_tests(site, item)
    if not tests:
        raise InputError(f"no test of {item.mark} is recorded", where="mark", try_="Record one: steadycone gear test, or gear bench.")
    last = _day(tests[-1][0])
    if on < last:
        raise OutOfRange(f"{on.isoformat()} is before its last test, {last.isoformat()}", where="on", try_="Leave the day out.")
    keys = _source_keys(item, tests)
    region, state = site.policy.region, _state(item, tests, fitness(item, on))
    return Certificate(
        site=site.name,
        mark=item.mark,
        about=_about(item, region),
        verdict=state.verdict,
        word=state.word,
        says=state.says,
        tests=tuple(_line(site, item, event, body, keys) for event, body in tests),
        sources=tuple((letter, _told(source)) for source, letter in keys.items()),
        code=site.head().code,
        on=on.isoformat(),
        paper="Letter" if region in ("us", "ca") else "A4",
    )


class _State(NamedTuple):
    verdict: Verdict
    word: str
    says: str


def _last_tests(site: "Site", item: Item) -> list[tuple[Recorded, e.TestResult]]:
    """Oldest first. A corrected test stands as it was corrected, one that was struck not at all."""
    newest = site.corrections()
    history = [event for event in site.history(mark=item.mark, limit=_MOST) if isinstance(event.body, e.TestResult)]
    corrections = corrections_in(site.event(newest[event.id]) for event in history if event.id in newest)
    bodies = [(event, corrected(event, corrections).body) for event in history]
    found = [(event, body) for event, body in bodies if isinstance(body, e.TestResult) and key(body.mark) == item.key]
    found.sort(key=lambda each: (each[0].happened_at, each[0].sequence))
    if not found:
        return []
    last = read(found[-1][0].happened_at)
    return [each for each in found if (last - read(each[0].happened_at)).total_seconds() <= window_days() * 86400.0]


def _state(item: Item, tests: list[tuple[Recorded, e.TestResult]], now: Fitness) -> _State:
    """What it comes to: the register's own word is never bettered."""
    if now.verdict == "stop":
        return _State("stop", "Not for use", capital(now.says) + ".")
    if any(not body.passed for _, body in tests):
        failed = next(body for _, body in reversed(tests) if not body.passed)
        return _State("caution", "A test failed", f"{capital(failed.test)} failed before. {capital(now.says)}.")
    if not any(body.completes for _, body in tests):
        asked = ", ".join(asked_of(item.item))
        says = f"The examination asks for {asked}, and for a tester who may end it." if asked else "Nobody ended the examination."
        return _State("caution", "Not complete", says)
    shown = {body.test for _, body in tests}
    if missing := [test for test in asked_of(item.item) if test not in shown]:  # struck, or made another, since it was ended
        return _State("caution", "Not complete", f"The examination was ended, but {', '.join(missing)} no longer stands in the log.")
    told = f"In service until {now.until}." if now.until else "In service, no set date."
    return _State(now.verdict, "Examined", told if now.verdict == "go" else f"{told} {capital(now.says)}.")


def _about(item: Item, region: str) -> tuple[tuple[str, str], ...]:
    dates = [(name.replace("_", " ").capitalize(), dated.date) for name, dated in item.dates.items()]
    lines = [("What", capital(kind_words(item.item, item.gas, region))), ("Type", item.type), *dates]
    lines += [(capital(name), text) for name, text in item.ratings.items()]
    return tuple((label, text) for label, text in lines if text)


def _line(site: "Site", item: Item, event: Recorded, body: e.TestResult, keys: dict[str, str]) -> TestLine:
    until = f", in date until {body.instrument_until}" if body.instrument_until else ""
    return TestLine(
        day=_day(event).isoformat(),
        test=body.test,
        value=body.value,
        limit=(body.held_to or body.limit).removeprefix("the "),
        letter=keys.get(_source(item, body), ""),
        passed=body.passed,
        gas=body.gas,
        read=(*(f"{name} {text}" for name, text in body.readings.items()), *((body.note,) if body.note else ())),
        instrument=f"{body.instrument}{until}" if body.instrument else "",
        by=_by(site, event),
        event=event.sequence,
    )


def _day(event: Recorded) -> date:
    return datetime.fromisoformat(event.happened_at).astimezone().date()


def _by(site: "Site", event: Recorded) -> str:
    """Who answers for it, and as what on that day."""
    people = {key(person.name): person for person in site.people()}
    person = people.get(key(event.author))
    roles = ", ".join(sorted(person.roles(read(event.happened_at).date()))) if person else ""
    return f"{event.author}, {roles or 'no authorisation in the log'}"


def _source(item: Item, body: e.TestResult) -> str:
    return held_to_limit(item.item, body.test, body.value, body.limit).source


def _source_keys(item: Item, tests: list[tuple[Recorded, e.TestResult]]) -> dict[str, str]:
    """Source of a limit to its letter, in order of use."""
    used = dict.fromkeys(source for _, body in tests if (source := _source(item, body)))
    return dict(zip(used, _LETTERS, strict=False))


def _told(source: str) -> str:
    entry = sources()[source]
    kind = {"memory": "from memory", "secondhand": "at second hand", "judged": "judged by us"}.get(entry["kind"], entry["kind"])
    return f"{entry['title']} ({kind})"
