"""A pressure-drop test seen from the other end: where it leaks is given, and the two gauges are what comes out."""

from collections.abc import Sequence
from random import Random
from typing import ClassVar

from steadycone.card.card import Card
from steadycone.errors import InputError, OutOfRange
from steadycone.physics.transient.trapped import Shut, Ways, settling, watch
from steadycone.practice.drop import DropReading
from steadycone.quantity import Quantity, exact, spread
from steadycone.units import GasFlow, Measure, Number
from steadycone.whatif.bands import ends
from steadycone.whatif.common.resting import frame
from steadycone.whatif.common.shut import SETTLES, Case, Looked, case_of, looked, outcome_of, to_mark
from steadycone.whatif.frame import Chart, Curve, Flow, Frame, Outcome, Prevention, WithRuns
from steadycone.whatif.settings import Choice, Seconds, setting, whatif

_TIMES_REJECTED, _POINTS = 3.0, 10
_WAYS = {
    "none": (), "high": ("high",), "low": ("low",), "both": ("high", "low"), "seat": ("seat",), "valve": ("valve",),
}  # fmt: skip
_SOURCES = ("drop-needle", "drop-gas-settles", "drop-seat-one-way", "nozzle-ideal")


class Kelvin(Measure):
    """A change of temperature; a bare number is kelvin."""

    kind, example = "change of temperature", "3 K"
    units: ClassVar = {"K": 1.0, "": 1.0, "°C": 1.0, "F": 5 / 9, "°F": 5 / 9}
    least, most = -60.0, 60.0

    @classmethod
    def _bare(cls, given: float) -> "Kelvin":
        return cls(float(given), f"{given:g}")


@whatif
class DropTestWhatIf(WithRuns):
    """What both gauges show through the wait for a leak here, there, both, a passing seat or none, with cooling, sun and sticking needles."""

    example: ClassVar = "leak=seat line=fuel seed=3"
    line: str = setting(Choice("oxygen", "fuel", "preheat oxygen"), "which line is tested", "oxygen")
    leak: str = setting(
        Choice(*_WAYS, "random"), "where gas goes: out of the high side, the low, both; through seat or cylinder valve", "low"
    )
    rate: GasFlow | None = setting(GasFlow, "of each leak at the start; left out: three times what the policy rejects")
    seconds: Seconds | None = setting(Seconds, "the wait; left out: the watch of this station")
    cooling: Kelvin = setting(Kelvin, "by how much the shop cools over the wait", "0 K")
    sun: Kelvin = setting(Kelvin, "by how much sun warms the gas over the wait", "0 K")
    gas: Kelvin = setting(Kelvin, "by how much the gas starts warmer than the shop; colder: below 0", "0 K")
    thermometer: str = setting(Choice("read", "not read"), "whether anybody reads the temperature at both ends", "read")
    screw: str = setting(Choice("out", "in"), "regulator screw during the test; out divides the sides", "out")
    friction: Number = setting(Number, "how far a needle may lag, as a share of its division", "0.1")

    def answer(self, card: Card) -> Outcome:
        case = self._case(card)
        random = Random(self.seed)  # noqa: S311 - reproducible needles, no secret
        leak = random.choice(tuple(_WAYS)) if self.leak == "random" else self.leak
        drift = self.sun.si - self.cooling.si
        temperature = settling(case.figures.ambient, drift, self.gas.si, SETTLES, case.wait)
        moments = watch(case.shut, self._ways(case, leak), temperature, case.wait)
        tests = [
            looked(case, moments, random, drift=drift, thermometer=self.thermometer == "read", friction=self.friction.si)
            for _ in range(max(1, self.runs))
        ]
        return _told(card, self, case, leak, moments, tests)

    def _case(self, card: Card) -> Case:
        figures, name = card.figures, self.line.replace(" ", "_")
        if name not in figures.lines:
            raise InputError(f"the station has no {self.line} line", where="line", try_="Give line=oxygen or line=fuel.")
        case = case_of(figures, figures.lines[name], self.screw == "in", self.seconds.si if self.seconds else None)
        if not self.friction.si >= 0.0:
            raise OutOfRange("friction must not be below 0", where="friction", try_="Give for example friction=0.1.")
        return case

    def _ways(self, case: Case, leak: str) -> Ways:
        rate = self.rate.amount(case.line.gas.molar_mass) if self.rate else _TIMES_REJECTED * case.rejected
        return Ways(**dict.fromkeys(_WAYS[leak], rate))


