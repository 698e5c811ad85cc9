"""What one gauge can show of a leak from the gas shut in behind it: how far a tight needle may wander, and when a leak can't hide in that.

Real gas throughout: at 200 bar a bar of oxygen is 6 % more gas than an ideal one, and a kelvin moves its gauge by 0.9 bar instead of 0.7.
"""

from dataclasses import dataclass
from math import hypot

from steadycone.physics.gas import Gas, amount_stored, warmed_pressure

READ, FOLLOWS = 0.5, 0.25  # K, and share of the change: drop-temperature-read
UNREAD, UNREAD_A_MINUTE, UNREAD_MOST = 1.0, 0.2, 5.0  # K: drop-temperature-unread
USUAL, USUAL_EITHER_WAY = 288.15, 15.0  # K: drop-temperature-unread
AIR = 200.0 / 3600.0  # Pa/s: drop-atmosphere
WANDER, SPAN = 0.1, 0.02  # share of a step, share of the change: drop-gauge
NEVER = 1e7  # s, months: the air and the shop wander faster than this leak moves the gauge
SOURCES = ("drop-temperature-read", "drop-temperature-unread", "drop-atmosphere", "drop-gauge")


@dataclass(frozen=True, slots=True)
class Temperatures:
    """Of the gas before and after [K], and the halves of the last digits they were written to, in quadrature [K]."""

    start: float
    end: float
    digits: float = 0.0


def temperature_doubt(temperatures: Temperatures | None, time: float) -> float:
    """How far the change of the gas's temperature may be from what was read (or from none) [K], over a wait [s].

    Source      drop-temperature-read; drop-temperature-unread
    """
    if temperatures is None:
        return min(max(UNREAD, UNREAD_A_MINUTE * time / 60.0), UNREAD_MOST)
    return hypot(READ, temperatures.digits) + FOLLOWS * abs(temperatures.end - temperatures.start)


def wandering(step: float, time: float) -> float:
    """Pressure change [Pa] over a wait [s] that is the gauge's or the air's and not the gas's. `step` [Pa]: its smallest readable change.

    Source      drop-gauge; drop-atmosphere
    """
    return WANDER * step + AIR * time


def scale_doubt(temperatures: Temperatures | None) -> float:
    """Share by which every amount worked out may be off: the gauge's span, and the level of a temperature nobody read."""
    return SPAN + (0.0 if temperatures else USUAL_EITHER_WAY / USUAL)


def kelvin_worth(gas: Gas, pressure: float, temperature: float) -> float:
    """Pressure change [Pa] of enclosed gas at [Pa abs, K] for one kelvin; the cooler neighbour, for the warmer may lie past the table's end.

    Raises  OutOfRange: outside the gas's table.
    """
    if temperature > 255.0:
        return pressure - warmed_pressure(gas, pressure, temperature, temperature - 1.0)
    return warmed_pressure(gas, pressure, temperature, temperature + 1.0) - pressure


def pascal_worth(gas: Gas, volume: float, pressure: float, temperature: float) -> float:
    """Amount [mol] that a pascal is worth in a volume [m³] at [Pa abs, K].

    Raises  OutOfRange: outside the gas's table.
    """
    around = 0.01 * pressure
    above, under = (amount_stored(gas, volume, at, temperature) for at in (pressure, pressure - around))
    return (above - under) / around


@dataclass(frozen=True, slots=True)
class Needle:
    """One gauge and the gas shut in behind it.

    step : float   [Pa], the smallest change one can read
    kelvin : float   [Pa/K], what a kelvin does to it
    worth : float   [mol/Pa], what a pascal of it is worth
    temperatures : Temperatures or None   None: nobody reads them
    """

    step: float
    kelvin: float
    worth: float
    temperatures: Temperatures | None = None

    def doubt(self, time: float) -> float:
        """Change [Pa] over a wait [s] besides rounding that is no leak."""
        return wandering(self.step, time) + self.kelvin * temperature_doubt(self.temperatures, time)

    def still_below(self, time: float) -> float:
        """The fall [Pa] up to which a needle counts as still."""
        return max(0.5 * self.step, self.doubt(time))

    def shown(self, time: float) -> float:
        """The fall [Pa] that can't be called still: what still may be, and what rounding (under a step) and doubt may take from it."""
        return self.still_below(time) + self.step + self.doubt(time)

    def floor(self, time: float) -> float:
        """The smallest leak [mol/s] that can't be called still after a wait [s].

        Source      drop-movement
        """
        return self.worth * self.shown(time) / time

    def wait(self, leak: float) -> float:
        """Time [s] after which a leak [mol/s] can't be called still; `NEVER` at most. The doubt grows with the wait: found in rounds.

        Source      drop-movement
        """
        time = 0.0
        for _ in range(60):
            longer = self.worth * self.shown(time) / leak
            if abs(longer - time) <= 1e-6 * longer:
                return longer
            if longer > NEVER:
                return NEVER
            time = longer
        return time
