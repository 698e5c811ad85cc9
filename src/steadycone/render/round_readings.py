"""How a phone asks for a reading: unit, marks, and the values that stop at once."""

import math
from dataclasses import dataclass

from steadycone.practice import air
from steadycone.practice.judging import ends
from steadycone.procedures import settings
from steadycone.procedures.rounds import PlanStep
from steadycone.procedures.rounds.judge import ceiling, rating
from steadycone.procedures.rounds.limits import limit
from steadycone.render.numbers import step_decimals
from steadycone.render.round_words import RoundWords
from steadycone.units import Pressure, unit_size

_DIGITS = 9  # decimals of a limit in the asked unit: below any gauge, above the noise of a conversion
TOUCH = 1e-6  # of a mark, as procedures/rounds/judge.py has it
TIE = 1e-7  # share by which a limit is drawn in where rounding might decide a tie: then this side stops


@dataclass(frozen=True, slots=True)
class Asked:
    """
    unit : as the answer writes it; "" for a time of day
    press : what one press of plus or minus changes, the gauge's smallest readable change; decimals to write it with
    start : where the first press begins; None = at zero
    size : Pa of one unit, for pressures; K of one degree, for temperatures
    low, high : a value below or above stops; None = no such limit. dead : every value stops, the card has no number for it
    assumed : the marks are the usual ones for such a gauge: it may have finer ones
    least, most : marks that it may stand below and above the reading it is held beside; None = any
    wanted : what the card says, for the scale; None = nothing. cap : [Pa gauge] of acetylene, for a reading of the needle test
    """

    unit: str
    press: float
    decimals: int
    start: float | None
    size: float
    low: float | None = None
    high: float | None = None
    dead: bool = False
    wanted: float | None = None
    cap: float | None = None
    assumed: bool = False
    least: float | None = None
    most: float | None = None

    def text(self, value: float) -> str:
        return f"{value:.{self.decimals}f}"


def asked_of(step: PlanStep, told: RoundWords) -> Asked | None:
    """None where no number is asked."""
    if step.kind != "reading":
        return None
    if step.reading == "time of day":
        return Asked("", 0.0, 0, None, 1.0)
    if step.reading == "temperature":
        unit = told.unit(step)
        ambient = told.words.numbers.convert(told.plan.judged.figures.ambient, "temperature")
        return Asked(unit, 0.5 if unit == "°C" else 1.0, 1 if unit == "°C" else 0, round(ambient), 1.0 if unit == "°C" else 5 / 9)
    if step.reading == "share":
        low, high = _air(step, told)
        return Asked("%", 0.1, 1, 20.9 if step.judge == "air-oxygen" else 0.0, 0.01, low, high)
    return _gauge(step, told)


def _air(step: PlanStep, told: RoundWords) -> tuple[float | None, float | None]:
    """In per cent. The fuel's limit itself stops, the oxygen's ones do not."""
    figures = told.plan.judged.figures
    if step.judge == "air-oxygen":
        high = settings.enrichment(figures).value or 0.0
        return round(air.oxygen_low(figures).si * 100, _DIGITS), round(high * 100, _DIGITS)
    if step.judge == "air-fuel":
        return None, round(air.fuel_most(figures).si * 100 - 1e-6, _DIGITS)
    return None, None


def _gauge(step: PlanStep, told: RoundWords) -> Asked:
    assert step.division is not None
    unit, press, decimals = marks(step, told)
    size = unit_size(Pressure, unit)
    low, high, dead = _limits(step, told)
    wanted = _wanted(step, told)
    on_mark = None if wanted is None else round(round(wanted / size / press) * press, _DIGITS)
    return Asked(
        unit, press, decimals, None if told.plan.card_stops else on_mark, size,
        low=None if low is None else round(low / size, _DIGITS),
        high=None if high is None else round(high / size, _DIGITS),
        dead=dead,
        wanted=None if wanted is None or told.plan.card_stops else round(wanted / size, _DIGITS), cap=_cap(step, told),
        assumed=step.assumed, **_beside(step, size),
    )  # fmt: skip


