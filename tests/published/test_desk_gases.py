"""What the desk says of a gas and of a cylinder's content, against printed tables: `calc gas`, `calc contents`, `card`."""

from pathlib import Path

import pytest
from tests.checks import PRINTED, check
from tests.desk import CUBIC_FOOT, POUND, calc, card_of
from tests.stations import CHART, station_text

from steadycone.physics.transient.purge import diffusivity

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


MEASURED = "Physical Chemistry, 1st ed., table 2.2, p. 45: Joule-Thomson coefficients of air (measured by Roebuck, 1925 and 1930)"
COEFFICIENTS = [
    (0, 1, 0.2745), (0, 20, 0.2580), (0, 60, 0.2200), (0, 100, 0.1820),
    (50, 1, 0.1956), (50, 20, 0.1830), (50, 60, 0.1571), (50, 100, 0.1310), (50, 140, 0.1070),
]  # fmt: skip


@pytest.mark.parametrize(("celsius", "atmospheres", "printed"), COEFFICIENTS)
def test_air_cools_behind_a_regulator_as_measured(celsius: int, atmospheres: int, printed: float) -> None:
    high, low = (atmospheres + 4, atmospheres - 4) if atmospheres > 4 else (atmospheres + 1, atmospheres)
    found = calc("chill", gas="air", inlet=f"{high * 1.01325} bar abs", outlet=f"{low * 1.01325} bar abs", temperature=f"{celsius} °C")
    check(
        f"chill-air-{celsius}C-{atmospheres}atm", kind=PRINTED, got=(celsius - float(found["temperature_c"])) / (high - low), expected=printed,
        rel=0.03, unit="K/atm", source=MEASURED, why="measurements of their time, good to some 2 %; taken here over a step of 1 or 8 atm",
    )  # fmt: skip


HYDROGEN = "Spanish hydrogen association, hydrogen data: compressibility factor at 0 °C"
HYDROGEN_FACTORS = [(50, 1.032), (100, 1.065), (200, 1.132), (250, 1.166), (300, 1.201), (350, 1.236), (400, 1.272)]


@pytest.mark.parametrize(("bars", "printed"), HYDROGEN_FACTORS)
def test_hydrogen_is_as_compressible_as_its_association_prints(bars: int, printed: float) -> None:
    found = calc("gas", gas="hydrogen", temperature="0 °C", pressure=f"{bars} bar abs")
    check(
        f"hydrogen-factor-{bars}bar", kind=PRINTED, got=float(found["compressibility"]), expected=printed, rel=2.5e-3, unit="1", source=HYDROGEN,
        why="three decimals from an older evaluation, 0.1 to 0.2 % from today's; its 1.089 at 150 bar is out of line (misprint of 1.098)",
    )  # fmt: skip


def test_fifty_litres_of_hydrogen_at_two_hundred_bar() -> None:
    found = calc("contents", gas="hydrogen", water_volume="50 L", pressure=f"{200 - 1.01325} bar", temperature="0 °C")
    check(
        "hydrogen-50-L-200-bar", kind=PRINTED, got=float(found["volume_m3"]) * 1.01325, expected=8.834, rel=2.5e-3, unit="m3 at 0 °C, 1 bar",
        source="Spanish hydrogen association, hydrogen data: worked example, 0.050 x 200/1.132", why="as the factor it is worked with",
    )  # fmt: skip


def test_the_misprint_for_hydrogen_at_150_bar_is_not_met() -> None:
    found = calc("gas", gas="hydrogen", temperature="0 °C", pressure="150 bar abs")
    assert float(found["compressibility"]) - 1.089 > 0.005


@pytest.mark.parametrize(("gas", "celsius", "printed"), [("air", 0, 331.5), ("air", 20, 344.0), ("hydrogen", 0, 1270.0)])
def test_the_speed_of_sound_in_a_handbook_of_acoustics(gas: str, celsius: int, printed: float) -> None:
    found = calc("gas", gas=gas, temperature=f"{celsius} °C", pressure="0 bar")
    check(
        f"printed-sound-{gas}-{celsius}C", kind=PRINTED, got=float(found["sound_m_per_s"]), expected=printed, rel=0.01, unit="m/s",
        source="Handbook for Acoustic Ecology, speed of sound", why="three or four figures; hydrogen's is an old measurement, rounded up",
    )  # fmt: skip


@pytest.mark.parametrize(("gas", "printed"), [("hydrogen", 0.756), ("methane", 0.210)])
def test_diffusion_into_air_as_measured(gas: str, printed: float) -> None:
    check(
        f"printed-diffusion-{gas}", kind=PRINTED, got=diffusivity(101325.0, 293.15, gas) * 1e4, expected=printed, rel=0.10, unit="cm2/s",
        source="Handbook of Chemistry and Physics, table 'diffusion in gases', in a large excess of air at 293.15 K (Marrero and Mason, 1972)",
        why="our method says of itself that it holds within 10 %; measurements agree within 2 to 5 %",
    )  # fmt: skip
