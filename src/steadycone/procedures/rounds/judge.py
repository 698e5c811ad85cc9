"""What the answers of a round say: each reading against its limit, the needles, a fail, a break. Verdicts at the unsafe end."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from steadycone.assembly.ceiling import flowing_ceiling, static_ceiling
from steadycone.assembly.figures import Figures, LineFigures
from steadycone.practice import air
from steadycone.practice.finding import Finding, Verdict
from steadycone.practice.judging import ends
from steadycone.procedures import settings
from steadycone.procedures.rounds.day import of_its_day
from steadycone.procedures.rounds.drop import LineDrop, drops
from steadycone.procedures.rounds.limits import limit
from steadycone.procedures.rounds.plan import Plan, PlanStep
from steadycone.procedures.rounds.state import Given, Round
from steadycone.quantity import Quantity, exact

GAS_FROM = "open"  # the phase that lets gas in
_TOUCH = 1e-6  # of a division: a reading on the limit is not past it


@dataclass(frozen=True, slots=True)
class RoundFinding:
    """A finding and the step that it came from. `drop`: of a needle test."""

    finding: Finding
    step: PlanStep
    drop: LineDrop | None = None


def judged(now: Round) -> tuple[RoundFinding, ...]:
    """Every finding of the answers so far, in the plan's order; the needle tests after the readings they need."""
    found = [each for step, given in now.answered for each in _of_answer(now, step, given)]
    found += [_drop(now, each) for each in drops(now)]
    return (*found, *_breaks(now), *(RoundFinding(each, now.plan.steps[0]) for each in of_its_day(now)))


def stops(now: Round) -> tuple[RoundFinding, ...]:
    return tuple(each for each in judged(now) if each.finding.verdict == "stop")


def from_phase(plan: Plan, step: PlanStep, phase: str) -> bool:
    """Whether a step comes at or after the first one of a phase."""
    first = next(place for place, found in enumerate(plan.steps) if found.phase == phase)
    return plan.index(step.id) >= first


def _of_answer(now: Round, step: PlanStep, given: Given) -> Iterator[RoundFinding]:
    if given.value.stops:
        yield RoundFinding(Finding("round-answer", "stop", step.id, sources=step.source, blanks={"said": given.value.said}), step)
    elif step.kind == "wait" and step.seconds is None:
        yield RoundFinding(Finding("round-number-missing", "stop", step.id, sources=("round-judged",)), step)
    elif step.judge and given.value.not_read:
        verdict: Verdict = "caution" if step.optional else "stop"
        yield RoundFinding(Finding("round-not-read", verdict, step.id, sources=step.source), step)
    elif step.judge and given.value.number is not None:
        yield RoundFinding(_JUDGES[step.judge](now, step, given.value.number), step)


# --- readings ------------------------------------------------------------------------


def _line(now: Round, step: PlanStep) -> LineFigures:
    return now.plan.judged.figures.lines[step.line]


def _value(number: Quantity) -> float:
    assert number.value is not None
    return number.value


def _reading(
    step: PlanStep, verdict: Verdict, value: Quantity, against: Quantity | None, text: str, source: tuple[str, ...] = ()
) -> Finding:
    margin = None
    if against is not None and against.value is not None:
        margin = exact(against.value - _value(value), "pressure difference" if value.kind == "gauge pressure" else value.kind)
    return Finding("round-reading", verdict, step.id, value, against, margin, source or step.source, {}, text)


def _planned(now: Round, step: PlanStep, value: Quantity) -> Finding:
    """The supply against what the card was made with: less means less gas than planned."""
    planned = ends(_line(now, step).supply.pressure)
    if planned is None:
        return _reading(step, "go", value, None, "supply")
    step_size = step.division.si if step.division else 0.0
    if _value(value) < planned.low - step_size:
        return _reading(step, "caution", value, exact(planned.value, "gauge pressure"), "supply low")
    return _reading(step, "go", value, exact(planned.value, "gauge pressure"), "supply")


def ceiling(figures: Figures, step: PlanStep) -> float:
    """The most a step's gauge may show [Pa gauge], by cap and regulator: in flow its outlet rating, shut its closing pressure."""
    limit_of = flowing_ceiling if step.judge == "set" else static_ceiling
    return limit_of(figures.setup, step.line, figures.atmosphere)


def _size(step: PlanStep) -> float:
    assert step.division is not None
    return step.division.si


def _over(now: Round, step: PlanStep, value: Quantity) -> Finding | None:
    """Over what cap and regulator allow: a stop, whatever else was asked."""
    most = ceiling(now.plan.judged.figures, step)
    if _value(value) > most + _TOUCH * _size(step):
        return _reading(step, "stop", value, exact(most, "gauge pressure"), "over")
    return None


def _test(now: Round, step: PlanStep, value: Quantity) -> Finding:
    """The test's pressure: under the working one leaks that matter pass, so it is said, and the needles are scaled."""
    wanted = ends(settings.test_pressure(now.plan.judged.figures, _line(now, step)))
    if over := _over(now, step, value):
        return over
    if wanted is None:
        return _reading(step, "caution", value, None, "unknown")
    against = exact(wanted.value, "gauge pressure")
    if _value(value) < wanted.value - _size(step) * (1 + _TOUCH):
        return _reading(step, "caution", value, against, "test low")
    return _reading(step, "go", value, against, "test")


