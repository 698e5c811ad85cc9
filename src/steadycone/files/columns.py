"""What the headings of a chart's columns mean."""

import re
from dataclasses import dataclass

from steadycone.errors import BadFile, BadUnit, UnknownName, nearest
from steadycone.units import GasFlow, Length, Measure, Pressure, Speed

KINDS: dict[str, type[Measure] | None] = {
    "size": None, "thickness": Length, "oxygen pressure": Pressure, "preheat oxygen pressure": Pressure, "fuel pressure": Pressure,
    "cutting oxygen": GasFlow, "preheat oxygen": GasFlow, "fuel flow": GasFlow, "cutting bore": Length, "speed": Speed, "kerf": Length,
    "pierce limit": Length,
}  # fmt: skip
RANGED = frozenset(KINDS) - {"size", "cutting bore", "kerf", "pierce limit"}
FUEL_WORDS = {
    "acetylene": "acetylene", "propane": "propane", "lpg": "lpg", "lp gas": "lpg", "propylene": "propylene", "methane": "methane",
    "natural gas": "natural gas", "hydrogen": "hydrogen", "butane": "butane", "mps": "mps",
}  # fmt: skip
_SYNONYMS = {
    "tip": "size", "tip size": "size", "tip no": "size", "nozzle": "size", "nozzle size": "size", "nozzle no": "size", "no": "size",
    "plate thickness": "thickness", "material thickness": "thickness", "metal thickness": "thickness", "plate": "thickness",
    "cutting oxygen pressure": "oxygen pressure", "oxygen cutting pressure": "oxygen pressure",
    "heating oxygen pressure": "preheat oxygen pressure", "oxygen preheat pressure": "preheat oxygen pressure",
    "fuel gas pressure": "fuel pressure", "gas pressure": "fuel pressure",
    "cutting oxygen flow": "cutting oxygen", "oxygen cutting flow": "cutting oxygen",
    "preheat oxygen flow": "preheat oxygen", "heating oxygen": "preheat oxygen", "heating oxygen flow": "preheat oxygen",
    "fuel": "fuel flow", "fuel gas flow": "fuel flow", "fuel gas": "fuel flow", "gas flow": "fuel flow",
    "bore": "cutting bore", "orifice": "cutting bore", "cutting orifice": "cutting bore", "nozzle bore": "cutting bore", "tip bore": "cutting bore",
    "cutting speed": "speed", "travel speed": "speed", "kerf width": "kerf", "piercing limit": "pierce limit", "pierce to": "pierce limit",
}  # fmt: skip
_ENDS = {"from": "from", "min": "from", "minimum": "from", "low": "from", "to": "to", "max": "to", "maximum": "to", "high": "to"}
_HEADING = re.compile(r"\s*(.*?)\s*(?:[\[(]\s*([^\])]*?)\s*[\])])?\s*", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Column:
    """`end` is "from", "to", or empty for a column that holds the whole figure or range."""

    field: str
    end: str
    unit: str
    heading: str
    fuel: str = ""  # the fuel that the heading names

    @property
    def kind(self) -> type[Measure] | None:
        return KINDS[self.field]


def read_headings(cells: list[str], file: str) -> list[Column | None]:
    """One column for each heading; None for a column without one.

    Raises  UnknownName, BadUnit: a heading that means nothing here, or lacks its unit. BadFile: one thing in two columns.
    """
    columns: list[Column | None] = []
    for number, cell in enumerate(cells, 1):
        heading = " ".join(cell.split())
        columns.append(_read_heading(heading, f"{file}, column {number}") if heading else None)
    _refuse_twice([column for column in columns if column], file)
    return columns


def _read_heading(heading: str, where: str) -> Column:
    found = _HEADING.fullmatch(heading)
    name, unit = (found[1], found[2] or "") if found else (heading, "")
    field, end, fuel = _meaning(name)
    if field not in KINDS:
        if field == "oxygen flow":
            raise UnknownName(
                f'"{heading}" may be cutting or preheat oxygen', where=where, try_='Write "cutting oxygen" or "preheat oxygen".'
            )
        raise UnknownName(
            f'"{heading[:60]}" is not a column of a chart', where=where, try_=nearest(field, [*KINDS, "thickness from", "thickness to"])
        )
    if end and field not in RANGED:
        raise UnknownName(f'"{heading}": {field} has no {end}', where=where, try_=f'Write one column "{field}".')
    column = Column(field, end, unit, heading, fuel)
    _check_unit(column, where)
    return column


def _meaning(name: str) -> tuple[str, str, str]:
    """Field, end and named fuel of a heading without its unit."""
    words = re.sub(r"[_\-.]+", " ", name.lower()).replace("o2", "oxygen").replace("c2h2", "acetylene").split()
    end = ""
    for position in (-1, 0):
        if not end and len(words) > 1 and words[position] in _ENDS:
            end = _ENDS[words.pop(position)]
    plain = " ".join(words)
    fuel = next((word for word in sorted(FUEL_WORDS, key=len, reverse=True) if re.search(rf"\b{word}\b", plain)), "")
    if fuel:
        plain = re.sub(rf"\b{fuel}\b", "fuel", plain)
    return _SYNONYMS.get(plain, plain), end, FUEL_WORDS.get(fuel, "")


def _check_unit(column: Column, where: str) -> None:
    if column.kind is None:
        if column.unit:
            raise BadUnit(
                f'"{column.heading}": a size is a name and has no unit',
                where=where,
                try_='Write "size"; a bore has a column "cutting bore [mm]".',
            )
        return
    if not column.unit:
        example = column.kind.example.split()[-1]
        raise BadUnit(f'"{column.heading}" has no unit', where=where, try_=f'Write it in brackets, such as "{column.heading} [{example}]".')
    try:
        column.kind.parse(f"1 {column.unit}")
    except BadUnit as error:
        error.says = f'"{column.heading}": ' + error.says.removeprefix(f'"1 {column.unit}": ')
        error.where = where
        raise


def _refuse_twice(columns: list[Column], file: str) -> None:
    seen: dict[tuple[str, str], str] = {}
    for column in columns:
        for end in (column.end,) if column.end else ("", "from", "to"):
            other = seen.setdefault((column.field, end), column.heading)
            if other is not column.heading:
                raise BadFile(f'"{other}" and "{column.heading}" say the same', where=file, try_="Keep one of the two columns.")
