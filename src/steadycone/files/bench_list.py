"""A technician's list of readings, CSV, XLSX, ODS or TOML, to one table of texts a reading. What a reading means is judged elsewhere."""

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from steadycone.errors import BadFile, InputError, UnknownName
from steadycone.files.gear_sheet import gear_table
from steadycone.files.grid import Bounds
from steadycone.files.text import decode, refuse_size
from steadycone.files.toml import table_from

FORMAT = "steadycone-bench/1"
LIMIT = 2_000_000  # bytes; 5,000 readings are about 1 MB
BOUNDS = Bounds("bench list", rows=5_000, cell=500)
FIELDS = (
    "mark", "test", "on", "instrument", "test gas", "service gas", "bubbles", "minutes", "tube", "bubble volume", "rise", "volume", "start",
    "service volume", "readability", "flow", "meter error", "inlet", "drop", "flow points", "flowing", "static", "readings", "full scale",
    "gauge class", "shut at", "resets", "limit", "temperature", "note",
)  # fmt: skip
_WORDS = {
    "id": "mark", "tag": "mark", "serial": "mark", "item": "mark", "date": "on", "tested": "on", "day": "on", "gauge": "instrument",
    "meter": "instrument", "master": "instrument", "read with": "instrument", "gas": "test gas", "pressure rise": "rise", "creep": "rise",
    "start pressure": "start", "time": "minutes", "bubbles a minute": "bubbles", "class": "gauge class", "cut off at": "shut at",
    "maker's limit": "limit", "remark": "note", "remarks": "note",
}  # fmt: skip
_HEADING = re.compile(r"(.*?)\s*(?:[\[(]\s*([^\])]*?)\s*[\])])?")


@dataclass(frozen=True, slots=True)
class Reading:
    """One row as written. place : "row 4" or "reading 2". cells : field of FIELDS to text, empty ones left out"""

    place: str
    cells: Mapping[str, str]


@dataclass(slots=True)
class BenchFile:
    """`unread`: place and reason of rows that are none. `not_taken`: headings that mean nothing here."""

    readings: list[Reading] = field(default_factory=list)
    unread: list[tuple[str, str]] = field(default_factory=list)
    not_taken: list[str] = field(default_factory=list)


def bench_file(name: str, data: bytes) -> BenchFile:
    """The readings of a file; its name's ending says of what kind it is.

    Raises  BadFile: unreadable, empty, too long, no mark or test. UnknownName: a heading with a slip in it.
    """
    refuse_size(len(data), LIMIT, name, BOUNDS.what)
    return _toml(name, data) if name.lower().endswith(".toml") else _sheet(name, data)


def _sheet(name: str, data: bytes) -> BenchFile:
    table = gear_table(name, data, BOUNDS, "mark, test, instrument, rise, minutes, volume, start")
    found = BenchFile(unread=[(f"row {line}", why) for line, why in table.unread])
    columns = _columns(table.headings, name, found)
    for line, cells in table.rows:
        given = {}
        for (column, unit), cell in zip(columns, cells, strict=True):
            if column and cell:
                given[column] = f"{cell} {unit}" if unit and re.fullmatch(r"[+-]?[\d.]+", cell) else cell
        found.readings.append(Reading(f"row {line}", given))
    return found


def _columns(headings: Iterable[str], name: str, found: BenchFile) -> list[tuple[str, str]]:
    """Field and unit of each heading. Raises UnknownName, BadFile."""
    columns: list[tuple[str, str]] = []
    for number, heading in enumerate(headings, 1):
        match = _HEADING.fullmatch(heading)
        plain, unit = (match[1], match[2] or "") if match else (heading, "")
        column = _field(plain, f"{name}, column {number}")
        if not column and heading:
            found.not_taken.append(heading)
        if column and column in (each for each, _ in columns):
            raise BadFile(f'"{heading[:60]}" says again what another column says', where=name, try_="Keep one of the two columns.")
        columns.append((column, unit))
    for needed in ("mark", "test"):
        if needed not in (each for each, _ in columns):
            raise BadFile(f'no column "{needed}"', where=name, try_="Head the columns: mark, test, instrument, and what was read.")
    return columns


def _field(text: str, where: str) -> str:
    """Empty where it means nothing here. Raises UnknownName: a slip of the pen."""
    plain = " ".join(text.lower().replace("_", " ").split())
    plain = _WORDS.get(plain, plain)
    if plain in FIELDS:
        return plain
    slip = difflib.get_close_matches(plain, FIELDS, n=1, cutoff=0.8)
    if slip:
        raise UnknownName(f'"{text[:60]}" is not a column of a bench list', where=where, try_=f'Did you mean "{slip[0]}"?')
    return ""


def _toml(name: str, data: bytes) -> BenchFile:
    table = table_from(decode(data, name, BOUNDS.what), name, BOUNDS.what, FORMAT)
    readings = table.get("reading")
    if not isinstance(readings, list) or not readings or set(table) - {"format", "on", "instrument", "reading"}:
        raise BadFile(
            "no list of readings, or more than that", where=name, try_="Write [[reading]] before each; on and instrument may stand above."
        )
    if len(readings) > BOUNDS.rows:
        raise BadFile(f"more than {BOUNDS.rows} readings", where=name, try_="Split the list.")
    found = BenchFile()
    common = {key: str(table[key]) for key in ("on", "instrument") if key in table}
    for number, given in enumerate(readings, 1):
        place = f"reading {number}"
        try:
            found.readings.append(Reading(place, common | _cells(given, place)))
        except InputError as error:
            found.unread.append((place, f"{error.says}. {error.try_}"))
    return found


def _cells(given: object, place: str) -> dict[str, str]:
    if not isinstance(given, dict):
        raise BadFile("not a table", where=place, try_="Write [[reading]] and its lines below.")
    cells = {}
    for key, value in given.items():
        column = _field(str(key), place)
        if not column:
            raise UnknownName(f'"{str(key)[:60]}" is not a field of a reading', where=place, try_=f"It takes {', '.join(FIELDS)}.")
        text = "; ".join(str(each) for each in value) if isinstance(value, list) else _plain(value)
        if len(text) > BOUNDS.cell:
            raise BadFile(f"{column} has {len(text)} characters", where=place, try_=f"At most {BOUNDS.cell}.")
        if text:
            cells[column] = text
    return cells


def _plain(value: object) -> str:
    return ("yes" if value else "no") if isinstance(value, bool) else " ".join(str(value).split())
