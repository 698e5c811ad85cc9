"""One side of a pressure-drop test: its leak with a band, its floor, the wait it would take, and whether it moved.

All in two currencies: pressure [Pa], in which one reads and compares, and amount [mol], in which gas is kept. Real gas throughout: at
200 bar a bar of oxygen is 6 % more gas than an ideal one, and a kelvin moves its gauge by 0.9 bar instead of 0.7.
"""

from dataclasses import dataclass
from typing import Literal

from steadycone.physics.gas import Gas, amount_stored, dew_pressure, warmed_pressure
from steadycone.practice.drop.doubt import USUAL, USUAL_EITHER_WAY, scale_doubt, temperature_doubt, wandering
from steadycone.practice.drop.readings import DropTest, Side
from steadycone.quantity import Quantity, band, exact, unknown

# "maybe": more than rounding alone should do, less than proves it. "blind": liquid may keep the pressure up. "empty": no test pressure.
State = Literal["still", "down", "up", "maybe down", "maybe up", "blind", "empty"]

NEAR_DEW, LIQUID_COOLS = 2.0, 5.0  # K: drop-vapour
EMPTY_STEPS = 2.0  # drop-no-pressure
_TOUCH = 1e-3  # of a step: a change of one whole step is one, whatever the last digit says
SOURCES = ("drop-movement", "drop-gas-warming", "drop-vapour", "drop-no-pressure")


@dataclass(frozen=True, slots=True)
class Movement:
    """What one side did.

    raw : float   [Pa], fall of the gauge as read
    fall : float   [Pa], fall that the temperatures read do not explain; below 0 the side gained gas
    doubt : float   [Pa], of `fall`, besides the rounding of both readings (one step together)
    kelvin : float   [Pa/K], what a kelvin does to this gauge
    leak, floor, wait : Quantity   mol/s out of the side, mol/s, s; unknown where liquid may keep the pressure up
    """

    side: Side
    state: State
    raw: float
    fall: float
    doubt: float
    kelvin: float
    leak: Quantity
    floor: Quantity
    wait: Quantity

    @property
    def moved(self) -> bool:
        return self.state in ("up", "down")

    @property
    def kelvin_needed(self) -> tuple[float, float]:
        """Least and largest change of temperature [K] that alone would explain the fall or rise."""
        slack = self.side.step + self.doubt
        return max(abs(self.fall) - slack, 0.0) / self.kelvin, (abs(self.fall) + slack) / self.kelvin


def movement(test: DropTest, side: Side) -> Movement:
    """What one side did, by what its gauge and the temperatures say.

    Raises
    ------
    OutOfRange : pressure or temperature outside the gas's table.

    Source      drop-movement; mass balance with real gas
    """
    first, last = (test.temperatures.start, test.temperatures.end) if test.temperatures else (USUAL, USUAL)
    raw = side.start - side.end
    if _may_be_liquid(test, side, min(first, last)):
        return _blind(test, side, raw, first, last)
    tight = side.start if first == last else warmed_pressure(test.gas, side.start, first, last)
    fall = tight - side.end
    kelvin = _kelvin(test.gas, side.start, first)
    doubt = _doubt(test, side, kelvin, test.time)
    worth = _worth(test.gas, side, last)
    lost = amount_stored(test.gas, side.volume, side.start, first) - amount_stored(test.gas, side.volume, side.end, last)
    spread = worth * (side.step + doubt + scale_doubt(test.temperatures) * abs(fall))
    leak = band(lost / test.time, (lost - spread) / test.time, (lost + spread) / test.time, "leak")
    floor = exact(worth * _shown_for_sure(side.step, doubt) / test.time, "leak")
    wait = exact(_wait(test, side, kelvin, worth), "minutes")
    state = _state(test, side, raw, fall, doubt)
    return Movement(side, state, raw, fall, doubt, kelvin, leak, floor, wait)


def _doubt(test: DropTest, side: Side, kelvin: float, time: float) -> float:
    return wandering(side, time) + kelvin * temperature_doubt(test.temperatures, time)


