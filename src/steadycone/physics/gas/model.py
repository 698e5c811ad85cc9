"""What a gas is here: a frozen set of coefficients. The functions beside it evaluate them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from steadycone.units import GAS_CONSTANT as GAS_CONSTANT  # read by others from here
from steadycone.units import NORMAL_MOLAR_VOLUME as NORMAL_MOLAR_VOLUME

NORMAL_TEMPERATURE = 273.15  # K
NORMAL_PRESSURE = 101325.0  # Pa absolute

# The fits are polynomials in these reduced variables; tools/tables_gas.py uses the same.
UNIT_DENSITY = 1e4  # mol/m³
UNIT_TEMPERATURE = 300.0  # K


class Range(NamedTuple):
    """Where the coefficients hold. Temperatures in K, pressures in Pa absolute."""

    coldest: float
    hottest: float
    warm_from: float  # from here up warm_pressure is the limit, below it cold_pressure
    cold_pressure: float
    warm_pressure: float


class Saturation(NamedTuple):
    """Vapour pressure; latent heat and liquid density where the gas is kept as a liquid."""

    critical_temperature: float  # K
    log_pressure: tuple[float, ...]  # ln(p / bar) in powers of 300 K / T
    latent_heat: tuple[float, ...]  # J/kg in powers of T / 300 K; empty where not tabulated
    liquid_density: tuple[float, ...]  # kg/m³ in powers of T / 300 K; empty where not tabulated


@dataclass(frozen=True, slots=True, eq=False)
class Gas:
    """A pure gas (parts empty) or a mixture. Two gases are the same only when they are one object; `load` caches."""

    name: str
    formula: str  # empty for air and for mixtures
    molar_mass: float  # kg/mol
    components: Mapping[str, float]  # name to mole fraction; a pure gas has itself with 1.0
    alpha: tuple[tuple[float, ...], ...]  # residual Helmholtz energy / (R T): alpha[i-1][j] (d / 1e4)^i (300 / T)^j
    heat_capacity: tuple[float, ...]  # ideal-gas cp / R in powers of T / 300 K
    viscosity: tuple[float, ...]  # near 1 atm, Pa s in powers of T / 300 K; empty for a mixture
    range: Range
    saturation: Saturation | None
    parts: tuple["Gas", ...] = ()  # of a mixture, in the order of components
    dense_viscosity: tuple[tuple[float, ...], ...] = ()  # µPa s that density adds, laid out as alpha; empty for a mixture
    sources: tuple[str, ...] = ()  # keys into data/sources


def polynomial(coefficients: tuple[float, ...], x: float) -> float:
    """Sum of coefficients[i] x^i."""
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total
