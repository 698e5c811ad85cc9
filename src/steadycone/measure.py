"""One value as written: what every kind of units.py is made from. The reference state of gas volumes is a matter of those kinds."""

from functools import lru_cache
from typing import Any, ClassVar, Self, TypeVar

from steadycone.errors import BadUnit, OutOfRange
from steadycone.numerals import split, tidy


class Measure:
    """One value as written: `si` (SI), `text` (untouched), `half_digit` (half the last digit written, SI).

    Not to be changed once made: values read from the same text are the same object.
    """

    kind: ClassVar[str] = ""
    units: ClassVar[dict[str, float]] = {}  # unit: size in SI
    least: ClassVar[float] = float("-inf")
    most: ClassVar[float] = float("inf")
    above_least: ClassVar[bool] = False
    smallest: ClassVar[float] = 1e-12  # SI: what is written smaller than this, and not zero, is a slip and no value of a workshop
    example: ClassVar[str] = ""
    family: ClassVar[tuple[type["Measure"], ...]] = ()  # every kind with units; units.py fills it, for messages only
    __slots__ = ("half_digit", "si", "text", "unit")

    def __init__(self, si: float, text: str = "", half_digit: float = 0.0, unit: str = "") -> None:
        self.si, self.text, self.half_digit, self.unit = si, text, half_digit, unit
        self._check()

    def _check(self) -> None:
        low = self.si < self.least or (self.above_least and self.si == self.least)
        if low or self.si > self.most or self.si != self.si:
            raise OutOfRange(f'{self.kind} "{self.text or self.si}" must be {self._allowed()}', try_=f'Write for example "{self.example}".')

    def _allowed(self) -> str:
        unit, size = self._shown_unit()
        floor = f"{'above' if self.above_least else 'at least'} {self.least / size:g}"
        return f"{floor} and at most {self.most / size:g} {unit}".rstrip()

    def _shown_unit(self) -> tuple[str, float]:
        unit = self.unit if self.unit in self.units else next(iter(self.units), "")
        return unit, self.units.get(unit, 1.0)

    @classmethod
    def parse(cls, given: object, reference: Any = None) -> Self:
        """Read text (or, where the kind allows it, a bare number).

        Raises  BadUnit: no unit, or a unit of another kind. OutOfRange: outside what the kind allows.
        """
        if isinstance(given, bool) or not isinstance(given, str | int | float):
            raise BadUnit(f"{given!r} is not a {cls.kind}", try_=f'Write for example "{cls.example}".')
        # a class is hashable, whatever its type variable
        kept: Self = cls._bare(given) if isinstance(given, int | float) else _parsed(cls, given, reference)  # type: ignore[arg-type]
        if 0 < abs(kept.si) < cls.smallest:
            raise OutOfRange(f'{cls.kind} "{kept.text}" is a value no workshop has: far too small', try_=cls._try_another())
        return kept

    @classmethod
    def _try_another(cls) -> str:
        return f'Check the digits and the unit; write for example "{cls.example}".'

    @classmethod
    def _bare(cls, given: float) -> Self:
        raise BadUnit(f"{given!r} has no unit", try_=f'A {cls.kind} is text with its unit, for example "{cls.example}".')

    @classmethod
    def _from(cls, value: float, unit: str, half: float, text: str, reference: Any) -> Self:
        size = cls.size_of(unit, text)
        return cls(value * size, text, half * size, unit)

    @classmethod
    def size_of(cls, unit: str, text: str) -> float:
        """How much one of this unit is in SI."""
        if unit in cls.units:
            return cls.units[unit]
        if not unit:
            raise BadUnit(f'"{text}" has no unit', try_=f"Units of {cls.kind}: {cls._known()}.")
        other = next((c.kind for c in cls.family if unit in c.units), None)
        what = (
            f'"{unit}" is a unit of {other}, not of {cls.kind}' if other and other != cls.kind else f'"{unit}" is not a unit of {cls.kind}'
        )
        raise BadUnit(f'"{text}": {what}', try_=f"Units of {cls.kind}: {cls._known()}.")

    @classmethod
    def _known(cls) -> str:
        return ", ".join(list(cls.units)[:9]) or "a plain number"

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and self.si == other.si

    def __hash__(self) -> int:
        return hash((type(self), self.si))

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self.text or self.si!r})"


_M = TypeVar("_M", bound=Measure)


@lru_cache(maxsize=4096)  # stations and charts say the same few values again and again; a text is 80 characters at most
def _parsed(kind: type[_M], text: str, reference: Any) -> _M:
    value, unit, half = split(text)
    return kind._from(value, tidy(unit), half, text, reference)
