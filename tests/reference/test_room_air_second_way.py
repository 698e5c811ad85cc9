"""A flame in a room by another road: amounts of every gas integrated step by step, against the closed form of the shares."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from tests.checks import ANOTHER, check

from steadycone.physics.gas import complete_oxygen, load, mixture, products
from steadycone.physics.transient.room import OXYGEN_IN_AIR
from steadycone.physics.transient.room_air import flame_lets, fresh_air_for, stirred_share, time_to_stirred

AMOUNT = 500.0  # mol, a place of 12 m³

# fuel, fuel and torch oxygen [mol/s], cutting oxygen left, share of vapour that stays, fresh air [mol/s]
RUNS = {
    "heating, closed": ("acetylene", 0.022, 0.0245, 0.0, 1.0, 0.0),
    "cutting, closed": ("acetylene", 0.0037, 0.0041, 0.0275, 0.0, 0.0),
    "cutting, aired": ("acetylene", 0.0037, 0.0041, 0.0275, 0.0, 0.5),
    "lpg heating, aired": ("propane", 0.04, 0.15, 0.0, 1.0, 2.0),
    "hydrogen, wet walls": ("hydrogen", 0.05, 0.015, 0.0, 0.0, 0.0),
}


def integrated(fuel: str, flow: float, torch: float, left: float, vapour: float, fresh: float, end: float) -> tuple[float, float]:
    """Oxygen and carbon dioxide after a time, from the amounts of oxygen, carbon dioxide and all the rest; the total is kept by the out flow."""
    made, takes = products(load(fuel)), complete_oxygen(load(fuel))
    source = np.array([torch + left - takes * flow, made.carbon_dioxide * flow, made.water * vapour * flow])
    air_in = max(fresh, -source.sum())

    def rate(_: float, amounts: np.ndarray) -> np.ndarray:
        out = air_in + source.sum()
        outside = np.array([OXYGEN_IN_AIR, 0.0, 1.0 - OXYGEN_IN_AIR])
        return source + air_in * outside - out * amounts / amounts.sum()

    start = AMOUNT * np.array([OXYGEN_IN_AIR, 0.0, 1.0 - OXYGEN_IN_AIR])
    found = solve_ivp(rate, (0.0, end), start, method="DOP853", rtol=1e-10, atol=1e-12).y[:, -1]
    return float(found[0] / found.sum()), float(found[1] / found.sum())


@pytest.mark.parametrize("name", sorted(RUNS))
@pytest.mark.parametrize("minutes", [3, 20])
def test_shares_after_a_time(name: str, minutes: int) -> None:
    fuel, flow, torch, left, vapour, fresh = RUNS[name]
    let = flame_lets(load(fuel), flow, torch, left, vapour)
    oxygen, carbon = integrated(fuel, flow, torch, left, vapour, fresh, 60.0 * minutes)
    told = {
        "source": "amounts of each gas by an eighth-order Runge-Kutta",
        "why": "closed form against integration",
        "abs": 1e-7,
        "unit": "1",
    }
    got = stirred_share(let.oxygen, let.total, AMOUNT, fresh, 60.0 * minutes, OXYGEN_IN_AIR)
    check(f"room air, {name}, {minutes} min, oxygen", kind=ANOTHER, got=got, expected=oxygen, **told)  # type: ignore[arg-type]
    got = stirred_share(let.carbon_dioxide, let.total, AMOUNT, fresh, 60.0 * minutes, 0.0)
    check(f"room air, {name}, {minutes} min, carbon dioxide", kind=ANOTHER, got=got, expected=carbon, **told)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", sorted(RUNS))
def test_the_time_to_a_level_leads_to_that_level(name: str) -> None:
    fuel, flow, torch, left, vapour, fresh = RUNS[name]
    let = flame_lets(load(fuel), flow, torch, left, vapour)
    level = stirred_share(let.oxygen, let.total, AMOUNT, fresh, 240.0, OXYGEN_IN_AIR)
    assert time_to_stirred(level, let.oxygen, let.total, AMOUNT, fresh, OXYGEN_IN_AIR) == pytest.approx(240.0, rel=1e-6)


@pytest.mark.parametrize("name", sorted(RUNS))
def test_the_air_needed_holds_the_level_for_ever(name: str) -> None:
    fuel, flow, torch, left, vapour, _ = RUNS[name]
    let = flame_lets(load(fuel), flow, torch, left, vapour)
    level = 0.22 if let.oxygen > 0 else 0.195
    fresh = fresh_air_for(level, let.oxygen, let.total, OXYGEN_IN_AIR)
    assert stirred_share(let.oxygen, let.total, AMOUNT, fresh, 1e9, OXYGEN_IN_AIR) == pytest.approx(level, rel=1e-9)


def test_what_a_fuel_makes_goes_with_the_oxygen_it_takes() -> None:
    """Oxygen atoms in and out, by two tables: the formula's atoms, and what complete burning takes."""
    for name in ("acetylene", "propane", "propylene", "methane", "ethane", "butane", "isobutane", "hydrogen"):
        made = products(load(name))
        assert made.carbon_dioxide + made.water / 2.0 == pytest.approx(complete_oxygen(load(name)))
    mixed = products(mixture({"methane": 0.9, "carbon dioxide": 0.04, "nitrogen": 0.06}, "natural gas"))
    assert mixed == pytest.approx((0.94, 1.8, 0.06))
