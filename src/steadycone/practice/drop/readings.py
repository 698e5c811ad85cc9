"""What was read in a pressure-drop test, and the readings that cannot be."""

from dataclasses import dataclass
from typing import Literal

from steadycone.assembly.needle import Temperatures as Temperatures  # read by others from here
from steadycone.errors import InputError, OutOfRange
from steadycone.physics.gas import Gas
from steadycone.units import Pressure, PressureDifference

# A reading within this share of a step from a mark counts as on it: other units, or the atmosphere added, move the last digits.
_ON_A_MARK = 0.02
SETTLED, SETTLED_A_MINUTE = 2.0, 0.1  # K, and K/min in a long wait: drop-gas-warming


@dataclass(frozen=True, slots=True)
class Side:
    """One gauge and the gas trapped behind it: pressures [Pa absolute], volume [m³], smallest change one can read [Pa]."""

    name: Literal["high", "low"]
    volume: float
    start: float
    end: float
    step: float


@dataclass(frozen=True, slots=True)
class DropTest:
    """A whole test. `temperatures` None: nobody read them.

    time : float   [s], between the readings
    screw : "out": regulator backed off, its seat divides the sides. "in": the high side feeds the low one
    acceptance : float   [mol/s], the leak that the policy rejects
    acetylene_cap : float or None   [Pa gauge]; only for acetylene
    working : float or None   [Pa absolute], the low side's working static pressure, where the test was run below it
    liquid_likely : bool   the high side may hold liquid whatever the pressure says (LPG of unknown composition)
    """

    gas: Gas
    high: Side
    low: Side
    time: float
    temperatures: Temperatures | None
    acceptance: float
    screw: Literal["out", "in"] = "out"
    atmosphere: float = 101325.0
    acetylene_cap: float | None = None
    working: float | None = None
    liquid_likely: bool = False

    @property
    def warming(self) -> bool:
        """Whether the gas had not settled: it warmed by more than a shop does in this wait.

        Source      drop-gas-warming
        """
        if self.temperatures is None:
            return False
        return self.temperatures.end - self.temperatures.start > max(SETTLED, SETTLED_A_MINUTE * self.time / 60.0) + 1e-6

    def __post_init__(self) -> None:
        """Raises  OutOfRange, InputError: a reading that cannot be; `where` names the field."""
        if not self.time > 0.0:
            raise OutOfRange("the end is not after the start", where="minutes", try_="Give the minutes between the two readings, above 0.")
        if not self.acceptance > 0.0:
            raise OutOfRange("no wait is long enough to prove no leak at all", where="acceptance", try_='Give for example "2 L/h".')
        for side in (self.high, self.low):
            self._side_can_be(side)
        self._high_is_above_low("start", self.high.start, self.low.start)
        self._high_is_above_low("end", self.high.end, self.low.end)
        if self.working is not None and not self.working > self.atmosphere:
            raise OutOfRange("the working pressure is not above the air around", where="working", try_='Give for example "3.5 bar".')

    def _side_can_be(self, side: Side) -> None:
        if not side.volume > 0.0:
            raise OutOfRange("a volume must be above 0", where=f"{side.name}_volume", try_='Give for example "0.03 L".')
        for when, pressure in (("start", side.start), ("end", side.end)):
            # a gauge rounded to its step may stand half a step under zero
            if pressure < self.atmosphere - 0.5 * side.step or not pressure > 0.0:
                raise OutOfRange(
                    f"{(pressure - self.atmosphere) / 1e5:.3g} bar gauge is below the air around",
                    where=f"{side.name}_{when}",
                    try_="A station under test holds pressure; check the sign and whether the value is gauge or absolute.",
                )

    def _high_is_above_low(self, when: str, high: float, low: float) -> None:
        """Beyond half a step of each gauge; the two may be equal once a seat has let the high side down to the low one."""
        if high + 0.5 * self.high.step < low - 0.5 * self.low.step:
            raise InputError(
                f"the high side's {(high - self.atmosphere) / 1e5:.4g} bar is below the low side's {(low - self.atmosphere) / 1e5:.4g} bar",
                where=f"high_{when}",
                try_="The regulator can only lower a pressure: check whether the two gauges were swapped.",
            )


def read_side(
    name: Literal["high", "low"], volume: float, start: Pressure, end: Pressure, readability: PressureDifference, atmosphere: float
) -> Side:
    """A side from the values as written.

    Parameters
    ----------
    volume : float   [m³]
    readability : smallest change one can read on the gauge
    atmosphere : float   [Pa absolute]

    Raises
    ------
    OutOfRange : the readability is not above 0. InputError : a reading finer than the gauge can be read.
    """
    if not readability.si > 0.0:
        raise OutOfRange("the smallest readable change must be above 0", where=f"{name}_readability", try_='Give for example "0.1 bar".')
    for when, reading in (("start", start), ("end", end)):
        _refuse_finer(f"{name}_{when}", reading, readability, atmosphere)
    return Side(name, volume, start.abs(atmosphere), end.abs(atmosphere), readability.si)


def _refuse_finer(where: str, reading: Pressure, readability: PressureDifference, atmosphere: float) -> None:
    """A reading is on a mark of its gauge, or written no finer than the marks are apart (a scale in another unit)."""
    step = readability.si
    if _on_a_mark(reading.si, step) or _on_a_mark(reading.gauge(atmosphere), step):
        return
    # Another unit's digits do not fall on these marks: there half a step is close enough to be a reading.
    finest = step if reading.unit == readability.unit else 0.5 * step
    if 2.0 * reading.half_digit >= finest * (1.0 - 1e-9):
        return
    raise InputError(
        f'"{reading.text}" is read finer than the gauge can be, whose smallest readable change is "{readability.text}"',
        where=where,
        try_=f"Read to the nearest {readability.text}, or correct {where.partition('_')[0]}_readability.",
    )


def _on_a_mark(pressure: float, step: float) -> bool:
    marks = pressure / step
    return abs(marks - round(marks)) <= _ON_A_MARK
