"""The bench's sums by a second way: a seat simulated with scipy, nozzles of two gases, viscosities of a transport library, plain ideal gas."""

import math
from typing import Any

import cantera
import pytest
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp
from tests.checks import ANOTHER, COPIED, check

from steadycone.worksheets import run

R = 8.314462618
NORMAL = 22.41397  # L/mol
WARM = 293.15
AIR = 101325.0


def nozzle(area: float, inlet: float, outlet: float, molar_mass: float, gamma: float) -> float:
    """mol/s through an ideal nozzle, sonic or not."""
    critical = (2 / (gamma + 1)) ** (gamma / (gamma - 1))
    r = max(outlet / inlet, critical)
    speed = math.sqrt(2 * gamma / (gamma - 1) * (r ** (2 / gamma) - r ** ((gamma + 1) / gamma)))
    return area * inlet * speed / math.sqrt(R * WARM * molar_mass)


def test_the_time_until_the_cap_is_that_of_a_simulated_seat() -> None:
    # A scratch in a seat, nitrogen at 150 bar before it, 0.3 L of line behind: choked throughout, integrated by scipy.
    area, volume, supply = 2e-13 * 60, 0.3e-3, 150e5 + AIR

    def rise(_: float, p: list[float]) -> list[float]:
        return [nozzle(area, supply, p[0], 0.0280134, 1.4) * R * WARM / volume]

    def at_cap(_: float, p: list[float]) -> float:
        return p[0] - (1.5e5 + AIR)

    at_cap.terminal = True  # type: ignore[attr-defined]
    start = 0.5e5 + AIR
    minute = solve_ivp(rise, (0, 60), [start], rtol=1e-9).y[0][-1] - start
    until = solve_ivp(rise, (0, 1e6), [start], events=at_cap, rtol=1e-9).t_events[0][0] / 60
    found: dict[str, Any] = run.answer("bench", {
        "mode": "creep", "test_gas": "nitrogen", "creep": f"{minute:.6f} Pa", "volume": "0.3 L", "start": "0.5 bar", "cap": "1.5 bar",
    })  # fmt: skip
    check(
        "bench-minutes-to-cap", kind=ANOTHER, got=found["minutes_to_cap"], expected=until, rel=1e-4, unit="min",
        source="scipy solve_ivp of a choked seat filling a closed volume", why="both are ideal gas; the solver's own error",
    )  # fmt: skip
    flow = nozzle(area, supply, start, 0.0280134, 1.4) * 3600 * NORMAL
    check(
        "bench-creep-leak", kind=ANOTHER, got=found["leak_l_per_h"], expected=flow, rel=1e-4, unit="L/h",
        source="ideal choked nozzle, closed form", why="both are ideal gas; six digits of the rise",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("fluid", "service"), [("Acetylene", "acetylene"), ("Oxygen", "oxygen"), ("Hydrogen", "hydrogen"), ("n-Propane", "propane")]
)
@pytest.mark.parametrize("drop", [0.05e5, 0.1e5, 0.4e5])
def test_an_opening_an_eighth_too_small_shows_as_that_share_of_its_curve(fluid: str, service: str, drop: float) -> None:
    # The curve is a sharp opening's in the service gas; the worn part is 12 % smaller, measured in air at the same pressures.
    inlet = 1e5 + AIR
    gamma = {"Acetylene": 1.235}.get(fluid) or PropsSI("Cpmass", "T", WARM, "P", AIR, fluid) / PropsSI("Cvmass", "T", WARM, "P", AIR, fluid)
    mass = {"Acetylene": 0.026038}.get(fluid) or PropsSI("M", fluid)
    curve = nozzle(1e-5, inlet, inlet - drop, mass, gamma) * 3600 * NORMAL / 1000
    measured = nozzle(0.88e-5, inlet, inlet - drop, 0.0289655, 1.4) * 3600 * NORMAL / 1000
    found: dict[str, Any] = run.answer("arrestor", {
        "flow_points": f"1 bar/{drop / 1e5:.4f} bar/{curve:.5f} m3/h/{service}", "test_gas": "air", "flow": f"{measured:.5f} m3/h", "inlet": "1 bar",
        "drop": f"{drop / 1e5:.4f} bar", "meter_error": "0 %",
    })  # fmt: skip
    check(
        f"bench-arrestor-share-{service}-{drop / 1e5:g}", kind=ANOTHER, got=found["share_of_curve"], expected=0.88, rel=0.02, unit="1",
        source="ideal nozzle in both gases, gamma by CoolProp 8.0 (acetylene: 1.235 by hand)",
        why="ISO 6358's curve stands for a nozzle of unknown critical ratio; 2 % is the doubt that the share's band holds for it",
    )  # fmt: skip
    assert found["verdict"] == "caution"


