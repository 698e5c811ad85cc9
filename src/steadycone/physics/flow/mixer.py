"""Where the two gases meet: the pressure at the mixing point, and an injector's lift.

Equal-pressure mixer: two openings into one point, from which the mixture goes to the atmosphere through the tip's port.

Injector: the oxygen jet drags the fuel in. A momentum balance over the mixing tube gives the lift, by which the fuel's opening
sees less pressure than the mixing point:

    lift = strength x (thrust of the oxygen jet - momentum of the mixture in the tube)

strength is efficiency / tube area. One number, fitted to the chart row's suction or estimated (efficiency 0.5 to 0.8). Taken
as simple as it can be: the jet expands to the mixing-point pressure, not to the lower one in the suction chamber; the fuel
enters slowly; tube walls are in the efficiency. A lift that was not fitted to a measured suction is an estimate.
"""

import math
from dataclasses import dataclass

from steadycone.physics.flow.orifice import critical_coefficient
from steadycone.physics.flow.stream import Stream

INJECTOR_EFFICIENCY = 0.65  # injector-efficiency


@dataclass(frozen=True, slots=True)
class Injector:
    """strength : efficiency over mixing-tube area [1/m²]; tube_area [m²], infinite: the mixture's own momentum is left out."""

    strength: float
    tube_area: float = math.inf


def mixing_pressure_slopes(
    atmosphere: float, fuel_flow: float, oxygen_flow: float, port_area: float, fuel: Stream, oxygen: Stream
) -> tuple[float, float, float]:
    """Pressure at the mixing point [Pa], and its derivatives by fuel flow and by oxygen flow [Pa s/kg].

    The port is a sharp opening (orifice.py) for a mixture whose gas constant and gamma follow the flows.
    flows [kg/s], 0 or more and not both 0; port_area [m²], effective.
    """
    fuel_moles, oxygen_moles = fuel_flow / fuel.molar_mass, oxygen_flow / oxygen.molar_mass
    moles, flow = fuel_moles + oxygen_moles, fuel_flow + oxygen_flow
    fuel_heat, oxygen_heat = 1.0 / (fuel.gamma - 1.0), 1.0 / (oxygen.gamma - 1.0)
    heat = fuel_moles * fuel_heat + oxygen_moles * oxygen_heat
    less = moles / heat
    gamma = 1.0 + less
    work = fuel_flow * fuel.gas_constant * fuel.temperature + oxygen_flow * oxygen.gas_constant * oxygen.temperature  # m R T
    squared = flow * work / (port_area * port_area)
    y = squared / (gamma * atmosphere * atmosphere)
    mach_squared = 2.0 * y / (1.0 + math.sqrt(1.0 + 2.0 * less * y))
    if mach_squared >= 1.0:
        pressure = math.sqrt(squared) / critical_coefficient(gamma)
        share = 0.5
        by_gamma = math.log(2.0 / (gamma + 1.0)) / (less * less) + 0.5 / less - 0.5 / gamma
    else:
        half = 0.5 * less * mach_squared
        stagnation = 1.0 + half
        power = gamma / less
        log = math.log1p(half)
        pressure = atmosphere * math.exp(power * log)
        share = 0.5 * gamma * y / (stagnation * (1.0 + less * mach_squared))
        mach_by_gamma = -(mach_squared * stagnation / gamma + 0.5 * mach_squared * mach_squared) / (1.0 + 2.0 * half)
        by_gamma = power * (0.5 * less * mach_by_gamma + 0.5 * mach_squared) / stagnation - log / (less * less)
    fuel_gamma = (1.0 - less * fuel_heat) / (fuel.molar_mass * heat)
    oxygen_gamma = (1.0 - less * oxygen_heat) / (oxygen.molar_mass * heat)
    by_fuel = pressure * (share * (1.0 / flow + fuel.gas_constant * fuel.temperature / work) + by_gamma * fuel_gamma)
    by_oxygen = pressure * (share * (1.0 / flow + oxygen.gas_constant * oxygen.temperature / work) + by_gamma * oxygen_gamma)
    return pressure, by_fuel, by_oxygen


def jet_thrust_slopes(mixing_pressure: float, oxygen_flow: float, oxygen_area: float, oxygen: Stream) -> tuple[float, float, float]:
    """Thrust of the oxygen jet [N], and its derivatives by mixing pressure [m²] and by oxygen flow [m/s].

    Flow times speed, and where the jet is sonic also the pressure it still has above its surroundings, times its area.
    mixing_pressure [Pa]; oxygen_flow [kg/s]; oxygen_area [m²], effective.  Source: nozzle-ideal
    """
    if oxygen_flow <= 0.0:
        return 0.0, 0.0, 0.0
    gamma, heat = oxygen.gamma, oxygen.gas_constant * oxygen.temperature
    less = gamma - 1.0
    y = (oxygen_flow / (oxygen_area * mixing_pressure)) ** 2 * heat / gamma
    mach_squared = 2.0 * y / (1.0 + math.sqrt(1.0 + 2.0 * less * y))
    if mach_squared < 1.0:
        thrust = gamma * mixing_pressure * oxygen_area * mach_squared  # rho u² A
        by_flow = thrust / mach_squared * 2.0 * y / (1.0 + less * mach_squared) / oxygen_flow
        return thrust, (thrust - oxygen_flow * by_flow) / mixing_pressure, by_flow
    throat = math.sqrt(2.0 * heat / (gamma * (gamma + 1.0)))  # pressure in the throat x area per flow
    by_flow = math.sqrt(2.0 * gamma * heat / (gamma + 1.0)) + throat
    return oxygen_flow * by_flow - mixing_pressure * oxygen_area, -oxygen_area, by_flow


def lift_slopes(
    injector: Injector, mixing_pressure: float, fuel_flow: float, oxygen_flow: float, oxygen_area: float, fuel: Stream, oxygen: Stream
) -> tuple[float, float, float, float]:
    """How far the fuel's opening sees less than the mixing point [Pa], and derivatives by mixing pressure, fuel and oxygen flow.

    Below zero where the mixture's momentum outweighs the jet. mixing_pressure [Pa]; flows [kg/s]; oxygen_area [m²], effective.
    Source: injector-momentum
    """
    thrust, by_pressure, by_oxygen = jet_thrust_slopes(mixing_pressure, oxygen_flow, oxygen_area, oxygen)
    fuel_work, oxygen_work = fuel.gas_constant * fuel.temperature, oxygen.gas_constant * oxygen.temperature
    flow, work = fuel_flow + oxygen_flow, fuel_flow * fuel_work + oxygen_flow * oxygen_work
    per_tube = 1.0 / (mixing_pressure * injector.tube_area)
    carried = flow * work * per_tube
    strength = injector.strength
    return (
        strength * (thrust - carried),
        strength * (by_pressure + carried / mixing_pressure),
        -strength * (work + flow * fuel_work) * per_tube,
        strength * (by_oxygen - (work + flow * oxygen_work) * per_tube),
    )
