"""A chart file's bytes to rows of cells and about-lines, whatever the file's kind."""

import csv
import io
import re
from dataclasses import dataclass, field

from steadycone.errors import BadFile
from steadycone.files.cells import Cell
from steadycone.files.text import decode


@dataclass(frozen=True, slots=True)
class Bounds:
    """How large a table of one kind can be; `unpacked` is what a sheet may unpack to [bytes]."""

    what: str
    rows: int
    columns: int = 60
    cell: int = 80
    unpacked: int = 30_000_000


CHART = Bounds("chart", 2000)  # a chart of 2,000 rows unpacks to about 1 MB
_ABOUT = re.compile(r"#\s*([A-Za-z][A-Za-z _-]{0,40}?)\s*:\s*(.*)")


@dataclass(slots=True)
class Grid:
    """`rows` holds each row's number in the file and its cells; the first is the headings. Blank rows are left out."""

    rows: list[tuple[int, list[Cell]]] = field(default_factory=list)
    about: dict[str, str] = field(default_factory=dict)

    def add(self, line: int, cells: list[Cell], file: str) -> None:
        """Raises BadFile when the row goes over a limit."""
        if not any(not isinstance(cell, str) or cell.strip() for cell in cells):
            return
        if len(self.rows) > CHART.rows:
            raise BadFile(f"more than {CHART.rows} rows", where=file, try_="A chart has a row for each size; keep one table in the file.")
        if len(cells) > CHART.columns:
            raise BadFile(f"row {line} has {len(cells)} columns; at most {CHART.columns}", where=file, try_="Keep one table in the file.")
        long = next((cell for cell in cells if isinstance(cell, str) and len(cell) > CHART.cell), None)
        if long is not None:
            raise BadFile(
                f'row {line} has a cell of {len(long)} characters, "{long[:30]}…"', where=file, try_=f"At most {CHART.cell} in a cell."
            )
        self.rows.append((line, cells))


def csv_grid(name: str, data: bytes) -> Grid:
    """Rows of a CSV file; commas, semicolons or tabs between cells, lines that begin with # about the chart.

    Raises  BadFile.
    """
    grid = Grid()
    lines = decode(data, name, "chart").splitlines(keepends=True)
    for number, line in enumerate(lines):
        if _is_about(line):
            _add_about(grid, line, number + 1, name)
            lines[number] = "\n"
    separator = find_separator(lines)
    reader = csv.reader(io.StringIO("".join(lines), newline=""), delimiter=separator, strict=True)
    try:
        width = 0
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            width = width or len(cells)
            if len(cells) != width:
                raise _ragged(reader.line_num, len(cells), width, separator, name)
            grid.add(reader.line_num, list(cells), name)
    except csv.Error as error:
        raise BadFile(f"row {reader.line_num} is not CSV: {error}", where=name, try_="Save the table again as CSV.") from error
    return grid


def _is_about(line: str) -> bool:
    # "#3,25,…" is a size named #3.
    return bool(re.match(r'\s*"?#\s*(?:$|[^\d\s])|\s*"?#\s', line))


def _add_about(grid: Grid, line: str, number: int, name: str) -> None:
    found = _ABOUT.fullmatch(line.strip().strip('"').rstrip(' ;,\t"'))
    if found:
        add_about(grid.about, found[1], found[2], f"{name}, row {number}")


def add_about(about: dict[str, str], key: str, value: str, where: str) -> None:
    """Raises BadFile when the key stands there already."""
    key = " ".join(key.lower().replace("_", " ").split())
    if key in about:
        raise BadFile(f'"{key}" is given twice', where=where, try_="Keep one of the two lines.")
    if len(value) > 200:
        raise BadFile(f'"{key}" has {len(value)} characters', where=where, try_="At most 200.")
    about[key] = value.strip()


def find_separator(lines: list[str]) -> str:
    """What stands between the headings; a sheet program's own note on it is blanked."""
    for number, line in enumerate(lines):
        if re.fullmatch(r"sep=.\s*", line, re.IGNORECASE):
            lines[number] = "\n"
        elif line.strip():
            return next((mark for mark in ";\t" if mark in line), ",")
    return ","


def _ragged(line: int, cells: int, width: int, separator: str, name: str) -> BadFile:
    hint = "Fill every cell, or leave it empty between its separators."
    if cells > width and separator == ",":
        hint = "Where decimals have a comma, put semicolons between the cells."
    return BadFile(f"row {line} has {cells} cells; the headings are {width}", where=name, try_=hint)
