"""A day on gear of the register, for its log and its lists alike. Cylinders are not in the register: theirs may be older."""

from datetime import date

from steadycone.errors import InputError, OutOfRange
from steadycone.units import GivenDate

EARLIEST = 1950  # judged by us: an older regulator, arrestor, hose or torch is a slip of the century


def gear_day(text: str, where: str, on: date) -> date:
    """The day a date stands for, as stamped.

    Raises  BadUnit: not a date. OutOfRange: in the future, or before EARLIEST.
    """
    try:
        day = GivenDate.parse(text).day
    except InputError as error:
        error.at(where)
        raise
    if day > on:
        raise OutOfRange(f"{text} is in the future (today is {on.isoformat()})", where=where, try_="Check the year.")
    if day.year < EARLIEST:
        raise OutOfRange(f"{text} is before {EARLIEST}", where=where, try_="Check the century.")
    return day
