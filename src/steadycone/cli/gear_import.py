"""`steadycone gear import`: a gear list from a sheet, looked at row by row before anything is written."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadycone.cli import desk
from steadycone.cli.card import FILE
from steadycone.cli.desk import author, moment, open_site, write_json, writing
from steadycone.cli.errors import BAD_INPUT
from steadycone.cli.write import check_target, write_whole

if TYPE_CHECKING:
    from steadycone.records.gear_list import GearList, RowReport

_SHOWN = 10  # rows that go in, on a screen; the report has them all
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
    from steadycone.records.gear_batch import Batch, known_items, report_csv
    from steadycone.records.gear_list import read_gear_list

    if report_file:
        check_target(report_file)
    who, when = by if preview and by else "preview" if preview else author(by), moment(at)
    table = gear_table(file.name, read_bytes(file, FILE_LIMIT, "gear list"))
    with open_site(store, site, writes=True) as found:
        read = read_gear_list(table, file.name, known_items(found), desk.now().date(), _progress("read"))
        batch = Batch(found, read, f"gear list {file.name}", who, when)
        if preview:
            read, written = batch.previewed(), False
        elif all_or_nothing:
            read, written = batch.whole()
        else:
            read, written = batch.each(_progress("written")), True
    if report_file:
        write_whole(report_file, report_csv(read))
    _tell(read, file.name, written, preview, as_json)
    return BAD_INPUT if read.count("bad") else 0


def _progress(what: str) -> Callable[[int, int], None]:
    """Told on stderr where a person watches, and nowhere else."""
    if not sys.stderr.isatty():
        return lambda done, of: None

    def told(done: int, of: int) -> None:
        sys.stderr.write(f"\r{done} of {of} {what}" + ("\n" if done >= of else ""))
        sys.stderr.flush()

    return told


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
    from steadycone.records.gear_batch import changed_text
    from steadycone.render.table import plain

    out = sys.stdout.write
    for heading in read.not_taken:
        out(f'The column "{plain(heading)}" is not taken.\n')
    for row in read.of("bad"):
        out(f"row {row.line}  {plain(row.mark) or '?'}: {plain(row.says)}. {plain(row.try_)}\n".replace("..", "."))
    for row in read.of("change")[:_SHOWN]:
        out(f"row {row.line}  {plain(row.mark)}: {plain(changed_text(row))}\n")
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
