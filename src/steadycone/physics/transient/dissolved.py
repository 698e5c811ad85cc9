"""Acetylene in its solvent as a store that cools while it is drawn, and the solvent that leaves with the gas.

Source: acetylene-cooling, shift-dissolved, acetone-vapour
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from steadycone.errors import OutOfRange
from steadycone.physics.supply.acetylene import (
    ACETONE_MOLAR_MASS,
    ACETYLENE_MOLAR_MASS,
    HEAT_OF_DESORPTION,
    MODEL_CONTENT,
    MODEL_HEAT_CAPACITY,
    MODEL_WALL,
    pressure_over_solution,
)
from steadycone.physics.transient.shift import Shift

HEAT_BAND = (13.5e3, 16.1e3)  # J/mol: three vessels of 1909, and the slope of the pressure fit: shift-dissolved
WALL_BAND = (0.6, 1.6)  # of the still-air figure: cylinders close together, or in moving air: shift-dissolved
_GAS_HEAT = 1700.0  # J/(kg K) that a kilogram of dissolved gas takes away from the heat capacity: shift-dissolved
_COLDEST = 243.15  # K, end of the pressure fit


@dataclass(frozen=True, slots=True)
class Dissolved:
    """One acetylene cylinder.

    full, mass, solvent : float   [kg], full content, what is dissolved now, acetone
    desorption : float   [J/mol];  wall_factor, pressure_factor : float   [-], for the ends of a band
    """

    full: float
    mass: float
    solvent: float
    desorption: float = HEAT_OF_DESORPTION
    wall_factor: float = 1.0
    pressure_factor: float = 1.0

    def __post_init__(self) -> None:
        """Raises  OutOfRange: full content or solvent not above 0, or mass below 0."""
        if not (self.full > 0.0 and self.solvent > 0.0 and self.mass >= 0.0):
            raise OutOfRange("full content and solvent must be above 0, and the contents not below 0", where="cylinder")

    @property
    def amount(self) -> float:
        return self.mass / ACETYLENE_MOLAR_MASS

    def heat(self, amount: float, temperature: float) -> float:
        return self.desorption

    def capacity(self, amount: float) -> float:
        """Of steel, mass, acetone and the gas still there: a full cylinder of 8 kg has 61 kJ/K."""
        gone = max(self.full - amount * ACETYLENE_MOLAR_MASS, 0.0)
        return MODEL_HEAT_CAPACITY * self.full / MODEL_CONTENT - _GAS_HEAT * gone

    def wall(self, amount: float, temperature: float) -> float:
        return self.wall_factor * MODEL_WALL * float((self.full / MODEL_CONTENT) ** (2.0 / 3.0))

    def pressure(self, amount: float, temperature: float) -> float:
        return self.pressure_factor * pressure_over_solution(amount * ACETYLENE_MOLAR_MASS, self.solvent, temperature)

    def coldest(self) -> float:
        return _COLDEST


def acetone_pressure(temperature: float) -> float:
    """Vapour pressure of acetone [Pa] at a temperature [K].

    Holds for   -30..60 °C within 3 % of a reference equation
    Source      acetone-vapour
    """
    return float(10.0 ** (7.1171 - 1210.6 / (temperature - 43.49)) * 133.322)


def solvent_vapour(found: Shift, solvent: float) -> float:
    """Acetone that leaves as vapour over a shift [kg], the least that can: what foams over as liquid comes on top and is not worked out.

    Parameters
    ----------
    found : Shift   of a Dissolved store
    solvent : float   [kg]

    Source      acetone-vapour; Raoult's law over the solution
    """
    moles = solvent / ACETONE_MOLAR_MASS
    total = 0.0
    for before, after in pairwise(found.moments):
        middle = 0.5 * (before.amount + after.amount)
        pressure = 0.5 * (before.pressure + after.pressure)
        share = min(0.9, moles / (moles + middle) * acetone_pressure(0.5 * (before.temperature + after.temperature)) / pressure)
        total += (before.amount - after.amount) * share / (1.0 - share)
    return total * ACETONE_MOLAR_MASS


def share_an_hour(flow: float, amount: float) -> float:
    """Flow [mol/s] as a share of what is left [mol] in an hour; infinite when nothing is left. Rules of 1/15 to 1/7 are such shares."""
    return flow * 3600.0 / amount if amount > 0.0 else math.inf
