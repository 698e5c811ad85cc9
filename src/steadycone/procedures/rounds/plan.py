"""What a round asks of one station: steps in order, each with its kind of answer. The same station gives the same plan."""

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from steadycone.errors import UnknownName, nearest
from steadycone.practice.finding import Finding
from steadycone.procedures.judged import Judged
from steadycone.quantity import Quantity
from steadycone.units import PressureDifference

Kind = Literal["tick", "reading", "wait", "choice", "text"]
Reading = Literal["", "high", "low", "temperature", "share", "time of day"]
_DIGITS = 7  # significant, as in the card: below the noise from one machine to the next


@dataclass(frozen=True, slots=True)
class Look:
    """One line of the inspection list, as templates. `stated`: what the station file says of it, in its own words."""

    id: str
    look: str
    passes: str
    fails: str
    action: str
    numbers: dict[str, Quantity | str]
    stated: str = ""


@dataclass(frozen=True, slots=True)
class Option:
    value: str
    says: str
    stop: bool = False


@dataclass(frozen=True, slots=True)
class PlanStep:
    """One question. Texts are templates: words and units are the renderer's.

    group : steps that are answered together; a stop among them does not hide the rest of the group
    line : oxygen, fuel or preheat_oxygen, where the answer is about one
    division : the gauge's smallest readable change; `assumed` where the station's file does not state it
    beside : an earlier step of the same gauge that the reading is held beside
    mend : what puts a fail right; `over`: nothing does in this round
    seconds : of a wait; None = the card has no number for it
    runs_on : the wait began with the answer before it, not when the person says so
    only : step and answer that must have been given for this one to be asked
    """

    id: str
    phase: str
    kind: Kind
    do: str
    why: str
    stop: str
    source: tuple[str, ...]
    numbers: dict[str, Quantity | str]
    group: str
    variant: str | None = None
    subject: str = ""
    line: str = ""
    reading: Reading = ""
    judge: str = ""
    division: PressureDifference | None = None
    assumed: bool = False
    beside: str = ""
    optional: bool = False
    mend: str = ""
    over: bool = False
    seconds: float | None = None
    runs_on: bool = False
    options: tuple[Option, ...] = ()
    looks: tuple[Look, ...] = ()
    only: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """The steps, and what they were made for.

    station : hash of the station's files; `names` are all the hashes an answers file may name it by
    least : by line, the supply's pressure [Pa gauge] below which the card would stop; None where pressure does not tell
    anew : the stops of the card made again for another day; None where nobody can make it
    """

    judged: Judged
    station: str
    names: tuple[str, ...]
    steps: tuple[PlanStep, ...]
    hash: str
    least: "Callable[[str], float | None]" = field(default=lambda line: None, compare=False)
    anew: "Callable[[date], tuple[Finding, ...]] | None" = field(default=None, compare=False)

    def index(self, step: str) -> int:
        """Where a step stands. Raises UnknownName."""
        for place, found in enumerate(self.steps):
            if found.id == step:
                return place
        raise UnknownName(
            f'"{step[:60]}" is not a step of this round', where="step", try_=nearest(step[:60], [found.id for found in self.steps])
        )

    def step(self, step: str) -> PlanStep:
        """Raises UnknownName."""
        return self.steps[self.index(step)]

    @property
    def card_stops(self) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.judged.findings if finding.verdict == "stop")


def plan_hash(steps: tuple[PlanStep, ...]) -> str:
    """SHA-256 over what is asked: ids, kinds, texts and numbers."""
    told = [
        [
            step.id, step.kind, step.do, step.why, step.stop, step.judge, step.line, step.reading, _number(step.seconds), step.only,
            step.division.text if step.division else "", step.assumed, step.beside,
            {name: _told(value) for name, value in sorted(step.numbers.items())},
            [(option.value, option.stop) for option in step.options],
            [(look.id, look.passes, look.fails, look.stated) for look in step.looks],
        ]
        for step in steps
    ]  # fmt: skip
    return hashlib.sha256(json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode()).hexdigest()


def _told(value: Quantity | str) -> str | list[str]:
    return value if isinstance(value, str) else [value.kind, *(_number(end) for end in (value.value, value.low, value.high))]


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.{_DIGITS}g}"
