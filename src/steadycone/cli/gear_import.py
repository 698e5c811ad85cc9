"""`steadycone gear import`: a gear list from a sheet, looked at row by row before anything is written."""

import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from steadycone.cli import desk
from steadycone.cli.card import FILE
from steadycone.cli.desk import author, moment, open_site, write_json, writing
from steadycone.cli.errors import BAD_INPUT
from steadycone.cli.write import check_target, write_whole
from steadycone.errors import InputError

if TYPE_CHECKING:
    from steadycone.records import New, Site
    from steadycone.records.events import Event
    from steadycone.records.gear_list import GearList, RowReport

_SHOWN = 10  # rows that go in, on a screen; the report has them all
_BATCH = 1000  # events written at a time
_EPILOG = "Example: steadycone gear import gear.xlsx --preview; then without --preview, with --by NAME. Exit code 2: some rows are bad."


@click.command("import", help="A gear list from a CSV, XLSX or ODS file: everything good goes in, every bad row is told with its reason.", epilog=_EPILOG)  # fmt: skip
@click.argument("file", type=FILE)
@click.option("--preview", is_flag=True, help="Write nothing; show what would be added and changed, and every bad row.")
@click.option("--all-or-nothing", is_flag=True, help="With one bad row, nothing goes in.")
@click.option("--report", "report_file", type=FILE, metavar="FILE", help="Write what became of each row to this CSV file.")
@writing
def import_command(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, file: Path, preview: bool, all_or_nothing: bool,
    report_file: Path | None,
) -> int:  # fmt: skip
    from steadycone.files.gear_sheet import FILE_LIMIT, gear_table
    from steadycone.files.text import read_bytes
    from steadycone.records.gear_events import listed
    from steadycone.records.gear_list import read_gear_list
    from steadycone.records.names import key

    if report_file:
        check_target(report_file)
    who, when = by if preview and by else "preview" if preview else author(by), moment(at)
    table = gear_table(file.name, read_bytes(file, FILE_LIMIT, "gear list"))
    with open_site(store, site, writes=True) as found:
        known = {key(item.mark): listed(item) for item in found.items()}
        read = read_gear_list(table, file.name, known, desk.now().date(), _progress("read"))
        batch = _Batch(found, read, f"gear list {file.name}", who, when)
        if preview:
            read, written = batch.previewed(), False
        elif all_or_nothing:
            read, written = batch.whole()
        else:
            read, written = batch.each(), True
    if report_file:
        write_whole(report_file, _report(read))
    _tell(read, file.name, written, preview, as_json)
    return BAD_INPUT if read.count("bad") else 0


class _Batch:
    """The events of every good row, each with the row it came from."""

    def __init__(self, site: "Site", read: "GearList", basis: str, who: str, when: Any) -> None:
        from steadycone.records.gear_events import row_events

        self.site, self.read = site, read
        self.events: list[New] = []
        self.rows: list[RowReport] = []
        for row in read.rows:
            try:
                made = row_events(row, basis, who, when, self._first)
            except InputError as error:
                self.read = _with_bad(self.read, {row.line: error})
                continue
            self.events += made
            self.rows += [row] * len(made)

    def _first(self, mark: str) -> "tuple[str, Event]":
        event = self.site.event(self.site.item(mark).first)
        return event.id, event.body

    def previewed(self) -> "GearList":
        return _with_bad(self.read, self._problems(self.site.preview(self.events)))

    def whole(self) -> "tuple[GearList, bool]":
        """All rows in one piece, or none."""
        read = self.previewed()
        if read.count("bad") or not self.events:
            return read, False
        self.site.append(*self.events)
        return read, True

    def each(self) -> "GearList":
        """Each for itself, so many at a time."""
        told = _progress("written")
        found: list[Any] = []
        for start in range(0, len(self.events), _BATCH):
            told(start, len(self.events))
            found += self.site.append_each(self.events[start : start + _BATCH])
        told(len(self.events), len(self.events))
        return _with_bad(self.read, self._problems(found))

    def _problems(self, answers: "Sequence[Any]") -> dict[int, InputError]:
        """The first problem of each row, by its line."""
        problems: dict[int, InputError] = {}
        for row, event, answer in zip(self.rows, self.events, answers, strict=True):
            if isinstance(answer, InputError):
                answer.says = f"{event.body.__struct_config__.tag}: {answer.says}"
                problems.setdefault(row.line, answer)
        return problems


def _with_bad(read: "GearList", problems: dict[int, InputError]) -> "GearList":
    if not problems:
        return read
    rows = tuple(
        replace(row, outcome="bad", says=f"{problem.where}: {problem.says}".removeprefix(": "), try_=problem.try_)
        if (problem := problems.get(row.line))
        else row
        for row in read.rows
    )
    return replace(read, rows=rows)


def _progress(what: str) -> Callable[[int, int], None]:
    """Told on stderr where a person watches, and nowhere else."""
    if not sys.stderr.isatty():
        return lambda done, of: None

    def told(done: int, of: int) -> None:
        sys.stderr.write(f"\r{done} of {of} {what}" + ("\n" if done >= of else ""))
        sys.stderr.flush()

    return told


def _report(read: "GearList") -> bytes:
    from steadycone.render.sheets import csv_bytes

    rows = [(str(row.line), row.mark, row.outcome, _changed(row), row.says, row.try_) for row in read.rows]
    return csv_bytes(("row", "mark", "outcome", "changes", "problem", "what to do"), rows)


def _changed(row: "RowReport") -> str:
    return "; ".join(f"{name}: {old or 'nothing'} to {new}" for name, old, new in row.changes)


def _tell(read: "GearList", file: str, written: bool, preview: bool, as_json: bool) -> None:
    counts = {outcome: read.count(outcome) for outcome in ("add", "change", "same", "bad")}
    if as_json:
        rows = [
            {"row": row.line, "mark": row.mark, "outcome": row.outcome, "changes": [list(change) for change in row.changes]}
            | ({"says": row.says, "try": row.try_} if row.outcome == "bad" else {})
            for row in read.rows
        ]
        told = {"format": "steadycone-import/1", "file": file, "written": written, "counts": counts}
        write_json(told | {"not_taken": list(read.not_taken), "rows": rows})
        return
    from steadycone.render.table import plain

    out = sys.stdout.write
    for heading in read.not_taken:
        out(f'The column "{plain(heading)}" is not taken.\n')
    for row in read.of("bad"):
        out(f"row {row.line}  {plain(row.mark) or '?'}: {plain(row.says)}. {plain(row.try_)}\n".replace("..", "."))
    for row in read.of("change")[:_SHOWN]:
        out(f"row {row.line}  {plain(row.mark)}: {plain(_changed(row))}\n")
    if preview:
        for row in read.of("add")[:_SHOWN]:
            out(f"row {row.line}  {plain(row.mark)}: new{_what(row)}\n")
    left = max(0, counts["change"] - _SHOWN) + (max(0, counts["add"] - _SHOWN) if preview else 0)
    if left:
        out(f"... and {left} more; --report FILE has every row.\n")
    out(_summary(counts, written, preview))


def _what(row: "RowReport") -> str:
    return f", {row.item.gas} {row.item.kind}".replace("  ", " ") if row.item else ""


def _summary(counts: dict[str, int], written: bool, preview: bool) -> str:
    head = f"{counts['add']} new, {counts['change']} changed, {counts['same']} as before, {counts['bad']} bad"
    if preview:
        return f"{head}. Nothing is written: this is a preview.\n"
    if not written:
        return f"{head}. Nothing is written.\n"
    return f"{head}. Written{' but for the bad rows' if counts['bad'] else ''}.\n"
