"""Supply and transient physics against cases computed beforehand with general-purpose libraries (supply_cases.json)."""

import json
import math
from pathlib import Path
from typing import Any

import pytest
from tests.checks import ANOTHER, COPIED, FITTED, check

from steadycone.physics.flow.stream import Stream, stream_of
from steadycone.physics.gas import load
from steadycone.physics.supply import acetylene, cylinder
from steadycone.physics.transient import leak, purge

MOLAR_VOLUME = 22.41397e-3
CASES: dict[str, dict[str, Any]] = {
    case["id"]: case for case in json.loads(Path(__file__).with_name("supply_cases.json").read_text(encoding="utf-8"))["cases"]
}


def flow(normal_per_hour: float) -> float:
    return normal_per_hour / MOLAR_VOLUME / 3600


def test_an_oxygen_cylinder_drawn_to_its_reserve() -> None:
    case = CASES["cyl-O2-deplete-15"]
    given, expected = case["inputs"], case["outputs"]
    check(
        f"{case['id']}-supply",
        kind=FITTED,
        got=cylinder.duration(given["p1_Pa"], given["p2_Pa"], flow(given["q_Nm3_h"]), given["T_K"], given["V_m3"], load("oxygen")),
        expected=expected["t_s"],
        rel=case["tolerance"]["rel"],
        unit="s",
        source=case["source"],
        why="the case's own tolerance, 1 %: fitted density",
    )
    ideal = cylinder.ideal_amount(given["p1_Pa"], given["T_K"], given["V_m3"]) - cylinder.ideal_amount(
        given["p2_Pa"], given["T_K"], given["V_m3"]
    )
    assert ideal / flow(given["q_Nm3_h"]) == pytest.approx(expected["t_s_ideal"], rel=1e-4)


@pytest.mark.parametrize("name", ["acet-bubble-288-0.58", "acet-bubble-303-0.58"])
def test_dissolved_acetylene_near_full_charge(name: str) -> None:
    case = CASES[name]
    check(
        name,
        kind=ANOTHER,
        got=acetylene.pressure_over_solution(8.0, 12.7, case["inputs"]["T_K"]),
        expected=case["outputs"]["p_Pa"],
        rel=case["tolerance"]["rel"],
        unit="Pa abs",
        source=case["source"],
        why="the other model was set to 19 bar abs at 15 °C; agreement within 10 % near full charge only",
    )


@pytest.mark.parametrize("name", ["leak-dT-0.5", "leak-dT-2.5"])
def test_drift_by_one_kelvin(name: str) -> None:
    case = CASES[name]
    check(
        f"{name}-drift",
        kind=COPIED,
        got=leak.temperature_drift(case["inputs"]["p_Pa"], case["inputs"]["T_K"], case["inputs"]["dT_K"]),
        expected=case["outputs"]["dp_Pa"],
        rel=1e-6,
        unit="Pa",
        source=case["source"],
        why="the same closed form",
    )


def test_a_pinhole_empties_a_hose() -> None:
    case = CASES["leak-decay-N2-0.1-300"]
    given = case["inputs"]
    gas = Stream(given["M_kg_mol"], 8.314462618 / given["M_kg_mol"], given["gamma"], 1.76e-5, given["T_K"])
    area = given["Cd"] * math.pi / 4 * given["d_hole_m"] ** 2
    found = leak.decayed_pressure(given["p0_Pa"], given["p_amb_Pa"], given["V_m3"], area, gas, given["t_s"])
    assert found == pytest.approx(case["outputs"]["p_end_Pa"], rel=1e-4), "the same equation integrated another way by scipy"


@pytest.mark.parametrize("name", [name for name in CASES if name.startswith("purge-")])
def test_purge_of_a_hose(name: str) -> None:
    case = CASES[name]
    given, expected = case["inputs"], case["outputs"]
    gas = stream_of(load("acetylene"), given["T_K"])
    molecular = given["D_mol_1atm_m2_s"] * 101325 / given["p_Pa"]
    found = purge.purge_time(
        flow(given["q_Nm3_h"]), given["p_Pa"], given["D_m"], given["L_m"], gas, molecular, roughness=given["roughness_m"]
    )
    source, why = case["source"], "5 % is the case's own: friction between laminar and turbulent is bridged differently"
    check(
        f"{name}-plug",
        kind=COPIED,
        got=found.plug,
        expected=expected["t_plug_s"],
        rel=1e-4,
        unit="s",
        source=source,
        why="volume over flow",
    )
    check(
        f"{name}-99",
        kind=ANOTHER,
        got=found.total,
        expected=expected["t99_s"],
        rel=case["tolerance"]["rel"],
        unit="s",
        source=source,
        why=why,
    )


# cantera 3.2.0, gri30 multicomponent transport, binary coefficient in nitrogen at 293.15 K and 1 atm, m²/s
KINETIC = {"acetylene": 1.598e-5, "methane": 2.150e-5, "hydrogen": 7.488e-5, "propane": 1.094e-5, "oxygen": 2.002e-5}


@pytest.mark.parametrize("gas", sorted(KINETIC))
def test_molecular_diffusion(gas: str) -> None:
    check(
        f"diffusion-{gas}",
        kind=ANOTHER,
        got=purge.diffusivity(101325.0, 293.15, gas, "nitrogen") * 1e5,
        expected=KINETIC[gas] * 1e5,
        rel=0.1,
        unit="1e-5 m²/s",
        source="cantera 3.2.0 gri30 binary diffusion coefficient",
        why="the method's usual error is 5 to 10 %; a purge time goes with its root at most",
    )
