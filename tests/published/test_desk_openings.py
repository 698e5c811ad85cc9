"""What a small opening passes, against federal guidance and textbooks: `calc orifice`, `calc gas`; and the air of a height, by `card`."""

from pathlib import Path

import pytest
from tests.checks import PRINTED, check
from tests.desk import CUBIC_FOOT, POUND, PSI, calc, card_of
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
        source="Modern Engineering Thermodynamics, example 16.8 (its sum seen in an open textbook companion, the title not): unchokes at 14.7 psi x 0.472/0.528",
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
        f"card-air-{feet}-ft", kind=PRINTED, got=air_on_the_card(tmp_path, feet), expected=printed, rel=2e-3, unit="psi abs",
        source="Handbook of Fundamentals, psychrometrics, table 1: standard atmospheric data (seen in a copy)",
        why="four or five figures; the air comes out of the ratio of two choked flows, 0.03 % each, times five",
    )  # fmt: skip


AIR_TABLE = "Discharge of air through an orifice, 100 % coefficient (after Moss, American Machinist, 20 September 1906), as reprinted"
# psi gauge, diameter in inches, ft3/min of air at 70 °F and 14.7 psia
DISCHARGES = [
    (1, "1/16", 0.450), (5, "1/16", 0.993), (5, "1/4", 15.9), (12, "1/16", 1.52),
    (15, "1/16", 1.68), (15, "1/8", 6.72), (20, "1/16", 1.96), (30, "1/32", 0.633), (30, "1/16", 2.53), (50, "1/16", 3.66), (50, "1/8", 14.7),
    (70, "1/16", 4.79), (100, "1/64", 0.406), (100, "1/16", 6.49), (100, "1/8", 26.0), (125, "1/16", 7.90),
]  # fmt: skip


@pytest.mark.parametrize(("pressure", "size", "printed"), DISCHARGES)
def test_air_through_a_small_round_hole(pressure: int, size: str, printed: float) -> None:
    part, whole = size.split("/")
    found = calc("orifice", gas="air", bore=f"{int(part) / int(whole)} in", inlet=f"{pressure} psi", temperature="70 °F")
    check(
        f"air-hole-{size}-in-{pressure}-psi", kind=PRINTED, got=float(found["flow_m3_per_h"]) * 294.261 / 273.15 / CUBIC_FOOT / 60.0,
        expected=printed, rel=0.01, unit="ft3/min", source=AIR_TABLE,
        why="three figures, and above 15 psi an approximate formula of its time, 0.5 % low",
    )  # fmt: skip


PLUMBING = "Plumbing, 3rd ed., open textbook of British Columbia, appendix 2: orifice capacity, factor 0.90"
# gas, diameter in, inches of water, ft3/h
JETS = [
    ("natural gas", 0.0280, 3.5, 2.220), ("natural gas", 0.0280, 7.0, 3.139), ("natural gas", 0.0313, 3.5, 2.774),
    ("propane", 0.0250, 11.0, 1.984), ("propane", 0.0313, 11.0, 3.110), ("propane", 0.0380, 11.0, 4.584), ("butane", 0.0380, 10.0, 3.785),
]  # fmt: skip


@pytest.mark.parametrize(("gas", "inches", "water", "printed"), JETS)
def test_gas_through_a_burner_jet(gas: str, inches: float, water: float, printed: float) -> None:
    mixed = {"composition": "methane 94 %, ethane 4 %, propane 2 %"} if gas == "natural gas" else {}  # relative density 0.60
    found = calc("orifice", gas=gas, bore=f"{inches} in", coefficient=0.9, inlet=f"{water * 249.0889} Pa", temperature="60 °F", **mixed)
    check(
        f"jet-{gas}-{inches}-in-{water:g}-in-water", kind=PRINTED, got=float(found["flow_m3_per_h"]) * 288.706 / 273.15 / CUBIC_FOOT,
        expected=printed, rel=0.02, unit="ft3/h", source=PLUMBING,
        why="relative densities rounded to 0.60, 1.50 and 2.00, which is 1 to 2 % of the pure gas's and half of that in flow",
    )  # fmt: skip
