"""One gas: equation of state, heat capacity, viscosity and saturation, fitted to CoolProp (acetylene: virial and cantera).

The equation is a polynomial in molar density d and temperature T for the residual part of the Helmholtz energy,
    residual / (R T) = sum of alpha[i][j] (d / 10000 mol/m3)^i (300 K / T)^j,  i from 1,
a virial series whose first term is the second virial. Compressibility, enthalpy and heat capacity follow by derivatives,
all linear in alpha, so one least-squares fit serves density, throttling and sound speed together.

Viscosity is a polynomial in T for the gas near 1 atm plus what density adds to it, a polynomial in the same d and 300 K / T.
"""

from dataclasses import dataclass
from math import log

import CoolProp.CoolProp as CP
import numpy as np

R = 8.314462618
UNIT_DENSITY = 1e4  # mol/m3
UNIT_TEMPERATURE = 300.0  # K
HEAD = "quantity,i,j,value,unit,uncertainty,source,note\n"


@dataclass(frozen=True)
class Recipe:
    fluid: str
    formula: str
    stored: bool  # compressed in cylinders to 300 bar; else a vapour that may condense


RECIPES = {
    "oxygen": Recipe("Oxygen", "O2", True),
    "nitrogen": Recipe("Nitrogen", "N2", True),
    "air": Recipe("Air", "", True),
    "methane": Recipe("Methane", "CH4", True),
    "hydrogen": Recipe("Hydrogen", "H2", True),
    "propane": Recipe("Propane", "C3H8", False),
    "propylene": Recipe("Propylene", "C3H6", False),
    "butane": Recipe("n-Butane", "C4H10", False),
    "isobutane": Recipe("IsoButane", "C4H10", False),
    "ethane": Recipe("Ethane", "C2H6", False),
    "carbon dioxide": Recipe("CarbonDioxide", "CO2", False),
}
NAMES = [*RECIPES, "acetylene"]
# coldest and hottest [K], from which temperature the warm limit holds [K], pressure limit below and above it [Pa]
STORED_RANGE = (145.0, 345.0, 230.0, 16e5, 401e5)
METHANE_RANGE = (170.0, 345.0, 230.0, 16e5, 401e5)  # colder it would condense below 16 bar
VAPOUR_RANGE = (225.0, 345.0, 225.0, 25e5, 25e5)
STORED_ORDERS = (5, 5, 4, 4, 3, 3)
VAPOUR_ORDERS = (4, 4, 3)
# what density adds to viscosity: powers of density, and of 300 K / T with each
STORED_DENSE, VAPOUR_DENSE, ACETYLENE_DENSE = (4, 2), (2, 2), (3, 1)
LIQUIDS = ("propane", "propylene", "butane", "isobutane")


class Rows:
    """Collects the rows of one table."""

    def __init__(self, source: str) -> None:
        self.source, self.lines = source, []

    def add(self, quantity, value, unit, i="", j="", uncertainty="", source="", note=""):
        printed = value if isinstance(value, str) else f"{value:.10g}"
        self.lines.append(f"{quantity},{i},{j},{printed},{unit},{uncertainty},{source or self.source},{note}")

    def series(self, quantity, values, unit, **kw):
        for i, value in enumerate(values):
            self.add(quantity, float(value), unit, i=i, **kw)

    def text(self) -> str:
        return HEAD + "\n".join(self.lines) + "\n"


def solve(matrix, target):
    """Least squares with every column scaled to one."""
    matrix, target = np.array(matrix), np.array(target)
    scale = np.abs(matrix).max(axis=0)
    solution, *_ = np.linalg.lstsq(matrix / scale, target, rcond=1e-13)
    return solution / scale


def polynomial(x, y, order, relative=True):
    """Coefficients of 1, x, x², …; weighted so that the relative error is even."""
    x, y = np.asarray(x), np.asarray(y)
    weight = 1 / np.abs(y) if relative else np.ones_like(y)
    return solve(np.vander(x, order, increasing=True) * weight[:, None], y * weight)


def limits(name: str):
    if name == "methane":
        return METHANE_RANGE
    return STORED_RANGE if RECIPES[name].stored else VAPOUR_RANGE


