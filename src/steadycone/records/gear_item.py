"""One item as a person writes it down, and what makes it impossible."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TypeVar

from steadycone.errors import BadUnit, InputError, OutOfRange
from steadycone.records.events import ItemClass, Test
from steadycone.records.gear_columns import DATES, RESULTS, parse_result
from steadycone.records.gear_day import gear_day
from steadycone.records.gear_names import NEEDS_GAS, read_gas, read_kind
from steadycone.units import GivenDate

T = TypeVar("T")
LONGEST_MARK = 40  # letters: what a label can carry
_MARK = re.compile(r"[\w#][\w #./+()-]*")
_YES, _NO = ("yes", "y", "passed", "pass", "ok", "true"), ("no", "n", "failed", "fail", "false")


@dataclass(frozen=True, slots=True)
class Listed:
    """One item as a list or the register has it. Dates as written; empty is not known.

    fitted, place : the station it is fitted at, and where there, as the card names it
    results : test to number and unit; `passed` says what they came to
    state : in service, quarantined or retired; a list does not say
    """

    mark: str
    kind: ItemClass
    gas: str = ""
    type: str = ""
    made: str = ""
    bought: str = ""
    in_service: str = ""
    tested: str = ""
    tested_by: str = ""
    fitted: str = ""
    place: str = ""
    note: str = ""
    results: Mapping[Test, str] = field(default_factory=dict)
    passed: bool | None = None
    state: str = "in service"


def read_item(given: Mapping[str, str], units: Mapping[str, str], on: date, known_gas: str = "") -> Listed:
    """One item from its texts, by the fields of gear_columns.

    Parameters
    ----------
    units : of test results, where a heading has them
    known_gas : what the register has; stands in for a gas that is not given

    Raises  InputError and its kin, `where` naming the field.
    """
    check_mark(given["mark"])
    kind, named = at("kind", read_kind, given["kind"])
    results = {test: _result(test, given[test], units.get(test, "")) for test in RESULTS if given.get(test)}
    item = Listed(
        mark=given["mark"],
        kind=kind,
        gas=_gas(kind, named, given.get("gas", "")) or known_gas,
        **{name.replace(" ", "_"): given.get(name, "") for name in (*DATES, "type", "tested by", "fitted", "note")},
        results=results,
        passed=_passed(given.get("passed", "")),
    )
    if not item.gas and kind in NEEDS_GAS:
        a = "an" if kind[0] in "aeiou" else "a"
        raise InputError(f"{a} {kind} without its gas", where="gas", try_="Write oxygen, acetylene, propane or what it is marked for.")
    _check_tests(item)
    check_dates(item, on)
    return _placed(item, given.get("place", ""))


def check_mark(mark: str) -> None:
    """Raises InputError: empty, too long, or with letters that a label or another program would trip over."""
    if not mark:
        raise InputError("no mark", try_="Mark the item, and write its mark here.")
    if len(mark) > LONGEST_MARK:
        raise InputError(f'the mark "{mark[:20]}…" has {len(mark)} characters', try_=f"At most {LONGEST_MARK}.")
    if not _MARK.fullmatch(mark):
        raise InputError(
            f'"{mark}" can\'t be a mark', try_="Begin with a letter or digit; then letters, digits, blanks and - . / + # ( ), nothing else."
        )


def check_dates(item: Listed, on: date) -> None:
    """Every date of an item can be true together.

    Raises  BadUnit: no date. OutOfRange: in the future, before 1950, or before the item was made.
    """
    days = {name: gear_day(text, name, on) for name in DATES if (text := getattr(item, name.replace(" ", "_")))}
    made = days.get("made")
    for name, day in days.items():
        if made and GivenDate.parse(getattr(item, name.replace(" ", "_"))).last < made:
            raise OutOfRange(f"{name} {day.isoformat()}, but made {item.made}", where=name, try_="Look at the item's own plate.")


def usual_place(kind: str, gas: str) -> str:
    """Where an item of a kind sits on a station that has one of it, as the card names it: "oxygen regulator", "fuel hose", "torch"."""
    if kind in ("torch", "tip", "trolley") or not gas:
        return kind
    return f"{'oxygen' if gas == 'oxygen' else 'fuel'} {kind}"


def at(where: str, read: Callable[[str], T], text: str) -> T:
    """`read(text)`, its errors told as this field's."""
    try:
        return read(text)
    except InputError as error:
        error.where = where
        raise


def _gas(kind: str, named: str, cell: str) -> str:
    gas = at("gas", read_gas, cell) if cell else named
    if named and gas != named:
        raise InputError(f"the kind says {named}, the gas {gas}", try_="Look at the item, and keep the right one.")
    return gas


def _placed(item: Listed, place: str) -> Listed:
    from dataclasses import replace

    if place and not item.fitted:
        raise InputError(f'a place, "{place}", without its station', where="fitted", try_="Name the station it is fitted at.")
    return replace(item, place=place or usual_place(item.kind, item.gas)) if item.fitted else item


def _passed(cell: str) -> bool | None:
    word = cell.lower()
    if word not in ("", *_YES, *_NO):
        raise BadUnit(f'"{cell[:40]}" is neither yes nor no', where="passed", try_="Write yes where it passed its test, else no.")
    return None if not word else word in _YES


def _result(test: Test, text: str, unit: str) -> str:
    if unit and not re.fullmatch(r"[+-]?[\d.]+", text):
        raise BadUnit(f'"{text[:40]}" beside a heading in {unit}', where=test, try_="Write the number alone, with a decimal point.")
    return parse_result(test, f"{text} {unit}".strip(), test)


def _check_tests(item: Listed) -> None:
    """Raises InputError: a number that nobody could use later."""
    if item.results and not item.tested:
        raise InputError(f"{next(iter(item.results))} without the day of the test", where="tested", try_="Write the day: 2026-11-25.")
    if item.results and item.passed is None:
        says = f"{next(iter(item.results))} without what it came to"
        raise InputError(says, where="passed", try_="Add a column passed, with yes or no.")
    if item.passed is False and not item.results:
        raise InputError("failed, without the number", where="passed", try_="Give what was measured, or quarantine it with the reason.")
