"""What reads one value that a person gives a worksheet or a what-if, beside the measures of units.py."""

from typing import Any, ClassVar, Protocol, Self

from steadycone.errors import UnknownName, nearest
from steadycone.units import Duration, ReferenceState


class Kind(Protocol):
    """What reads one value: a Measure class, a Choice, or another class with these."""

    kind: str
    example: str

    def parse(self, given: object, reference: ReferenceState | None = None, /) -> Any: ...


class Choice:
    """One of some words."""

    def __init__(self, *words: str) -> None:
        self.words = words
        self.kind = "one of " + ", ".join(words)
        self.example = words[0]

    def parse(self, given: object, reference: ReferenceState | None = None, /) -> str:
        if isinstance(given, str) and (word := given.strip().lower()) in self.words:
            return word
        raise UnknownName(f"{str(given)[:60]!r} is not {self.kind}", try_=nearest(str(given)[:60], self.words))


class Hours(Duration):
    """A time; a bare number is hours."""

    kind, example = "time in hours", "2"
    units: ClassVar = {**Duration.units, "": 3600.0}

    @classmethod
    def _bare(cls, given: float) -> Self:
        return cls(given * 3600.0, f"{given:g}")
