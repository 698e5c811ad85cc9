"""One line shut for its drop test, what its gauges show, and how a reading of them stands to the truth."""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.assembly.gauges import gauges
from steadycone.errors import InputError
from steadycone.physics.transient.trapped import Shut, Trapped
from steadycone.practice.drop import DropReading, DropTest, Temperatures, read_drop
from steadycone.practice.drop.readings import Side
from steadycone.whatif.common.needle import some_needle

SETTLES = 60.0  # s: drop-gas-settles
_THERMOMETER = 0.5  # K, to which a thermometer is read; half of it is its last digit's doubt
EXPECTED = {
    "none": "no movement seen", "high": "leak before regulator", "low": "leak after regulator", "both": "leak both sides",
    "seat": "seat passing", "valve": "cylinder valve passing",
}  # fmt: skip
_NOT_LOCATED = "leak, not located"


@dataclass(frozen=True, slots=True)
class Case:
    """One line shut for its test. wait [s]; rejected [mol/s]."""

    figures: Figures
    line: LineFigures
    shut: Trapped
    wait: float
    rejected: float


@dataclass(frozen=True, slots=True)
class Looked:
    """One test as somebody would have read it: Pa gauge at both ends, the needles through the wait, and what practice says of it.

    reading : None where practice takes the readings for impossible, as when a high side that has emptied reads under the low one
    """

    high: tuple[float, float]
    low: tuple[float, float]
    needles: tuple[tuple[float, ...], tuple[float, ...]]
    reading: DropReading | None


def case_of(figures: Figures, line: LineFigures, screw_in: bool = False, wait: float | None = None) -> Case:
    """A line shut at the pressure of its leak test, its cylinder as it is now.

    Raises  InputError: a pressure that the card does not know, or a low side that is not below the high one.
    """
    policy, air = figures.setup.policy, figures.atmosphere
    high, low = line.supply.pressure.value, figures.leak_test.lines[line.name].low.pressure.value
    if high is None or low is None:
        raise InputError("a pressure of this line is not known", where=f"{line.name}.supply", try_="Give its pressure or its contents.")
    if high <= low:
        raise InputError(
            "the cylinder is not above the pressure of the leak test", where=f"{line.name}.supply", try_="Change the cylinder."
        )
    proving = line.proving
    assert proving.high_volume.value is not None
    assert proving.trapped_volume.value is not None
    shut = Trapped(line.gas, proving.high_volume.value, proving.trapped_volume.value, high + air, low + air, high + air, air, screw_in)
    return Case(figures, line, shut, wait or figures.leak_test.watch.value or 0.0, policy.leak.reject.amount(line.gas.molar_mass))


def looked(
    case: Case, moments: Sequence[Shut], random: Random, *, drift: float = 0.0, thermometer: bool = True, friction: float = 0.1
) -> Looked:  # fmt: skip
    """Both gauges through the wait, read at its ends, and the reading of that.

    Parameters
    ----------
    moments : from `watch`
    drift : float   [K], by which the shop warmed over the wait, as a thermometer shows it where anybody reads one
    friction : float   how far a needle may lag, as a share of its division
    """
    gauge, air = gauges(case.line.line.regulator, case.figures.setup.station.station.region), case.figures.atmosphere
    needles = (
        some_needle(random, gauge.inlet_division, friction, gauge.inlet_error),
        some_needle(random, gauge.outlet_division, friction, gauge.outlet_error),
    )
    shown = tuple(
        needle.shows([getattr(moment, side) - air for moment in moments]) for needle, side in zip(needles, ("high", "low"), strict=True)
    )
    (high, low) = ((needle.read(through[0]), needle.read(through[-1])) for needle, through in zip(needles, shown, strict=True))
    temperatures = None
    if thermometer:
        start = case.figures.ambient
        temperatures = Temperatures(to_mark(_THERMOMETER, start), to_mark(_THERMOMETER, start + drift), _THERMOMETER / 2)
    try:
        reading = read_drop(readings(case, high, low, temperatures))
    except InputError:  # of two gauges, each off within its class: an outcome of the test, not a fault of whoever asked
        reading = None
    return Looked(high, low, (shown[0], shown[1]), reading)


def readings(case: Case, high: tuple[float, float], low: tuple[float, float], temperatures: Temperatures | None) -> DropTest:
    """Readings [Pa gauge] as practice takes them.

    Raises  InputError: readings that cannot be.
    """
    figures, line, air = case.figures, case.line, case.figures.atmosphere
    cap = figures.cap.gauge if line.gas.name == "acetylene" else None
    return DropTest(
        gas=line.gas,
        high=Side("high", case.shut.high_volume, high[0] + air, high[1] + air, line.inlet_division),
        low=Side("low", case.shut.low_volume, low[0] + air, low[1] + air, line.outlet_division),
        time=case.wait,
        temperatures=temperatures,
        acceptance=case.rejected,
        screw="in" if case.shut.screw_in else "out",
        atmosphere=air,
        acetylene_cap=cap,
        liquid_likely=line.name == "fuel" and line.supply.vaporisation is not None,
    )


def expected(leak: str, screw_in: bool) -> str:
    """What a reading of a leak ought to say; with the screw in no side can be told."""
    return _NOT_LOCATED if screw_in and leak in ("high", "low", "both") else EXPECTED[leak]


def outcome_of(leak: str, reading: DropReading | None, screw_in: bool) -> str:
    """How the reading stands to the truth: clear, seen, hidden, false-alarm, not-clear, also, misread or refused."""
    if reading is None:
        return "refused"
    wanted = expected(leak, screw_in)
    if reading.reading == wanted:
        return "clear" if leak == "none" else "seen"
    if reading.reading == "not clear":
        return "not-clear"
    if leak == "none":
        return "false-alarm"
    if reading.reading == "no movement seen":
        return "hidden"
    return "also" if wanted in reading.also_possible else "misread"


def to_mark(step: float, value: float) -> float:
    """The nearest whole number of steps."""
    return round(value / step) * step
