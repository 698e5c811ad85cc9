"""How long a store takes to run down from one pressure to another through what draws on it."""

import math
from collections.abc import Callable

from steadycone.errors import OutOfRange
from steadycone.physics.flow.orifice import critical_coefficient
from steadycone.physics.flow.stream import Stream

STEPS = 24  # pressures in equal ratios; halving them moves a time by under 0.1 % (tests/laws)


def run_down_time(
    amount_at: Callable[[float], float], flow_at: Callable[[float], float], start: float, end: float, steps: int = STEPS
) -> float:
    """Seconds for a store to fall from one pressure to a lower one.

    Parameters
    ----------
    amount_at : mol held at a pressure [Pa absolute]; any gas, any store
    flow_at : mol/s drawn at it, above 0 from start to end
    start, end : float   [Pa absolute]

    Raises
    ------
    OutOfRange : the end is not below the start and above 0, or the flow stops on the way.

    Source      mass balance; between two pressures the flow is taken as the logarithmic mean of both, exact for a choked opening
    """
    if not 0.0 < end <= start:
        raise OutOfRange("a store runs down from a higher pressure to a lower one above 0", where="run-down")
    ratio = (end / start) ** (1.0 / steps)
    pressures = [start * ratio**i for i in range(steps)] + [end]
    held, flows = [amount_at(p) for p in pressures], [flow_at(p) for p in pressures]
    if min(flows) <= 0.0:
        raise OutOfRange("the flow stops before the store has run down so far", where="run-down")
    total = 0.0
    for i in range(steps):
        total += (held[i] - held[i + 1]) / _logarithmic_mean(flows[i], flows[i + 1])
    return total


def choked_run_down_time(volume: float, area: float, stream: Stream, start: float, end: float) -> float:
    """Seconds for a closed volume [m³] of ideal gas to fall from start to end [Pa absolute] through a sonic opening [m², effective].

    Isothermal: p falls as an exponential. Source: nozzle-ideal.
    """
    rate = area * critical_coefficient(stream.gamma) * math.sqrt(stream.gas_constant * stream.temperature) / volume
    return math.log(start / end) / rate


def _logarithmic_mean(one: float, other: float) -> float:
    if abs(one - other) < 1e-6 * one:
        return 0.5 * (one + other)
    return (one - other) / math.log(one / other)
