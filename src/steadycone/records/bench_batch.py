"""A bench list into the register: judged item by item, each whole or not at all."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Literal

import msgspec
from msgspec.structs import replace

from steadycone.assembly.ceiling import region_cap
from steadycone.errors import InputError, OutOfRange, Refused
from steadycone.files.bench_list import BenchFile, Reading
from steadycone.practice.examination import asked_of
from steadycone.records import events as e
from steadycone.records.bench_judge import Measured, measured
from steadycone.records.envelope import New, Recorded
from steadycone.records.gear_day import gear_day
from steadycone.records.gear_events import day_of
from steadycone.records.names import key
from steadycone.records.rows import Item
from steadycone.records.rules_instruments import in_date
from steadycone.units import GivenDate

if TYPE_CHECKING:
    from steadycone.records.store import Site

Outcome = Literal["passed", "failed", "refused"]


@dataclass(frozen=True, slots=True)
class Row:
    """One reading, judged or refused. `where`, `problem`, `try_`: of a refused one; otherwise `test` is there."""

    place: str
    test: Measured | None = None
    where: str = ""
    problem: str = ""
    try_: str = ""


@dataclass(slots=True)
class Bench:
    """Every reading of one item. One refused row keeps all of them out.

    complete : the examination ends with these tests; `open` says why it does not
    written : the log's own events, once they are in it
    """

    mark: str
    item: Item | None = None
    rows: list[Row] = field(default_factory=list)
    events: list[New] = field(default_factory=list)
    complete: bool = False
    open: str = ""
    written: list[Recorded] = field(default_factory=list)

    @property
    def outcome(self) -> Outcome:
        if not self.events:
            return "refused"
        return "failed" if any(row.test and row.test.verdict != "go" for row in self.rows) else "passed"


class BenchBatch:
    """A list of readings against the register; nothing is written before `write`.

    Parameters
    ----------
    who : answers for the entry and made the tests
    when : now, with its zone; a reading without a day is of this moment
    data : the file's bytes, kept beside the log as the paper that the numbers stand on
    """

    def __init__(self, site: "Site", found: BenchFile, name: str, data: bytes, who: str, when: datetime) -> None:
        self.site, self.name, self.data, self.who, self.when = site, name, data, who, when
        self.cap = _cap(site.policy.region)
        self.unread = found.unread
        self.items = [self._item(mark, rows) for mark, rows in _by_mark(found.readings)]

    @property
    def refused(self) -> bool:
        return bool(self.unread) or any(bench.outcome == "refused" for bench in self.items)

    @property
    def failed(self) -> bool:
        return any(bench.outcome == "failed" for bench in self.items)

    def write(self) -> None:
        """Each good item's tests, all of it or none. Raises StoreError. An item that the log refuses after all is told as refused."""
        for bench in self.items:
            if not bench.events:
                continue
            try:
                bench.written = [receipt.event for receipt in self.site.append(*bench.events)]
            except InputError as error:
                bench.events = []
                bench.rows.append(_refused("the log", error))

    def _item(self, mark: str, readings: list[Reading]) -> Bench:
        bench = Bench(mark)
        try:
            bench.item = self.site.item(mark)
        except InputError as error:
            bench.rows = [_refused(reading.place, error) for reading in readings]
            return bench
        tests: list[tuple[Measured, datetime, str, str]] = []
        for reading in readings:
            try:
                at, (test, instrument) = self._at(reading, bench.item), self._measured(reading, bench.item)
            except InputError as error:
                bench.rows.append(_refused(reading.place, error))
                continue
            tests.append((test, at, instrument, reading.place))
            bench.rows.append(Row(reading.place, test))
        if len(tests) == len(readings):
            self._add_events(bench, tests)
        return bench

    def _at(self, reading: Reading, item: Item) -> datetime:
        """When it was read. Raises BadUnit, OutOfRange: no day, in the future, or before it was made."""
        text = reading.cells.get("on")
        if not text:
            return self.when
        day = gear_day(text, "on", self.when.date())
        made = item.dates.get("made")
        if made and day < GivenDate.parse(made.date).day:
            raise OutOfRange(f'"{text}" is before it was made, {made.date}', where="on", try_="Check both dates.")
        return day_of(text, self.when)

    def _measured(self, reading: Reading, item: Item) -> tuple[Measured, str]:
        named = reading.cells.get("instrument", "")
        instrument = self.site.item(named) if named else None
        if instrument is not None:
            in_date(instrument, self._at(reading, item))  # first: what was read with it is worth nothing otherwise
        return measured(reading.cells, item, instrument, self.cap), instrument.mark if instrument else ""

    def _add_events(self, bench: Bench, tests: list[tuple[Measured, datetime, str, str]]) -> None:
        """The events of an item, in order of time and the failed last, so that the register shows the worst of a day."""
        tests = sorted(tests, key=lambda each: (each[1], each[0].verdict != "go"))
        bodies = [(self._body(bench.mark, test, instrument), at, place) for test, at, instrument, place in tests]
        events = self._events(bodies)
        bench.complete, bench.open = self._completes(bench, bodies)
        if bench.complete:
            *first, (last, at, place) = bodies
            events = self._events([*first, (replace(last, completes=True), at, place)])
        problem = next((each for each in self.site.preview(events) if each is not None), None)
        if problem is not None and bench.complete and isinstance(problem, Refused):
            bench.complete, bench.open = False, problem.says
            events = self._events(bodies)
            problem = next((each for each in self.site.preview(events) if each is not None), None)
        if problem is None:
            bench.events = events
        else:
            bench.rows.append(_refused("the register", problem))

    def _completes(self, bench: Bench, bodies: list[tuple[e.TestResult, datetime, str]]) -> tuple[bool, str]:
        assert bench.item is not None
        if any(not body.passed for body, _, _ in bodies):
            return False, "a test failed"
        asked = asked_of(bench.item.item)
        if asked and not any(body.test in asked for body, _, _ in bodies):
            return False, f"none of {', '.join(asked)} is in this list"
        if bodies[-1][0].test not in asked and asked:  # a test that its list asks for ends it
            bodies.sort(key=lambda each: (each[1], each[0].test in asked))
        return bodies[-1][0].test in asked or not asked, ""

    def _body(self, mark: str, test: Measured, instrument: str) -> e.TestResult:
        return e.TestResult(
            mark=mark, test=test.test, value=test.value, passed=test.verdict == "go", limit=test.limit, gas=test.gas, readings=test.readings,
            instrument=instrument, note="; ".join(part for part in (test.note, test.says if test.verdict != "go" else "") if part),
        )  # fmt: skip

    def _events(self, bodies: Iterable[tuple[e.TestResult, datetime, str]]) -> list[New]:
        return [New(body, self.who, at, self._id(body, at, place), {"bench list": self.data}) for body, at, place in bodies]

    def _id(self, body: e.TestResult, at: datetime, place: str) -> str:
        """The same row of the same list gives the same id, so that a list sent twice is written once."""
        day = "" if at == self.when else at.isoformat()
        told = b"\0".join((self.site.log.encode(), self.data, place.encode(), self.who.encode(), day.encode(), msgspec.json.encode(body)))
        return hashlib.sha256(told).hexdigest()[:48]


def _by_mark(readings: Iterable[Reading]) -> list[tuple[str, list[Reading]]]:
    """In the order of the list. A row without a mark stands alone."""
    found: dict[str, tuple[str, list[Reading]]] = {}
    for reading in readings:
        mark = reading.cells.get("mark", "")
        found.setdefault(key(mark) if mark else reading.place, (mark, []))[1].append(reading)
    return list(found.values())


def _refused(place: str, error: InputError) -> Row:
    return Row(place, None, error.where, error.says, error.try_)


def _cap(region: str) -> float | None:
    """What acetylene may have in a hose there [Pa gauge]."""
    return region_cap(region) if region else None
