"""The air of a room in which a flame burns, perfectly mixed: what it takes, what it gives, what fresh air brings. Near the flame it is far worse.

Source      mass balance of a stirred room of constant pressure and temperature: n dx/dt = a x0 + s - (a + S) x, what comes in pushes mixed air out
"""

import math
from typing import NamedTuple

from steadycone.errors import OutOfRange
from steadycone.physics.gas import Gas, complete_oxygen, products


class Let(NamedTuple):
    """What the work lets into the air [mol/s]; oxygen is below 0 where the flame takes more than the torch brings."""

    oxygen: float
    carbon_dioxide: float
    others: float  # water as vapour, and what of the fuel does not burn

    @property
    def total(self) -> float:
        return self.oxygen + self.carbon_dioxide + self.others


def flame_lets(fuel: Gas, fuel_flow: float, torch_oxygen: float, jet_left: float = 0.0, vapour: float = 1.0) -> Let:
    """What a flame that burns out in the room's air, and a cutting jet, let into it.

    Parameters
    ----------
    fuel : Gas
    fuel_flow, torch_oxygen : float   [mol/s] of fuel, and of oxygen that the torch gives the flame
    jet_left : float   [mol/s] of cutting oxygen that no iron used
    vapour : float   [-] share of the flame's water that stays in the air; the rest settles on cold walls

    Raises
    ------
    OutOfRange : a flow below 0, or a share outside 0 to 1. InputError : the fuel does not burn.
    """
    if not (fuel_flow >= 0.0 and torch_oxygen >= 0.0 and jet_left >= 0.0 and 0.0 <= vapour <= 1.0):
        raise OutOfRange("flows must not be below 0, the share of vapour from 0 to 1", where="room")
    made = products(fuel)
    return Let(
        torch_oxygen + jet_left - complete_oxygen(fuel) * fuel_flow,
        made.carbon_dioxide * fuel_flow,
        (made.water * vapour + made.unburnt) * fuel_flow,
    )


def stirred_share(gas: float, total: float, amount: float, fresh: float, time: float, outside: float) -> float:
    """Share of one gas in the room's air [-], which began like the air outside.

    Parameters
    ----------
    gas, total : float   [mol/s] let in of this gas, and of all gases together; below 0 where it is taken
    amount : float   [mol] of air in the room
    fresh : float   [mol/s] of fresh air
    time : float   [s], math.inf for the steady end
    outside : float   [-] share of this gas in fresh air

    Returns     from 0 to 1: at 0 the flame has long gone out
    Raises      OutOfRange : amount not above 0, fresh air or time below 0.
    """
    _check(amount, fresh, time)
    fresh = max(fresh, -total)  # a room that shrinks draws air in
    pace = fresh + total
    change = fresh * outside + gas - pace * outside  # mol/s at the start
    if change == 0.0:
        return outside
    gone = time / amount if pace == 0.0 else -math.expm1(-pace * time / amount) / pace
    return min(1.0, max(0.0, outside + change * gone))


def time_to_stirred(level: float, gas: float, total: float, amount: float, fresh: float, outside: float) -> float:
    """Time [s] until the share reaches a level; 0 where it begins there, math.inf where it never does. Never a time to rely on.

    Parameters and errors as `stirred_share`; `level` is a share from 0 to 1.
    """
    _check(amount, fresh, 0.0)
    if level == outside:
        return 0.0
    fresh = max(fresh, -total)
    pace = fresh + total
    change = fresh * outside + gas - pace * outside
    if change == 0.0 or (level - outside) * change < 0.0:
        return math.inf
    if pace == 0.0:
        return (level - outside) / change * amount
    left = 1.0 - (level - outside) / change * pace
    return -math.log(left) / pace * amount if left > 0.0 else math.inf


def fresh_air_for(level: float, gas: float, total: float, outside: float) -> float:
    """Fresh air [mol/s] that holds the share at a level in the long run; 0 where none is needed.

    Raises      OutOfRange : a level that no fresh air can hold, being that of fresh air itself.
    """
    if level == outside:
        raise OutOfRange("no amount of fresh air holds the share of fresh air itself", where="room")
    return max(0.0, (total * level - gas) / (outside - level))


def _check(amount: float, fresh: float, time: float) -> None:
    if not (amount > 0.0 and fresh >= 0.0 and time >= 0.0):
        raise OutOfRange("the room must hold air; fresh air and time must not be below 0", where="room")
