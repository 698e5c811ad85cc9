"""What the gases are, from libraries alone: molar mass, viscosity, ratio of heats, second virial coefficient, density."""

from dataclasses import dataclass
from functools import lru_cache

import cantera
from chemicals.virial import BVirial_Tsonopoulos
from CoolProp.CoolProp import PropsSI

from tests.judge.reading import ATM, R

_NAMES = {"oxygen": "Oxygen", "propane": "Propane", "natural gas": "Methane", "methane": "Methane", "propylene": "Propylene", "butane": "Butane",
          "hydrogen": "Hydrogen", "air": "Air"}  # fmt: skip


@dataclass(frozen=True)
class Gas:
    mass: float  # kg/mol
    viscosity: float  # Pa s
    gamma: float
    virial: float  # m3/mol
    temperature: float

    def z(self, pressure: float) -> float:
        return 1 + self.virial * pressure / (R * self.temperature)

    def density(self, pressure: float) -> float:
        """kg/m3 at an absolute pressure."""
        return pressure * self.mass / (R * self.temperature * self.z(pressure))


@lru_cache(maxsize=4096)
def gas(name: str, temperature: float) -> Gas:
    """A gas at a temperature, dilute. CoolProp has no acetylene: kinetic theory by cantera, Tsonopoulos' virial by chemicals."""
    if name == "acetylene":
        return _acetylene(temperature)
    if name in ("lpg", "lpg in a pipe"):  # of no stated composition: half and half; over a liquid the vapour is richer, by Raoult
        ends = gas("propane", temperature), gas("butane", temperature)
        share = 0.5 if name != "lpg" else over_liquid(0.5, temperature)
        mean = [share * getattr(ends[0], key) + (1 - share) * getattr(ends[1], key) for key in ("mass", "viscosity", "gamma", "virial")]
        return Gas(*mean, temperature)
    of = _NAMES[name]
    low = 0.2 * ATM
    heats = PropsSI("Cp0molar", "T", temperature, "P", low, of)
    return Gas(
        PropsSI("M", of),
        PropsSI("V", "T", temperature, "P", low, of),
        heats / (heats - R),
        PropsSI("Bvirial", "T", temperature, "P", low, of),
        temperature,
    )


def over_liquid(share: float, temperature: float) -> float:
    """The share of propane in the vapour over a liquid of propane and butane."""
    light, heavy = share * saturation("propane", temperature), (1 - share) * saturation("butane", temperature)
    return light / (light + heavy)


def boiled_down(left: float, temperature: float) -> float:
    """Vapour pressure of a liquid that began half and half and of which a share is left, absolute: Rayleigh's still, in steps."""
    share, amount = 0.5, 1.0
    step = (1 - left) / 60
    for _ in range(60):
        gone = over_liquid(share, temperature) * step
        share, amount = max((share * amount - gone) / (amount - step), 0.0) if amount > step else 0.0, amount - step
    return share * saturation("propane", temperature) + (1 - share) * saturation("butane", temperature)


@lru_cache(maxsize=1)
def _mechanism() -> cantera.Solution:
    return cantera.Solution("gri30.yaml", transport_model="mixture-averaged")


def _acetylene(temperature: float) -> Gas:
    dilute = _mechanism()
    dilute.TPX = temperature, ATM, "C2H2:1"
    return Gas(0.026038, dilute.viscosity, dilute.cp / dilute.cv, BVirial_Tsonopoulos(temperature, 308.3, 6.138e6, 0.19), temperature)


@lru_cache(maxsize=65536)
def moles(name: str, water_volume: float, pressure: float, temperature: float) -> float:
    """What a cylinder of compressed gas holds, mol, at an absolute pressure."""
    return water_volume * float(PropsSI("Dmolar", "T", temperature, "P", pressure, _NAMES[name]))


@lru_cache(maxsize=65536)
def pressure_of(name: str, water_volume: float, amount: float, temperature: float) -> float:
    return float(PropsSI("P", "T", temperature, "Dmolar", amount / water_volume, _NAMES[name]))


@lru_cache(maxsize=4096)
def saturation(name: str, temperature: float) -> float:
    """Vapour pressure of a liquefied gas, Pa absolute."""
    return float(PropsSI("P", "T", temperature, "Q", 1, _NAMES[name]))
