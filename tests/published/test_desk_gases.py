"""What the desk says of a gas and of a cylinder's content, against printed tables: `calc gas`, `calc contents`, `card`."""

from pathlib import Path

import pytest
from tests.checks import PRINTED, check
from tests.desk import CUBIC_FOOT, POUND, calc, card_of
from tests.stations import CHART, station_text

PERRY = "Chemical Engineers' Handbook, 7th ed., p. 2-165, compressibility factors at 300 K (through the data of an open dive log)"
BARS = (1, 5, 10, 20, 40, 60, 80, 100, 200, 300, 400)
FACTORS = {
    "oxygen": (0.9994, 0.9968, 0.9941, 0.9884, 0.9771, 0.9676, 0.9597, 0.9542, 0.9560, 0.9972, 1.0689),
    "nitrogen": (0.9998, 0.9990, 0.9983, 0.9971, 0.9964, 0.9973, 1.0000, 1.0052, 1.0559, 1.1422, 1.2480),
}
OLDER = [("oxygen", BARS.index(bar)) for bar in (200, 300, 400)]  # 0.7 to 0.9 % over what is taken today
R, NORMAL = 8.314462618, 22.41397e-3


@pytest.mark.parametrize(("gas", "at"), [(gas, at) for gas in FACTORS for at in range(2, len(BARS)) if (gas, at) not in OLDER])
def test_a_real_gas_is_as_compressible_as_printed(gas: str, at: int) -> None:
    found = calc("gas", gas=gas, temperature="300 K", pressure=f"{BARS[at]} bar abs")
    check(
        f"printed-factor-{gas}-{BARS[at]}bar", kind=PRINTED, got=float(found["compressibility"]), expected=FACTORS[gas][at], rel=3e-3,
        unit="1", source=PERRY, why="four figures of an older evaluation of the measurements; 0.3 % is a fifth of what a cylinder gauge shows",
    )  # fmt: skip


@pytest.mark.parametrize(("gas", "at"), OLDER)
def test_the_print_for_oxygen_above_two_hundred_bar_is_not_met(gas: str, at: int) -> None:
    """The reference equation of 1985/1991, good to 0.1 %, lies 0.7 to 0.9 % lower there: so a cylinder holds that much more than by the print."""
    found = calc("gas", gas=gas, temperature="300 K", pressure=f"{BARS[at]} bar abs")
    assert 0.006 < FACTORS[gas][at] / float(found["compressibility"]) - 1.0 < 0.010


@pytest.mark.parametrize("at", [BARS.index(bar) for bar in (20, 40, 60, 80, 100)])
def test_a_card_counts_the_oxygen_that_the_printed_factor_leaves_in_fifty_litres(tmp_path: Path, at: int) -> None:
    """The card's own road: gauge pressure, a place at 26.85 °C, 50 L; the gauge's band is the card's, the middle is compared."""
    text = station_text(ambient="26.85 °C", pressure=f"{BARS[at] - 1.01325} bar")
    found = card_of(tmp_path, text, CHART)["oxygen"]["contents"]
    assert found["unit"] == "m3"
    check(
        f"card-oxygen-50-L-{BARS[at]}bar", kind=PRINTED, got=float(found["value"]),
        expected=BARS[at] * 1e5 * 0.05 / (FACTORS["oxygen"][at] * R * 300.0) * NORMAL, rel=3e-3, unit="normal m3", source=PERRY,
        why="the printed factor, four figures of an older evaluation",
    )  # fmt: skip
    assert found["low"] < found["value"] < found["high"]


VISCOSITIES = [
    ("air", 18.6), ("oxygen", 20.8), ("nitrogen", 17.9), ("hydrogen", 9.0), ("methane", 11.2), ("acetylene", 10.4), ("propane", 8.3), ("butane", 7.5),
]  # fmt: skip


