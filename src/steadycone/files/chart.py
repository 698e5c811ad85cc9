"""A tip chart's bytes to a Chart: every figure read with its unit, nothing believed yet (see practice/chart.py)."""

import hashlib
import re
from dataclasses import replace
from functools import lru_cache
from typing import Any

from steadycone.errors import BadFile, BadUnit, InputError, UnknownName, nearest
from steadycone.files.cells import Cell, Marks, find_marks, read_cell
from steadycone.files.columns import FUEL_WORDS, Column, read_headings
from steadycone.files.grid import Grid, csv_grid
from steadycone.files.tables import clean_text
from steadycone.files.text import CHART_LIMIT, refuse_size
from steadycone.station.chart import Chart, Row
from steadycone.station.marks import gas_called
from steadycone.units import Length, Measure, ReferenceState

ABOUT_KEYS = ("title", "fuel", "attachment", "basis", "basis hose", "reference state", "source", "note")
ATTACHMENTS = {"cutting": "cutting", "heating": "heating", "welding": "welding", "cut": "cutting", "heat": "heating", "weld": "welding"}
BASES = {
    "torch inlet": "torch inlet", "torch": "torch inlet", "at the torch inlet": "torch inlet", "at torch inlet": "torch inlet",
    "blowpipe inlet": "torch inlet", "torch inlets": "torch inlet", "regulator": "regulator", "at the regulator": "regulator",
    "at regulator": "regulator", "regulator outlet": "regulator",
}  # fmt: skip
_KEPT_BYTES = 65_536  # a chart of hundreds of rows; a larger one is read anew each time, so that what is kept stays small
_LENGTHS = frozenset({"thickness", "cutting bore", "kerf", "pierce limit"})


def chart_from_bytes(name: str, data: bytes) -> Chart:
    """One chart from the bytes of a CSV, XLSX or ODS file; the name's ending says which.

    Raises  InputError: with the file, the row and the column.
    """
    refuse_size(len(data), CHART_LIMIT, name, "chart")
    if len(data) > _KEPT_BYTES:
        return _read_chart(name, data)
    kept = _kept_chart(name, data)
    return replace(kept, written=dict(kept.written))  # all else in a chart cannot be changed


@lru_cache(maxsize=64)  # a yard has a few charts and many stations; the name is in the key, since messages and the chart carry it
def _kept_chart(name: str, data: bytes) -> Chart:
    return _read_chart(name, data)


def _read_chart(name: str, data: bytes) -> Chart:
    grid = _grid(name, data)
    if not grid.rows:
        raise BadFile(
            "this chart is empty",
            where=name,
            try_='Start it with a row of headings, such as "size, thickness from [mm], thickness to [mm]".',
        )
    about = _about(grid, name)
    columns = read_headings([_heading_text(cell) for cell in grid.rows[0][1]], name)
    rows = _rows(grid, columns, about.pop("reference"), name)
    _check_fuel_words(columns, about["fuel"], name)
    return Chart(name=name, rows=rows, text_hash=hashlib.sha256(data).hexdigest(), written=grid.about, **about)


def _grid(name: str, data: bytes) -> Grid:
    ending = name.rpartition(".")[2].lower() if "." in name else ""
    if ending in ("xlsx", "ods"):
        from steadycone.files.sheet import sheet_grid

        return sheet_grid(name, data)
    if ending in ("csv", "txt", "tsv"):
        return csv_grid(name, data)
    raise BadFile(f'a chart file ends in .csv, .xlsx or .ods, not ".{ending[:20]}"', where=name, try_="Save the chart as one of the three.")


def _heading_text(cell: Cell) -> str:
    return cell if isinstance(cell, str) else f"{cell:g}"


def _about(grid: Grid, name: str) -> dict[str, Any]:
    """The about-lines' meaning, by the fields of Chart; `reference` is a ReferenceState or None."""
    for key in grid.about:
        if key not in ABOUT_KEYS and nearest(key, ABOUT_KEYS).startswith("Did"):
            raise UnknownName(f'"{key}" is not an about-line', where=name, try_=nearest(key, ABOUT_KEYS))
    given = {key: clean_text(value, f"{name}, {key}", "Fill it, or take the line out.") for key, value in grid.about.items() if value}
    state = given.get("reference state")
    try:
        reference = ReferenceState.parse(state) if state else None
    except InputError as error:
        error.at(f"{name}, reference state")
        raise
    return {
        "title": given.get("title", ""),
        "fuel": _fuel(given["fuel"]) if "fuel" in given else None,
        "attachment": _word(given.get("attachment"), ATTACHMENTS, f"{name}, attachment"),
        "basis": _word(given.get("basis"), BASES, f"{name}, basis"),
        "basis_hose": _basis_hose(given.get("basis hose"), f"{name}, basis hose"),
        "source": given.get("source", ""),
        "reference_state": state,
        "reference": reference,
    }


def _fuel(text: str) -> str:
    """Lower case, several fuels with ", " between, letters such as A and P read; a fuel nobody knows is kept as written there."""
    words = [" ".join(word.split()) for word in re.split(r",|/|;|\bor\b|\band\b", text.lower())]
    return ", ".join(FUEL_WORDS.get(word) or gas_called(word) or word for word in words if word)


def _word(text: str | None, known: dict[str, str], where: str) -> str | None:
    if text is None:
        return None
    word = " ".join(text.lower().split())
    if word not in known:
        raise UnknownName(
            f'"{text[:60]}" is not allowed; one of: {", ".join(sorted(set(known.values())))}', where=where, try_=nearest(word, known)
        )
    return known[word]


