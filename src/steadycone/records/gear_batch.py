"""A gear list that was read, put into the log or tried against its rules: row by row, or all in one piece."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from steadycone.errors import InputError
from steadycone.records.envelope import New
from steadycone.records.events import Event, kind_of
from steadycone.records.gear_events import listed, row_events
from steadycone.records.gear_item import Listed
from steadycone.records.gear_list import GearList, RowReport
from steadycone.records.names import key
from steadycone.render.sheets import csv_bytes

if TYPE_CHECKING:
    from steadycone.records.store import Site

Told = Callable[[int, int], None]  # rows done, rows in all
BATCH = 1000  # events at a time: others may write in between
HEADINGS = ("row", "mark", "outcome", "changes", "problem", "what to do")


def _quiet(done: int, of: int) -> None:
    """Nobody watches."""


def known_items(site: "Site") -> dict[str, Listed]:
    """What the register has, as `read_gear_list` wants it."""
    return {key(item.mark): listed(item) for item in site.items()}


class Batch:
    """The events of every good row, each with the row it came from. `read` is the list as judged so far.

    Parameters
    ----------
    basis : what the dates were read from
    when : with its zone
    """

    def __init__(self, site: "Site", read: GearList, basis: str, who: str, when: datetime) -> None:
        self.site, self.read = site, read
        self.events: list[New] = []
        self.rows: list[RowReport] = []
        problems: dict[int, InputError] = {}
        for row in read.rows:
            try:
                made = row_events(row, basis, who, when, self._first)
            except InputError as error:
                problems[row.line] = error
                continue
            self.events += made
            self.rows += [row] * len(made)
        self.read = with_bad(self.read, problems)

    def _first(self, mark: str) -> tuple[str, Event]:
        event = self.site.event(self.site.item(mark).first)
        return event.id, event.body

    def previewed(self, told: Told = _quiet) -> GearList:
        """What writing row by row would come to; writes nothing. Raises StoreError."""
        return with_bad(self.read, self._problems(self._in_turn(self.site.preview, told)))

    def whole(self, told: Told = _quiet) -> tuple[GearList, bool]:
        """All rows in one piece, or none; whether they were written. Raises InputError, StoreError: nothing was written."""
        read = self.previewed(told)
        if read.count("bad") or not self.events:
            return read, False
        self.site.append(*self.events)
        return read, True

    def each(self, told: Told = _quiet) -> GearList:
        """Each row for itself. Raises StoreError: some rows may be written; the same list again doubles nothing."""
        return with_bad(self.read, self._problems(self._in_turn(self.site.append_each, told)))

    def _in_turn(self, do: Callable[[Sequence[New]], Sequence[Any]], told: Told) -> list[Any]:
        """`do` to some rows after the other; the events of one row stay together, since later ones stand on the first."""
        found: list[Any] = []
        total, done = len(dict.fromkeys(row.line for row in self.rows)), 0
        for start, end in self._cuts():
            told(done, total)
            found += do(self.events[start:end])
            done += len(dict.fromkeys(row.line for row in self.rows[start:end]))
        told(total, total)
        return found

    def _cuts(self) -> Iterator[tuple[int, int]]:
        start = 0
        while start < len(self.rows):
            end = min(start + BATCH, len(self.rows))
            while end < len(self.rows) and self.rows[end] is self.rows[end - 1]:
                end += 1
            yield start, end
            start = end

    def _problems(self, answers: Sequence[Any]) -> dict[int, InputError]:
        """The first problem of each row, by its line."""
        problems: dict[int, InputError] = {}
        for row, event, answer in zip(self.rows, self.events, answers, strict=True):
            if isinstance(answer, InputError):
                answer.says = f"{kind_of(event.body)}: {answer.says}"
                problems.setdefault(row.line, answer)
        return problems


def with_bad(read: GearList, problems: dict[int, InputError]) -> GearList:
    """The list with these rows told as bad."""
    if not problems:
        return read
    rows = tuple(
        replace(row, outcome="bad", says=f"{problem.where}: {problem.says}".removeprefix(": "), try_=problem.try_)
        if (problem := problems.get(row.line))
        else row
        for row in read.rows
    )
    return replace(read, rows=rows)


def changed_text(row: RowReport) -> str:
    """What a row changes, in one line."""
    return "; ".join(f"{name}: {old or 'nothing'} to {new}" for name, old, new in row.changes)


def report_csv(read: GearList) -> bytes:
    """What became of each row, as CSV."""
    return csv_bytes(HEADINGS, [(str(row.line), row.mark, row.outcome, changed_text(row), row.says, row.try_) for row in read.rows])
