"""Read the two gauges: a drop test simulated on the station, and what the readings say. The reading is practice's, not the hidden truth."""

from dataclasses import replace
from random import Random
from typing import Any

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.data.reader import toml
from steadycone.physics.transient.trapped import Ways, settling, watch
from steadycone.practice.drop import DropReading
from steadycone.quantity import Quantity, exact
from steadycone.whatif.common.shut import SETTLES, Case, Looked, case_of, looked, outcome_of
from steadycone.whatif.drills.model import LETTERS, Accepted, Dials, Option, Question, Text, Turn

_SOURCES = ("drop-patterns", "drop-movement", "drop-verdict")
_FAIR = {"clear", "seen", "hidden", "not-clear"}  # what gauges can be read for: the others are no question but a trap
_ASKED = ("none", "high", "low", "both", "seat")  # a passing cylinder valve shows in no test of one cylinder: it is said, not asked
_OVER = 0.2  # of the acetylene tests: over the cap
_WAYS = {"none": (), "high": ("high",), "low": ("low",), "both": ("high", "low"), "seat": ("seat",)}


def question(figures: Figures, random: Random, turn: Turn) -> Question | None:
    """One test, or None where the draw gives no fair question."""
    case = _case(figures, random)
    if case is None:
        return None
    leak = turn.of(_ASKED)
    drift = random.choice((0.0, 0.0, 0.0, -2.0, 2.0, 4.0))
    rate = case.rejected * random.uniform(1.5, 6.0)
    ways = Ways(**dict.fromkeys(_WAYS[leak], rate))
    moments = watch(case.shut, ways, settling(figures.ambient, drift, 0.0, SETTLES, case.wait), case.wait)
    test = looked(case, moments, random, drift=drift)
    if test.reading is None or outcome_of(leak, test.reading, screw_in=False) not in _FAIR:
        return None
    return _told(case, leak, rate, drift, test, test.reading)


def _case(figures: Figures, random: Random) -> Case | None:
    """A line at a random cylinder pressure, on its gauge's marks; one whose high side may hold liquid can't be read and is left out."""
    lines = [
        line for line in figures.lines.values() if line.supply.vaporisation is None and line.static.value and line.supply.pressure.value
    ]
    if not lines:
        return None
    line = random.choice(lines)
    assert line.static.value is not None
    assert line.supply.pressure.value is not None
    top = min(line.supply.pressure.value, 0.8 * line.outlet_scale + line.supply.pressure.value)
    low = _low(figures, line, random)
    high = _on_mark(top * random.uniform(0.35, 1.0), line.inlet_division)
    if high < 3.0 * low:
        return None
    case, air = case_of(figures, line), figures.atmosphere
    shut = replace(case.shut, high_pressure=high + air, low_pressure=low + air, cylinder=max(high, line.supply.pressure.value) + air)
    return replace(case, shut=shut)


def _low(figures: Figures, line: LineFigures, random: Random) -> float:
    """A pressure to test at. Acetylene stands under its cap, or now and then over it: then that is the answer."""
    assert line.static.value is not None
    wanted, division = line.static.value * random.uniform(0.6, 1.0), line.outlet_division
    if line.gas.name != "acetylene":
        return _on_mark(wanted, division)
    highest = figures.cap.gauge
    if random.random() < _OVER:
        return _on_mark(highest * random.uniform(1.1, 1.5) + division, division)
    return min(_on_mark(wanted, division), max(1.0, (highest - division) // division) * division)


def _on_mark(pressure: float, division: float) -> float:
    return max(1.0, round(pressure / division)) * division


def _told(case: Case, leak: str, rate: float, drift: float, test: Looked, read: DropReading) -> Question:
    table = toml("drills/gauges.toml")
    over = "acetylene over its cap" in read.because
    letters: dict[str, str] = dict(zip(table["readings"], LETTERS, strict=False))
    options = tuple(Option(letter, Text(table["readings"][name])) for name, letter in letters.items())
    accepted = [_over_cap(case, table, letters)] if over else _by_needles(table, read, letters)
    line, ambient = case.line, case.figures.ambient
    return Question(
        "choice",
        Text(table["asks"], _blanks(case, test, ambient, drift)),
        tuple(accepted),
        options,
        {letter: Text(table["wrong"][name]) for name, letter in letters.items()},
        Text(table["truth"][leak], {"rate": exact(rate, "leak"), "change": f"{drift:+.0f} K".replace("-", "−")}),
        Dials(
            (*test.high, _scale(line.inlet_division, test.high[0]), line.inlet_division),
            (*test.low, _scale(line.outlet_division, test.low[0]), line.outlet_division),
            line.name,
        ),
    )


def _over_cap(case: Case, table: dict[str, Any], letters: dict[str, str]) -> Accepted:
    cap = case.figures.cap
    because = Text(table["because"]["over its cap"], {"cap": exact(cap.gauge, "gauge pressure")})
    return Accepted((letters["over its cap"],), because, (cap.source,))


def _by_needles(table: dict[str, Any], read: DropReading, letters: dict[str, str]) -> list[Accepted]:
    because = Text(" ".join(table["because"][key] for key in (read.reading, read.verdict)))
    half = Text(table["also"].replace("{reading}", table["readings"][read.reading]))
    also = [Accepted((letters[other],), half, _SOURCES, 0.5) for other in read.also_possible if other in letters]
    return [Accepted((letters[read.reading],), because, _SOURCES), *also]


def _scale(division: float, pressure: float) -> float:
    """A dial of fifty divisions or as many more as the pressure needs."""
    return division * max(50, 10 * round(1.3 * pressure / division / 10))


def _blanks(case: Case, test: Looked, ambient: float, drift: float) -> dict[str, Quantity | str]:
    return {
        "line": case.line.name.replace("_", " "),
        "wait": exact(case.wait, "minutes"),
        "high_start": exact(test.high[0], "gauge pressure"),
        "high_end": exact(test.high[1], "gauge pressure"),
        "low_start": exact(test.low[0], "gauge pressure"),
        "low_end": exact(test.low[1], "gauge pressure"),
        "temperature_start": exact(round(ambient), "temperature"),
        "temperature_end": exact(round(ambient + drift), "temperature"),
        "high_step": exact(case.line.inlet_division, "pressure difference"),
        "low_step": exact(case.line.outlet_division, "pressure difference"),
    }
