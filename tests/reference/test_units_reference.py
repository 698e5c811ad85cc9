"""Conversions against pint, an independent library of units."""

from typing import Any

import pint
import pytest
from tests.checks import ANOTHER, check

from steadycone.units import Conductance, Duration, GasAmount, GasFlow, Length, Mass, Measure, Pressure, Speed, Temperature, Volume

UNITS: Any = pint.UnitRegistry()
SOURCE = f"pint {pint.__version__}"
EXACT = "both hold the exact definitions; only the last binary digits differ"

CASES: list[tuple[type[Measure], str, str, str]] = [
    (Length, "3 in", "3 inch", "m"),
    (Length, "7 ft", "7 foot", "m"),
    (Length, "5 yd", "5 yard", "m"),
    (Length, "12 µm", "12 micrometer", "m"),
    (Volume, "9 L", "9 liter", "m**3"),
    (Volume, "9 ft3", "9 foot**3", "m**3"),
    (Volume, "9 in3", "9 inch**3", "m**3"),
    (Mass, "145 lb", "145 pound", "kg"),
    (Mass, "3 oz", "3 ounce", "kg"),
    (Duration, "1.5 h", "1.5 hour", "s"),
    (Speed, "20 in/min", "20 inch/minute", "m/s"),
    (Speed, "90 ft/h", "90 foot/hour", "m/s"),
    (Pressure, "15 psi", "15 psi", "Pa"),
    (Pressure, "3 kgf/cm2", "3 kilogram_force/cm**2", "Pa"),
    (Pressure, "2 atm", "2 atmosphere", "Pa"),
    (Pressure, "30 inHg", "30 inch_Hg", "Pa"),
    (Pressure, "30 mmHg", "30 mmHg", "Pa"),
    (Pressure, "11 inH2O", "11 inH2O", "Pa"),
    (Temperature, "70 °F", "70 degF", "K"),
    (Temperature, "-12.5 °C", "-12.5 degC", "K"),
    (Conductance, "2.1 L/(s bar)", "2.1 liter/second/bar", "m**3/second/Pa"),
]


def reference(text: str, unit: str) -> float:
    number, _, name = text.partition(" ")
    return float(UNITS.Quantity(float(number), name).to(unit).magnitude)


@pytest.mark.parametrize(("kind", "ours", "theirs", "unit"), CASES, ids=[case[1] for case in CASES])
def test_a_unit_has_the_size_that_the_library_gives_it(kind: type[Measure], ours: str, theirs: str, unit: str) -> None:
    loose = "inH2O" in ours or "Hg" in ours
    why = "conventional mercury and water columns, printed to seven and five figures" if loose else EXACT
    name = f"unit-{kind.__name__.lower()}-{ours.replace(' ', '')}"
    check(
        name,
        kind=ANOTHER,
        got=kind.parse(ours).si,
        expected=reference(theirs, unit),
        unit=unit,
        source=SOURCE,
        why=why,
        rel=2e-5 if loose else 1e-12,
    )


@pytest.mark.parametrize(
    ("ours", "volume", "kelvin", "pascal"),
    [("100 CFH", "100 foot**3/hour", (70 + 459.67) * 5 / 9, 14.696), ("10 L/min", "10 liter/minute", 273.15, None), ("1 m3/h", "1 m**3/hour", 273.15, None)],
)  # fmt: skip
def test_a_flow_of_gas_in_moles(ours: str, volume: str, kelvin: float, pascal: float | None) -> None:
    pressure = UNITS.Quantity(pascal, "psi") if pascal else UNITS.Quantity(1, "atmosphere")
    moles = (
        UNITS.Quantity(float(volume.partition(" ")[0]), volume.partition(" ")[2])
        * pressure
        / (UNITS.molar_gas_constant * UNITS.Quantity(kelvin, "K"))
    )
    name = f"unit-flow-{ours.replace(' ', '')}"
    check(name, kind=ANOTHER, got=GasFlow.parse(ours).si, expected=float(moles.to("mol/s").magnitude), unit="mol/s", source=f"{SOURCE}, ideal gas at the state named",
          why="the normal molar volume is held to seven figures", rel=1e-7)  # fmt: skip


def test_an_amount_of_gas_by_mass() -> None:
    check(
        "unit-amount-20lb",
        kind=ANOTHER,
        got=GasAmount.parse("20 lb").si,
        expected=reference("20 pound", "kg"),
        unit="kg",
        source=SOURCE,
        why=EXACT,
        rel=1e-12,
    )
