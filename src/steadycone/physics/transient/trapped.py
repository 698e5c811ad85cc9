"""A station shut for a pressure-drop test: two trapped volumes, the ways gas can take between them and out, and its temperature.

Regulator screw out: the seat divides the sides. Every way is an opening that leaks a stated rate at the start and then follows the
pressures as a pinhole does. What the gauges make of the pressures is not told here.

Source: mass balance with real gas; nozzle-ideal for how a leak follows pressure
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from steadycone.errors import OutOfRange
from steadycone.physics.flow.orifice import mass_flux
from steadycone.physics.flow.stream import Stream, stream_of
from steadycone.physics.gas import Gas, amount_stored, dew_pressure, pressure_of_amount
from steadycone.physics.transient.steps import State, steps

_LEAST_STEPS, _MOST_STEPS = 60, 6000
_SHARE_A_STEP = 0.01  # of what is trapped that may move in one step: keeps a large leak from overshooting


@dataclass(frozen=True, slots=True)
class Ways:
    """Rates at the start [mol/s], 0 or more: out of the high side, out of the low side, through the seat from high to low, and
    through the shut cylinder valve (as it would pass into the open air)."""

    high: float = 0.0
    low: float = 0.0
    seat: float = 0.0
    valve: float = 0.0


@dataclass(frozen=True, slots=True)
class Trapped:
    """What is shut in. Volumes m³, pressures Pa absolute.

    cylinder : behind the cylinder valve
    screw_in : the regulator is open and holds the low side at its start as long as the high side can
    """

    gas: Gas
    high_volume: float
    low_volume: float
    high_pressure: float
    low_pressure: float
    cylinder: float
    atmosphere: float
    screw_in: bool = False


@dataclass(frozen=True, slots=True)
class Shut:
    """The two sides at a time [s]: pressures [Pa absolute], temperature [K], and what each has lost so far [mol] (gained: below 0)."""

    time: float
    high: float
    low: float
    temperature: float
    high_lost: float
    low_lost: float


def settling(start: float, drift: float, excess: float, settles: float, time: float) -> Callable[[float], float]:
    """The gas's temperature [K] by time [s]: the shop's, moving evenly by `drift` [K] over `time` [s], and what the gas was warmer or
    colder at first, `excess` [K], dying away with a time constant `settles` [s].

    Source      drop-gas-settles
    """
    return lambda now: start + drift * now / time + excess * math.exp(-now / settles)


def watch(shut: Trapped, ways: Ways, temperature: Callable[[float], float], time: float, count: int = _LEAST_STEPS) -> tuple[Shut, ...]:
    """Both sides through a wait [s], at the start and at each of `count` or more equal steps.

    Raises
    ------
    OutOfRange : a volume, pressure or the time is not above 0, a rate is below 0, or a state leaves the gas's table.

    Holds for   a seat that does not hold the low side back once the high one is below it (drop-seat-one-way);
                no liquid: a side is never told above the pressure at which its gas condenses, where liquid keeps it in truth.
    Source      mass balance with real gas; nozzle-ideal
    """
    _check(shut, ways, time)
    gas, first = shut.gas, temperature(0.0)
    held = tuple(amount_stored(gas, v, min(p, _vapour(gas, first)), first) for v, p in _sides(shut))
    count = max(count, min(_MOST_STEPS, math.ceil(time * _fastest(ways) / (_SHARE_A_STEP * min(held)))))
    rates = _rates(shut, ways, temperature, held)
    every = list(steps(rates, held, time, count))
    kept = max(1, count // 240)
    return tuple(_shut(shut, temperature, held, now, state) for now, state in [*every[:-1:kept], every[-1]])


def _rates(shut: Trapped, ways: Ways, temperature: Callable[[float], float], held: State) -> Callable[[float, State], State]:
    stream = stream_of(shut.gas, temperature(0.0))
    p_high, p_low, air = shut.high_pressure, shut.low_pressure, shut.atmosphere
    out_high, out_low = _opening(ways.high, p_high, air, stream), _opening(ways.low, p_low, air, stream)
    seat = _opening(ways.seat, p_high, p_low, stream) if p_high > p_low else 0.0
    valve = _opening(ways.valve, shut.cylinder, air, stream) if shut.cylinder > air else 0.0

    def rates(now: float, state: State) -> State:
        here = temperature(now)
        high = _pressure(shut.gas, state[0], shut.high_volume, here)
        low = _pressure(shut.gas, state[1], shut.low_volume, here)
        lost_high = out_high * mass_flux(high, air, stream)
        lost_low = out_low * mass_flux(low, air, stream)
        arrives = valve * mass_flux(shut.cylinder, high, stream)
        if low > high:  # a seat holds one way only: from here both sides empty as one
            joined = (lost_high + lost_low - arrives) / (shut.high_volume + shut.low_volume)
            return -joined * shut.high_volume, -joined * shut.low_volume
        through = seat * mass_flux(high, low, stream)
        if shut.screw_in and low <= shut.low_pressure and high > low:
            through = max(through, lost_low)  # the open regulator makes good what the low side loses
        return arrives - lost_high - through, through - lost_low

    return rates


def _shut(shut: Trapped, temperature: Callable[[float], float], held: State, now: float, state: State) -> Shut:
    here = temperature(now)
    high = _pressure(shut.gas, state[0], shut.high_volume, here)
    low = _pressure(shut.gas, state[1], shut.low_volume, here)
    return Shut(now, high, low, here, held[0] - state[0], held[1] - state[1])


def _opening(rate: float, inlet: float, outlet: float, stream: Stream) -> float:
    """mol/s for a unit of mass flux: the opening that gives a rate between two pressures [Pa]."""
    flux = mass_flux(inlet, outlet, stream)
    return rate / flux if flux > 0.0 else 0.0


def _pressure(gas: Gas, amount: float, volume: float, temperature: float) -> float:
    return min(pressure_of_amount(gas, max(amount, 1e-9), volume, temperature), _vapour(gas, temperature))


def _vapour(gas: Gas, temperature: float) -> float:
    return 0.999 * dew_pressure(gas, temperature)


def _sides(shut: Trapped) -> tuple[tuple[float, float], tuple[float, float]]:
    return (shut.high_volume, shut.high_pressure), (shut.low_volume, shut.low_pressure)


def _fastest(ways: Ways) -> float:
    return ways.high + ways.low + ways.seat + ways.valve


def _check(shut: Trapped, ways: Ways, time: float) -> None:
    if not (time > 0.0 and min(shut.high_volume, shut.low_volume) > 0.0 and min(shut.high_pressure, shut.low_pressure) > 0.0):
        raise OutOfRange("volumes, pressures and the wait must be above 0", where="drop-test")
    if min(ways.high, ways.low, ways.seat, ways.valve) < 0.0:
        raise OutOfRange("a leak must not be below 0", where="drop-test")
