"""A gear list's bytes to rows of text. A row that can't be a row is set aside with its reason; the others stay good."""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from steadycone.errors import BadFile
from steadycone.files.grid import Bounds, find_separator
from steadycone.files.text import decode, refuse_size

FILE_LIMIT = 60_000_000  # bytes; 50,000 rows are about 6 MB of CSV
EXAMPLE = "mark, kind, gas, made, tested"
BOUNDS = Bounds("gear list", rows=200_000, cell=500, unpacked=400_000_000)


@dataclass(slots=True)
class Table:
    """`rows`: row number in the file and its cells, as many as headings. `unread`: rows that are none, with the reason."""

    headings: list[str]
    rows: list[tuple[int, list[str]]] = field(default_factory=list)
    unread: list[tuple[int, str]] = field(default_factory=list)


def gear_table(name: str, data: bytes, bounds: Bounds = BOUNDS, example: str = EXAMPLE) -> Table:
    """The rows of a CSV, XLSX or ODS file; the name's ending says which. example : headings to begin with

    Raises  BadFile: no such kind of file, not readable at all, empty, or longer than any such list.
    """
    refuse_size(len(data), FILE_LIMIT, name, bounds.what)
    ending = name.rpartition(".")[2].lower() if "." in name else ""
    if ending in ("xlsx", "ods"):
        lines = _sheet_lines(name, data, bounds)
    elif ending in ("csv", "txt", "tsv"):
        lines = _csv_lines(decode(data, name, bounds.what))
    else:
        raise BadFile(
            f'a {bounds.what} ends in .csv, .xlsx or .ods, not ".{ending[:20]}"', where=name, try_="Save the list as one of the three."
        )
    return _table(lines, name, bounds, example)


def _table(lines: Iterator[tuple[int, list[str] | str]], name: str, bounds: Bounds, example: str) -> Table:
    """A line is its cells, or the reason why it has none. The first with cells is the headings."""
    table: Table | None = None
    early: list[tuple[int, str]] = []
    for number, cells in lines:
        if isinstance(cells, str):
            (table.unread if table else early).append((number, cells))
        elif not any(cells) or (table is None and cells[0].startswith("#")):
            continue
        elif table is None:
            table = Table(cells, unread=early)
        elif len(table.rows) >= bounds.rows:
            raise BadFile(f"more than {bounds.rows} rows", where=name, try_="Split the list.")
        else:
            _add(table, number, cells, bounds)
    if table is None:
        raise BadFile(f"this {bounds.what} is empty", where=name, try_=f'Start it with a row of headings, such as "{example}".')
    return table


def _add(table: Table, number: int, cells: list[str], bounds: Bounds) -> None:
    width = len(table.headings)
    long = next((cell for cell in cells if len(cell) > bounds.cell), None)
    if any(cells[width:]) or len(cells) < width:
        table.unread.append((number, f"the row has {len(cells)} cells; the headings are {width}"))
    elif long is not None:
        table.unread.append((number, f'a cell of {len(long)} characters, "{long[:30]}…"; at most {bounds.cell}'))
    else:
        table.rows.append((number, cells[:width]))


def _csv_lines(text: str) -> Iterator[tuple[int, list[str] | str]]:
    lines = io.StringIO(text, newline="").readlines()
    separator = find_separator([line for line in lines if not line.lstrip().startswith("# ")])
    if lines and lines[0].lower().startswith("sep="):
        lines[0] = "\n"
    try:
        found = list(_records(lines, separator))
    except csv.Error:
        # A quote somewhere never ends. Line by line, it costs its own row and no other.
        found = [one for number, line in enumerate(lines, 1) for one in _one_line(number, line, separator)]
    yield from found


def _records(lines: list[str], separator: str) -> Iterator[tuple[int, list[str] | str]]:
    """Raises csv.Error."""
    reader = csv.reader(io.StringIO("".join(lines), newline=""), delimiter=separator, strict=True)
    before = 0
    for cells in reader:
        first, before = before + 1, reader.line_num
        if before > first:
            # A quoted cell over several lines has perhaps swallowed whole rows: never taken as one, each line is looked at alone.
            for number in range(first, before + 1):
                yield from _one_line(number, lines[number - 1], separator)
        else:
            yield first, [_tidy(cell) for cell in cells]


def _one_line(number: int, line: str, separator: str) -> Iterator[tuple[int, list[str] | str]]:
    try:
        for cells in csv.reader([line], delimiter=separator, strict=True):
            # the end of a broken cell reads as a cell with a quote in it
            stray = any('"' in cell for cell in cells)
            yield (
                number,
                "a quote stands where none belongs, below a row whose quote never ends" if stray else [_tidy(cell) for cell in cells],
            )
    except csv.Error as error:
        yield number, f"a quote is missing or one too many, or a text has line breaks ({error})"


def _sheet_lines(name: str, data: bytes, bounds: Bounds) -> Iterator[tuple[int, list[str] | str]]:
    from steadycone.files.sheet import sheet_rows  # here: most lists are CSV

    rows, _ = sheet_rows(name, data, bounds)
    for number, cells in enumerate(rows, 1):
        yield number, [_cell(cell) for cell in cells]


def _cell(cell: Any) -> str:
    """A cell's text as a person reads it: a date without its midnight, a whole number without its point."""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, datetime):
        return cell.date().isoformat() if not (cell.hour or cell.minute or cell.second) else cell.isoformat(" ")
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, float):
        return f"{cell:.12g}"
    return _tidy(str(cell))


def _tidy(cell: str) -> str:
    plain = " ".join(cell.split())
    # our own CSV has an apostrophe before what a sheet program would run
    return plain[1:] if plain[:2] in ("'=", "'+", "'-", "'@") else plain
