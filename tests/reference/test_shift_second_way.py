"""A cylinder through a shift, by a closed form and by a general-purpose integrator; acetone's vapour against a reference equation."""

from dataclasses import dataclass

import pytest
from chemicals import vapor_pressure
from scipy.integrate import solve_ivp
from tests.checks import ANOTHER, check

from steadycone.physics.gas import latent_heat, load, mixture, saturated_liquid_density, saturation_pressure
from steadycone.physics.supply import acetylene, lpg
from steadycone.physics.transient.dissolved import Dissolved, acetone_pressure
from steadycone.physics.transient.liquid import Liquid
from steadycone.physics.transient.shift import flow_limit, shift

AIR = 288.15


@dataclass(frozen=True)
class Plain:
    """A store whose figures do not change: its cooling is an exponential."""

    amount: float = 3000.0

    def heat(self, amount: float, temperature: float) -> float:
        return 15e3

    def capacity(self, amount: float) -> float:
        return 61e3

    def wall(self, amount: float, temperature: float) -> float:
        return 6.4

    def pressure(self, amount: float, temperature: float) -> float:
        return 1e6

    def coldest(self) -> float:
        return 200.0


@pytest.mark.parametrize("hours", [1.0, 4.0, 8.0])
def test_a_store_that_does_not_change_cools_as_the_exponential_does(hours: float) -> None:
    flow = 300.0 / 7 / 3600
    found = shift(Plain(), flow, AIR, 1e5, 3600 * hours)
    check(
        f"whatif-overdraw-exponential-{hours:g}h", kind=ANOTHER, got=AIR - found.last.temperature, expected=acetylene.cooling(flow, 3600 * hours), rel=1e-6,
        unit="K", source="closed form of the energy balance, n L / UA (1 - exp(-t UA / C))", why="fourth-order steps of four minutes at most on a time constant of 2.6 h",
    )  # fmt: skip


def test_an_acetylene_cylinder_agrees_with_scipy() -> None:
    store, flow, hours = Dissolved(8.0, 6.0, 12.7), 0.009, 5.0

    def rates(_: float, state: list[float]) -> list[float]:
        left = state[0] * 0.026038
        capacity = 61e3 - 1700.0 * (8.0 - left)
        return [-flow, (6.4 * (AIR - state[1]) - flow * 15e3) / capacity]

    second = solve_ivp(rates, (0, 3600 * hours), [store.amount, AIR], method="DOP853", rtol=1e-10, atol=1e-10)
    found = shift(store, flow, AIR, 1.1e5, 3600 * hours)
    assert found.ends_after is None
    check(
        "whatif-overdraw-acetylene-scipy", kind=ANOTHER, got=found.last.temperature, expected=float(second.y[1, -1]), abs=1e-4, unit="K",
        source="scipy 1.16 DOP853, the balance written out again", why="both integrators are far finer than this",
    )  # fmt: skip


@pytest.mark.parametrize("name", ["propane", "propylene", "butane"])
def test_an_lpg_cylinder_agrees_with_scipy(name: str) -> None:
    fuel, capacity, mass, air, flow = load(name), 11.0, 8.0, 283.15, 0.5 / 3600
    store = Liquid(fuel, capacity, mass, air)

    def rates(_: float, state: list[float]) -> list[float]:
        kg, temperature = state
        area = lpg.wetted_area(capacity, kg / capacity, saturated_liquid_density(fuel, temperature))
        gain = 18.0 * area * (air - temperature) - flow * latent_heat(fuel, temperature)
        return [-flow, gain / (2500.0 * kg + 1.1 * 480.0 * capacity)]

    second = solve_ivp(rates, (0, 4 * 3600), [mass, air], method="DOP853", rtol=1e-10, atol=1e-10)
    found = shift(store, flow / fuel.molar_mass, air, 0.5e5, 4 * 3600)
    check(
        f"whatif-overdraw-{name}-scipy", kind=ANOTHER, got=found.last.temperature, expected=float(second.y[1, -1]), abs=1e-3, unit="K",
        source="scipy 1.16 DOP853, the balance written out again", why="both integrators are far finer than this",
    )  # fmt: skip
    assert found.last.pressure == pytest.approx(saturation_pressure(fuel, float(second.y[1, -1])), rel=1e-4)


def test_a_mixture_s_pressure_falls_further_than_its_temperature_alone_says() -> None:
    fuel = mixture({"propane": 0.5, "butane": 0.5}, "lpg")
    found = shift(Liquid(fuel, 11.0, 11.0, 283.15), 0.3 / 3600 / fuel.molar_mass, 283.15, 0.2e5, 8 * 3600)
    assert found.last.pressure < saturation_pressure(fuel, found.last.temperature)


@dataclass(frozen=True)
class ToppedUp:
    """An LPG cylinder kept at nine tenths for ever."""

    own: Liquid
    amount: float = 1e7

    def heat(self, amount: float, temperature: float) -> float:
        return self.own.heat(self.own.amount, temperature)

    def capacity(self, amount: float) -> float:
        return self.own.capacity(self.own.amount)

    def wall(self, amount: float, temperature: float) -> float:
        return self.own.wall(self.own.amount, temperature)

    def pressure(self, amount: float, temperature: float) -> float:
        return self.own.pressure(self.own.amount, temperature)

    def coldest(self) -> float:
        return self.own.coldest()


def test_what_a_cylinder_keeps_up_for_ever_is_what_its_wall_evaporates() -> None:
    fuel, air, feed = load("propane"), 278.15, 101325.0 + lpg.FEED_PRESSURE
    steady = lpg.vaporisation(fuel, 47.0, 0.9, air).value / fuel.molar_mass
    found = flow_limit(ToppedUp(Liquid(fuel, 47.0, 42.3, air)), air, feed, 30 * 86400.0, count=2400)
    check(
        "whatif-overdraw-steady-lpg", kind=ANOTHER, got=found, expected=steady, rel=1e-3, unit="mol/s",
        source="closed form: wall heat over latent heat at the feed temperature", why="a month is many time constants; the search stops within 2e-4",
    )  # fmt: skip


@pytest.mark.parametrize("celsius", [-30.0, 0.0, 20.0, 56.0])
def test_acetone_s_vapour_is_that_of_a_reference_equation(celsius: float) -> None:
    kelvin = celsius + 273.15
    coefficients = vapor_pressure.Psat_data_WagnerMcGarry.loc["67-64-1"]
    expected = vapor_pressure.Wagner_original(kelvin, *(coefficients[key] for key in ("Tc", "Pc", "A", "B", "C", "D")))
    check(
        f"whatif-acetone-vapour-{celsius:g}", kind=ANOTHER, got=acetone_pressure(kelvin), expected=float(expected), rel=0.03, unit="Pa",
        source="chemicals 1.5.2, Wagner equation of acetone (McGarry)", why="an Antoine equation from memory; what hangs on it is known to a third at best",
    )  # fmt: skip
