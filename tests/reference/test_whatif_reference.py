"""The what-ifs' physics beside other people's integrators, equations of state and grids."""

import json
import math
from pathlib import Path
from typing import Any

import pytest
from scipy.integrate import solve_ivp
from tests.checks import ANOTHER, COPIED, check
from tests.hose_lines import push_lines
from tests.purge_front import cleared_time
from tests.whatif_hoses import TEMPERATURE, feed_of, reference_case

from steadycone.physics.flow.orifice import mass_flow
from steadycone.physics.flow.stream import stream_of
from steadycone.physics.gas import load
from steadycone.physics.transient.blowdown import run_down_time
from steadycone.physics.transient.fill import bore_volume, boyle_front
from steadycone.physics.transient.hose_1d import Run, push
from steadycone.physics.transient.purge_front import purge_front
from steadycone.physics.transient.slam import heat_capacity, slammed_temperature

CASES: dict[str, dict[str, Any]] = {
    case["id"]: case for case in json.loads((Path(__file__).parent / "whatif_cases.json").read_text(encoding="utf-8"))["cases"]
}
TIMES = [0.5, 1.0, 2.0, 4.0, 8.0, 16.0]


def march(cells: int = 100, times: list[float] = TIMES, **changes: Any) -> Run:
    case = reference_case(**changes)
    return push(case.bore, case.pair, case.feed, case.start, times, open_end=case.open_end, limits=(0.01, 0.975), cells=cells)


def test_a_locked_hose_holds_the_front_where_boyle_has_it() -> None:
    case = CASES["reverse-final-15-6.3-0-4"]
    given = case["inputs"]
    volume = bore_volume(given["D_m"], given["L_m"])
    front = boyle_front(given["p_fuel0_Pa"], given["p_o2_Pa"], given["L_m"], volume, given["V_dead_m3"])
    check(
        "whatif-locked-front", kind=COPIED, got=front, expected=case["outputs"]["x_front_m"], rel=1e-6, unit="m", source=case["source"],
        why="the same closed form, written again",
    )  # fmt: skip
    run = march(times=[60.0], dead=0.0)
    check(
        "whatif-locked-front-march", kind=ANOTHER, got=run.profiles[-1].front, expected=case["outputs"]["x_front_m"], rel=1e-3, unit="m",
        source=case["source"], why="a march in a hundred cells against the closed form",
    )  # fmt: skip
    check(
        "whatif-locked-oxygen", kind=ANOTHER, got=run.new.after, expected=case["outputs"]["n_O2_mol"], rel=1e-3, unit="mol", source=case["source"],
        why="as above",
    )  # fmt: skip


def test_the_lumped_filling_follows_the_reference_transient() -> None:
    case = CASES["reverse-lumped-transient"]
    given, outputs = case["inputs"], case["outputs"]
    hose = reference_case()
    volume = bore_volume(given["D_m"], given["L_m"])
    filling = hose.feed.filling(volume + given["V_dead_m3"], given["T_K"], given["p0_Pa"])
    run = march()
    for at, time in enumerate(given["t_s"]):
        pressure = filling.pressure_at(time)
        front = boyle_front(given["p0_Pa"], pressure, given["L_m"], volume, given["V_dead_m3"])
        check(
            f"whatif-fill-pressure-{time:g}s", kind=ANOTHER, got=pressure, expected=outputs["p_Pa"][at], rel=2e-4, unit="Pa", source=case["source"],
            why="closed form over a table of 64 flows",
        )  # fmt: skip
        check(
            f"whatif-fill-front-{time:g}s", kind=ANOTHER, got=front, expected=outputs["x_front_m"][at], rel=1e-3, unit="m", source=case["source"],
            why="as above",
        )  # fmt: skip
        check(
            f"whatif-march-front-{time:g}s", kind=ANOTHER, got=run.profiles[at].front, expected=outputs["x_front_m"][at], rel=5e-3, unit="m",
            source=case["source"], why="a march along the hose against a lumped one: the wave of the first tenth of a second",
        )  # fmt: skip


@pytest.mark.parametrize(("area", "open_end"), [(1.5e-7, None), (5e-7, None), (5e-7, 101325.0)])
def test_the_march_follows_a_general_integrator_on_the_same_cells(area: float, open_end: float | None) -> None:
    case = reference_case(area, open_end=open_end)
    times = [0.2, 0.5, 1.0]
    run = push(case.bore, case.pair, case.feed, case.start, times, open_end=open_end, cells=50)
    lines = push_lines(case.bore, case.pair, case.feed, case.start, times, open_end=open_end, cells=50, rtol=1e-4)
    for at, time in enumerate(times):
        name = f"whatif-radau-{area:g}-{'open' if open_end else 'closed'}-{time:g}s"
        check(
            f"{name}-front", kind=ANOTHER, got=run.profiles[at].front, expected=lines.front[at], rel=5e-3, unit="m",
            source="scipy 1.17 solve_ivp, Radau, rtol 1e-4, same cells", why="first-order stepping; sound is damped in the first tenth",
        )  # fmt: skip
        check(
            f"{name}-pressure", kind=ANOTHER, got=run.profiles[at].pressure[0], expected=lines.torch[at], rel=1e-2, unit="Pa",
            source="scipy 1.17 solve_ivp, Radau, rtol 1e-4, same cells", why="as above",
        )  # fmt: skip
        apart = sum(abs(a - b) for a, b in zip(run.profiles[at].share, lines.share[at], strict=True)) * case.bore.length / 50
        check(
            f"{name}-smearing", kind=ANOTHER, got=apart, expected=0.0, abs=0.3, unit="m of gas out of place",
            source="scipy 1.17 solve_ivp, Radau, rtol 1e-4, same cells", why="one cell: against 800 cells this march has up to 0.15 m out of place, the integrator on 50 cells 0.31 m",
        )  # fmt: skip


