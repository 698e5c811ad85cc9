"""The sure way to the flows, and the only way to say that one of them is none.

Needed fuel pressure rises with the fuel flow at any oxygen flow, and needed oxygen pressure rises with the oxygen flow along the
fuel's answer; so a bracket inside a bracket has one answer: the determinant of the slopes is positive (tests/laws).

Source: derived here; chandrupatla-1997 for the bracket itself.
"""

from steadycone.physics.flow.line import needed
from steadycone.physics.flow.network import cutting_flow_slope, evaluate, fuel_needed, oxygen_leg, oxygen_needed, standing_pressure
from steadycone.physics.flow.root import rising_root
from steadycone.physics.flow.station import Station

_GUESS = 3e-4  # kg/s, a small torch


def fuel_alone(station: Station, fuel_pressure: float) -> float:
    """Fuel flow [kg/s] with the preheat oxygen shut; zero when the pressure cannot drive any."""
    if station.fuel_opening is None or standing_pressure(station.fuel_line, station.atmosphere) >= fuel_pressure:
        return 0.0
    return rising_root(lambda flow: fuel_needed(station, flow, 0.0) - fuel_pressure, _GUESS)


def oxygen_alone(station: Station, oxygen_pressure: float) -> float:
    """Preheat oxygen [kg/s] with the fuel shut, cutting oxygen running beside it; zero when the pressure cannot drive any."""
    if station.preheat_opening is None or standing_pressure(oxygen_leg(station), station.atmosphere) >= oxygen_pressure:
        return 0.0
    return rising_root(lambda flow: oxygen_needed(station, 0.0, flow) - oxygen_pressure, _GUESS)


def cutting_alone(station: Station, oxygen_pressure: float) -> float:
    """Cutting oxygen [kg/s] when nothing else flows through the oxygen line."""
    opening, line = station.cutting_opening, station.oxygen_line
    if opening is None or standing_pressure(line, station.atmosphere) >= oxygen_pressure:
        return 0.0
    return rising_root(lambda flow: needed(line, opening.upstream(station.atmosphere, flow), flow) - oxygen_pressure, _GUESS)


def oxygen_held(station: Station, mixing_pressure: float, shared: bool) -> float:
    """Oxygen pressure [Pa] below which no preheat oxygen enters against a mixing pressure [Pa]."""
    cutting = cutting_flow_slope(station, mixing_pressure)[0] if shared else 0.0
    return needed(oxygen_leg(station), mixing_pressure, cutting)


def fuel_held(station: Station, oxygen_flow: float) -> tuple[float, float]:
    """Fuel pressure [Pa] below which no fuel enters against an oxygen flow [kg/s], and the pressure [Pa] that meets the fuel."""
    if oxygen_flow <= 0.0:
        return standing_pressure(station.fuel_line, station.atmosphere), station.atmosphere
    trial = evaluate(station, 0.0, oxygen_flow)
    return trial.fuel_needed, trial.chamber


def nested(station: Station, oxygen_pressure: float, fuel_pressure: float, fuel_guess: float, oxygen_guess: float) -> tuple[float, float]:
    """Fuel and preheat oxygen [kg/s] when both are known to flow.

    Raises
    ------
    SolveError : no sign change was found. The laws of the parts exclude it.
    """

    def fuel_at(oxygen: float) -> float:
        if fuel_needed(station, 0.0, oxygen) >= fuel_pressure:
            return 0.0
        return rising_root(lambda fuel: fuel_needed(station, fuel, oxygen) - fuel_pressure, fuel_guess)

    oxygen = rising_root(lambda flow: oxygen_needed(station, fuel_at(flow), flow) - oxygen_pressure, oxygen_guess)
    return fuel_at(oxygen), oxygen
