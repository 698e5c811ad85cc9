"""How far a round has come."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from steadycone.procedures.rounds.answers import Answer
from steadycone.procedures.rounds.plan import Plan, PlanStep
from steadycone.procedures.rounds.values import Value


@dataclass(frozen=True, slots=True)
class Given:
    """The answer that counts for a step. `first_at`: when it was read; a correction mends what was written, not when."""

    value: Value
    answer: Answer
    first_at: datetime
    earlier: tuple[Answer, ...] = ()


@dataclass(frozen=True, slots=True)
class Round:
    """How far a round has come. `log`: every answer taken, in order; `gone`: those that no longer count, since the round was gone again."""

    plan: Plan
    given: dict[str, Given]
    log: tuple[Answer, ...] = ()
    gone: tuple[Answer, ...] = ()

    @property
    def last_at(self) -> datetime | None:
        return self.log[-1].at if self.log else None

    def is_asked(self, step: PlanStep) -> bool:
        """Whether the answers so far ask for this step."""
        if step.only is None:
            return True
        found = self.given.get(step.only[0])
        return found is not None and found.value.said == step.only[1]

    @property
    def asked(self) -> tuple[PlanStep, ...]:
        return tuple(step for step in self.plan.steps if self.is_asked(step))

    @property
    def answered(self) -> Iterator[tuple[PlanStep, Given]]:
        """The steps that count and have an answer, in the plan's order."""
        return ((step, self.given[step.id]) for step in self.asked if step.id in self.given)


def begin(plan: Plan) -> Round:
    return Round(plan, {})


def upcoming(now: Round) -> PlanStep | None:
    """The first step without an answer, whether or not a stop stands before it."""
    return next((step for step in now.asked if step.id not in now.given), None)
