"""Liquefied gas as a store that cools while it is drawn: LPG whose liquid gets colder until its vapour no longer feeds the regulator.

Source: lpg-wall, lpg-cylinder, shift-liquid
"""

from dataclasses import dataclass, field
from functools import lru_cache

from steadycone.errors import OutOfRange
from steadycone.physics.gas import Gas, latent_heat, saturated_liquid_density, saturation_pressure
from steadycone.physics.supply.lpg import WALL_TRANSFER, residue, wetted_area

FROST = 273.15  # K: below it the air's moisture freezes on the wall, as high as the liquid stands
_COLDEST = 233.65  # K, half a kelvin above the end of the vapour pressure tables
_LIQUID_HEAT = 2500.0  # J/(kg K): shift-liquid
_STEEL_SHARE, _STEEL_HEAT = 1.1, 480.0  # kg of cylinder for a kg of content; J/(kg K): shift-liquid
_STAGES = 20  # of the boil-off of a mixture


@dataclass(frozen=True, slots=True)
class Liquid:
    """One upright LPG cylinder.

    fuel : Gas   the liquid of a full cylinder
    full, mass : float   [kg]
    temperature : float   [K] of the boiling, for a mixture's change as it empties
    transfer : float   [W/(m² K)], air to liquid over the wetted wall
    """

    fuel: Gas
    full: float
    mass: float
    temperature: float
    transfer: float = WALL_TRANSFER
    _left: tuple[Gas, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Raises  OutOfRange: full content not above 0, or mass outside 0 to full; not kept as a liquid, or outside -40..60 °C."""
        if not (self.full > 0.0 and 0.0 <= self.mass <= self.full * (1.0 + 1e-9)):
            raise OutOfRange("the full content must be above 0, and the contents from 0 to full", where="cylinder")
        object.__setattr__(self, "_left", _stages(self.fuel, self.temperature))

    def left(self, amount: float) -> Gas:
        """The liquid at what is left: of a mixture the stage below, which has the lower pressure."""
        return self._left[min(int(self._fill(amount) * (len(self._left) - 1)), len(self._left) - 1)]

    @property
    def amount(self) -> float:
        return self.mass / self.fuel.molar_mass

    def heat(self, amount: float, temperature: float) -> float:
        return latent_heat(self.left(amount), temperature) * self.fuel.molar_mass

    def capacity(self, amount: float) -> float:
        return _LIQUID_HEAT * amount * self.fuel.molar_mass + _STEEL_SHARE * _STEEL_HEAT * self.full

    def wall(self, amount: float, temperature: float) -> float:
        return self.transfer * wetted_area(self.full, self._fill(amount), saturated_liquid_density(self.left(amount), temperature))

    def pressure(self, amount: float, temperature: float) -> float:
        """Between two stages of a mixture in proportion."""
        if len(self._left) == 1:
            return saturation_pressure(self.fuel, temperature)
        at = self._fill(amount) * (len(self._left) - 1)
        below = min(int(at), len(self._left) - 2)
        low, high = (saturation_pressure(self._left[stage], temperature) for stage in (below, below + 1))
        return low + (at - below) * (high - low)

    def coldest(self) -> float:
        return _COLDEST

    def _fill(self, amount: float) -> float:
        return min(max(amount * self.fuel.molar_mass / self.full, 0.0), 1.0)


@lru_cache(maxsize=16)
def _stages(fuel: Gas, temperature: float) -> tuple[Gas, ...]:
    """The liquid as it empties, from nothing left to full; a pure fuel's is always the same."""
    if not fuel.parts:
        return (fuel,)
    return tuple(residue(fuel, stage / _STAGES, temperature) for stage in range(_STAGES + 1))
