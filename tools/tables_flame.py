"""Flame tables: equilibrium at 1 atm from 20 °C gases by cantera, and the unburnt mixture's properties.

Fuels that GRI-Mech 3.0 knows use it. The others take their thermodynamics from cantera's NASA polynomials and the
viscosity and conductivity of the fuel from CoolProp, mixed by Wilke and by Wassiljewa with the Herning-Zipperer weights.
"""

import warnings

import cantera as ct
import CoolProp.CoolProp as CP
import numpy as np
from chemicals.thermal_conductivity import Wassiljewa_Herning_Zipperer
from chemicals.viscosity import Wilke

TEMPERATURE, PRESSURE = 293.15, 101325.0
# fuel: species, mechanism, CoolProp name, first, last and step of the ratio oxygen to fuel by amount
FUELS = {
    "acetylene": ("C2H2", "gri30.yaml", "", 1.0, 2.6, 0.05),
    "propane": ("C3H8", "gri30.yaml", "", 3.0, 5.6, 0.1),
    "propylene": ("C3H6,propylene", "nasa_gas.yaml", "Propylene", 2.5, 5.0, 0.1),
    "methane": ("CH4", "gri30.yaml", "", 1.2, 2.3, 0.05),
    "hydrogen": ("H2", "gri30.yaml", "", 0.2, 0.6, 0.02),
    "butane": ("C4H10,n-butane", "nasa_gas.yaml", "n-Butane", 3.9, 7.3, 0.1),
    "isobutane": ("C4H10,isobutane", "nasa_gas.yaml", "IsoButane", 3.9, 7.3, 0.1),
    "ethane": ("C2H6", "gri30.yaml", "", 2.1, 4.0, 0.1),
}
SPECIES = ("CO", "H2", "H2O", "CO2", "O2", "OH", "H", "O")
BURNT = ("H2", "H", "O", "O2", "OH", "H2O", "HO2", "H2O2", "C", "CH4", "CO", "CO2", "HCO")
HEAD = (
    "ratio,temperature_k," + ",".join(f"x_{s.lower()}" for s in SPECIES) + ",expansion_ratio,density,gamma,viscosity,diffusivity,source\n"
)


def solution(fuel: str) -> ct.Solution:
    species, mechanism, *_ = FUELS[fuel]
    if mechanism == "gri30.yaml":
        gas = ct.Solution(mechanism)
        gas.transport_model = "mixture-averaged"
        return gas
    known = {s.name: s for s in ct.Species.list_from_file(mechanism)}
    chosen = [known[n] for n in (*BURNT, "C2H2,acetylene", species) if n in known]
    return ct.Solution(thermo="ideal-gas", species=chosen)


def unburnt_transport(gas: ct.Solution, fuel: str, ratio: float) -> tuple[float, float]:
    """Viscosity [Pa s] and thermal conductivity [W/(m K)] of the cold mixture."""
    fluid = FUELS[fuel][2]
    if not fluid:
        return gas.viscosity, gas.thermal_conductivity
    fractions = [1 / (1 + ratio), ratio / (1 + ratio)]
    masses = [1e3 * CP.PropsSI("M", fluid), 1e3 * CP.PropsSI("M", "Oxygen")]
    values = {k: [CP.PropsSI(k, "T", TEMPERATURE, "P", PRESSURE, f) for f in (fluid, "Oxygen")] for k in "VL"}
    return Wilke(fractions, values["V"], masses), Wassiljewa_Herning_Zipperer(fractions, values["L"], masses)


def flame_row(gas: ct.Solution, fuel: str, ratio: float) -> list[float]:
    species = FUELS[fuel][0]
    gas.TPX = TEMPERATURE, PRESSURE, {species: 1.0, "O2": ratio}
    density, gamma = gas.density, gas.cp / gas.cv
    viscosity, conductivity = unburnt_transport(gas, fuel, ratio)
    diffusivity = conductivity / (density * gas.cp)
    with warnings.catch_warnings():  # a few minor species' polynomials end at 3000 K; they are extrapolated by 430 K
        warnings.simplefilter("ignore", UserWarning)
        gas.equilibrate("HP", rtol=1e-10, max_steps=5000)
    shares = [float(gas[s].X[0]) for s in SPECIES]
    return [gas.T, *shares, density / gas.density, density, gamma, viscosity, diffusivity]


def flame_table(fuel: str) -> str:
    """The table of one fuel as CSV text."""
    _, mechanism, _, first, last, step = FUELS[fuel]
    source = "cantera-gri30" if mechanism == "gri30.yaml" else "cantera-nasa"
    gas = solution(fuel)
    lines = []
    for ratio in np.arange(round((last - first) / step) + 1) * step + first:
        values = flame_row(gas, fuel, float(ratio))
        shares = [f"{v:.6f}" for v in values[1:9]]
        rest = [f"{v:.6g}" for v in values[9:]]
        lines.append(",".join([f"{ratio:.2f}", f"{values[0]:.2f}", *shares, *rest, source]))
    return HEAD + "\n".join(lines) + "\n"
