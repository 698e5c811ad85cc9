"""One gas at one temperature, as the flow formulas need it.

Density is p (1 - s p + s² p²) / (R T) with s = B / (R T): the second virial coefficient, carried one order further so that
density rises with pressure whatever the pressure, which the hose needs to have one answer. Z = 1 + s p to first order.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from steadycone.units import GAS_CONSTANT

if TYPE_CHECKING:
    from steadycone.physics.gas import Gas


@dataclass(frozen=True, slots=True)
class Stream:
    """A gas at a temperature.

    molar_mass [kg/mol]; gas_constant, specific [J/(kg K)]; gamma, ratio of heat capacities [-]; viscosity [Pa s];
    temperature [K]; virial_slope, B/(R T) [1/Pa], so that Z = 1 + virial_slope p to first order.
    """

    molar_mass: float
    gas_constant: float
    gamma: float
    viscosity: float
    temperature: float
    virial_slope: float = 0.0

    def compressibility(self, pressure: float) -> float:
        """Z at a pressure [Pa absolute]. Always positive."""
        x = self.virial_slope * pressure
        return 1.0 / (1.0 - x + x * x)

    def density(self, pressure: float) -> float:
        """Density [kg/m³] at a pressure [Pa absolute]."""
        x = self.virial_slope * pressure
        return pressure * (1.0 - x + x * x) / (self.gas_constant * self.temperature)


@lru_cache(maxsize=256)  # a gas is one object, a stream cannot be changed
def stream_of(gas: "Gas", temperature: float) -> Stream:
    """The stream of a gas from steadycone.physics.gas at a temperature [K]."""
    from steadycone.physics import gas as gases  # here, so that the flow formulas work on bare numbers without the gas tables

    return Stream(
        molar_mass=gas.molar_mass,
        gas_constant=gases.specific_gas_constant(gas),
        gamma=gases.gamma(gas, temperature),
        viscosity=gases.viscosity(gas, temperature),
        temperature=temperature,
        virial_slope=gases.second_virial(gas, temperature) / (GAS_CONSTANT * temperature),
    )


def mix_streams(fuel: Stream, oxygen: Stream, fuel_flow: float, oxygen_flow: float) -> Stream:
    """The mixture of two streams.

    Parameters
    ----------
    fuel, oxygen : Stream
    fuel_flow, oxygen_flow : float   [kg/s], not both zero

    Returns
    -------
    Stream : gamma from molar heat capacities at constant volume, 1 + sum(n) / sum(n_i / (gamma_i - 1)); viscosity weighted by
        mole fraction times the root of molar mass (within a few per cent for such pairs; nothing here leans on it); temperature
        and virial slope by moles.

    Source      derived: ideal mixing
    """
    fuel_moles, oxygen_moles = fuel_flow / fuel.molar_mass, oxygen_flow / oxygen.molar_mass
    moles = fuel_moles + oxygen_moles
    x, y = fuel_moles / moles, oxygen_moles / moles
    molar_mass = (fuel_flow + oxygen_flow) / moles
    fuel_weight, oxygen_weight = x * math.sqrt(fuel.molar_mass), y * math.sqrt(oxygen.molar_mass)
    return Stream(
        molar_mass=molar_mass,
        gas_constant=x * fuel.molar_mass / molar_mass * fuel.gas_constant + y * oxygen.molar_mass / molar_mass * oxygen.gas_constant,
        gamma=1.0 + 1.0 / (x / (fuel.gamma - 1.0) + y / (oxygen.gamma - 1.0)),
        viscosity=(fuel_weight * fuel.viscosity + oxygen_weight * oxygen.viscosity) / (fuel_weight + oxygen_weight),
        temperature=x * fuel.temperature + y * oxygen.temperature,
        virial_slope=x * fuel.virial_slope + y * oxygen.virial_slope,
    )