@pytest.mark.parametrize(("gas", "printed"), VISCOSITIES)
def test_viscosity_at_300_kelvin(gas: str, printed: float) -> None:
    found = calc("gas", gas=gas, temperature="300 K", pressure="0 bar")
    check(
        f"printed-viscosity-{gas}", kind=PRINTED, got=float(found["viscosity_upa_s"]), expected=printed, rel=0.02, unit="uPa s",
        source="Handbook of Chemistry and Physics, table 'viscosity of gases', 300 K",
        why="three figures, said by the table to be good to 1 to 3 %; its newer edition differs from this one by up to 1 %",
    )  # fmt: skip


# kg/m3 at 20 °C and 1 atm, lb/ft3 turned into them where the text gives both
DENSITIES = [("acetylene", 1.092), ("air", 1.205), ("butane", 2.489), ("methane", 0.668), ("nitrogen", 1.165), ("oxygen", 1.331), ("propane", 1.882), ("propylene", 1.748)]  # fmt: skip


@pytest.mark.parametrize(("gas", "printed"), DENSITIES)
def test_density_at_twenty_degrees(gas: str, printed: float) -> None:
    found = calc("gas", gas=gas, temperature="20 °C", pressure="0 bar")
    check(
        f"printed-density-{gas}", kind=PRINTED, got=float(found["density_kg_per_m3"]), expected=printed, rel=0.02, unit="kg/m3",
        source="Densities of some common gases, engineering reference table at 20 °C and 1 atm",
        why="ideal gas for the heavier ones, of which real vapour is 1 to 2 % off either way; the light ones agree to the digits printed",
    )  # fmt: skip


# cal/(mol K) of the ideal gas
HEATS = [(298.15, 10.53), (300.0, 10.56)]


@pytest.mark.parametrize(("kelvin", "calories"), HEATS)
def test_the_heat_capacity_ratio_of_acetylene(kelvin: float, calories: float) -> None:
    found = calc("gas", gas="acetylene", temperature=f"{kelvin} K", pressure="0.02 bar abs")
    check(
        f"printed-gamma-acetylene-{kelvin:g}K", kind=PRINTED, got=float(found["gamma"]), expected=calories * 4.184 / (calories * 4.184 - R),
        rel=5e-3, unit="1", source="NIST Chemistry WebBook, acetylene: constant pressure heat capacity of gas (Gurvich and others, 1991)",
        why="four figures; the transport library that our value comes from is another evaluation, 0.3 % apart in heat capacity",
    )  # fmt: skip


def test_an_eighty_foot_diving_cylinder_holds_seventy_seven_feet() -> None:
    """Why: real air is 3 % less dense than ideal at 3000 psi."""
    found = calc("contents", gas="air", water_volume="11.1 L", pressure="3000 psi", temperature="70 °F")
    feet = float(found["volume_m3"]) * 294.261 / 273.15 / CUBIC_FOOT
    check(
        "diving-cylinder-3000-psi", kind=PRINTED, got=feet, expected=77.0, rel=0.015, unit="ft3 at 70 °F",
        source="Calculating scuba cylinder capacities, an instructor's article of 2018 to 2020; 11.1 L from a diver's table of 1995",
        why="two figures printed, and the water volume is a nominal one of three",
    )  # fmt: skip


@pytest.mark.parametrize("kilograms", [5.8, 2.0])
def test_a_card_turns_the_weight_of_acetylene_into_volume(tmp_path: Path, kilograms: float) -> None:
    """The card's JSON counts moles as normal volume; brought to 60 °F here."""
    found = card_of(tmp_path, station_text(gross=f"{62.4 + kilograms} kg"), CHART)["fuel"]["contents"]
    for name, feet, source in (
        ("handbook", 14.4, "Piping Calculations Manual, heating value table (seen at second hand): 14.4 ft3/lb at 60 °F"),
        ("1909", 1000 / 69.18, "Acetylene, the Principles of its Generation and Use, 1909, ch. VI: 69.18 lb to 1000 ft3 at 60 °F"),
    ):
        check(
            f"card-acetylene-{kilograms:g}-kg-{name}", kind=PRINTED, got=float(found["value"]) * 288.706 / 273.15,
            expected=kilograms / POUND * feet * CUBIC_FOOT, rel=0.015, unit="m3 at 60 °F", source=source,
            why="three or four figures of the real gas, which is 0.8 % denser than the moles that are counted here",
        )  # fmt: skip