def points(name: str, critical: float):
    recipe = RECIPES[name]
    if recipe.stored:
        pressures = np.concatenate([np.geomspace(1e5, 1e7, 9), np.linspace(1.5e7, 4.01e7, 8)])
        warm = [(t, p) for t in np.linspace(230, 345, 16) for p in pressures]
        return warm + [(t, p) for t in np.linspace(limits(name)[0], 225, 9) for p in np.linspace(1e5, 1.6e6, 6)]
    found = []
    for t in np.linspace(225, 345, 16):
        top = CP.PropsSI("P", "T", t, "Q", 1, recipe.fluid) if t < critical - 0.5 else 1e9
        top = min(0.995 * top, 2.5e6)
        found += [(t, p) for p in np.linspace(0.02 * top, top, 12)]
    return found


def equation_of_state(name: str, critical: float):
    """alpha[i-1][j] and the largest relative error of Z at a fixed density."""
    recipe = RECIPES[name]
    orders = STORED_ORDERS if recipe.stored else VAPOUR_ORDERS
    pairs = [(i, j) for i, order in enumerate(orders, start=1) for j in range(order)]
    i, j = np.array(pairs).T
    state = CP.AbstractState("HEOS", recipe.fluid)
    if not recipe.stored:  # naming the phase helps a vapour near saturation, and misleads the solver far above the critical point
        state.specify_phase(CP.iphase_gas)
    matrix, target, compressibilities = [], [], []
    for temperature, pressure in points(name, critical):
        state.update(CP.PT_INPUTS, pressure, temperature)
        tau = UNIT_TEMPERATURE / temperature
        term = (state.rhomolar() / UNIT_DENSITY) ** i * tau**j
        z = pressure / (state.rhomolar() * R * temperature)
        energy = state.tau() * state.dalphar_dTau()
        heat = -(state.tau() ** 2) * state.d2alphar_dTau2()
        matrix += [i * term / z, 0.3 * (i + j) * term, 0.1 * -j * (j - 1) * term]
        target += [(z - 1) / z, 0.3 * (energy + z - 1), 0.1 * heat]
        compressibilities.append(z)
    values = solve(matrix, target)
    error = np.abs((np.array(matrix[::3]) @ values) - np.array(target[::3])).max()
    grouped = [[float(v) for (a, _), v in zip(pairs, values, strict=True) if a == k + 1] for k in range(len(orders))]
    return grouped, float(error)


def acetylene_virial():
    """Second and third virial of acetylene from its critical constants: no measured equation of state is to hand.

    B by the Tsonopoulos correlation (order 0, non-polar), C by Orbey and Vera, both written out here.
    """
    from chemicals import Pc, Tc, omega

    cas = "74-86-2"
    tc, pc, w = Tc(cas), Pc(cas), omega(cas)
    temperature = np.linspace(225, 345, 41)
    tr = temperature / tc
    f0 = 0.1445 - 0.33 / tr - 0.1385 / tr**2 - 0.0121 / tr**3 - 0.000607 / tr**8
    f1 = 0.0637 + 0.331 / tr**2 - 0.423 / tr**3 - 0.008 / tr**8
    b = R * tc / pc * (f0 + w * f1)
    g0 = 0.01407 + 0.02432 / tr**2.8 - 0.00313 / tr**10.5
    g1 = -0.02676 + 0.0177 / tr**2.8 + 0.04 / tr**3 - 0.003 / tr**6 - 0.00228 / tr**10.5
    c = (R * tc / pc) ** 2 * (g0 + w * g1)
    tau = UNIT_TEMPERATURE / temperature
    return [
        [float(v) for v in polynomial(tau, b * UNIT_DENSITY, 5)],
        [float(v) for v in polynomial(tau, c * UNIT_DENSITY**2 / 2, 5, relative=False)],
    ]


def add_range(rows: Rows, values) -> None:
    names = ("coldest", "hottest", "warm_from", "cold_pressure", "warm_pressure")
    for name, value in zip(names, values, strict=True):
        rows.add(name, value, "Pa" if "pressure" in name else "K", source="gas-fit-range")


