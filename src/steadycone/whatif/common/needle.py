"""What a gauge shows of a pressure: a needle that sticks, a zero and a span that are off, and an eye that reads to the nearest mark."""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from steadycone.assembly.needle import SPAN


@dataclass(frozen=True, slots=True)
class Needle:
    """One gauge. Pressures Pa gauge.

    division : smallest change one can read;  friction : how far the needle may lag behind the pressure
    lag : -1 to 1, where in its friction it stands at first;  zero : Pa that it is off;  span : share that it is off

    Source      drop-needle
    """

    division: float
    friction: float = 0.0
    lag: float = 0.0
    zero: float = 0.0
    span: float = 0.0

    def shows(self, pressures: Sequence[float]) -> tuple[float, ...]:
        """Where the needle stands as the pressure moves through these values, one after the other."""
        found = []
        stands = pressures[0] + self.lag * self.friction
        for pressure in pressures:
            stands = min(max(stands, pressure - self.friction), pressure + self.friction)
            found.append(max(0.0, stands * (1.0 + self.span) + self.zero))
        return tuple(found)

    def read(self, stands: float) -> float:
        """The mark nearest to where the needle stands."""
        return max(0.0, round(stands / self.division) * self.division)


def some_needle(random: Random, division: float, friction: float, error: float) -> Needle:
    """A needle at random within what such gauges are: `friction` as a share of a division, zero within `error` [Pa]."""
    return Needle(division, friction * division, random.uniform(-1, 1), random.uniform(-error, error), random.uniform(-SPAN, SPAN))
