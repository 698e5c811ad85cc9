"""A cylinder's content in m³: on a label at 15 °C and 1 bar, in a file normal unless it says."""

import pytest
from tests.checks import PRINTED, check
from tests.stations import CHART, ON, station_text

from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text
from steadycone.quantity import Quantity

NORMAL = 22.41397e-3  # m³/mol


def contents(size: str, about: str = "") -> tuple[Quantity, dict[str, str]]:
    """Normal m³ in the oxygen cylinder at 200 bar and 15 °C, and what was assumed."""
    text = station_text(about=about, pressure="200 bar").replace('water_volume = "50 L"', size)
    figures = make_card(setup_from_text(text, "law.toml", lambda name, limit, what: CHART.encode()), ON).figures
    return figures.lines["oxygen"].supply.contents.map(lambda moles: moles * NORMAL), dict(figures.assumed)


def test_a_volume_without_its_state_may_be_a_label_s_and_the_smaller_is_the_low_end() -> None:
    # The gauge's own error is in both; only the label's share lies between the two files.
    plain, said = contents('capacity = "10.8 m3"')
    stated, silent = contents('capacity = "10.8 m3"', 'reference_state = "0 °C, 1.01325 bar"')
    assert plain.value == pytest.approx(stated.value, rel=1e-6)
    assert plain.low is not None
    assert stated.low is not None
    check(
        "label-share",
        kind=PRINTED,
        got=plain.low / stated.low,
        expected=10.10 / 10.80,
        rel=0.002,
        unit="1",
        source="usual European label of a 50 L, 200 bar cylinder, from memory, against the library of fluids",
        why="both figures are printed to three digits",
    )
    assert "15 °C and 1 bar" in said["oxygen.supply.capacity"]
    assert "oxygen.supply.capacity" not in silent


def test_a_label_s_volume_with_its_state_is_what_the_shell_holds() -> None:
    labelled, _ = contents('capacity = "10.8 m3"', 'reference_state = "15 °C, 1 bar"')
    shell, _ = contents('water_volume = "50 L"')
    assert labelled.value == pytest.approx(shell.value, rel=0.01)


@pytest.mark.parametrize("size", ['water_volume = "50 L"', 'capacity = "244 ft3"', 'capacity = "14.4 kg"'])
def test_a_shell_cubic_feet_and_kilograms_are_in_no_doubt(size: str) -> None:
    assert "oxygen.supply.capacity" not in contents(size)[1]
