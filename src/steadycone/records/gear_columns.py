"""What the headings of a gear list mean."""

import difflib
import re
from dataclasses import dataclass

from steadycone.errors import BadFile, BadUnit, UnknownName
from steadycone.records.events import Test
from steadycone.records.rules_gear import check_value

FIELDS = ("mark", "kind", "gas", "type", "made", "bought", "in service", "tested", "tested by", "passed", "fitted", "place", "note")
DATES = ("made", "bought", "in service", "tested")
# Numbers of a test, each with its unit: "creep [bar]" in the heading, or "0.1 bar" in the cell.
RESULTS: tuple[Test, ...] = ("creep", "flow", "reverse flow", "tightness", "proof", "lock-up", "gauge error", "cut-off")
_EXAMPLES = {"creep": "0.1 bar", "flow": "16 m3/h", "reverse flow": "20 cm3/h", "tightness": "0 L/h", "proof": "40 bar", "lock-up": "22 %", "gauge error": "1.6 %", "cut-off": "95 °C"}  # fmt: skip
_SYNONYMS = {
    "id": "mark", "no": "mark", "number": "mark", "serial": "mark", "serial no": "mark", "serial number": "mark", "asset": "mark",
    "asset id": "mark", "asset no": "mark", "asset number": "mark", "tag": "mark", "tag no": "mark", "unique mark": "mark", "unique id": "mark",
    "item": "kind", "item kind": "kind", "class": "kind", "what": "kind", "equipment": "kind",
    "service": "gas", "gas service": "gas", "model": "type", "maker": "type", "make": "type", "maker type": "type", "maker's type": "type",
    "manufactured": "made", "date made": "made", "date of make": "made", "made on": "made", "date of manufacture": "made",
    "purchased": "bought", "purchase date": "bought", "date bought": "bought", "bought on": "bought",
    "in use since": "in service", "put in service": "in service", "in service since": "in service", "entry into service": "in service",
    "last test": "tested", "last tested": "tested", "test date": "tested", "tested on": "tested", "date tested": "tested",
    "examined": "tested", "last examined": "tested", "examiner": "tested by", "examined by": "tested by", "technician": "tested by",
    "station": "fitted", "fitted at": "fitted", "fitted to": "fitted", "where": "fitted", "location": "fitted", "where fitted": "fitted",
    "notes": "note", "remark": "note", "remarks": "note", "comment": "note", "comments": "note",
    "flow test": "flow", "forward flow": "flow", "reverse": "reverse flow", "reverse leak": "reverse flow", "leak": "tightness",
    "leakage": "tightness", "leak rate": "tightness", "proof pressure": "proof", "result": "passed", "pass": "passed", "position": "place",
}  # fmt: skip
_HEADING = re.compile(r"(.*?)\s*(?:[\[(]\s*([^\])]*?)\s*[\])])?")


@dataclass(frozen=True, slots=True)
class Column:
    """`field` is one of FIELDS or RESULTS, or empty for a column that is not taken."""

    field: str
    heading: str
    unit: str = ""


def read_headings(headings: list[str], file: str) -> list[Column]:
    """One column for each heading. A heading that means nothing here is not taken; one that nearly does is refused.

    Raises  UnknownName: a slip of the pen. BadUnit: an unknown unit. BadFile: one thing twice, or no mark or kind.
    """
    columns = [_column(heading, f"{file}, column {number}") for number, heading in enumerate(headings, 1)]
    seen: dict[str, str] = {}
    for column in columns:
        if column.field and seen.setdefault(column.field, column.heading) is not column.heading:
            says = f'"{seen[column.field]}" and "{column.heading}" say the same'
            raise BadFile(says, where=file, try_="Keep one of the two columns.")
    for needed in ("mark", "kind"):
        if needed not in seen:
            raise BadFile(f'no column "{needed}"', where=file, try_="Head the columns: mark, kind, gas, type, made, tested, fitted.")
    return columns


def _column(heading: str, where: str) -> Column:
    found = _HEADING.fullmatch(heading)
    name, unit = (found[1], found[2] or "") if found else (heading, "")
    plain = " ".join(re.sub(r"[_.:]+", " ", name.lower()).split())
    field = _SYNONYMS.get(plain, plain)
    for test in RESULTS:
        if field == test:
            if unit:
                parse_result(test, f"1 {unit}", where)
            return Column(field, heading, unit)
    if field in FIELDS:
        return Column(field, heading)
    slip = difflib.get_close_matches(plain, [*FIELDS, *RESULTS], n=1, cutoff=0.75)  # tesstd is, price is not
    if slip:
        raise UnknownName(f'"{heading[:60]}" is not a column of a gear list', where=where, try_=f'Did you mean "{slip[0]}"?')
    return Column("", heading)


def parse_result(test: Test, text: str, where: str) -> str:
    """The number of a test with its unit, as written.

    Raises  BadUnit, OutOfRange.
    """
    if re.fullmatch(r"[+-]?[\d.,]+", text):
        raise BadUnit(f'test result "{text[:40]}" has no unit', where=where, try_=f'Write it with its unit, such as "{_EXAMPLES[test]}".')
    check_value(test, text, where)
    return text