def add_dense_viscosity(rows: Rows, density, temperature, added, viscosity, orders, **kw) -> None:
    """Fit what density adds [Pa s] so that the error in the whole viscosity is even; density in mol/m3. Kept in uPa s."""
    pairs = [(i, j) for i in range(1, orders[0] + 1) for j in range(orders[1])]
    i, j = np.array(pairs).T
    delta, tau = np.array(density)[:, None] / UNIT_DENSITY, UNIT_TEMPERATURE / np.array(temperature)[:, None]
    weight = 1 / np.array(viscosity)
    values = solve(delta**i * tau**j * weight[:, None], np.array(added) * weight)
    for (a, b), value in zip(pairs, values, strict=True):
        rows.add("dense_viscosity", float(value) * 1e6, "uPa s", i=a, j=b, **kw)


def dense_samples(name: str, critical: float):
    """Density [mol/m3], temperature and viscosity on the points of the equation of state."""
    # The phase is left to CoolProp here: told "gas" it finds a density four times too high for oxygen at 230 K and 401 bar.
    state = CP.AbstractState("HEOS", RECIPES[name].fluid)
    found = []
    for temperature, pressure in points(name, critical):
        state.update(CP.PT_INPUTS, pressure, temperature)
        found.append((state.rhomolar(), temperature, state.viscosity()))
    return np.array(found).T


def acetylene_dense_viscosity(rows: Rows, dilute) -> None:
    """What density adds by Lohrenz, Bray and Clark, less the 3 % that their polynomial leaves over at no density at all."""
    from chemicals import MW, Pc, Tc, Vc
    from chemicals.viscosity import Lorentz_Bray_Clarke

    cas = "74-86-2"
    constants = [[MW(cas)], [Tc(cas)], [Pc(cas)], [Vc(cas)]]
    density = np.linspace(20, 2000, 40)  # 26 bar at -5 °C, where it would condense, is 1700 mol/m3
    thin, *dense = (Lorentz_Bray_Clarke(300.0, 1e5, 1 / d, [1.0], *constants) for d in (1e-6, *density))
    note = "at the same reduced state within 1.5 % (to 2.5 bar) and 4.1 % (to 26 bar) of six other vapours"
    added = np.array(dense) - thin
    add_dense_viscosity(
        rows,
        density,
        np.full(40, 300.0),
        added,
        added + dilute,
        ACETYLENE_DENSE,
        uncertainty="5 % in viscosity",
        source="lohrenz-bray-clark",
        note=note,
    )


def add_saturation(rows: Rows, name: str, critical: float) -> None:
    fluid = RECIPES[name].fluid
    rows.add("critical_temperature", critical, "K")
    t = np.linspace(222, min(346, critical - 1), 60)
    p = [CP.PropsSI("P", "T", float(x), "Q", 1, fluid) for x in t]
    rows.series(
        "log_saturation", polynomial(UNIT_TEMPERATURE / t, np.log(np.array(p) / 1e5), 5, relative=False), "ln bar", uncertainty="0.05 %"
    )
    if name not in LIQUIDS:
        return
    t = np.linspace(230, 336, 54)
    rise = [CP.PropsSI("H", "T", float(x), "Q", 1, fluid) - CP.PropsSI("H", "T", float(x), "Q", 0, fluid) for x in t]
    liquid = [CP.PropsSI("D", "T", float(x), "Q", 0, fluid) for x in t]
    rows.series("latent_heat", polynomial(t / UNIT_TEMPERATURE, rise, 6), "J/kg", uncertainty="0.1 %")
    rows.series("liquid_density", polynomial(t / UNIT_TEMPERATURE, liquid, 6), "kg/m3", uncertainty="0.1 %")