@pytest.mark.parametrize("open_end", [None, 101325.0])
def test_halving_the_grid_moves_front_and_pressure_by_less_than_one_per_cent(open_end: float | None) -> None:
    times = [0.5, 1.0, 4.0]
    coarse, fine = (march(cells, times, open_end=open_end) for cells in (100, 200))
    for one, other in zip(coarse.profiles, fine.profiles, strict=True):
        assert one.front == pytest.approx(other.front, rel=0.01)
        assert one.pressure[0] == pytest.approx(other.pressure[0], rel=0.01)


def test_the_length_that_burns_settles_on_finer_grids() -> None:
    lengths = [march(cells, [4.0]).profiles[0].burnable for cells in (100, 200, 400)]
    assert lengths[0] == pytest.approx(lengths[2], rel=0.05), "a front six cells wide; the coarse grid errs to the long, safe side"
    assert lengths[0] >= lengths[1] >= 0.99 * lengths[2]


def test_a_store_runs_down_as_a_general_integrator_has_it() -> None:
    stream, volume, area = stream_of(load("oxygen"), TEMPERATURE), 0.05, 2e-6
    capacity = volume / (8.314462618 * TEMPERATURE)

    def flow(pressure: float) -> float:
        return mass_flow(pressure, 101325.0, area, stream) / stream.molar_mass

    got = run_down_time(lambda p: capacity * p, flow, 20e5, 1.3e5)
    found = solve_ivp(
        lambda t, p: [-flow(float(p[0])) / capacity], (0.0, 2 * got), [20e5], events=_at(1.3e5), rtol=1e-9, atol=1e-3, dense_output=True
    )
    check(
        "whatif-run-down", kind=ANOTHER, got=got, expected=float(found.t_events[0][0]), rel=1e-3, unit="s", source="scipy 1.17 solve_ivp, RK45, rtol 1e-9",
        why="logarithmic means over 24 steps; the last of them no longer choked",
    )  # fmt: skip


def _at(level: float) -> Any:
    def event(time: float, pressure: Any) -> float:
        return float(pressure[0]) - level

    event.terminal = True  # type: ignore[attr-defined]
    return event


@pytest.mark.parametrize("mixing", [0.0, 1.5])
def test_the_folded_purge_front_clears_when_a_fine_grid_says_so(mixing: float) -> None:
    length, bore, speed, dispersion = 20.0, 0.0063, 2.2, 0.02
    flow = speed * math.pi / 4 * bore**2
    front = purge_front([(length, bore, dispersion)], flow, mixing * flow)
    check(
        f"whatif-purge-fold-{mixing:g}", kind=ANOTHER, got=front.cleared_after(0.99), expected=cleared_time(speed, length, dispersion, mixing=mixing),
        rel=0.01, unit="s", source="Crank-Nicolson march of advection and dispersion, tests/purge_front.py",
        why="delays that add are folded; the mixed inlet also disperses in the grid",
    )  # fmt: skip


@pytest.mark.parametrize("bar", [50, 150, 200])
def test_squeezed_oxygen_is_as_hot_as_a_reference_equation_says(bar: int) -> None:
    properties = pytest.importorskip("CoolProp.CoolProp")
    entropy = properties.PropsSI("S", "P", 101325.0, "T", 288.15, "Oxygen")
    expected = properties.PropsSI("T", "P", bar * 1e5 + 101325.0, "S", entropy, "Oxygen")
    check(
        f"whatif-slam-{bar}bar", kind=ANOTHER, got=slammed_temperature(101325.0, bar * 1e5 + 101325.0, 288.15), expected=expected, rel=0.01, unit="K",
        source="CoolProp 8, real-gas isentrope", why="ideal gas: the forces between molecules leave 0.4 per cent",
    )  # fmt: skip


def test_the_heat_capacity_of_oxygen_is_a_library_s() -> None:
    cantera = pytest.importorskip("cantera")
    gas = cantera.Solution("gri30.yaml")
    for kelvin in (300.0, 600.0, 900.0, 1200.0):
        gas.TPX = kelvin, 101325.0, "O2:1"
        check(
            f"whatif-oxygen-cp-{kelvin:.0f}K", kind=ANOTHER, got=heat_capacity(kelvin), expected=gas.cp_mole / cantera.gas_constant, rel=0.015, unit="R",
            source="cantera 3.2, gri30", why="one harmonic oscillator; real bonds soften and excite",
        )  # fmt: skip


def test_the_feed_s_straight_pieces_are_the_opening_s_flow() -> None:
    stream = stream_of(load("oxygen"), TEMPERATURE)
    feed = feed_of(stream, 351325.0, 101325.0, 1.5e-7)
    for pressure in (101325.0, 150e3, 200e3, 300e3, 345e3, 351e3):
        exact = mass_flow(351325.0, pressure, 1.5e-7, stream) / stream.molar_mass
        assert feed.flow(pressure) == pytest.approx(exact, rel=1e-3)