def marks(step: PlanStep, told: RoundWords) -> tuple[str, float, int]:
    """Unit, press and decimals: the region's unit where the gauge's marks are round in it or whole units are fine enough, else the gauge's own."""
    assert step.division is not None
    for unit in (told.unit(step), step.division.unit):
        press = step.division.si / unit_size(Pressure, unit)
        decimals = step_decimals(press)
        if abs(press * 10**decimals - round(press * 10**decimals)) < 1e-6 and decimals <= 3:
            return unit, round(press, decimals), decimals
        coarse = math.ceil(math.log10(0.5 * press) - 1e-9)
        if coarse <= 0:  # a number written to this digit is no finer than half a mark
            return unit, 10.0**coarse, -coarse
    return step.division.unit, step.division.si / unit_size(Pressure, step.division.unit), 3


def division(step: PlanStep, told: RoundWords) -> str | None:
    """The gauge's smallest readable change in the unit that is asked; None where no gauge is read."""
    if step.division is None:
        return None
    unit = marks(step, told)[0]
    return f"{step.division.si / unit_size(Pressure, unit):.6g} {unit}"


def _limits(step: PlanStep, told: RoundWords) -> tuple[float | None, float | None, bool]:
    """Low, high [Pa gauge] and dead, never looser than procedures/rounds/judge.py: a tie stops where rounding might decide."""
    assert step.division is not None
    figures, size, touch = told.plan.judged.figures, step.division.si, TOUCH * step.division.si
    if step.judge == "zero":
        return None, touch, False
    rated = rating(figures, step)
    if step.judge == "planned":
        planned = ends(figures.lines[step.line].supply.pressure)
        least = max(size, (told.plan.least(step.line) or 0.0) - touch) if planned is not None else None
        return least, None if rated is None else rated + touch, False
    if step.judge not in ("test", "set", "shut"):
        return None, None if rated is None else rated + touch, False
    line, most = figures.lines[step.line], ceiling(figures, step) + touch
    if step.judge == "test":
        wanted = ends(settings.test_pressure(figures, line))
        return None if wanted is None else limit("test-low").si * wanted.value * (1 + TIE), most, False
    if step.judge == "shut":
        found = ends(settings.shut_pressure(figures, line))
        return None, most if found is None else min(most, found.value + touch), found is None
    found = ends(line.set_pressure)
    if found is None:
        return None, most, True
    off = max(limit("set-off").si * found.value * (1 - TIE), size * (1 + TOUCH))
    return found.value - off, min(most, found.value + off), False


def _wanted(step: PlanStep, told: RoundWords) -> float | None:
    """What the card expects here [Pa gauge]."""
    figures = told.plan.judged.figures
    line = figures.lines[step.line]
    if step.judge == "zero":
        return 0.0
    if step.judge == "set":
        return line.set_pressure.value
    if step.judge == "shut":
        return settings.shut_pressure(figures, line).value
    if step.reading == "high":
        found = ends(line.supply.pressure)
        return None if found is None else found.value
    return settings.test_pressure(figures, line).value


def _beside(step: PlanStep, size: float) -> dict[str, float]:
    """How far below or above the reading that it is held beside, in the asked unit, drawn in by a tie."""
    if not step.beside or step.division is None:
        return {}
    marks = limit("lost-before" if step.id.startswith("leak-start-") else "shut-below").si
    side = "most" if step.judge == "set" else "least"
    return {side: round((marks + 0.5 * TOUCH) * step.division.si / size, _DIGITS)}


def _cap(step: PlanStep, told: RoundWords) -> float | None:
    """The needle test stops where acetylene's low side may stand above it."""
    figures = told.plan.judged.figures
    tested = step.id.startswith(("leak-start-low.", "leak-end-low."))
    return figures.cap.gauge if tested and figures.lines[step.line].gas.name == "acetylene" else None
