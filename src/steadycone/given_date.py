"""A date as stamped on gear, or as a person writes it."""

from datetime import date
from typing import Any, ClassVar, Self

from steadycone import stamps
from steadycone.errors import BadUnit
from steadycone.measure import Measure
from steadycone.numerals import LONGEST_TEXT


class GivenDate(Measure):
    """A date as stamped: "2023-02", "2006/04", "5-95", "Q1 24", "2024" or a full date; see stamps.py.

    The earliest day it can mean counts: the earlier end is the unsafe one. `last` is the latest; `readings` are all, in words.
    """

    kind, example = "date", "2023-02"
    units: ClassVar = {}
    __slots__ = ("last", "readings")

    def __init__(self, si: float, text: str = "", last: date | None = None, readings: tuple[str, ...] = ()) -> None:
        super().__init__(si, text)
        self.last = last if last is not None else self.day
        self.readings = readings

    @property
    def day(self) -> date:
        return date.fromordinal(int(self.si))

    @property
    def told(self) -> str:
        """As stamped; with the day it counts from where the text does not say it in full."""
        if len(self.text) in (7, 10) and self.text == self.day.isoformat()[: len(self.text)]:
            return self.text
        meant = f": {' or '.join(self.readings)}" if len(self.readings) > 1 else ""
        return f"{self.text} (counted from {self.day.isoformat()}{meant})"

    @classmethod
    def parse(cls, given: object, reference: Any = None) -> Self:
        text = given.isoformat() if isinstance(given, date) else str(given).strip()
        if len(text) > LONGEST_TEXT:
            raise BadUnit(f'"{text[:40]}" is not a date', try_='Write for example "2023-02" or "2023-02-17".')
        found = stamps.readings(text)
        return cls(float(found[0].first.toordinal()), text, max(each.last for each in found), tuple(each.words for each in found))