def acetylene_table() -> str:
    import cantera as ct
    from chemicals.vapor_pressure import Psat_data_WagnerMcGarry, Wagner_original

    rows = Rows("acetylene-virial")
    gas = ct.Solution("gri30.yaml")
    gas.transport_model = "mixture-averaged"
    rows.add("formula", "C2H2", "", source="cantera-gri30")
    rows.add("molar_mass", gas.molecular_weights[gas.species_index("C2H2")] / 1e3, "kg/mol", source="cantera-gri30")
    add_range(rows, (225.0, 345.0, 225.0, 26e5, 26e5))
    for i, line in enumerate(acetylene_virial(), start=1):
        for j, value in enumerate(line):
            rows.add(
                "alpha", value, "1", i=i, j=j, uncertainty="unchecked", note="virial and SRK agree 0.05 % at 5 bar and 0.3 % at 10 bar"
            )
    t = np.linspace(225, 345, 25)
    capacity, viscosity = [], []
    for x in t:
        gas.TPX = float(x), 101325.0, "C2H2:1"
        capacity.append(gas.cp_mole / 1e3 / R)
        viscosity.append(gas.viscosity)
    rows.series("heat_capacity", polynomial(t / UNIT_TEMPERATURE, capacity, 5), "R", uncertainty="1 %", source="cantera-gri30")
    rows.series("viscosity", polynomial(t / UNIT_TEMPERATURE, viscosity, 4), "Pa s", uncertainty="2 %", source="cantera-gri30")
    acetylene_dense_viscosity(rows, float(np.interp(300.0, t, viscosity)))
    wagner = Psat_data_WagnerMcGarry.loc["74-86-2"]
    rows.add("critical_temperature", float(wagner["Tc"]), "K", source="chemicals-wagner")
    t = np.linspace(222, 307, 60)
    p = [Wagner_original(float(x), *(float(wagner[k]) for k in ("Tc", "Pc", "A", "B", "C", "D"))) for x in t]
    fitted = polynomial(UNIT_TEMPERATURE / t, [log(x / 1e5) for x in p], 5, relative=False)
    rows.series("log_saturation", fitted, "ln bar", uncertainty="1 %", source="chemicals-wagner")
    return rows.text()


def gas_table(name: str) -> str:
    """The table of one gas as CSV text."""
    if name == "acetylene":
        return acetylene_table()
    recipe = RECIPES[name]
    rows = Rows("coolprop")
    critical = CP.PropsSI("Tcrit", recipe.fluid)
    rows.add("formula", recipe.formula, "")
    rows.add("molar_mass", CP.PropsSI("M", recipe.fluid), "kg/mol")
    add_range(rows, limits(name))
    alpha, error = equation_of_state(name, critical)
    for i, line in enumerate(alpha, start=1):
        for j, value in enumerate(line):
            rows.add("alpha", value, "1", i=i, j=j, uncertainty=f"{max(error, 1e-5) * 100:.1g} % in density")
    coldest, hottest = limits(name)[:2]
    t = np.linspace(coldest, hottest, 36)
    capacity = [CP.PropsSI("CP0MOLAR", "T", float(x), "P", 1e4, recipe.fluid) / R for x in t]
    rows.series("heat_capacity", polynomial(t / UNIT_TEMPERATURE, capacity, 6), "R", uncertainty="0.1 %")
    # At 1 atm where the gas can exist there, else at a tenth of an atmosphere: the difference is below 0.2 %.
    viscosity = []
    for x in t:
        near_liquid = not recipe.stored and x < critical - 1 and CP.PropsSI("P", "T", float(x), "Q", 1, recipe.fluid) < 110000
        viscosity.append(CP.PropsSI("V", "T", float(x), "P", 10132.5 if near_liquid else 101325.0, recipe.fluid))
    coefficients = polynomial(t / UNIT_TEMPERATURE, viscosity, 5)
    rows.series("viscosity", coefficients, "Pa s", uncertainty="2 % to 12 bar")
    density, warmth, whole = dense_samples(name, critical)
    added = whole - np.polynomial.polynomial.polyval(warmth / UNIT_TEMPERATURE, coefficients)
    orders = STORED_DENSE if recipe.stored else VAPOUR_DENSE
    note = "the reference is itself an extended corresponding states model on propane" if name == "propylene" else ""
    add_dense_viscosity(rows, density, warmth, added, whole, orders, uncertainty="1 % in viscosity", note=note)
    if not recipe.stored:
        add_saturation(rows, name, critical)
    return rows.text()