@pytest.mark.parametrize(
    ("service", "species"), [("acetylene", "C2H2"), ("oxygen", "O2"), ("hydrogen", "H2"), ("methane", "CH4"), ("propane", "C3H8")]
)
def test_a_leaks_band_reaches_from_a_pinhole_to_a_crack(service: str, species: str) -> None:
    gas = cantera.Solution("gri30.yaml")
    gas.transport_model = "mixture-averaged"
    gas.TPX = WARM, AIR, "N2:1"
    nitrogen, mass = gas.viscosity, gas.mean_molecular_weight
    gas.TPX = WARM, AIR, f"{species}:1"
    crack, pinhole = nitrogen / gas.viscosity, math.sqrt(mass / gas.mean_molecular_weight)
    pairs = {"mode": "bubbles", "bubbles": 600, "minutes": 10000, "bubble_volume": "0.15 mL", "test_gas": "nitrogen"}
    plain: dict[str, Any] = run.answer("bench", pairs)
    found: dict[str, Any] = run.answer("bench", pairs | {"service_gas": service})
    for end, times in (("low", min(crack, pinhole)), ("high", max(crack, pinhole))):
        check(
            f"bench-gap-{service}-{end}", kind=ANOTHER, got=found[f"leak_l_per_h_{end}"] / plain["leak_l_per_h"], expected=times, rel=0.05, unit="1",
            source="cantera 3.2 gri30: viscosity and molar mass", why="kinetic-theory viscosities of that mechanism are good to some 4 %",
        )  # fmt: skip


def test_bubbles_are_counted_as_ideal_gas() -> None:
    found: dict[str, Any] = run.answer(
        "bench", {"mode": "bubbles", "bubbles": 12, "bubble_volume": "0.15 mL", "temperature": "25 °C", "atmosphere": "0.95 bar abs"}
    )
    check(
        "bench-bubbles", kind=COPIED, got=found["leak_cm3_per_h"], expected=12 * 60 * 0.15 * 0.95 / 1.01325 * 273.15 / 298.15, rel=1e-5, unit="cm3/h",
        source="ideal gas, by hand", why="one multiplication; the molar volume to seven digits",
    )  # fmt: skip


def test_a_gauges_error_is_its_distance_from_the_masters_line() -> None:
    # a gauge that reads 0.1 bar + 1.02 p on a 10 bar scale: at 8 bar 2.6 % of full scale too much
    readings = "; ".join(f"{p:.3f} bar/{0.1 + 1.02 * p:.4f} bar" for p in (0.0, 2.0, 4.0, 6.0, 8.0))
    found: dict[str, Any] = run.answer("gauge", {"readings": readings, "full_scale": "10 bar", "gauge_class": 2.5, "master_class": 0.6})
    check(
        "bench-gauge-error", kind=COPIED, got=found["error_percent"], expected=100 * (0.1 + 0.02 * 8) / 10, rel=1e-6, unit="%",
        source="closed form of a gauge with a zero and a span error", why="rounding of the readings written",
    )  # fmt: skip
    assert found["error_percent_high"] == pytest.approx(2.6 + 0.6 + (0.00005 + 0.0005) * 10, abs=1e-6)
    assert found["verdict"] == "stop"
