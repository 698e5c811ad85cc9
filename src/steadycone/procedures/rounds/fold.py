"""A round as a fold: plan and answers in, what is asked next out. No clock, no files."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from functools import reduce

from steadycone.data.reader import toml
from steadycone.errors import InputError
from steadycone.procedures.rounds import drop
from steadycone.procedures.rounds.answers import Answer, AnswersFile
from steadycone.procedures.rounds.judge import GAS_FROM, from_phase, stops
from steadycone.procedures.rounds.limits import TABLE
from steadycone.procedures.rounds.plan import Plan, PlanStep
from steadycone.procedures.rounds.state import Given, Round, begin, upcoming
from steadycone.procedures.rounds.values import read_value


class StopFirst(InputError):
    """An answer to a step that is not asked while a stop stands. Nothing is wrong with the answer."""

    code = "round-stopped"


def next_step(now: Round) -> PlanStep | None:
    """What is asked next; None when all is answered, or when a stop stands before it.

    A stop of the card lets everything go on that lets no gas in. A stop among the looks lets the other looks go on; any other one lets
    nothing go on but what is read together with it.

    Source      round-card-stop
    """
    step = upcoming(now)
    return None if step is None or stopped(now, step) else step


def stopped(now: Round, step: PlanStep) -> bool:
    """Whether a stop stands before this step."""
    if now.plan.card_stops and from_phase(now.plan, step, GAS_FROM):
        return True
    return any(stop.step is None or stop.step.group != step.group for stop in stops(now))


def take(now: Round, answer: Answer) -> Round:
    """The round with one more answer.

    Raises  InputError: another step's turn, a time before the last one, a wait too early, or a value that can't be. The round stays as it
    was. StopFirst: a stop stands before this step.
    """
    step = now.plan.step(answer.step)
    if now.last_at is not None and answer.at < now.last_at:
        raise InputError(
            f"{answer.at.isoformat()} is before the answer before it, {now.last_at.isoformat()}",
            where=step.id,
            try_="Answers stand in order of time.",
        )
    value = read_value(step, answer, now.plan.judged.figures.atmosphere)
    _check_mended(now, step, answer, value.stops)
    base = _unsigned(_again(now, step) if answer.again else now, step)
    _check_turn(base, step)
    if step.kind == "wait" and not value.stops:
        _check_wait(base, step, answer)
    if step.id == "sign":
        _check_shift(base, answer)
    before = base.given.get(step.id)
    given = Given(value, answer, before.first_at, (*before.earlier, before.answer)) if before else Given(value, answer, answer.at)
    later = replace(base, given=base.given | {step.id: given}, log=(*base.log, answer))
    drop.check(later, step)
    return later


def _again(now: Round, step: PlanStep) -> Round:
    """The round as it was before a step: what came from it on counts no more."""
    if step.id not in now.given:
        raise InputError("it was not answered yet", where=step.id, try_="Leave again out.")
    if step.id == now.plan.steps[0].id:
        raise InputError("again from step 1 is a new round", where=step.id, try_="Begin a new round: its card is made for its day.")
    place = now.plan.index(step.id)
    kept = {name: given for name, given in now.given.items() if now.plan.index(name) < place}
    gone = [given.answer for name, given in now.given.items() if name not in kept]
    return replace(now, given=kept, gone=(*now.gone, *sorted(gone, key=lambda answer: answer.at)))


def again_from(step: PlanStep) -> str:
    """The step from which the round is gone again once a stop of this step is mended; empty where it alone is answered again."""
    start: str = toml(TABLE)["again"][step.phase]
    return "" if step.looks else start


def _check_mended(now: Round, step: PlanStep, answer: Answer, fails: bool) -> None:
    """What failed with gas let in is gone round again from where the plan says: a joint made again is tested again, whoever says done."""
    at = now.plan.index(step.id)
    for name, given in now.given.items():
        start = again_from(now.plan.step(name)) if given.value.stops else ""
        if start in ("", name) or (answer.again and at <= now.plan.index(start)):
            continue
        unasked = (now.plan.step(name).only or ("",))[0] == step.id  # "not lit now" does not take back what happened while lighting
        if (answer.again and at <= now.plan.index(name)) or unasked or (name == step.id and not fails):
            raise InputError(
                f"{name} failed, and gas was let in", where=step.id, try_=f"Mend it, then go round again from {start}, again: true."
            )


def _unsigned(now: Round, step: PlanStep) -> Round:
    """A signature stands under what was written when it was given: what is mended later is signed again."""
    signed = now.given.get("sign")
    if signed is None or step.id == "sign":
        return now
    kept = {name: given for name, given in now.given.items() if name != "sign"}
    return replace(now, given=kept, gone=(*now.gone, signed.answer))


def _check_turn(now: Round, step: PlanStep) -> None:
    if step.id in now.given:
        return
    if not now.is_asked(step):
        assert step.only is not None
        raise InputError(
            "it is not asked in this round", where=step.id, try_=f'It is asked when {step.only[0]} is answered "{step.only[1]}".'
        )
    turn = upcoming(now)
    if turn is None or turn.id != step.id:
        skipped = turn.id if turn else ""
        raise InputError(f"{skipped} was skipped", where=step.id, try_=f"Answer {skipped} first.")
    if stopped(now, step):
        raise StopFirst("a stop stands before it", where=step.id, try_="Clear it, answer that step again, then go on.")


def _check_wait(now: Round, step: PlanStep, answer: Answer) -> None:
    """A wait runs from the answer before it in the plan, or from when it was begun."""
    since = wait_since(now, step)
    if answer.since is not None:
        since = max(since, answer.since) if since else answer.since
    if answer.again and not step.runs_on and since and now.last_at:
        since = max(since, now.last_at)  # what was waited before counts no more
    if step.seconds is None or since is None:
        return
    passed = (answer.at - since).total_seconds()
    if passed < step.seconds:
        raise InputError(
            f"answered after {passed:.0f} s, and the wait is {step.seconds:.0f} s",
            where=step.id,
            try_="Wait it out, or answer fail: what you saw.",
        )


def _check_shift(now: Round, answer: Answer) -> None:
    """A signature after the shift's end would hold for no time at all."""
    shift = now.given.get("shift-end")
    if shift is not None and shift.value.until is not None and answer.at >= shift.value.until:
        raise InputError("the shift has ended by now", where="sign", try_="Correct shift-end, or let the next shift go round.")


