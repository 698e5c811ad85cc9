"""From what the gauges show to what flows.

Newton first (a few evaluations); when it does not settle, the question is first whether a gas is held back at all, and only then
the bracket. A gas that cannot enter is a state with a direction, not a small number.

Source: derived here; checked against scipy's brentq in tests/reference.
"""

from dataclasses import dataclass, replace
from typing import Literal

from steadycone.errors import OutOfRange
from steadycone.physics.flow.bracket import cutting_alone, fuel_alone, fuel_held, nested, oxygen_alone, oxygen_held
from steadycone.physics.flow.line import Line, Profile, march_up
from steadycone.physics.flow.network import Trial, evaluate, oxygen_leg, shares_oxygen, standing_pressure
from steadycone.physics.flow.newton import newton
from steadycone.physics.flow.station import Station
from steadycone.physics.flow.torch import Openings

State = Literal["ok", "shut", "below atmosphere", "choked", "locked", "blocked"]
Push = Literal["oxygen into fuel", "fuel into oxygen"]
_WORST_FIRST: tuple[State, ...] = ("blocked", "locked", "choked", "below atmosphere", "ok", "shut")


@dataclass(frozen=True, slots=True)
class Solution:
    """What flows at given regulator pressures.

    flows [kg/s]; pressures [Pa absolute]. A gas that does not flow has flow 0 and, as torch pressure, what stands against it there.

    States, one a line (preheat_state None without a third hose) and the worst as `state`:
    ok; shut (no opening for this gas); below atmosphere (flows, but some of the line is under the atmosphere: air leaks in);
    choked (a part of the line passes all it can); locked (the regulator's pressure cannot drive any flow, even alone);
    blocked (the other gas holds it back). With a shared oxygen line the oxygen's state is the preheat's: cutting oxygen may still flow.
    push : the direction in which one gas presses into the other's line through the mixer, or None.
    iterations : evaluations Newton took; 0 when the bracket or a state decided.
    """

    fuel_flow: float
    preheat_flow: float
    cutting_flow: float
    mixing_pressure: float
    oxygen_torch_pressure: float
    fuel_torch_pressure: float
    preheat_torch_pressure: float | None
    state: State
    oxygen_state: State
    fuel_state: State
    preheat_state: State | None
    push: Push | None
    iterations: int

    @property
    def oxygen_flow(self) -> float:
        """All oxygen [kg/s]."""
        return self.preheat_flow + self.cutting_flow


def solve(
    station: Station, oxygen_pressure: float, fuel_pressure: float, preheat_pressure: float | None = None, cutting: bool = True
) -> Solution:
    """Flows and pressures of a station at flowing regulator pressures.

    Parameters
    ----------
    station : Station
    oxygen_pressure, fuel_pressure : float   [Pa absolute], at the regulators, flowing
    preheat_pressure : float or None   [Pa absolute], of the third line; needed exactly when the station has one
    cutting : bool   False: the cutting-oxygen valve is shut

    Returns
    -------
    Solution

    Raises
    ------
    OutOfRange : a pressure that is not above zero, or preheat_pressure missing or given without its line.
    SolveError : the numerics failed; a fault of ours.

    Holds for   every pair of pressures; that there is one answer is shown for equal pressure and for an injector whose tube is wider
                than its port.
    """
    if (preheat_pressure is None) != (station.preheat_line is None):
        raise OutOfRange("preheat pressure goes with a preheat line, and only with one", where="solve")
    leg_pressure = oxygen_pressure if preheat_pressure is None else preheat_pressure
    for name, pressure in (("oxygen", oxygen_pressure), ("fuel", fuel_pressure), ("preheat", leg_pressure)):
        if not 0.0 < pressure < 1e9:
            raise OutOfRange(f"{name} pressure {pressure} Pa must be above 0 (absolute)", where="solve")
    if not cutting and station.cutting_opening is not None:
        station = without_cutting(station)
    answer: tuple[float, float, Trial | None, int] | None = None
    if station.fuel_opening is not None and station.preheat_opening is not None:
        answer = newton(station, leg_pressure, fuel_pressure)
    if answer is None:
        fuel, oxygen = _settle(station, leg_pressure, fuel_pressure)
        trial = evaluate(station, fuel, oxygen) if fuel > 0.0 or oxygen > 0.0 else None
        answer = fuel, oxygen, trial, 0
    return _solution(station, *answer, oxygen_pressure, fuel_pressure, leg_pressure)


def without_cutting(station: Station) -> Station:
    """The same station with the cutting-oxygen valve shut. Raises OutOfRange when nothing else is open."""
    openings: Openings = replace(station.openings, cutting_area=0.0)
    return replace(station, openings=openings)


def profiles(station: Station, solution: Solution) -> tuple[Profile, Profile, Profile | None]:
    """Oxygen, fuel and preheat profiles (None without a third line) of a solution, marched at its flows."""
    own_cutting = station.preheat_line is not None
    oxygen_flow = solution.cutting_flow if own_cutting else solution.oxygen_flow
    preheat = None
    if station.preheat_line is not None and solution.preheat_torch_pressure is not None:
        preheat = march_up(station.preheat_line, solution.preheat_torch_pressure, solution.preheat_flow, station.atmosphere)
    return (
        march_up(station.oxygen_line, solution.oxygen_torch_pressure, oxygen_flow, station.atmosphere),
        march_up(station.fuel_line, solution.fuel_torch_pressure, solution.fuel_flow, station.atmosphere),
        preheat,
    )


