"""Oxygen driven against a closed end: how hot the gas that was there becomes, at once or while a valve opens slowly.

The gas caught in front of the closed end is squeezed by the oxygen behind it. At once, nothing is lost: an isentrope, with the heat
capacity of oxygen rising as its molecules begin to swing. Slowly, the wall takes heat by conduction alone: so a temperature here is
an upper bound of what a slow opening gives.
"""

import math
from dataclasses import dataclass

from steadycone.errors import OutOfRange

SWING = 2273.0  # K, characteristic temperature of the oxygen molecule's vibration: oxygen-vibration
CONDUCTIVITY = 0.0266  # W/(m K) of oxygen at 300 K, rising as T^0.8: oxygen-conductivity
CONDUCTIVITY_POWER = 0.8
_FIRST_MODE = 5.783  # square of the first zero of J0: radial cooling of a cylinder
_STEPS = 400


def heat_capacity(temperature: float) -> float:
    """cp / R of oxygen as an ideal gas [-]: rigid rotor and one swinging bond. Source: oxygen-vibration. 200 to 2000 K within 2 %."""
    x = SWING / temperature
    grown = math.exp(x)
    return 3.5 + x * x * grown / (grown - 1.0) ** 2


def _entropy(temperature: float) -> float:
    """Entropy / R at constant pressure, from an arbitrary zero."""
    x = SWING / temperature
    return 3.5 * math.log(temperature) + x / math.expm1(x) - math.log1p(-math.exp(-x))


def slammed_temperature(start_pressure: float, end_pressure: float, temperature: float) -> float:
    """Temperature [K] of oxygen squeezed at once from one pressure to another [Pa absolute], nothing lost.

    Parameters
    ----------
    start_pressure, end_pressure : float   [Pa absolute]
    temperature : float   [K], before

    Raises
    ------
    OutOfRange : a pressure is not above 0, the end is below the start, or the temperature is not above 0.

    Holds for   to 300 bar within 3 % of the rise; an ideal gas whose heat capacity follows the temperature
    Source      isentrope; oxygen-vibration
    """
    if not (0.0 < start_pressure <= end_pressure and temperature > 0.0):
        raise OutOfRange("squeezing needs a start pressure above 0 and not above the end's", where="pressure")
    wanted = _entropy(temperature) + math.log(end_pressure / start_pressure)
    low, high = temperature, temperature * math.pow(end_pressure / start_pressure, 1.0 / 3.5)
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _entropy(middle) < wanted else (low, middle)
    return 0.5 * (low + high)


@dataclass(frozen=True, slots=True)
class Opening:
    """start, end [Pa absolute]; temperature [K] of gas and wall before; bore [m] of the passage at the closed end."""

    start: float
    end: float
    temperature: float
    bore: float

    def hottest(self, seconds: float) -> float:
        """Highest temperature [K] of the squeezed gas while the pressure rises evenly over so many seconds.

        Marched in the logarithm of the pressure, heat to the wall taken at the end of each step so that none is overshot.
        """
        if seconds <= 0.0:
            return slammed_temperature(self.start, self.end, self.temperature)
        step = math.log(self.end / self.start) / _STEPS
        rate = (self.end - self.start) / seconds
        now = hottest = self.temperature
        pressure = self.start
        for _ in range(_STEPS):
            following = pressure * math.exp(step)
            squeezed = now * math.exp(step / heat_capacity(now))
            passed = (following - pressure) / rate
            share = passed / self.settling(following, squeezed)
            now = (squeezed + share * self.temperature) / (1.0 + share)
            hottest, pressure = max(hottest, now), following
        return hottest

    def settling(self, pressure: float, temperature: float) -> float:
        """Seconds in which the passage's gas loses two thirds of its excess to the wall, by conduction alone."""
        conductivity = CONDUCTIVITY * math.pow(temperature / 300.0, CONDUCTIVITY_POWER)
        diffusivity = conductivity * temperature / (pressure * heat_capacity(temperature))
        return self.bore * self.bore / (4.0 * _FIRST_MODE * diffusivity)
