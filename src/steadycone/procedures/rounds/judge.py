"""What the answers of a round say: each reading against its limit, the needles, a fail, a break. Verdicts at the unsafe end."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from steadycone.assembly.ceiling import flowing_ceiling, static_ceiling
from steadycone.assembly.figures import Figures, LineFigures
from steadycone.practice import air
from steadycone.practice.drop.pattern import VALVE
from steadycone.practice.finding import Finding, Verdict
from steadycone.practice.judging import ends
from steadycone.procedures import settings
from steadycone.procedures.rounds.day import of_its_day
from steadycone.procedures.rounds.drop import LineDrop, drops
from steadycone.procedures.rounds.happened import happened
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
    return (
        *_happened(now),
        *found,
        *_late(now),
        *_names(now),
        *_breaks(now),
        *(RoundFinding(each, now.plan.steps[0]) for each in of_its_day(now)),
    )


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
    elif given.value.number is not None and step.line:
        yield from (RoundFinding(each, step) for each in _of_gauge(now, step, given))
    elif step.judge and given.value.number is not None:
        yield RoundFinding(_JUDGES[step.judge](now, step, given.value.number), step)


def _of_gauge(now: Round, step: PlanStep, given: Given) -> Iterator[Finding]:
    """A gauge against its rating, against its own rule, and beside the earlier reading of the same gauge."""
    value = given.value.number
    assert value is not None
    over = _rated(now, step, value)
    if over:
        yield over
    elif step.judge:
        yield _JUDGES[step.judge](now, step, value)
    if beside := _beside(now, step, value):
        yield beside
    if given.value.finer:
        yield _reading(step, "caution", value, None, "finer")


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


def rating(figures: Figures, step: PlanStep) -> float | None:
    """The most that a gauge may show whatever its rule [Pa gauge]: the regulator's inlet rating, or before the watch what may stand there."""
    if step.reading == "high":
        rated = figures.lines[step.line].line.regulator.inlet_rating
        return None if rated is None else rated.gauge(figures.atmosphere)
    return ceiling(figures, step) if step.id.startswith("leak-start-low.") else None


def _rated(now: Round, step: PlanStep, value: Quantity) -> Finding | None:
    most = rating(now.plan.judged.figures, step)
    if most is None or _value(value) <= most + _TOUCH * _size(step):
        return None
    return _reading(step, "stop", value, exact(most, "gauge pressure"), "over rating" if step.reading == "high" else "over")


def _beside(now: Round, step: PlanStep, value: Quantity) -> Finding | None:
    """Lost before the watch began; or lower with the torch shut than in flow."""
    before = now.given.get(step.beside) if step.beside else None
    if before is None or before.value.number is None:
        return None
    lost = _value(before.value.number) - _value(value)
    if step.id.startswith("leak-start-"):
        most = limit("lost-before")
        if lost <= (1.0 + _TOUCH) * _size(step):
            return None
        verdict: Verdict = "stop" if lost > (most.si + _TOUCH) * _size(step) else "caution"
        return _reading(step, verdict, value, before.value.number, "lost before", (most.source,))
    below = limit("shut-below")
    if (lost if step.judge == "shut" else -lost) <= (below.si + _TOUCH) * _size(step):
        return None
    return _reading(step, "stop", value, before.value.number, "shut below" if step.judge == "shut" else "flow above", (below.source,))


