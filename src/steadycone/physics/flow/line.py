"""One gas from the regulator to the torch inlet: parts in order, marched up or down.

Upstream has an answer for every flow; downstream has none beyond choking. So questions are answered by marching up, and what
cannot be is a state.

Source: derived here; the laws of the parts are in their own files.
"""

from dataclasses import dataclass
from typing import Literal, Protocol

from steadycone.physics.flow.root import rising_root

ElementState = Literal["ok", "choked"]
ProfileState = Literal["ok", "choked", "below atmosphere"]


class Element(Protocol):
    """What a part of a line can do. Pressures [Pa absolute], flow [kg/s]."""

    def upstream(self, outlet_pressure: float, mass_flow: float) -> float: ...
    def upstream_slopes(self, outlet_pressure: float, mass_flow: float) -> tuple[float, float, float]: ...
    def downstream(self, inlet_pressure: float, mass_flow: float) -> float | None: ...
    def chokes(self, outlet_pressure: float, mass_flow: float) -> bool: ...
    def resistance(self) -> float: ...


@dataclass(frozen=True, slots=True)
class Line:
    """elements : parts in order from the regulator's outlet to the torch inlet."""

    elements: tuple[Element, ...]


@dataclass(frozen=True, slots=True)
class Profile:
    """Pressures along a line at one flow.

    pressures : n + 1 values [Pa], regulator outlet first, torch inlet last; None behind a part that cannot pass the flow.
    states : one an element. state : the line's, worst first: choked, below atmosphere, ok. mass_flow [kg/s].
    """

    pressures: tuple[float | None, ...]
    states: tuple[ElementState, ...]
    state: ProfileState
    mass_flow: float

    @property
    def inlet(self) -> float:
        """Pressure at the regulator outlet [Pa]."""
        value = self.pressures[0]
        assert value is not None
        return value

    @property
    def outlet(self) -> float | None:
        """Pressure at the torch inlet [Pa], or None."""
        return self.pressures[-1]

    @property
    def losses(self) -> tuple[float | None, ...]:
        """Pressure lost in each element [Pa], or None."""
        pairs = zip(self.pressures, self.pressures[1:], strict=False)
        return tuple(None if a is None or b is None else a - b for a, b in pairs)


def march_up(line: Line, torch_pressure: float, mass_flow: float, atmosphere: float = 0.0) -> Profile:
    """What the regulator must give for a pressure at the torch inlet.

    Parameters
    ----------
    line : Line
    torch_pressure : float   [Pa absolute]
    mass_flow : float   [kg/s], 0 or more
    atmosphere : float   [Pa absolute]; a torch inlet below it is the state "below atmosphere"

    Returns
    -------
    Profile : a "choked" element passes this flow only because its inlet is that high; what is beyond it no longer matters there.
    """
    pressure = torch_pressure
    pressures: list[float] = [pressure]
    states: list[ElementState] = []
    state: ProfileState = "below atmosphere" if torch_pressure < atmosphere else "ok"
    for element in reversed(line.elements):
        if element.chokes(pressure, mass_flow):
            states.append("choked")
            state = "choked"
        else:
            states.append("ok")
        pressure = element.upstream(pressure, mass_flow)
        pressures.append(pressure)
    pressures.reverse()
    states.reverse()
    return Profile(tuple(pressures), tuple(states), state, mass_flow)


def march_down(line: Line, regulator_pressure: float, mass_flow: float, atmosphere: float = 101325.0) -> Profile:
    """What is left at the torch inlet of a pressure at the regulator.

    Parameters
    ----------
    line : Line
    regulator_pressure : float   [Pa absolute]
    mass_flow : float   [kg/s], 0 or more
    atmosphere : float   [Pa absolute]

    Returns
    -------
    Profile : "choked" when an element cannot pass the flow, with None for every pressure behind it; "below atmosphere" when the
        flow could be had only by sucking at the torch inlet.
    """
    pressure: float | None = regulator_pressure
    pressures: list[float | None] = [pressure]
    states: list[ElementState] = []
    for element in line.elements:
        if pressure is not None:
            pressure = element.downstream(pressure, mass_flow)
            states.append("choked" if pressure is None else "ok")
        else:
            states.append("ok")
        pressures.append(pressure)
    if pressure is None:
        return Profile(tuple(pressures), tuple(states), "choked", mass_flow)
    return Profile(tuple(pressures), tuple(states), "below atmosphere" if pressure < atmosphere else "ok", mass_flow)


def largest_flow(line: Line, regulator_pressure: float, torch_pressure: float) -> float:
    """Most the line can pass [kg/s] between two pressures [Pa]; zero when even no flow needs a higher regulator pressure."""
    if needed(line, torch_pressure, 0.0) >= regulator_pressure:
        return 0.0
    squares = regulator_pressure**2 - torch_pressure**2
    guess = (squares / (line_resistance(line) or squares)) ** 0.5
    return rising_root(lambda flow: needed(line, torch_pressure, flow) - regulator_pressure, guess)


def needed(line: Line, torch_pressure: float, mass_flow: float) -> float:
    """Regulator pressure [Pa] alone, without the profile."""
    for element in reversed(line.elements):
        torch_pressure = element.upstream(torch_pressure, mass_flow)
    return torch_pressure


def needed_slopes(line: Line, torch_pressure: float, mass_flow: float) -> tuple[float, float, float]:
    """Regulator pressure [Pa], and its derivatives by torch pressure [-] and by flow [Pa s/kg]."""
    pressure, by_pressure, by_flow = torch_pressure, 1.0, 0.0
    for element in reversed(line.elements):
        pressure, here, own = element.upstream_slopes(pressure, mass_flow)
        by_pressure *= here
        by_flow = own + here * by_flow
    return pressure, by_pressure, by_flow


def line_resistance(line: Line) -> float:
    """Rough (p1² - p2²) / m² of the whole line [Pa² s²/kg²], for first guesses only."""
    return sum(element.resistance() for element in line.elements)
