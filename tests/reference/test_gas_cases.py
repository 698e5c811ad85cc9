"""The gas cases computed once with general-purpose libraries, row by row of gas_cases.csv."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.checks import check

from steadycone.physics import gas as g

with open(Path(__file__).parent / "gas_cases.csv", newline="", encoding="utf-8") as _file:
    CASES = list(csv.DictReader(_file))

Inputs = dict[str, float]


def _cooled(gas: g.Gas, n: Inputs) -> float:
    hot = g.filled_temperature(gas, n["start"], n["end"], n["temperature"])
    return n["end"] * n["temperature"] / hot


def _emptying(gas: g.Gas, n: Inputs) -> float:
    full, left = (g.amount_stored(gas, n["volume"], n[k], n["temperature"]) for k in ("pressure", "end"))
    return g.normal_volume(full - left) / n["flow"] * 3600.0


def _limit(gas: g.Gas, end: int) -> float:
    found = g.limits(gas, "air")
    assert found is not None
    return found[end]


ANSWERS: dict[str, Callable[[g.Gas, Inputs], float]] = {
    "density": lambda gas, n: g.density(gas, n["pressure"], n["temperature"]),
    "compressibility": lambda gas, n: g.compressibility(gas, n["pressure"], n["temperature"]),
    "saturation_pressure": lambda gas, n: g.saturation_pressure(gas, n["temperature"]),
    "air_low": lambda gas, n: _limit(gas, 0),
    "air_high": lambda gas, n: _limit(gas, 1),
    "ignition": lambda gas, n: g.ignition_temperature(gas),
    "complete_oxygen": lambda gas, n: g.complete_oxygen(gas),
    "higher_heat": lambda gas, n: g.higher_heat(gas),
    "lower_heat": lambda gas, n: g.lower_heat(gas),
    "lower_heat_per_normal_m3": lambda gas, n: g.lower_heat(gas) / g.NORMAL_MOLAR_VOLUME / 1e6,
    "mass_stored": lambda gas, n: g.amount_stored(gas, n["volume"], n["pressure"], n["temperature"]) * gas.molar_mass,
    "normal_stored": lambda gas, n: g.normal_volume(g.amount_stored(gas, n["volume"], n["pressure"], n["temperature"])),
    "ideal_gas_error": lambda gas, n: g.compressibility(gas, n["pressure"], n["temperature"]) - 1.0,
    "warmed_pressure": lambda gas, n: g.warmed_pressure(gas, n["pressure"], n["temperature"], n["to"]),
    "warming_rise": lambda gas, n: g.warmed_pressure(gas, n["pressure"], n["temperature"], n["to"]) - n["pressure"],
    "time_to_empty": _emptying,
    "throttled_temperature": lambda gas, n: g.throttled_temperature(gas, n["inlet"], n["outlet"], n["temperature"]),
    "flame_temperature": lambda gas, n: g.flame(gas, n["ratio"]).temperature,
    "expansion_ratio": lambda gas, n: g.flame(gas, n["ratio"]).expansion_ratio,
    "unburnt_density": lambda gas, n: g.flame(gas, n["ratio"]).unburnt_density,
    "unburnt_gamma": lambda gas, n: g.flame(gas, n["ratio"]).unburnt_gamma,
    "unburnt_viscosity": lambda gas, n: g.flame(gas, n["ratio"]).unburnt_viscosity,
    "unburnt_diffusivity": lambda gas, n: g.flame(gas, n["ratio"]).unburnt_diffusivity,
    "filled_temperature": lambda gas, n: g.filled_temperature(gas, n["start"], n["end"], n["temperature"]),
    "pressure_after_cooling": _cooled,
}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_the_case_is_met(case: dict[str, str]) -> None:
    words = dict(pair.split("=") for pair in case["inputs"].split())
    gas = g.load(words.pop("gas"))
    numbers = {key: float(value) for key, value in words.items()}
    if case["quantity"].startswith("product_"):
        got = g.flame(gas, numbers["ratio"]).products[case["quantity"].removeprefix("product_")]
    else:
        got = ANSWERS[case["quantity"]](gas, numbers)
    check(
        case["name"],
        kind=case["kind"],
        got=got,
        expected=float(case["expected"]),
        unit=case["unit"],
        source=case["source"],
        why=case["why"],
        **{case["tolerance_kind"]: float(case["tolerance"])},
    )