def _settle(station: Station, oxygen_pressure: float, fuel_pressure: float) -> tuple[float, float]:
    """Fuel and preheat flow [kg/s] without Newton; zero for a gas that is shut, locked or held back."""
    oxygen = oxygen_alone(station, oxygen_pressure)
    if station.fuel_opening is None or fuel_held(station, oxygen)[0] >= fuel_pressure:
        return 0.0, oxygen
    fuel = fuel_alone(station, fuel_pressure)
    if oxygen == 0.0 or (fuel > 0.0 and _oxygen_kept_out(station, fuel, oxygen_pressure)):
        return fuel, 0.0
    return nested(station, oxygen_pressure, fuel_pressure, fuel or 1e-4, oxygen)


def _oxygen_kept_out(station: Station, fuel: float, oxygen_pressure: float) -> bool:
    return oxygen_held(station, evaluate(station, fuel, 0.0).mixing, shares_oxygen(station)) >= oxygen_pressure


def _solution(
    station: Station,
    fuel: float,
    oxygen: float,
    trial: Trial | None,
    count: int,
    oxygen_pressure: float,
    fuel_pressure: float,
    leg_pressure: float,
) -> Solution:
    """Name the states of known flows."""
    own_cutting = station.preheat_line is not None
    mixing = station.atmosphere if trial is None else trial.mixing
    cutting, cutting_torch = _cutting(station, oxygen, trial, oxygen_pressure)
    fuel_torch, fuel_state, fuel_push = _fuel_side(station, fuel, oxygen, trial, fuel_pressure)
    body_pressure = cutting_torch if cutting > 0.0 and not own_cutting else leg_pressure
    leg_torch, leg_state, leg_push = _preheat_side(station, fuel, oxygen, 0.0 if own_cutting else cutting, trial, body_pressure)
    oxygen_state, preheat_state = leg_state, None
    if own_cutting:
        preheat_state = leg_state
        oxygen_state = _flow_state(station, station.oxygen_line, cutting_torch, cutting)
        if cutting == 0.0:
            oxygen_state = "shut" if station.cutting_opening is None else "locked"
    present = [oxygen_state, fuel_state] + ([preheat_state] if preheat_state is not None else [])
    return Solution(
        fuel_flow=fuel,
        preheat_flow=oxygen,
        cutting_flow=cutting,
        mixing_pressure=mixing,
        oxygen_torch_pressure=cutting_torch if own_cutting else leg_torch,
        fuel_torch_pressure=fuel_torch,
        preheat_torch_pressure=leg_torch if own_cutting else None,
        state=min(present, key=_WORST_FIRST.index),
        oxygen_state=oxygen_state,
        fuel_state=fuel_state,
        preheat_state=preheat_state,
        push=fuel_push or leg_push,
        iterations=count,
    )


def _cutting(station: Station, oxygen: float, trial: Trial | None, oxygen_pressure: float) -> tuple[float, float]:
    """Cutting oxygen [kg/s], and the pressure [Pa] at its torch inlet."""
    if trial is not None and oxygen > 0.0 and station.preheat_line is None:
        return trial.cutting_flow, trial.oxygen_torch
    flow = cutting_alone(station, oxygen_pressure)
    if flow > 0.0 and station.cutting_opening is not None:
        return flow, station.cutting_opening.upstream(station.atmosphere, flow)
    return 0.0, station.atmosphere


def _fuel_side(station: Station, fuel: float, oxygen: float, trial: Trial | None, pressure: float) -> tuple[float, State, Push | None]:
    """Fuel's torch-inlet pressure [Pa], its state, and whether oxygen presses into it."""
    if trial is not None and fuel > 0.0:
        return trial.fuel_torch, _flow_state(station, station.fuel_line, trial.fuel_torch, fuel), None
    against = station.atmosphere if trial is None else trial.chamber
    if station.fuel_opening is None:
        return station.atmosphere, "shut", None
    pushed = oxygen > 0.0 and against > pressure
    return against, _still_state(station, station.fuel_line, pressure, pushed), "oxygen into fuel" if pushed else None


def _preheat_side(
    station: Station, fuel: float, oxygen: float, shared_cutting: float, trial: Trial | None, body_pressure: float
) -> tuple[float, State, Push | None]:
    """Torch-inlet pressure [Pa] of the line with the preheat oxygen, its state, and whether fuel presses into it.

    body_pressure [Pa] is what waits behind the preheat opening when nothing flows through it.
    """
    line = oxygen_leg(station)
    if trial is not None and oxygen > 0.0:
        return trial.oxygen_torch, _flow_state(station, line, trial.oxygen_torch, oxygen + shared_cutting), None
    mixing = station.atmosphere if trial is None else trial.mixing
    if station.preheat_opening is None:
        if shared_cutting > 0.0:
            return body_pressure, _flow_state(station, line, body_pressure, shared_cutting), None
        return station.atmosphere, "locked" if shares_oxygen(station) else "shut", None
    pushed = fuel > 0.0 and mixing > body_pressure
    state: State = "blocked" if shared_cutting > 0.0 else _still_state(station, line, body_pressure, pushed)
    return body_pressure if shared_cutting > 0.0 else mixing, state, "fuel into oxygen" if pushed else None


def _flow_state(station: Station, line: Line, torch_pressure: float, flow: float) -> State:
    """ok, choked or below atmosphere for a line with gas flowing."""
    pressure = torch_pressure
    for element in reversed(line.elements):
        if element.chokes(pressure, flow):
            return "choked"
        pressure = element.upstream(pressure, flow)
    return "below atmosphere" if torch_pressure < station.atmosphere else "ok"


def _still_state(station: Station, line: Line, pressure: float, pushed: bool) -> State:
    """locked or blocked for a line without flow. Locked: nothing presses into it, and its own pressure is too low to flow alone."""
    return "locked" if not pushed and standing_pressure(line, station.atmosphere) >= pressure else "blocked"
