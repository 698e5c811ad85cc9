"""One side of a pressure-drop test: its leak with a band, its floor, the wait it would take, and whether it moved.

All in two currencies: pressure [Pa], in which one reads and compares, and amount [mol], in which gas is kept.
"""

from dataclasses import dataclass
from typing import Literal

from steadycone.assembly.needle import (
    USUAL,
    USUAL_EITHER_WAY,
    Needle,
    kelvin_worth,
    pascal_worth,
    scale_doubt,
    temperature_doubt,
    wandering,
)
from steadycone.physics.gas import Gas, amount_stored, dew_pressure, warmed_pressure
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
    kelvin = kelvin_worth(test.gas, side.start, first)
    worth = pascal_worth(test.gas, side.volume, 0.5 * (side.start + side.end), last)
    needle = Needle(side.step, kelvin, worth, test.temperatures)
    doubt = needle.doubt(test.time)
    lost = amount_stored(test.gas, side.volume, side.start, first) - amount_stored(test.gas, side.volume, side.end, last)
    spread = worth * (side.step + doubt + scale_doubt(test.temperatures) * abs(fall))
    leak = band(lost / test.time, (lost - spread) / test.time, (lost + spread) / test.time, "leak")
    floor = exact(needle.floor(test.time), "leak")
    wait = exact(needle.wait(test.acceptance), "minutes")
    state = _state(test, side, raw, fall, needle)
    return Movement(side, state, raw, fall, doubt, kelvin, leak, floor, wait)


def _state(test: DropTest, side: Side, raw: float, fall: float, needle: Needle) -> State:
    """Still, moved, or between the two.

    Moved: at least a step, and more than the doubt with the rounding to be expected beside it. Still: no more than either of these
    leaves open, and where nobody read a temperature, the needle itself did not move either.
    """
    least = max(side.step, 0.5 * side.step + needle.doubt(test.time)) - _TOUCH * side.step
    if side.start - test.atmosphere < EMPTY_STEPS * side.step and raw > -least:
        return "empty"
    if abs(fall) >= least:
        if fall > 0.0 and test.warming and raw < side.step * (1.0 - _TOUCH):
            return "maybe down"  # the needle held: a leak only if all the gas warmed as the thermometer did
        return "down" if fall > 0.0 else "up"
    if abs(fall) > needle.still_below(test.time):
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
    doubt = wandering(side.step, test.time) + kelvin * (temperature_doubt(test.temperatures, test.time) + LIQUID_COOLS)
    fall = raw + kelvin * warmer
    state: State = "down" if fall >= side.step + doubt else "blind"
    return Movement(side, state, raw, fall, doubt, kelvin, unknown("leak"), unknown("leak"), unknown("minutes"))


def _dew_slope(gas: Gas, temperature: float) -> float:
    """Pa/K."""
    return dew_pressure(gas, temperature) - dew_pressure(gas, temperature - 1.0)
