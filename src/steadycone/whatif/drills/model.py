"""What a drill is made of. Texts are templates with their blanks: words and units are the renderer's."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from random import Random
from typing import Literal, TypeVar

from steadycone.assembly.figures import Figures
from steadycone.quantity import Quantity

Kind = Literal["choice", "order", "number"]
T = TypeVar("T")
LETTERS = "ABCDEFGHJKLMN"  # no I: it reads as 1


@dataclass(frozen=True, slots=True)
class Text:
    """A template and what fills it."""

    template: str
    blanks: Mapping[str, Quantity | str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Option:
    """One answer to choose, or one step to put in order."""

    letter: str
    says: Text


@dataclass(frozen=True, slots=True)
class Accepted:
    """An answer that counts. answer : a letter, letters in order, or a whole number, as text. credit : 1 whole, 0.5 half."""

    answer: tuple[str, ...]
    reason: Text
    sources: tuple[str, ...]
    credit: float = 1.0


@dataclass(frozen=True, slots=True)
class Dials:
    """Two gauges before and after, Pa gauge, each (start, end, full scale, division)."""

    high: tuple[float, float, float, float]
    low: tuple[float, float, float, float]
    line: str  # oxygen or fuel, for the gas's own sign


@dataclass(frozen=True, slots=True)
class Question:
    """One question. accepted : the best first. wrong : why another option is not, by letter. dials : two gauges to draw beside it."""

    kind: Kind
    asks: Text
    accepted: tuple[Accepted, ...]
    options: tuple[Option, ...] = ()
    wrong: Mapping[str, Text] = field(default_factory=dict)
    note: Text | None = None  # on the answer sheet: what was simulated, or how it is worked out
    dials: Dials | None = None


@dataclass(frozen=True, slots=True)
class Turn:
    """Which question of a sheet is asked for, so that its topics take turns. again : how often a draw was thrown away before."""

    seed: int
    number: int
    again: int = 0

    def of(self, topics: Sequence[T]) -> T:
        """The topic whose turn it is: all of them once, in an order of this seed's own, before any comes again."""
        shuffled = Random(self.seed).sample(list(topics), len(topics))  # noqa: S311 - reproducible questions, no secret
        return shuffled[(self.number - 1 + self.again) % len(shuffled)]


@dataclass(frozen=True, slots=True)
class Drill:
    """A sheet of questions on a station. The same name, station, seed and number give the same question, whatever their count."""

    name: str
    seed: int
    figures: Figures
    questions: tuple[Question, ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """One answer marked. points : 0 to 1. given : as it was read. says : why."""

    number: int
    given: tuple[str, ...]
    points: float
    says: Text
    right: tuple[str, ...]
    sources: tuple[str, ...]