def _kelvin(gas: Gas, pressure: float, temperature: float) -> float:
    """Pressure change [Pa] of the enclosed gas for one kelvin; the cooler neighbour, for the warmer may lie past the table's end."""
    if temperature > 255.0:
        return pressure - warmed_pressure(gas, pressure, temperature, temperature - 1.0)
    return warmed_pressure(gas, pressure, temperature, temperature + 1.0) - pressure


def _worth(gas: Gas, side: Side, temperature: float) -> float:
    """Amount [mol] that a pascal is worth between the two readings."""
    middle = 0.5 * (side.start + side.end)
    around = 0.01 * middle
    above, under = (amount_stored(gas, side.volume, pressure, temperature) for pressure in (middle, middle - around))
    return (above - under) / around


def _still_below(step: float, doubt: float) -> float:
    return max(0.5 * step, doubt)


def _shown_for_sure(step: float, doubt: float) -> float:
    """The fall [Pa] that can't be called still: what still may be, and what rounding (under a step) and doubt may take from it."""
    return _still_below(step, doubt) + step + doubt


def _wait(test: DropTest, side: Side, kelvin: float, worth: float) -> float:
    """Time [s] after which a leak at the acceptance can't be called still. The doubt grows with the wait, so it is found in rounds."""
    time = 0.0
    for _ in range(60):
        longer = worth * _shown_for_sure(side.step, _doubt(test, side, kelvin, time)) / test.acceptance
        if abs(longer - time) <= 1e-6 * longer:
            return longer
        if longer > 1e7:  # months: the air and the shop wander faster than this leak moves the gauge
            return 1e7
        time = longer
    return time


def _state(test: DropTest, side: Side, raw: float, fall: float, doubt: float) -> State:
    """Still, moved, or between the two.

    Moved: at least a step, and more than the doubt with the rounding to be expected beside it. Still: no more than either of these
    leaves open, and where nobody read a temperature, the needle itself did not move either.
    """
    least = max(side.step, 0.5 * side.step + doubt) - _TOUCH * side.step
    if side.start - test.atmosphere < EMPTY_STEPS * side.step and raw > -least:
        return "empty"
    if abs(fall) >= least:
        if fall > 0.0 and test.warming and raw < side.step * (1.0 - _TOUCH):
            return "maybe down"  # the needle held: a leak only if all the gas warmed as the thermometer did
        return "down" if fall > 0.0 else "up"
    if abs(fall) > _still_below(side.step, doubt):
        return "maybe down" if fall > 0.0 else "maybe up"
    if test.temperatures is None and abs(raw) >= side.step * (1.0 - _TOUCH):
        return "maybe down" if raw > 0.0 else "maybe up"
    return "still"


def _may_be_liquid(test: DropTest, side: Side, temperature: float) -> bool:
    """Whether the gas may stand over its liquid, at the coldest it may be."""
    if test.liquid_likely and side.name == "high":
        return True
    either_way = NEAR_DEW if test.temperatures else USUAL_EITHER_WAY
    return max(side.start, side.end) + 0.5 * side.step >= dew_pressure(test.gas, temperature - either_way)


def _blind(test: DropTest, side: Side, raw: float, first: float, last: float) -> Movement:
    """A side that may hold liquid: only a fall beyond any cooling says that gas has left, and never how much.

    Source      drop-vapour
    """
    kelvin = abs(_dew_slope(test.gas, last)) if dew_pressure(test.gas, last) < 1e8 else 0.03 * side.start
    warmer = last - first
    doubt = wandering(side, test.time) + kelvin * (temperature_doubt(test.temperatures, test.time) + LIQUID_COOLS)
    fall = raw + kelvin * warmer
    state: State = "down" if fall >= side.step + doubt else "blind"
    return Movement(side, state, raw, fall, doubt, kelvin, unknown("leak"), unknown("leak"), unknown("minutes"))


def _dew_slope(gas: Gas, temperature: float) -> float:
    """Pa/K."""
    return dew_pressure(gas, temperature) - dew_pressure(gas, temperature - 1.0)
