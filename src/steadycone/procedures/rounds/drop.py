"""The round's readings as pressure-drop tests, a line at a time."""

from dataclasses import dataclass
from datetime import datetime
from math import hypot
from typing import Literal

from steadycone.assembly.figures import LineFigures, SideTest
from steadycone.assembly.leak_test import liquid_likely
from steadycone.errors import InputError, OutOfRange
from steadycone.practice.drop import DropReading, DropTest, Side, Temperatures, read_drop
from steadycone.practice.judging import ends
from steadycone.procedures.rounds.plan import PlanStep
from steadycone.procedures.rounds.state import Given, Round


@dataclass(frozen=True, slots=True)
class LineDrop:
    """One line's test. `reading` None: a gauge was not read (`unread` names it), or the sum can't be made (`trouble` says why)."""

    line: str
    test: DropTest | None
    reading: DropReading | None
    unread: tuple[str, ...] = ()
    trouble: str = ""


def check(now: Round, step: PlanStep) -> None:
    """Refuse a reading that can't stand beside the others: high below low, the end not after the start.

    Raises  InputError.
    """
    if not step.id.startswith(("leak-start-", "leak-end-")) or not step.line:
        return
    when: Literal["start", "end"] = "start" if step.id.startswith("leak-start-") else "end"
    if not _read(now, step.line, when):
        return
    try:
        _test(now, step.line, when, when)
        if when == "end" and _read(now, step.line, "start"):
            _test(now, step.line, "start", "end")
    except InputError as error:
        error.where = step.id
        raise


def _read(now: Round, line: str, when: str) -> bool:
    """Whether both gauges of a line were read: a gauge that can't be read is an answer too, and then there is nothing to hold it beside."""
    found = [now.given.get(f"leak-{when}-{side}.{line}") for side in ("high", "low")]
    return all(each is not None and each.value.number is not None for each in found)


def drops(now: Round) -> tuple[LineDrop, ...]:
    """Every line whose readings are all answered."""
    found = []
    for line in now.plan.judged.figures.lines:
        names = [f"leak-{when}-{side}.{line}" for when in ("start", "end") for side in ("high", "low")]
        given = [now.given.get(name) for name in names]
        if all(each is not None for each in given) and _temperatures_answered(now):
            found.append(_drop(now, line, names))
    return tuple(found)


def _temperatures_answered(now: Round) -> bool:
    """The readings are judged together with the temperatures, once both are asked and answered."""
    return all(f"leak-{when}-temperature" in now.given for when in ("start", "end"))


def _drop(now: Round, line: str, names: list[str]) -> LineDrop:
    unread = tuple(name for name in names if now.given[name].value.number is None)
    if unread:
        return LineDrop(line, None, None, unread)
    test = _test(now, line, "start", "end")
    try:
        return LineDrop(line, test, read_drop(test))
    except OutOfRange as error:
        return LineDrop(line, test, None, trouble=error.says)


def _test(now: Round, line: str, first: str, last: str) -> DropTest:
    """The readings as a test; the same readings twice where only they are to be looked at."""
    figures = now.plan.judged.figures
    found, asked = figures.lines[line], figures.leak_test.lines[line]
    start_high, start_low = (now.given[f"leak-{first}-{side}.{line}"] for side in ("high", "low"))
    end_high, end_low = (now.given[f"leak-{last}-{side}.{line}"] for side in ("high", "low"))
    time = _seconds((start_high, start_low), (end_high, end_low)) if first != last else 1.0
    air = figures.atmosphere
    return DropTest(
        gas=found.gas,
        high=Side("high", _largest(asked.high), _pressure(start_high) + air, _pressure(end_high) + air, found.inlet_division),
        low=Side("low", _largest(asked.low), _pressure(start_low) + air, _pressure(end_low) + air, found.outlet_division),
        time=time,
        temperatures=_temperatures(now),
        acceptance=figures.setup.policy.leak.reject.amount(found.gas.molar_mass),
        atmosphere=air,
        acetylene_cap=figures.cap.gauge if found.gas.name == "acetylene" else None,
        working=_working(found, _pressure(start_low), air),
        liquid_likely=liquid_likely(figures.setup, found),
    )


def _largest(side: SideTest) -> float:
    """The gas space [m³] at its largest: what it holds leaks unseen the longest."""
    assert side.volume.high is not None
    return side.volume.high


def _pressure(given: Given) -> float:
    assert given.value.number is not None
    assert given.value.number.value is not None
    return given.value.number.value


def _seconds(first: tuple[Given, Given], last: tuple[Given, Given]) -> float:
    """Between the later of the first readings and the earlier of the last: the shorter time, and so the larger leak and floor."""
    start: datetime = max(given.first_at for given in first)
    return (min(given.first_at for given in last) - start).total_seconds()


def _working(line: LineFigures, start: float, air: float) -> float | None:
    """The working static pressure [Pa absolute], where the test began more than a division below it."""
    static = ends(line.static)
    return static.high + air if static is not None and start < static.high - line.outlet_division else None


def _temperatures(now: Round) -> Temperatures | None:
    found = [now.given.get(f"leak-{when}-temperature") for when in ("start", "end")]
    numbers = [given.value.number.value for given in found if given and given.value.number and given.value.number.value is not None]
    if len(numbers) < 2:
        return None
    return Temperatures(numbers[0], numbers[1], hypot(*(given.value.half_digit for given in found if given)))