def wait_since(now: Round, step: PlanStep) -> datetime | None:
    """When the step before this one was answered first."""
    asked = now.asked
    place = asked.index(step)
    before = now.given.get(asked[place - 1].id) if place else None
    return before.first_at if before else None


@dataclass(frozen=True, slots=True)
class Folded:
    """What came of a list of answers: the round so far, what was wrong with the first bad one, and how many were not taken."""

    round: Round
    problem: InputError | None = None
    left: tuple[Answer, ...] = ()


def fold(plan: Plan, answers: Iterable[Answer]) -> Folded:
    """All answers, one after another. The first bad one ends it: what came before it stays.

    A stop ends it too, without a problem.
    """
    return reduce(_folded, answers, Folded(begin(plan)))


def _folded(so_far: Folded, answer: Answer) -> Folded:
    if so_far.problem or so_far.left:
        return replace(so_far, left=(*so_far.left, answer))
    try:
        return replace(so_far, round=take(so_far.round, answer))
    except StopFirst:
        return replace(so_far, left=(answer,))
    except InputError as error:
        place = len(so_far.round.log) + 1
        return replace(so_far, problem=_placed(error, place), left=(answer,))


def _placed(error: InputError, place: int) -> InputError:
    error.at(f"answer {place}")
    return error


def fold_file(plan: Plan, found: AnswersFile) -> Folded:
    """An answers file over its plan.

    Raises  InputError: made for another station, or begun with another list of steps.
    """
    check_names(plan, found)
    folded = fold(plan, found.answers)
    return folded if folded.problem or folded.left or found.bad is None else replace(folded, problem=found.bad)


def check_names(plan: Plan, found: AnswersFile) -> None:
    """Raises  InputError."""
    if found.station not in plan.names:
        raise InputError(
            f'the answers are for the station "{found.station[:16]}…", this one is "{plan.station[:16]}…"',
            where="answers, station",
            try_="Take the station file they were given to. Where gear was changed since, begin a new round.",
        )
    if found.plan and found.plan != plan.hash:
        raise InputError(
            "the answers were given to another list of steps",
            where="answers, plan",
            try_="The program or its tables changed since: begin a new round.",
        )