def _set(now: Round, step: PlanStep, value: Quantity) -> Finding:
    """The flowing pressure against the card's: a division either way is the same setting."""
    if over := _over(now, step, value):
        return over
    wanted = ends(_line(now, step).set_pressure)
    if wanted is None:
        return _reading(step, "stop", value, None, "unknown")
    against = exact(wanted.value, "gauge pressure")
    off, most = abs(_value(value) - wanted.value), limit("set-off")
    if off <= _size(step) * (1 + _TOUCH):
        return _reading(step, "go", value, against, "set")
    if off > most.si * wanted.value:
        return _reading(step, "stop", value, against, "set wrong", (most.source,))
    return _reading(step, "caution", value, against, "set off", (most.source,))


def _shut(now: Round, step: PlanStep, value: Quantity) -> Finding:
    """The pressure with the torch shut: over what the card says it locks up to, the seat passes."""
    if over := _over(now, step, value):
        return over
    most = ends(settings.shut_pressure(now.plan.judged.figures, _line(now, step)))
    if most is None:
        return _reading(step, "stop", value, None, "unknown")
    against = exact(most.value, "gauge pressure")
    if _value(value) > most.value + _TOUCH * _size(step):
        return _reading(step, "stop", value, against, "creeps")
    return _reading(step, "go", value, against, "shut")


def _zero(now: Round, step: PlanStep, value: Quantity) -> Finding:
    """After the bleed: anything above zero came through the supply valve."""
    verdict: Verdict = "stop" if _value(value) > _TOUCH * _size(step) else "go"
    return Finding("round-valve", verdict, step.id, value, exact(0.0, "gauge pressure"), None, step.source)


def _air_oxygen(now: Round, step: PlanStep, value: Quantity) -> Finding:
    figures = now.plan.judged.figures
    low, high = air.oxygen_low(figures), settings.enrichment(figures).value or 0.0
    if _value(value) < low.si:
        return _reading(step, "stop", value, exact(low.si, "share"), "air low")
    over = _value(value) > high
    return _reading(step, "stop" if over else "go", value, exact(high, "share"), "air high" if over else "air")


def _air_fuel(now: Round, step: PlanStep, value: Quantity) -> Finding:
    most = air.fuel_most(now.plan.judged.figures)
    against = exact(most.si, "share")
    if _value(value) >= most.si:
        return _reading(step, "stop", value, against, "air fuel")
    return _reading(step, "caution" if _value(value) > 0 else "go", value, against, "air some fuel" if _value(value) > 0 else "air no fuel")


_JUDGES: dict[str, Callable[[Round, PlanStep, Quantity], Finding]] = {
    "planned": _planned,
    "test": _test,
    "set": _set,
    "shut": _shut,
    "zero": _zero,
    "air-oxygen": _air_oxygen,
    "air-fuel": _air_fuel,
}


# --- the needles -----------------------------------------------------------------------


def _drop(now: Round, found: LineDrop) -> RoundFinding:
    """One line's needle test. A gauge that a cylinder's regulator has and nobody read stops; a pipe's may have none."""
    figures = now.plan.judged.figures
    line = figures.lines[found.line]
    step = now.plan.step(f"leak-end-low.{found.line}")
    if found.reading is None:
        only_pipes_high = not line.line.supply.has_cylinders and all("-high." in name for name in found.unread)
        verdict: Verdict = "caution" if found.trouble or only_pipes_high else "stop"
        return RoundFinding(
            Finding("round-drop", verdict, step.id, sources=step.source, text="no sum" if found.trouble else "unread"), step, found
        )
    read = found.reading
    policy = exact(figures.setup.policy.leak.reject.amount(line.gas.molar_mass), "leak")
    sources = ("drop-patterns", "drop-movement", "drop-verdict", figures.setup.policy.source("leak.reject"))
    return RoundFinding(Finding("round-drop", read.verdict, step.id, limit=policy, sources=sources, text=read.because[0]), step, found)


# --- breaks ------------------------------------------------------------------------------


def _breaks(now: Round) -> Iterator[RoundFinding]:
    """With gas let in, a longer break than a sign-off may be left for ends what was proved before it."""
    policy = now.plan.judged.figures.setup.policy
    longest = policy.reclose.si
    with_gas = [(step, given) for step, given in now.answered if from_phase(now.plan, step, GAS_FROM)]
    for (_, before), (step, given) in pairwise(with_gas):
        gap = (given.first_at - before.first_at).total_seconds() - (step.seconds or 0.0)
        if gap > longest:
            lasted, most, over = (exact(seconds, "minutes") for seconds in (gap, longest, longest - gap))
            yield RoundFinding(
                Finding("round-break", "stop", step.id, lasted, most, over, ("round-break-judged", policy.source("reclose"))), step
            )