def _basis_hose(text: str | None, where: str) -> tuple[Length, Length] | None:
    if text is None:
        return None
    parts = re.split(r"\s*[x×X]\s*|\s+of\s+", text)
    if len(parts) != 2:
        raise InputError(f'"{text[:60]}" is not a hose', where=where, try_='Write length and bore: "5 m x 6.3 mm".')
    try:
        length, bore = Length.parse(parts[0]), Length.parse(parts[1])
    except InputError as error:
        error.at(where)
        raise
    if bore.si >= length.si:
        raise InputError(f'"{text[:60]}": the length comes first', where=where, try_='Write length and bore: "5 m x 6.3 mm".')
    return length, bore


def _check_fuel_words(columns: list[Column | None], fuel: str | None, name: str) -> None:
    same = {"lpg": "propane"}
    for column in columns:
        if (
            column
            and column.fuel
            and fuel
            and same.get(column.fuel, column.fuel) not in [same.get(word, word) for word in fuel.split(", ")]
        ):
            says = f'the column "{column.heading}" is for {column.fuel}, but the about-line says fuel: {fuel}'
            raise BadFile(says, where=name, try_="Keep one chart for each fuel.")


def _rows(grid: Grid, columns: list[Column | None], reference: ReferenceState | None, name: str) -> tuple[Row, ...]:
    if not any(column and column.field == "size" for column in columns):
        raise BadFile('no column "size"', where=name, try_="Name each row's tip in a column headed size.")
    body = grid.rows[1:]
    if not body:
        raise BadFile("headings and no row below them", where=name, try_="Add a row for each size.")
    marks = find_marks(_number_cells(body, columns, name))
    rows = tuple(_row(line, cells, columns, marks, reference, name) for line, cells in body)
    _refuse_twice(rows, name)
    return rows


def _number_cells(body: list[tuple[int, list[Cell]]], columns: list[Column | None], name: str) -> list[tuple[str, Cell]]:
    return [
        (f"{name}, row {line}", cell)
        for line, cells in body
        for cell, column in zip(cells, columns, strict=False)
        if column and column.kind is not None
    ]


def _row(line: int, cells: list[Cell], columns: list[Column | None], marks: Marks, reference: ReferenceState | None, name: str) -> Row:
    found: dict[str, dict[str, Measure]] = {}
    size = ""
    for cell, column in zip(cells, columns, strict=False):
        where = f'{name}, row {line}, column "{column.heading}"' if column else f"{name}, row {line}"
        if column is None:
            if not isinstance(cell, str) or cell.strip():
                raise BadFile("a figure below no heading", where=where, try_="Give the column a heading, or empty it.")
        elif column.kind is None:
            size = clean_text(f"{cell:.12g}" if isinstance(cell, float) else cell, where, "Give each row the size of its tip.")
        else:
            ends = found.setdefault(column.field, {})
            try:
                _read(cell, column, marks, reference, ends)
            except InputError as error:
                error.at(where)
                raise
    return _made_row(size, line, found, name)


def _read(cell: Cell, column: Column, marks: Marks, reference: ReferenceState | None, ends: dict[str, Measure]) -> None:
    """Put a cell's figures into `ends` under from and to."""
    kind = column.kind
    if kind is None:
        raise AssertionError(column.field)
    low, high = read_cell(cell, column.unit, marks, thousands=column.field not in _LENGTHS)
    if column.field == "thickness" and column.end != "to" and low and float(low.split()[0].partition("/")[0]) == 0:
        low = ""  # a band from nothing
    texts = {column.end: low} if column.end else {"from": low, "to": high}
    if column.end and low != high and low:
        raise InputError("a range in a column for one end", try_="Put the two ends into their columns.")
    for end, text in texts.items():
        if text:
            ends[end] = kind.parse(text, reference)


def _made_row(size: str, line: int, found: dict[str, dict[str, Measure]], name: str) -> Row:
    values: dict[str, Any] = {}
    for field, ends in found.items():
        where = f"{name}, row {line}, {field}"
        low, high = ends.get("from"), ends.get("to")
        if low and high and low.si > high.si:
            raise InputError(f'"{low.text}" to "{high.text}" runs backwards', where=where, try_="Check which end is which.")
        if field == "thickness":
            if low and not high:
                raise InputError(
                    f'"{low.text}" has no upper end',
                    where=where,
                    try_='Fill "thickness to"; for a single thickness use one column "thickness".',
                )
            values["thickness_from"], values["thickness_to"] = low, high
        elif field in ("cutting bore", "kerf", "pierce limit"):
            if low and high and low.si != high.si:
                raise InputError("a range where one figure is expected", where=where, try_="Write one figure.")
            values[field.replace(" ", "_")] = low
        elif low or high:
            values[field.replace(" ", "_")] = (low or high, high or low)
    return Row(size=size, line=line, **values)


def _refuse_twice(rows: tuple[Row, ...], name: str) -> None:
    """Two rows that say the same tip at the same thickness leave nothing to choose by."""
    seen: dict[tuple[str, float, float], Row] = {}
    for row in rows:
        band = (row.thickness_from.si if row.thickness_from else 0.0, row.thickness_to.si if row.thickness_to else 0.0)
        other = seen.setdefault((row.size.lower(), *band), row)
        if other is not row:
            says = f'size "{row.size}" stands in rows {other.line} and {row.line} with the same thickness'
            raise BadFile(says, where=name, try_="Keep one of the two rows, or give each its thickness.")


__all__ = ["ABOUT_KEYS", "BadUnit", "chart_from_bytes"]
