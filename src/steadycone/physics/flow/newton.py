"""The quick way to the two flows: Newton on ln((p² - p0²) / (p_regulator² - p0²)) over the logarithms of the flows.

The network is nearly a power law there, so three or four steps from a guess do. Accepted only when both the step and the
pressures are settled: on the step alone, kinks (Re 2000 and 4000, critical ratios) give a wrong answer once in a million.

Source: derived here; checked against nested root finding in tests/reference.
"""

import math

from steadycone.physics.flow.line import line_resistance
from steadycone.physics.flow.network import Trial, evaluate, oxygen_leg, shares_oxygen, standing_pressure
from steadycone.physics.flow.station import Station

STEP = 1e-7  # of each flow; the step after it would be its square
PRESSURE = 9e-10  # of each regulator pressure
_MOST = 14


def first_guess(station: Station, oxygen_pressure: float, fuel_pressure: float) -> tuple[float, float]:
    """Fuel and preheat oxygen [kg/s] of a network of constant resistances p1² - p2² = r m²; within some 10 per cent."""
    fuel_opening, preheat_opening = station.fuel_opening, station.preheat_opening
    assert fuel_opening is not None
    assert preheat_opening is not None
    floor = station.atmosphere**2
    fuel_leg = line_resistance(station.fuel_line) + fuel_opening.resistance()
    oxygen_line, jet = line_resistance(oxygen_leg(station)), preheat_opening.resistance()
    heat = 0.5 * (station.fuel.gas_constant * station.fuel.temperature + station.oxygen.gas_constant * station.oxygen.temperature)
    port = 1.3 * heat / station.openings.port_area**2
    top_fuel, top = fuel_pressure**2, oxygen_pressure**2
    if shares_oxygen(station):
        assert station.cutting_opening is not None
        # the cutting jet, mostly sonic, is taken first; what it leaves at the torch feeds the preheat
        top /= 1.0 + oxygen_line * (1.0 / math.sqrt(1.6 * station.cutting_opening.resistance()) + 0.7 / math.sqrt(jet)) ** 2
        oxygen_line = 0.0
    if station.openings.injector is not None:
        top_fuel = max(top_fuel, 1.02 * floor)
    oxygen_side = oxygen_line + jet
    low, high = floor, max(min(top, top_fuel), floor * 1.0001)
    for _ in range(7):
        middle = 0.5 * (low + high)
        flow = math.sqrt(max(top_fuel - middle, 0.0) / fuel_leg) + math.sqrt(max(top - middle, 0.0) / oxygen_side)
        if port * flow * flow > middle - floor:
            low = middle
        else:
            high = middle
    middle = 0.5 * (low + high)
    least = 1e-3 * floor
    return math.sqrt(max(top_fuel - middle, least) / fuel_leg), math.sqrt(max(top - middle, least) / oxygen_side)


def newton(station: Station, oxygen_pressure: float, fuel_pressure: float) -> tuple[float, float, Trial, int] | None:
    """Fuel and preheat-oxygen flow [kg/s], their trial and the number of evaluations; None when it does not settle quickly."""
    fuel, oxygen = first_guess(station, oxygen_pressure, fuel_pressure)
    fuel_floor = standing_pressure(station.fuel_line, station.atmosphere) ** 2
    oxygen_floor = standing_pressure(oxygen_leg(station), station.atmosphere) ** 2
    for count in range(1, _MOST + 1):
        trial = evaluate(station, fuel, oxygen)
        fuel_miss, fuel_scale = _miss(trial.fuel_needed, fuel_pressure, fuel_floor)
        oxygen_miss, oxygen_scale = _miss(trial.oxygen_needed, oxygen_pressure, oxygen_floor)
        a, b = fuel_scale * trial.fuel_by_fuel * fuel, fuel_scale * trial.fuel_by_oxygen * oxygen
        c, d = oxygen_scale * trial.oxygen_by_fuel * fuel, oxygen_scale * trial.oxygen_by_oxygen * oxygen
        determinant = a * d - b * c
        if not determinant > 0.0:
            return None
        fuel_step = (b * oxygen_miss - d * fuel_miss) / determinant
        oxygen_step = (c * fuel_miss - a * oxygen_miss) / determinant
        settled = abs(trial.fuel_needed - fuel_pressure) <= PRESSURE * fuel_pressure
        settled = settled and abs(trial.oxygen_needed - oxygen_pressure) <= PRESSURE * oxygen_pressure
        if settled and abs(fuel_step) <= STEP and abs(oxygen_step) <= STEP:
            return fuel, oxygen, trial, count
        # a nearly blocked fuel leg makes wild logarithmic steps: it moves in proportion, the oxygen in logarithms
        fuel *= 1.0 + min(max(fuel_step, -0.8), 3.0)
        oxygen *= math.exp(min(max(oxygen_step, -1.5), 1.5))
    return None


def _miss(needed: float, given: float, floor: float) -> tuple[float, float]:
    """The residual and its derivative by the needed pressure; plain squares where one of them is not above the floor."""
    over, given_over = needed * needed - floor, given * given - floor
    if over > 0.0 and given_over > 0.0:
        return math.log(over / given_over), 2.0 * needed / over
    return (needed * needed - given * given) / (given * given), 2.0 * needed / (given * given)
