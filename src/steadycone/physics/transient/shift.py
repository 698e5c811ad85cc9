"""A fuel cylinder drawn steadily through a shift: how cold its store gets, what pressure that leaves, and when it fails the regulator.

One temperature for the whole cylinder. What leaves takes its heat of desorption or evaporation with it, the air gives heat back
through the wall:  C dT/dt = U A (T_air - T) - n L.  The pressure follows from temperature and what is left. The two kinds of store
are in dissolved.py and liquid.py.

Source: energy balance; figures in dissolved.py and liquid.py
"""

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, Protocol

from steadycone.errors import OutOfRange
from steadycone.physics.transient.steps import State, steps

Fails = Literal["", "cold", "empty"]
STEPS = 120
_HALVINGS = 40


class Store(Protocol):
    """What is kept in one cylinder. Amounts mol, K, Pa absolute, W, J/K, J/mol."""

    @property
    def amount(self) -> float: ...

    def heat(self, amount: float, temperature: float) -> float: ...

    def capacity(self, amount: float) -> float: ...

    def wall(self, amount: float, temperature: float) -> float: ...

    def pressure(self, amount: float, temperature: float) -> float: ...

    def coldest(self) -> float: ...


@dataclass(frozen=True, slots=True)
class Moment:
    """One cylinder at a time [s]: amount left [mol], temperature [K], pressure [Pa absolute]."""

    time: float
    amount: float
    temperature: float
    pressure: float


@dataclass(frozen=True, slots=True)
class Shift:
    """A cylinder through a shift, to its end or to the moment it fails.

    ends_after : float or None   [s], when the pressure no longer feeds the regulator
    fails : "cold": at the air's temperature the same contents would still feed it; "empty": they would not; "": it lasts
    """

    moments: tuple[Moment, ...]
    ends_after: float | None
    fails: Fails

    @property
    def last(self) -> Moment:
        return self.moments[-1]

    def when_below(self, temperature: float) -> float | None:
        """Time [s] at which the cylinder first is below a temperature [K]; None when it stays above."""
        for before, after in pairwise(self.moments):
            if after.temperature < temperature <= before.temperature:
                share = (before.temperature - temperature) / (before.temperature - after.temperature)
                return before.time + share * (after.time - before.time)
        return 0.0 if self.moments[0].temperature < temperature else None


def shift(store: Store, flow: float, ambient: float, feed: float, time: float, count: int = STEPS) -> Shift:
    """Draw a steady flow from one cylinder.

    Parameters
    ----------
    store : Store   its amount is what is there at the start, at the air's temperature
    flow : float   [mol/s] from this cylinder, 0 or more
    ambient : float   [K]
    feed : float   [Pa absolute], the least pressure that feeds the regulator
    time : float   [s], above 0

    Raises
    ------
    OutOfRange : flow below 0, or time not above 0.

    Holds for   still air, the whole cylinder at one temperature. In truth the liquid or the middle of the mass is colder than the wall.
    Source      shift-energy
    """
    if not (flow >= 0.0 and 0.0 < time < math.inf):
        raise OutOfRange("the flow must not be below 0, and the time must be above 0", where="shift")
    coldest = store.coldest()

    def rates(_: float, state: State) -> State:
        amount, temperature = max(state[0], 0.0), max(state[1], coldest)
        gain = store.wall(amount, temperature) * (ambient - temperature)
        return -flow, (gain - flow * store.heat(amount, temperature)) / store.capacity(amount)

    moments: list[Moment] = []
    for now, (amount, temperature) in steps(rates, (store.amount, ambient), time, count):
        gone = amount <= 0.0 or temperature < coldest
        pressure = 0.0 if gone else store.pressure(amount, temperature)
        moments.append(Moment(now, max(amount, 0.0), temperature, pressure))
        if pressure < feed:
            return _failed(store, moments, ambient, feed)
    return Shift(tuple(moments), None, "")


def _failed(store: Store, moments: list[Moment], ambient: float, feed: float) -> Shift:
    """Cut at the moment the pressure passes the feed pressure, straight between the last two."""
    last = moments[-1]
    fails: Fails = "cold" if last.amount > 0.0 and store.pressure(last.amount, ambient) >= feed else "empty"
    if len(moments) == 1:
        return Shift((last,), 0.0, fails)
    before = moments[-2]
    share = (before.pressure - feed) / (before.pressure - last.pressure)
    cut = Moment(
        before.time + share * (last.time - before.time),
        before.amount + share * (last.amount - before.amount),
        before.temperature + share * (last.temperature - before.temperature),
        feed,
    )
    return Shift((*moments[:-1], cut), cut.time, fails)


def flow_limit(store: Store, ambient: float, feed: float, time: float, count: int = STEPS // 4) -> float:
    """Largest steady flow [mol/s] that one cylinder keeps up for a time [s]; 0 where it feeds nothing from the start.

    Source      shift-energy; bisection: a larger flow leaves less and colder, so it never lasts longer
    """
    if store.amount <= 0.0 or store.pressure(store.amount, ambient) < feed:
        return 0.0
    low, high = 0.0, store.amount / time
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if shift(store, middle, ambient, feed, time, count).ends_after is not None else (middle, high)
        if high - low <= 2e-4 * high:
            break
    return low
