"""Numbers as charts have them: decimal point or comma, thousands marks, fractions and ranges, one convention a file."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from steadycone.errors import BadFile, BadUnit, InputError

Cell = str | float  # a number cell of a sheet is a float; everything in a CSV is text
BLANKS = {"", "-", "–", "—", "n/a", "na", "..."}
_SPACES = " \u00a0\u202f'’"
_NUMBER = rf"\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d{{1,3}}(?:[{_SPACES}]\d{{3}})+(?:[.,]\d+)?(?![\d/])|\d+(?:[.,]\d+)*|[.,]\d+"
_CELL = re.compile(rf"\s*({_NUMBER})\s*(?:(?:-|–|—|−|…|\.\.\.?|\bto\b)\s*({_NUMBER})\s*)?((?!\d).*?)\s*", re.DOTALL)
_MARKED = re.compile(r"\d+(?:[.,]\d+)+|(?<!\d)[.,]\d+")


@dataclass(frozen=True, slots=True)
class Marks:
    """The decimal mark of a file; `proven` where some number can be read in no other way."""

    decimal: str = "."
    proven: bool = False


def find_marks(cells: Iterable[tuple[str, Cell]]) -> Marks:
    """The convention all number cells agree on; each cell comes with its place.

    Raises  BadFile: two cells that disagree, naming the later.
    """
    first, mark = "", ""
    for where, cell in cells:
        if not isinstance(cell, str):
            continue
        for token in _MARKED.findall(cell):
            decimal = _decimal_of(token)
            if decimal and mark and decimal != mark:
                says = f'"{cell[:40]}" has a decimal {_WORD[decimal]}, but {first} a decimal {_WORD[mark]}'
                raise BadFile(says, where=where, try_="Use one decimal mark in the whole file.")
            if decimal and not mark:
                first, mark = f'"{cell[:40]}" ({where.rpartition(", row ")[2].join(("row ", ""))})', decimal
    return Marks(mark or ".", bool(mark))


_WORD = {".": "point", ",": "comma"}


def _decimal_of(token: str) -> str:
    """The decimal mark this token proves, or nothing where it could be a thousands mark."""
    marks = [letter for letter in token if letter in ".,"]
    if len(set(marks)) == 2:
        return marks[-1]
    if len(marks) > 1:
        return "," if marks[0] == "." else "."
    whole, _, rest = token.partition(marks[0])
    grouped = len(rest) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0")
    return "" if grouped else marks[0]


def read_cell(cell: Cell, unit: str, marks: Marks, thousands: bool) -> tuple[str, str]:
    """Both ends of a cell as texts with unit, equal for a single figure; both empty for a blank cell.

    `thousands` False: nobody writes this kind of figure in thousands (a thickness), so "1,125" is never 1125.

    Raises  BadUnit, InputError: no number, a convention that can't be told, two units, a range that runs backwards.
    """
    if isinstance(cell, float):
        text = f"{cell:.12g}"
        return (f"{text} {unit}".strip(),) * 2
    if cell.strip().lower() in BLANKS:
        return "", ""
    found = _CELL.fullmatch(cell)
    if not found:
        raise BadUnit(f'"{cell[:40]}" is not a number', try_='Write a figure such as 2.5, 3/16 or 1 1/4, or a range such as "2.5-3.0".')
    low, high, own = found[1], found[2], found[3]
    if own and unit and own != unit:
        raise BadUnit(f'"{cell[:40]}" has a unit beside the heading\'s, {unit}', try_="Write the unit in the heading alone.")
    if high and "/" in high and "/" not in low and low.isdigit() and int(low) > 0 and _is_proper(high):
        low, high = f"{low} {high}", None  # "1-1/4" is one and a quarter
    ends = [_plain(end, marks, thousands) for end in (low, high or low)]
    return f"{ends[0]} {unit or own}".strip(), f"{ends[1]} {unit or own}".strip()


def _is_proper(fraction: str) -> bool:
    over, _, under = fraction.partition("/")
    return over.strip().isdigit() and under.strip().isdigit() and int(over) < int(under)


def _plain(number: str, marks: Marks, thousands: bool) -> str:
    """With a decimal point and without thousands marks."""
    if "/" in number:
        return number
    joined = re.sub(f"[{_SPACES}]", "", number)
    other = "," if marks.decimal == "." else "."
    if other not in joined:
        return ("0" if joined[0] in ".," else "") + joined.replace(",", ".")
    groups = joined.partition(marks.decimal)[0].split(other)
    proper = len(groups) > 1 and 1 <= len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:])
    if not proper or other in joined.partition(marks.decimal)[2]:
        raise InputError(f'"{number}" is no number in any convention', try_="Write figures with one decimal mark.")
    if not marks.proven or not thousands:
        says = f'"{number}" may be {"".join(groups)} or {joined.replace(",", ".")}'
        raise InputError(says, try_=f"Write {''.join(groups)}, or {joined.replace(',', '.')}0, and use a decimal point.")
    return joined.replace(other, "").replace(",", ".")
