"""XLSX and ODS files to rows of cells: looked over before the sheet library may open them."""

import io
import re
import zipfile
import zlib
from datetime import date, datetime, time, timedelta
from typing import Any
from xml.parsers.expat import ExpatError, ParserCreate

from steadycone.errors import BadFile
from steadycone.files.cells import Cell
from steadycone.files.grid import CHART, Bounds, Grid, add_about

_MOST_MEMBERS = 200


def sheet_grid(name: str, data: bytes) -> Grid:
    """The rows of the first sheet, and of a sheet called "about" the about-lines.

    Raises  BadFile: damaged, unpacking without end, or larger than any chart.
    """
    rows, lines = sheet_rows(name, data, CHART)
    grid = Grid()
    for line, cells in enumerate(rows, 1):
        first_cell = str(cells[0]).strip() if cells else ""
        if first_cell.startswith("# ") and ":" in first_cell:  # about-lines kept from a CSV
            key, _, value = first_cell[1:].partition(":")
            add_about(grid.about, key, value, f"{name}, row {line}")
            continue
        grid.add(line, [_cell(cell, line, name) for cell in cells], name)
    for line, cells in enumerate(lines, 1):
        if len(cells) >= 2 and str(cells[0]).strip():
            add_about(grid.about, str(cells[0]).strip().lstrip("# ").rstrip(":"), str(cells[1]), f"{name}, about sheet, row {line}")
    return grid


def sheet_rows(name: str, data: bytes, bounds: Bounds) -> tuple[list[list[Any]], list[list[Any]]]:
    """The cells of the first sheet, and of a sheet called "about", as the sheet has them: texts, numbers, dates.

    Raises  BadFile: damaged, unpacking without end, or larger than `bounds`.
    """
    _look_over(name, data, bounds)
    import python_calamine

    try:
        book = python_calamine.load_workbook(io.BytesIO(data))
        about = next((sheet for sheet in book.sheet_names if sheet.strip().lower() == "about"), None)
        first = next((sheet for sheet in book.sheet_names if sheet != about), None)
        return (
            book.get_sheet_by_name(first).to_python(skip_empty_area=False) if first else [],
            book.get_sheet_by_name(about).to_python(skip_empty_area=False) if about else [],
        )
    except (python_calamine.CalamineError, OSError, ValueError) as error:
        raise BadFile(
            f"this sheet is damaged or of another kind: {str(error)[:80]}", where=name, try_="Save it again as XLSX, ODS or CSV."
        ) from error


def _cell(cell: Any, line: int, name: str) -> Cell:
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, date | datetime | time | timedelta):
        says = f"row {line} holds a date or time where a figure is expected"
        raise BadFile(says, where=name, try_='Sheet programs turn "1/4" into a date: format the column as text and type the figures again.')
    if isinstance(cell, int | float):
        return float(cell)
    return str(cell)


def _look_over(name: str, data: bytes, bounds: Bounds) -> None:
    """What a sheet may not be: no archive, one that unpacks without end, broken inside, or with a cell far beyond its kind."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
            if len(members) > _MOST_MEMBERS or sum(member.file_size for member in members) > bounds.unpacked:
                raise _endless(name, bounds)
            for member in members:
                content = _unpacked(archive, member, name, bounds)
                if member.filename.endswith((".xml", ".rels")):
                    _Look(name, bounds).over(content)
    except (zipfile.BadZipFile, zlib.error, ExpatError, EOFError, NotImplementedError, RuntimeError, OSError, ValueError) as error:
        if isinstance(error, BadFile):
            raise
        raise BadFile("this sheet is damaged or no sheet at all", where=name, try_="Save it again as XLSX, ODS or CSV.") from error


def _unpacked(archive: zipfile.ZipFile, member: zipfile.ZipInfo, name: str, bounds: Bounds) -> bytes:
    with archive.open(member) as file:
        content = file.read(bounds.unpacked + 1)
    if len(content) > bounds.unpacked:
        raise _endless(name, bounds)
    return content


def _endless(name: str, bounds: Bounds) -> BadFile:
    return BadFile(f"this sheet unpacks to more than any {bounds.what} has", where=name, try_="Copy the table alone into a new sheet.")


class _Look:
    """One XML member read through. The sheet library turns forever on XML cut short, and lays sheets out as full rectangles: one
    stray cell in the last corner would need the whole memory."""

    def __init__(self, name: str, bounds: Bounds) -> None:
        self.name, self.bounds = name, bounds
        self.parser = ParserCreate("utf-8")
        self.parser.StartElementHandler = self._start
        self.parser.StartDoctypeDeclHandler = self._doctype
        self.row_repeat = self.cell_repeat = 1

    def over(self, content: bytes) -> None:
        """Raises BadFile, ExpatError."""
        self.parser.Parse(content, True)

    def _doctype(self, *_: object) -> None:
        raise BadFile("this sheet declares types of its own", where=self.name, try_="Save it again as XLSX, ODS or CSV.")

    def _start(self, element: str, attributes: dict[str, str]) -> None:
        tag = element.rpartition(":")[2]
        if tag == "c" and "r" in attributes:
            self._cell(attributes["r"])
        elif tag == "table-row":
            self.row_repeat, self.cell_repeat = _repeat(attributes, "table:number-rows-repeated"), 1
        elif tag in ("table-cell", "covered-table-cell"):
            self.cell_repeat = _repeat(attributes, "table:number-columns-repeated")
            if "office:value-type" in attributes or "office:value" in attributes:
                self._filled()
        elif element == "text:p":
            self._filled()

    def _cell(self, reference: str) -> None:
        found = re.fullmatch(r"([A-Za-z]{1,4})(\d{1,8})", reference)
        if not found or int(found[2]) > 2 * self.bounds.rows or _column_number(found[1].upper().encode()) > 2 * self.bounds.columns:
            raise _far_cell(f"cell {reference[:20]}", self.name, self.bounds)

    def _filled(self) -> None:
        # Empty cells to the sheet's edge are written as one cell repeated: only filled ones count.
        if self.row_repeat > 2 * self.bounds.rows or self.cell_repeat > 2 * self.bounds.columns:
            raise _far_cell(f"a cell repeated {max(self.row_repeat, self.cell_repeat)} times", self.name, self.bounds)


def _repeat(attributes: dict[str, str], name: str) -> int:
    given = attributes.get(name, "1")
    return int(given) if given.isascii() and given.isdigit() and len(given) < 10 else 10**9 if name in attributes else 1


def _column_number(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number


def _far_cell(what: str, name: str, bounds: Bounds) -> BadFile:
    says = f"{what} lies far outside any {bounds.what} (at most {bounds.rows} rows and {bounds.columns} columns)"
    return BadFile(says, where=name, try_="Copy the table alone into a new sheet.")