def _planned(now: Round, step: PlanStep, value: Quantity) -> Finding:
    """The supply against what the card was made with: less means less gas than planned."""
    planned = ends(_line(now, step).supply.pressure)
    if planned is None:
        return _reading(step, "go", value, None, "supply")
    step_size, least = _size(step), now.plan.least(step.line)
    if _value(value) < step_size * (1 - _TOUCH):
        return _reading(step, "stop", value, exact(planned.value, "gauge pressure"), "supply empty")
    if least is not None and _value(value) < least - _TOUCH * step_size:
        return _reading(step, "stop", value, exact(least, "gauge pressure"), "supply stops")
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
    against, half = exact(wanted.value, "gauge pressure"), limit("test-low")
    if _value(value) < half.si * wanted.value:
        return _reading(step, "stop", value, against, "test none", (half.source,))
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
    verdict: Verdict
    if found.reading is None:
        if found.trouble:
            verdict, text = ("stop", "moved without a sum") if _moved(found) else ("caution", "no sum")
        else:
            only_pipes_high = not line.line.supply.has_cylinders and all("-high." in name for name in found.unread)
            verdict, text = ("caution" if only_pipes_high else "stop"), "unread"
        return RoundFinding(Finding("round-drop", verdict, step.id, sources=step.source, text=text), step, found)
    read = found.reading
    policy = exact(figures.setup.policy.leak.reject.amount(line.gas.molar_mass), "leak")
    sources = ("drop-patterns", "drop-movement", "drop-verdict", figures.setup.policy.source("leak.reject"))
    text = "a gauge moved" if read.reading == VALVE and _shuts(now, found.line) else read.because[0]
    return RoundFinding(Finding("round-drop", read.verdict, step.id, limit=policy, sources=sources, text=text), step, found)


def _moved(found: LineDrop) -> bool:
    """Whether a needle moved by more than its smallest readable change: without a sum nothing says that it is no leak.

    The high needle over liquid goes with the temperature, and says nothing (decision 50).
    """
    assert found.test is not None
    sides = (found.test.low,) if found.test.liquid_likely else (found.test.high, found.test.low)
    return any(abs(side.end - side.start) > side.step * (1 + 1e-9) for side in sides)


def _shuts(now: Round, line: str) -> bool:
    """Whether the bleed showed that this line's supply valve shuts: then something else made its needle rise."""
    bled = [each for step, given in now.answered if step.judge == "zero" and step.line == line for each in _of_answer(now, step, given)]
    return bool(bled) and all(each.finding.verdict == "go" for each in bled)


# --- what happened ------------------------------------------------------------------------


def _happened(now: Round) -> Iterator[RoundFinding]:
    """An event that holds the station: its first actions first. Nothing in the round clears it."""
    for each in happened(now):
        first = " ".join(action.do for action in each.triage.first_actions)
        blanks = {"said": each.said, "event": each.triage.event, "first": first}
        sources = ("round-happened-judged", *each.triage.sources)
        yield RoundFinding(Finding("round-happened", "stop", each.step.id, sources=sources, blanks=dict(blanks)), each.step)


# --- purge and names -----------------------------------------------------------------------


def _late(now: Round) -> Iterator[RoundFinding]:
    """The purge is the last thing before the flame: what counts is the time from its end to the first step of the flame."""
    answered = list(now.answered)
    purged = [given for step, given in answered if step.phase == "purge" and step.kind == "wait"]
    lit = next(((step, given) for step, given in answered if step.phase == "light"), None)
    if not purged or lit is None or lit[1].value.stops:
        return
    step, given = lit
    gap, late, gone = (given.first_at - purged[-1].first_at).total_seconds(), limit("purge-late"), limit("purge-gone")
    if gap > late.si:
        verdict: Verdict = "stop" if gap > gone.si else "caution"
        against = gone if verdict == "stop" else late
        about = exact(gap, "minutes"), exact(against.si, "minutes")
        yield RoundFinding(Finding("round-purge", verdict, step.id, *about, None, (against.source, "purge-last-judged")), step)


def _names(now: Round) -> Iterator[RoundFinding]:
    """Who went round and who signs may be two: both are said, and nothing is held against it."""
    who, sign = now.given.get("who"), now.given.get("sign")
    if who is None or sign is None or _plain(who) == _plain(sign):
        return
    blanks = {"who": who.value.said, "sign": sign.value.said}
    yield RoundFinding(Finding("round-names", "go", "sign", sources=("round-judged",), blanks=dict(blanks)), now.plan.step("sign"))


def _plain(given: Given) -> str:
    return "".join(letter for letter in given.value.said.casefold() if letter.isalnum())


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
