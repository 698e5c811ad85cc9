"""What one end of a hose is fed with, as a table of flow against the pressure it runs into.

Near the pressure at which it stops, a flow goes with the root of what is left; so the table runs in that root, where it is nearly
straight, and a filling time is a plain sum of it.
"""

import math
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field

from steadycone.units import GAS_CONSTANT

NODES = 64  # straight lines between so many points are within 1e-4 of the flow of a sharp opening (tests/laws)


@dataclass(frozen=True, slots=True)
class Feed:
    """top : pressure [Pa] at which nothing more comes in; step : of the root of top less pressure [Pa^0.5]; flows : mol/s at 0, 1, 2 … steps."""

    top: float
    step: float
    flows: tuple[float, ...]

    def flow(self, pressure: float) -> float:
        """mol/s into a pressure [Pa]; 0 at and above the top; below the last point as at it."""
        if pressure >= self.top:
            return 0.0
        place = math.sqrt(self.top - pressure) / self.step
        at = int(place)
        if at >= len(self.flows) - 1:
            return self.flows[-1]
        return self.flows[at] + (place - at) * (self.flows[at + 1] - self.flows[at])

    def meet(self, slope: float, rest: float, share: float) -> tuple[float, float]:
        """Pressure p and flow q with slope p = rest + share q: what a feed and the hose behind it agree on.

        slope, share above 0. The left side less the right rises with p, so there is one answer: the piece is found by halving,
        and in it the flow is straight in the root, which leaves a quadratic.
        """
        if rest >= slope * self.top:
            return rest / slope, 0.0
        flows, step, top = self.flows, self.step, self.top
        low, high = 0, len(flows)  # pieces; the one beyond the last has a constant flow
        while high - low > 1:
            middle = (low + high) // 2
            root = middle * step
            if slope * (top - root * root) - rest - share * flows[middle] > 0.0:
                low = middle
            else:
                high = middle
        if low == len(flows) - 1:
            return (rest + share * flows[-1]) / slope, flows[-1]
        rise = (flows[low + 1] - flows[low]) / step
        # slope (top - s²) - rest - share (flow_low + rise (s - s_low)) = 0
        half = 0.5 * share * rise / slope
        constant = top - (rest + share * (flows[low] - rise * low * step)) / slope
        root = -half + math.sqrt(half * half + constant)
        return top - root * root, flows[low] + rise * (root - low * step)

    def filling(self, volume: float, temperature: float, start: float) -> "Filling":
        """How a closed volume [m³] at a temperature [K] fills from a pressure [Pa]."""
        return Filling(self, volume / (GAS_CONSTANT * temperature), start)


def feed_table(flow_at: Callable[[float], float], top: float, bottom: float, nodes: int = NODES) -> Feed:
    """The table of a flow [mol/s] that falls with pressure [Pa] from `bottom` to zero at `top`."""
    step = math.sqrt(max(top - bottom, 1.0)) / nodes
    return Feed(top, step, (0.0, *(flow_at(top - (i * step) ** 2) for i in range(1, nodes + 1))))


@dataclass(frozen=True, slots=True)
class Filling:
    """Lumped filling: one pressure all along. capacity : mol/Pa. start : Pa.

    dp/dt = q(p) / capacity; in the root s of top less p the time is the sum of 2 s ds / q, finite to the very end.
    Source: Boyle; the flow of the feed. Against a one-dimensional march within 0.03 bar after a tenth of a second (tests/reference).
    """

    feed: Feed
    capacity: float
    start: float
    _marks: tuple[float, ...] = field(init=False, repr=False, compare=False)  # s until each node from the start's down to the top's

    def __post_init__(self) -> None:
        marks: list[float] = []
        if self.start < self.feed.top:
            root, time = self._root(self.start), 0.0
            for node in range(self._first(root), -1, -1):
                time += self._piece_time(node * self.feed.step, root)
                root = node * self.feed.step
                marks.append(time)
        object.__setattr__(self, "_marks", tuple(marks))

    def time_to(self, pressure: float) -> float | None:
        """Seconds until a pressure [Pa] is reached; None: never."""
        if pressure <= self.start:
            return 0.0
        if pressure > self.feed.top:
            return None
        far, near = self._root(self.start), self._root(pressure)
        first, node = self._first(far), self._first(near)
        if node >= first:  # still in the first piece
            return self._piece_time(near, far)
        return self._marks[first - node - 1] + self._piece_time(near, (node + 1) * self.feed.step)

    def pressure_at(self, time: float) -> float:
        """Pressure [Pa] after a time [s]."""
        if self.start >= self.feed.top:
            return self.start
        if time >= self._marks[-1]:
            return self.feed.top
        far = self._root(self.start)
        first = self._first(far)
        passed = bisect_right(self._marks, time)  # nodes already behind
        begun = self._marks[passed - 1] if passed else 0.0
        far = (first - passed + 1) * self.feed.step if passed else far
        low, high = (first - passed) * self.feed.step, far
        for _ in range(40):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if begun + self._piece_time(middle, far) > time else (low, middle)
        return self.feed.top - high * high

    def _root(self, pressure: float) -> float:
        return math.sqrt(max(self.feed.top - pressure, 0.0))

    def _first(self, root: float) -> int:
        """The node next below a root; beyond the table the last one, where the flow stays as it is."""
        node = int(root / self.feed.step)
        if node * self.feed.step >= root and node > 0:
            node -= 1
        return min(node, len(self.feed.flows) - 1)

    def _piece_time(self, near: float, far: float) -> float:
        """Seconds from root `far` to root `near`, both in one piece."""
        step, flows = self.feed.step, self.feed.flows
        piece = min(int(0.5 * (near + far) / step), len(flows) - 1)
        rise = 0.0 if piece >= len(flows) - 1 else (flows[piece + 1] - flows[piece]) / step
        return self.capacity * _piece(near, far, flows[piece] - rise * piece * step, rise)


def _piece(low: float, high: float, constant: float, rise: float) -> float:
    """The integral of 2 s / (constant + rise s) from low to high."""
    if high <= low:
        return 0.0
    if abs(rise) * high < 1e-9 * abs(constant):
        return (high * high - low * low) / constant
    if abs(constant) < 1e-12 * rise * high:
        return 2.0 * (high - low) / rise
    start, end = constant + rise * low, constant + rise * high
    if start <= 0.0:
        return math.inf
    return 2.0 / rise * (high - low - constant / rise * math.log(end / start))
