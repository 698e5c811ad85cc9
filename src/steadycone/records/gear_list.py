"""A gear list against the register: for each row what it would add or change, or why it can't be taken. Nothing is written here."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from steadycone.errors import InputError
from steadycone.files.gear_sheet import Table
from steadycone.records.gear_columns import Column, read_headings
from steadycone.records.gear_item import Listed, read_item
from steadycone.records.names import key

Outcome = Literal["add", "change", "same", "bad"]


@dataclass(frozen=True, slots=True)
class RowReport:
    """What one row comes to. `changes`: field, as the register has it, as the list has it. `says` and `try_`: of a bad row."""

    line: int
    mark: str
    outcome: Outcome
    item: Listed | None = None
    changes: tuple[tuple[str, str, str], ...] = ()
    says: str = ""
    try_: str = ""


@dataclass(frozen=True, slots=True)
class GearList:
    """Every row's report, in the order of the file; `not_taken`: headings that mean nothing here."""

    rows: tuple[RowReport, ...]
    not_taken: tuple[str, ...] = ()

    def of(self, *outcomes: Outcome) -> tuple[RowReport, ...]:
        return tuple(row for row in self.rows if row.outcome in outcomes)

    def count(self, outcome: Outcome) -> int:
        return sum(row.outcome == outcome for row in self.rows)


def read_gear_list(
    table: Table, file: str, known: Mapping[str, Listed], on: date, told: Callable[[int, int], None] = lambda done, of: None
) -> GearList:
    """Every row judged, one by one; a bad one costs no other.

    Parameters
    ----------
    known : what the register has, by `names.key` of its mark
    on : today; later dates are refused
    told : called now and then with rows done and rows in all

    Raises  InputError: the headings can't be used.
    """
    judge = _Judge(read_headings(table.headings, file), known, on)
    rows = [RowReport(line, "", "bad", says=why, try_="Mend the row in the list.") for line, why in table.unread]
    for number, (line, cells) in enumerate(table.rows):
        if number % 1000 == 0:
            told(number, len(table.rows))
        rows.append(judge.row(line, cells))
    told(len(table.rows), len(table.rows))
    rows.sort(key=lambda row: row.line)
    return GearList(tuple(rows), tuple(column.heading for column in judge.columns if not column.field and column.heading))


class _Judge:
    """Row after row, with what the rows before have taken: marks, and places on stations."""

    def __init__(self, columns: list[Column], known: Mapping[str, Listed], on: date) -> None:
        self.columns, self.known, self.on = columns, known, on
        self.units = {column.field: column.unit for column in columns if column.unit}
        self.lines: dict[str, int] = {}
        self.places = {(key(item.fitted), key(item.place)): item.mark for item in known.values() if item.fitted}

    def row(self, line: int, cells: list[str]) -> RowReport:
        given = {column.field: cell for column, cell in zip(self.columns, cells, strict=True) if column.field}
        mark = given["mark"]
        try:
            there = self.known.get(key(mark))
            item = read_item(given, self.units, self.on, there.gas if there else "")
            first = self.lines.setdefault(key(mark), line)
            if first != line:
                raise InputError(f"the mark {mark} stands in row {first} already", try_="Give each item a mark of its own.")
            changes = compare(there, item) if there else ()
            self._take_place(item)
        except InputError as error:
            says = f"{error.where}: {error.says}" if error.where else error.says
            return RowReport(line, mark, "bad", says=says, try_=error.try_)
        if there is None:
            return RowReport(line, mark, "add", item)
        return RowReport(line, there.mark, "change" if changes else "same", item, changes)

    def _take_place(self, item: Listed) -> None:
        if not item.fitted:
            return
        holder = self.places.setdefault((key(item.fitted), key(item.place)), item.mark)
        if key(holder) != key(item.mark):
            says = f"{holder} is the {item.place} at {item.fitted} already"
            raise InputError(says, where="fitted", try_="Add a column place, as the card names it: fuel part 2.")


def compare(there: Listed, item: Listed) -> tuple[tuple[str, str, str], ...]:
    """What a list would change in the register's item. An empty cell changes nothing.

    Raises  InputError: it is another thing under the same mark, gone, fitted elsewhere, or the list is older than the register.
    """
    if there.state == "retired":
        raise InputError(f"{there.mark} was retired, and its mark is never given again", where="mark", try_="Give the item a new mark.")
    for name in ("kind", "gas"):
        old, new = getattr(there, name), getattr(item, name)
        if old and new and old != new:
            raise InputError(f"the register has {there.mark} as {old}, the list as {new}", where=name, try_="Give it a mark of its own.")
    if there.fitted and item.fitted and key(there.fitted) != key(item.fitted):
        says = f"{there.mark} is fitted at {there.fitted}; the list says {item.fitted}"
        raise InputError(says, where="fitted", try_=f"If it was moved: steadycone gear remove {quoted(there.mark)}, then import again.")
    if there.tested and item.tested and item.tested < there.tested[: len(item.tested)]:
        says = f"tested {item.tested} in the list, {there.tested} in the register"
        raise InputError(says, where="tested", try_="Keep the newer day in the list.")
    return tuple(_changes(there, item))


def _changes(there: Listed, item: Listed) -> Iterable[tuple[str, str, str]]:
    for name in ("gas", "type", "made", "bought", "in_service", "tested", "note"):
        old, new = getattr(there, name), getattr(item, name)
        if new and new != old:
            yield name.replace("_", " "), old, new
    if item.fitted and not there.fitted:
        yield "fitted", "", f"{item.fitted}, {item.place}"
    for test, text in item.results.items():
        if there.results.get(test) != text:
            yield test, there.results.get(test, ""), text


def quoted(mark: str) -> str:
    """A mark as it is typed on a command line."""
    return f'"{mark}"' if re.search(r"[ #()]", mark) else mark
