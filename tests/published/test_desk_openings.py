"""What a small opening passes, against federal guidance and textbooks: `calc orifice`, `calc gas`; and the air of a height, by `card`."""

from pathlib import Path

import pytest
from tests.checks import PRINTED, check
from tests.desk import POUND, PSI, calc, card_of
from tests.stations import CHART, station_text

GUIDANCE = (
    "Risk Management Program Guidance for Offsite Consequence Analysis, EPA 550-B-99-009, exhibit C-2: gas factor, "
    "lb/min to in2 and psia times the root of K (the figures from memory)"
)


@pytest.mark.parametrize(
    ("gas", "printed"),
    [("acetylene", 17.0), ("hydrogen", 5.0), ("methane", 14.0), ("propane", 22.0), ("propylene", 21.0), ("butane", 25.0)],
)
def test_gas_factors_of_the_federal_guidance(gas: str, printed: float) -> None:
    found = calc("orifice", gas=gas, area="1 in2", coefficient=0.8, inlet="30 psi abs", temperature="25 °C")
    assert found["state"] == "choked"
    pounds = float(found["mass_kg_per_h"]) / 60.0 / POUND
    check(
        f"gas-factor-{gas}", kind=PRINTED, got=pounds / 30.0 * 298.15**0.5, expected=printed, rel=0.03, unit="lb/min", source=GUIDANCE,
        why="printed to two figures: half a unit is 3 % of 17",
    )  # fmt: skip


def test_air_out_of_a_flat_tyre() -> None:
    found = calc("orifice", gas="air", bore="4 mm", inlet="220 kPa", temperature="25 °C", atmosphere="94 kPa abs")
    check(
        "tyre-leak", kind=PRINTED, got=float(found["mass_kg_per_h"]) / 60.0, expected=0.554, rel=0.01, unit="kg/min",
        source="Fluid Mechanics: Fundamentals and Applications, example 12-5, 4 mm, 220 kPa (its data seen, the answer from memory)",
        why="printed to three figures, read off tables of three",
    )  # fmt: skip


def test_a_tyre_valve_unchokes() -> None:
    ratio = float(calc("gas", gas="air", temperature="70 °F", pressure="1 bar")["critical_ratio"])
    check(
        "tyre-valve-unchokes", kind=PRINTED, got=14.7 / ratio - 14.7, expected=13.1, rel=0.01, unit="psi",
        source="Modern Engineering Thermodynamics, example 16.8 (open textbook companion): unchokes at 14.7 psi x 0.472/0.528",
        why="three figures of the critical ratio",
    )  # fmt: skip


WIDE = 'equivalent_bore = "5 mm"'
# ft, psia; 4000 ft is printed as 12.682, which its own formula gives as 12.692
HEIGHTS = [(1000, 14.175), (2000, 13.664), (3000, 13.173), (5000, 12.230), (6000, 11.778), (8000, 10.914), (10000, 10.108)]


def air_on_the_card(folder: Path, feet: int) -> float:
    """psi absolute, from how much less a choked jet passes on the card of a station at that height: (p + air)/(p + sea)."""
    flows = []
    for about in ("", f'altitude = "{feet} ft"'):
        found = card_of(folder, station_text(about=about, arrestor=WIDE), CHART)["oxygen"]
        assert found["torch_inlet_pressure"]["value"] == pytest.approx(3.0)
        flows.append(float(found["cutting_flow"]["value"]))
    return (flows[1] / flows[0] * (3e5 + 101325.0) - 3e5) / PSI


@pytest.mark.parametrize(("feet", "printed"), HEIGHTS)
def test_a_card_at_a_height_reckons_with_the_printed_air(tmp_path: Path, feet: int, printed: float) -> None:
    check(
        f"card-air-{feet}-ft", kind=PRINTED, got=air_on_the_card(tmp_path, feet), expected=printed, rel=0.01, unit="psi abs",
        source="Handbook of Fundamentals, psychrometrics, table 1: standard atmospheric data (seen in a copy)",
        why="the card's flow is solved to 2 in 10 000, which is 0.1 % of the air; the real gas of the nozzle moves it by as much again",
    )  # fmt: skip
