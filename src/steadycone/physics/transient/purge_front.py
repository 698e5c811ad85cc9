"""How much of the old gas is left along a hose while it is purged: a front that smears, behind a body that mixes.

The front's arrival spreads as `purge.dispersion` has it; what enters has first to clear the regulator body, which mixes, so its share
of new gas rises as 1 - e^(-t/tau). Both delays add, so their distributions are folded: a mean of the front over the body's delay,
taken at equal shares of it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from steadycone.errors import OutOfRange
from steadycone.units import GAS_CONSTANT

_STRIPS = 400  # of the body's delay: a share is then known to a quarter of a per mille


@dataclass(frozen=True, slots=True)
class Front:
    """plug : s until an unsmeared front is at the end; spread : s, standard deviation of its arrival; mixing : s, the body's volume over flow."""

    plug: float
    spread: float
    mixing: float

    def new_at_end(self, time: float) -> float:
        """Share of new gas [-] leaving the end after a time [s]."""
        return self.new_at(1.0, time)

    def new_at(self, place: float, time: float) -> float:
        """Share of new gas [-] at a place, 0 the regulator to 1 the end."""
        plug, spread = self.plug * place, self.spread * math.sqrt(place)
        if self.mixing <= 0.0:
            return _arrived(time, plug, spread)
        total = 0.0
        for i in range(_STRIPS):
            total += _arrived(time + self.mixing * math.log1p(-(i + 0.5) / _STRIPS), plug, spread)
        return total / _STRIPS

    def cleared_after(self, share: float) -> float:
        """Seconds until a share [-] of new gas leaves the end."""
        if not 0.0 < share < 1.0:
            raise OutOfRange(f"a share of {share:g} must be between 0 and 1", where="purge")
        low, high = 0.0, self.plug + 10.0 * self.spread + 20.0 * self.mixing
        while self.new_at_end(high) < share:
            high *= 1.5
        for _ in range(40):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.new_at_end(middle) < share else (low, middle)
        return high

    def along(self, time: float, cells: int) -> tuple[float, ...]:
        """Shares of new gas at the middles of so many cells, regulator to end."""
        return tuple(self.new_at((i + 0.5) / cells, time) for i in range(cells))


def purge_front(pieces: Sequence[tuple[float, float, float]], volume_flow: float, body: float) -> Front:
    """The front through hoses in a row.

    Parameters
    ----------
    pieces : (length [m], bore [m], dispersion [m²/s]) of each
    volume_flow : float   [m³/s] at the hose's pressure
    body : float   [m³] that mixes before the first

    Raises
    ------
    OutOfRange : no hose, or a length, bore or flow not above 0.

    Holds for   hoses longer than their front is wide; the variance 2 E L / u³ of each piece adds
    Source      taylor-dispersion; the fold is derived here
    """
    if not pieces or not volume_flow > 0.0 or min(min(length, bore) for length, bore, _ in pieces) <= 0.0 or body < 0.0:
        raise OutOfRange("a purge needs a hose and a flow above 0", where="purge")
    plug = variance = 0.0
    for length, bore, spreading in pieces:
        speed = volume_flow / (math.pi / 4.0 * bore * bore)
        plug += length / speed
        variance += 2.0 * spreading * length / speed**3
    return Front(plug, math.sqrt(variance), body / volume_flow)


def volume_flow_of(flow: float, pressure: float, temperature: float) -> float:
    """m³/s of a flow [mol/s] at a pressure [Pa absolute] and temperature [K]."""
    return flow * GAS_CONSTANT * temperature / pressure


def _arrived(time: float, plug: float, spread: float) -> float:
    """Share arrived; the front's width grows with the root of time, as dispersion does."""
    if time <= 0.0:
        return 0.0
    if plug <= 0.0 or spread <= 0.0:
        return 1.0 if time >= plug else 0.0
    return 0.5 * math.erfc((plug - time) / (spread * math.sqrt(2.0 * time / plug)))
