"""Dates as gear is stamped with them, and every day that a stamp can mean.

A cylinder says 2006/04 (United Nations) or 5-95 (United States), a hose the year alone, a regulator a quarter or a month. A stamp that can
mean two things is read as both, and the earlier rules. A code of the maker's own (A24, a clock dial) is never guessed.

Source      stamped-dates
"""

import re
from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import NoReturn

from steadycone.errors import BadUnit, InputError, OutOfRange

EARLIEST, LATEST = 1900, 2100  # years outside are a slip of the pen
_TWO_DIGITS_FROM = 70  # 70 is 1970, 69 is 2069: no torch gear in use is older
_MONTHS = ("January", "February", "March", "April", "May", "June",
           "July", "August", "September", "October", "November", "December")  # fmt: skip
_FAR = timedelta(days=366)  # readings further apart are not a choice that a program may make
_QUARTERS = ("first", "second", "third", "fourth")
_HOW = 'Write the date as stamped: "2023-02", "2006/04", "5-95", "Q1 24", "2024", or the full date, "2023-02-17".'

_ISO = r"(\d{4})-(\d{2})(?:-(\d{2}))?"
_YEAR_FIRST = r"(\d{4})[/.-](\d{1,2})(?:[/.-](\d{1,2}))?"
_WEEK = r"(?i:(\d{4})-?W(\d{1,2}))"
_YEAR = r"\d{4}|\d{2}"
_MONTH_YEAR = r"(\d{1,2}) ?([/.-]) ?(\d{4}|\d{2})"
_YEAR_PART = r"(\d{2}) ?[/.-] ?(\d)"
_NAMED = r"(?i:([a-z]{3,9})\.?[ /.-]*(\d{4}|\d{2}))"
_QUARTER = r"(?i:(?:Q ?([1-4])|([1-4]) ?Q)[ /.-]*(\d{4}|\d{2}))"
_QUARTER_LAST = r"(?i:(\d{4})[ /.-]*(?:Q ?([1-4])|([1-4]) ?Q))"
_RETEST = r"(\d{1,2}) +[A-Z]\d ?/? ?\d{2} +(\d{2})"  # month, the tester's four signs, year
_RUN_TOGETHER = r"\d{4}"


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing that a stamp can mean: its first and last day, and the same in words."""

    first: date
    last: date
    words: str


@lru_cache(maxsize=1024)  # a yard's gear carries the same few dates
def readings(text: str) -> tuple[Reading, ...]:
    """What a stamp can mean, the earliest first.

    Raises  BadUnit: no date, or a code. OutOfRange: a day, month or year that no calendar has.
    """
    tidy = " ".join(text.replace("\u2013", "-").replace("\u2212", "-").split())
    if not tidy.isascii():
        _refuse(tidy)
    found = {reading.words: reading for reading in _read(tidy) if EARLIEST <= reading.first.year < LATEST}
    if not found:
        raise OutOfRange(f'"{tidy[:40]}" is not in the calendar', try_='Write for example "2023-02" or "2023-02-17".')
    first, *others = sorted(found.values(), key=lambda reading: reading.first)
    if others and others[-1].first - first.first > _FAR:
        meant = ", ".join(f"{reading.words}" for reading in (first, *others))
        raise InputError(
            f'"{tidy}" can mean dates years apart: {meant}', try_='Write the one that is meant, such as "2024-12" or "2024-W12".'
        )
    return first, *others


def _read(text: str) -> Iterator[Reading]:
    if match := re.fullmatch(_ISO, text) or re.fullmatch(_YEAR_FIRST, text):
        return _year_first(text, *match.groups())
    if match := re.fullmatch(_WEEK, text):
        return _week(int(match[1]), int(match[2]))
    if re.fullmatch(_YEAR, text) and (len(text) == 2 or EARLIEST <= int(text) < LATEST):
        return iter((_year(_full(text)),))
    if match := re.fullmatch(_QUARTER, text):
        return iter((_quarter(_full(match[3]), int(match[1] or match[2])),))
    if match := re.fullmatch(_QUARTER_LAST, text):
        return iter((_quarter(int(match[1]), int(match[2] or match[3])),))
    if match := re.fullmatch(_RETEST, text):
        return _month(_full(match[2]), int(match[1]))
    if match := re.fullmatch(_MONTH_YEAR, text):
        return _month_or_week(match[1], match[2], match[3])
    if match := re.fullmatch(_YEAR_PART, text):
        return _part_of(_full(match[1]), int(match[2]))
    if (match := re.fullmatch(_NAMED, text)) and (number := _named(match[1])):
        return _month(_full(match[2]), number)
    _refuse(text)


def _refuse(text: str) -> NoReturn:
    if re.fullmatch(r"(1[89]|2[01])\d\d", text):
        raise OutOfRange(f'"{text}" is no year that gear in use was made in', try_=_HOW)
    if text.isascii() and re.fullmatch(_RUN_TOGETHER, text):
        raise InputError(f'"{text}" can mean too many days: a month and a year, or a week and a year', try_=_meant(text))
    if re.fullmatch(r"[A-Za-z]{1,2}[ -]?\d{1,4}|\d{1,2}[A-Za-z]", text):
        said = f'"{text}" is not a date: it looks like a code of its maker'
        raise BadUnit(said, try_="Ask its maker or look at the invoice, and write the date; never guess it.")
    raise BadUnit(f'"{text[:40]}" is not a date', try_=_HOW)


def _meant(text: str) -> str:
    """The readings of four digits run together, each as one may write it."""
    ahead, behind = int(text[:2]), int(text[2:])
    found = []
    for number, year in ((ahead, text[2:]), (behind, text[:2])):
        if 1 <= number <= 12:
            found.append(f'"{_full(year)}-{number:02d}"')
        if 1 <= number <= 53:
            found.append(f'"{_full(year)}-W{number:02d}"')
    return f"Write the one that is meant: {', '.join(dict.fromkeys(found))}." if found else _HOW


def _year_first(text: str, year: str, month: str, day: str | None) -> Iterator[Reading]:
    if day is None:
        yield from _month(int(year), int(month))
        return
    try:
        on = date(int(year), int(month), int(day))
    except ValueError as error:
        raise OutOfRange(f'"{text}" is not in the calendar', try_='Write for example "2023-02" or "2023-02-17".') from error
    yield Reading(on, on, on.isoformat())


def _month_or_week(first: str, mark: str, second: str) -> Iterator[Reading]:
    """ "5-95" and "02/2023" are a month and its year. "03/24" may be week 3 as well; "24/3" is the year first."""
    number = int(first)
    if len(second) == 4:
        yield from _month(int(second), number)
    elif number <= 12:
        yield from _month(_full(second), number)
        if mark == "/":
            yield from _week(_full(second), number)
    else:
        yield from _month(_full(first), int(second))
        if mark == "/":
            yield from _week(_full(first), int(second))
            yield from _week(_full(second), number)


def _part_of(year: int, number: int) -> Iterator[Reading]:
    """ "24/3": March, the third quarter or week 3."""
    yield from _month(year, number)
    yield from _week(year, number)
    if 1 <= number <= 4:
        yield _quarter(year, number)


def _full(year: str) -> int:
    """A year of four digits, or the one that two of them mean."""
    return int(year) if len(year) == 4 else int(year) + (1900 if int(year) >= _TWO_DIGITS_FROM else 2000)


def _named(word: str) -> int:
    """The number of a month by its name or its first three letters, else 0."""
    lower = word.lower()
    return next(
        (
            n
            for n, name in enumerate(_MONTHS, 1)
            if name.lower() == lower or name[:3].lower() == lower or lower == "sept" == name[:4].lower()
        ),
        0,
    )


def _year(year: int) -> Reading:
    return Reading(date(year, 1, 1), date(year, 12, 31), str(year))


def _month(year: int, month: int) -> Iterator[Reading]:
    if 1 <= month <= 12 and 1 <= year <= 9998:
        yield Reading(date(year, month, 1), date(year, month, monthrange(year, month)[1]), f"{_MONTHS[month - 1]} {year}")


def _quarter(year: int, number: int) -> Reading:
    month = 3 * number
    return Reading(
        date(year, month - 2, 1), date(year, month, monthrange(year, month)[1]), f"the {_QUARTERS[number - 1]} quarter of {year}"
    )


def _week(year: int, number: int) -> Iterator[Reading]:
    if not 1 <= year <= 9998:
        return
    try:
        monday = date.fromisocalendar(year, number, 1)
    except ValueError:
        return
    yield Reading(monday, monday + timedelta(days=6), f"week {number} of {year}")