def _told(card: Card, asked: DropTestWhatIf, case: Case, leak: str, moments: Sequence[Shut], tests: Sequence[Looked]) -> Outcome:
    first, last = tests[0], moments[-1]
    states = [outcome_of(leak, test.reading, case.shut.screw_in) for test in tests]
    numbers = _numbers(case, tests, last)
    if asked.runs:
        right = sum(state in ("clear", "seen") for state in states) / len(states)
        hidden = sum(state == "hidden" for state in states) / len(states)
        numbers |= {"read_right": exact(right, "share"), "read_tight": exact(hidden, "share")}
    reading = first.reading
    return Outcome(
        name="drop-test",
        state=states[0],
        numbers=numbers,
        reason=_reason(asked, leak),
        words={"leak": leak} | ({"reading": reading.reading, "verdict": reading.verdict} if reading else {"reading": "refused"}),
        series={"gauges": _points(case, moments, first)},
        frames=_frames(case, moments),
        charts=tuple(_chart(case, moments, first, k) for k in (0, 1)),
        prevented_by=_prevented(asked, case, reading),
        not_trusted=("needles", "one-temperature", "pinhole"),
        sources=tuple(dict.fromkeys((*_SOURCES, *(reading.sources if reading else ())))),
        blanks={"wait": exact(case.wait, "minutes"), "line": asked.line, "truth": leak},
        band="runs" if asked.runs else "none",
        runs=asked.runs,
    )


def _numbers(case: Case, tests: Sequence[Looked], last: Shut) -> dict[str, Quantity]:
    first = tests[0]
    shown = {
        "high_start": _seen([test.high[0] for test in tests]),
        "high_end": _seen([test.high[1] for test in tests]),
        "low_start": _seen([test.low[0] for test in tests]),
        "low_end": _seen([test.low[1] for test in tests]),
        "true_high_leak": exact(last.high_lost / case.wait, "leak"),
        "true_low_leak": exact(last.low_lost / case.wait, "leak"),
    }
    if (reading := first.reading) is None:
        return shown
    return shown | {
        "read_high_leak": reading.high_leak,
        "read_low_leak": reading.low_leak,
        "high_floor": reading.high_floor,
        "low_floor": reading.low_floor,
    }


def _seen(readings: list[float]) -> Quantity:
    if len(readings) == 1:
        return exact(readings[0], "gauge pressure")
    low, high = ends(sorted(readings), inner=True)
    return spread([readings[0], *(end for end in (low, high) if end is not None)], "gauge pressure")


def _reason(asked: DropTestWhatIf, leak: str) -> str:
    if asked.gas.si or asked.sun.si or asked.cooling.si:
        return "temperature"
    return leak


def _points(case: Case, moments: Sequence[Shut], test: Looked) -> tuple[dict[str, Quantity], ...]:
    chosen = sorted({round(k * (len(moments) - 1) / _POINTS) for k in range(_POINTS + 1)})
    line = case.line
    divisions = (line.inlet_division, line.outlet_division)
    return tuple(
        {"time": exact(moments[k].time, "seconds")}
        | {
            key: exact(to_mark(division, through[k]), "gauge pressure")
            for key, through, division in zip(("high", "low"), test.needles, divisions, strict=True)
        }
        for k in chosen
    )


def _chart(case: Case, moments: Sequence[Shut], test: Looked, side: int) -> Chart:
    key, air = ("high", "low")[side], case.figures.atmosphere
    true = tuple((moment.time, getattr(moment, key) - air) for moment in moments)
    needle = tuple((moment.time, stands) for moment, stands in zip(moments, test.needles[side], strict=True))
    shown = Curve("needle", needle, side="fu" if case.line.name == "fuel" else "ox")
    return Chart(key, "seconds", "gauge pressure", (Curve("pressure", true, side="ink"), shown))


def _frames(case: Case, moments: Sequence[Shut]) -> tuple[Frame, ...]:
    figures, name, air = case.figures, case.line.name, case.figures.atmosphere
    still: dict[str, Flow] = dict.fromkeys(figures.lines, "none")

    def one(moment: Shut, caption: str) -> Frame:
        low = (moment.low - air,) * (1 + len(case.line.parts))
        return frame(figures, moment.time, caption, supplies={name: moment.high - air}, pressures={name: low}, flows=still)

    return one(moments[0], "start"), one(moments[-1], "end")


def _prevented(asked: DropTestWhatIf, case: Case, reading: DropReading | None) -> tuple[Prevention, ...]:
    found = [
        Prevention("fluid", "always", f"{case.line.name} line"),
        Prevention("thermometer", "fitted" if asked.thermometer == "read" else "missing"),
    ]
    if reading is None:
        return tuple(found)
    floors = [reading.high_floor.high, reading.low_floor.high]
    enough = all(floor is not None and floor <= case.rejected for floor in floors)
    waits = [wait.value for wait in (reading.high_wait, reading.low_wait) if wait.value is not None]
    blanks: dict[str, Quantity | str] = {"wait": exact(max(waits), "minutes") if waits else "?", "rejected": exact(case.rejected, "leak")}
    return (*found, Prevention("longer", "fitted" if enough else "missing", "", blanks))
