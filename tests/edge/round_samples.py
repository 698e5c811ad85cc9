"""Rounds to try: the examples' plans, answers that are all in order, and a clock that does as it is told."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import cache

from tests.edge.render_samples import card

from steadycone.procedures import settings
from steadycone.procedures.rounds import Answer, Plan, PlanStep, Round, begin, make_plan, take, upcoming

START = datetime(2026, 11, 25, 7, 40, tzinfo=UTC)
STATION = "f" * 64
_SIZES = {"bar": 1e5, "psi": 6894.757293168, "kPa": 1e3}


@cache
def plan(name: str = "slip-2") -> Plan:
    """The plan of an example."""
    return make_plan(card(name), STATION)


def good(found: Plan, step: PlanStep, **changes: str) -> str:
    """An answer in order: done, the first choice, or what the card says on the gauge's own mark."""
    if step.id in changes:
        return changes[step.id]
    if step.kind == "text":
        return "M. Okoro"
    if step.kind == "choice":
        return step.options[0].value
    if step.kind != "reading":
        return "done"
    if step.reading in ("temperature", "time of day", "share"):
        share = "0 %" if step.judge == "air-fuel" else "20.9 %"
        return {"temperature": "12 °C", "time of day": "16:30", "share": share}[step.reading]
    return _gauge(found, step)


def _gauge(found: Plan, step: PlanStep) -> str:
    assert step.division is not None
    figures = found.judged.figures
    line = figures.lines[step.line]
    wanted = {"zero": 0.0, "set": line.set_pressure.value}.get(step.judge, settings.test_pressure(figures, line).value)
    if step.reading == "high" and step.judge != "zero":
        wanted = line.supply.pressure.value
    marks = round((wanted or 0.0) / step.division.si)
    return f"{marks * step.division.si / _SIZES[step.division.unit]:.6g} {step.division.unit}"


def answers(found: Plan, **changes: str) -> Iterator[Answer]:
    """Answers in order to every step that comes to be asked, twenty seconds apart and each wait waited out."""
    now, at = begin(found), START
    while (step := upcoming(now)) is not None:
        at += timedelta(seconds=20 + (step.seconds or 0))
        answer = Answer(step.id, good(found, step, **changes), at)
        yield answer
        try:
            now = take(now, answer)
        except ValueError:
            return


def gone(found: Plan, **changes: str) -> Round:
    """A round as far as these answers bring it."""
    from steadycone.procedures.rounds import fold

    return fold(found, answers(found, **changes)).round


def up_to(found: Plan, step: str, **changes: str) -> tuple[Round, datetime]:
    """A round right before a step, and a moment twenty seconds later."""
    now = begin(found)
    for answer in answers(found, **changes):
        if answer.step == step:
            break
        now = take(now, answer)
    assert now.last_at is not None
    return now, now.last_at + timedelta(seconds=20)


def keyed(**changes: str) -> dict[str, str]:
    """Changes by step id, where an id is no name: leak_end_low__oxygen for leak-end-low.oxygen."""
    return {name.replace("__", ".").replace("_", "-"): value for name, value in changes.items()}


class FakeClock:
    """Goes on by itself a few seconds a look, and by what is slept."""

    def __init__(self, at: datetime = START, step: float = 20.0) -> None:
        self.at, self.step, self.slept = at, step, 0.0

    def now(self) -> datetime:
        self.at += timedelta(seconds=self.step)
        return self.at.replace(microsecond=0)

    def sleep(self, seconds: float) -> None:
        self.slept += seconds
        self.at += timedelta(seconds=seconds)
