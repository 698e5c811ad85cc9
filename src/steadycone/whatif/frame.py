"""What every what-if gives: numbers with their band, the state it ends in, pictures along the gas train, curves, and keys of texts.

No sentence stands here. Texts are in data/whatif/<name>.toml under the keys an Outcome names, filled in the region's words:

    title, about; [state], [reason], [not_trusted] by key; [prevented_by.<key>] fitted / missing / always; [numbers] and [words] labels
    by JSON key; [caption] by Frame.caption; [chart.<key>] title, and one label a curve and limit.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar, Literal

from steadycone.card.card import Card
from steadycone.quantity import Quantity
from steadycone.whatif.settings import Count, setting, whatif

Flow = Literal["forward", "back", "none"]
Word = Literal["LOCKED UP", "REVERSED", "BLOCKED", "CHOKED"]
Standing = Literal["fitted", "missing", "always"]  # the file has it; the file lacks it; nothing of the station, but of the hand


@dataclass(frozen=True, slots=True)
class Plate:
    """A state on the train: `at` is "supply", "regulator", "torch", "tip" or the number of a part from 1, as text."""

    word: Word
    at: str


@dataclass(frozen=True, slots=True)
class LineFrame:
    """One line at one moment. `name` is oxygen, fuel or preheat_oxygen.

    pressures : Pa gauge at the regulator outlet, then behind each part; the last is the torch inlet. None: not known or no answer
    share : of the gas that does not belong there, 0 to 1, by equal lengths of all hoses together, regulator to torch; () where unchanged
    front : m from the torch inlet to where half of it is; None without one
    other : what does not belong: "oxygen", "fuel" or "air"
    burns : stretches (m from the torch inlet) that hold a mixture which burns
    supply : Pa gauge in the cylinder, or None
    absent, broken : numbers of parts, from 1, that the question takes away (not drawn), or that have failed (crossed out)
    valve : the torch valve of this line, "" where it does not matter
    """

    name: str
    pressures: tuple[float | None, ...]
    share: tuple[float, ...] = ()
    front: float | None = None
    other: str = ""
    burns: tuple[tuple[float, float], ...] = ()
    flow: Flow = "none"
    plates: tuple[Plate, ...] = ()
    supply: float | None = None
    absent: tuple[int, ...] = ()
    broken: tuple[int, ...] = ()
    valve: Literal["open", "shut", ""] = ""


@dataclass(frozen=True, slots=True)
class Frame:
    """The whole train at one moment. `caption` is a key of the texts' [caption], "" for none; time [s], None for a state without one."""

    time: float | None
    lines: tuple[LineFrame, ...]
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Curve:
    """Points (x, y) in SI; `low` and `high` hold y at the same x where there is a band. `side` picks line style and hose colour."""

    key: str
    points: tuple[tuple[float, float], ...]
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()
    side: Literal["ox", "fu", "ink"] = "ink"


@dataclass(frozen=True, slots=True)
class Chart:
    """Curves over one axis. x and y are kinds of quantity.KINDS; limits are (key, y) drawn as a wall."""

    key: str
    x: str
    y: str
    curves: tuple[Curve, ...]
    limits: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Prevention:
    """What would have prevented it on this station. `blanks` fill the text beside the numbers; `subject` such as "fuel part 3 (check valve)"."""

    key: str
    standing: Standing = "always"
    subject: str = ""
    blanks: Mapping[str, Quantity | str] = field(default_factory=dict)


Point = Mapping[str, Quantity | str]  # a text is a word of [words], or a subject such as "oxygen part 2 (hose)"


@dataclass(frozen=True, slots=True)
class Outcome:
    """The answer of a what-if.

    state : key of [state]; numbers : by JSON key, as on the card; left out where one cannot apply, value None where it is unknown
    words : by JSON key, answers that are one word of a few (direction)
    series : by JSON key, a list of points, each a mapping of quantities (front_at: time and front)
    reason, not_trusted : keys of the texts; blanks : what they may name beside the numbers
    band : where the bands come from: "ends" (every uncertain input at both ends) or "runs" (5 to 95 % of so many draws)
    """

    name: str
    state: str
    numbers: Mapping[str, Quantity]
    reason: str
    words: Mapping[str, str] = field(default_factory=dict)
    series: Mapping[str, tuple[Point, ...]] = field(default_factory=dict)
    frames: tuple[Frame, ...] = ()
    charts: tuple[Chart, ...] = ()
    prevented_by: tuple[Prevention, ...] = ()
    not_trusted: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    blanks: Mapping[str, Quantity | str] = field(default_factory=dict)
    band: Literal["ends", "runs", "none"] = "none"
    runs: int = 0


@whatif
class WhatIf:
    """One fault. Its docstring's first line is the help; `example` is a set of settings that works."""

    example: ClassVar[str] = ""

    def answer(self, card: Card) -> Outcome:
        """Work it out on a card's station.

        Raises  InputError: the station lacks what it needs (a chart row, a cylinder), or a setting is outside what the physics covers.
        """
        raise NotImplementedError


@whatif
class WithRuns(WhatIf):
    """A what-if whose band may come from random draws of its uncertain inputs."""

    runs: int = setting(Count(0, 100_000), "random draws for the band; 0: every uncertain input at both ends", "0")
    seed: int = setting(Count(0, 2**53), "of the random draws: the same seed, the same answer", "1")
