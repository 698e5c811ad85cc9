"""What other programs rely on: the card's fixed units, and what a field of the station file does to the card."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.stations import ON, card

from steadycone.card.make import make_card
from steadycone.files.read import read_setup
from steadycone.render.json_card import card_dict

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
FIXED = {"bar gauge", "bar", "m3/h", "m3", "L/h", "L", "kg", "s", "min", "°C", "mm", "m", "mm/min", "°", "%", "1"}


def units(told: Any) -> Iterator[str]:
    if isinstance(told, dict):
        if "unit" in told and "low" in told:
            yield told["unit"]
        for inner in told.values():
            yield from units(inner)
    elif isinstance(told, list):
        for inner in told:
            yield from units(inner)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_number_of_the_json_has_one_of_the_fixed_units(path: Path) -> None:
    found = set(units(card_dict(make_card(read_setup(path), ON))))
    assert found
    assert found <= FIXED


def test_draw_rules_stand_side_by_side_with_cylinders_rounded_up() -> None:
    rules = card_dict(card())["draw_rules"]
    assert {(rule["share"], rule["of"]) for rule in rules} == {
        (share, of) for share in ("1/7", "1/10", "1/15") for of in ("full", "left", "end of job")
    }
    assert all(isinstance(rule["cylinders"], int) for rule in rules)


def test_a_stated_droop_raises_what_the_line_may_reach_when_it_is_shut() -> None:
    plain = card(rating='10 bar"\nlockup = "0 %').figures.lines["oxygen"].static
    droopy = card(rating='10 bar"\nlockup = "0 %"\ndroop = "2 bar').figures.lines["oxygen"].static
    assert droopy.value == plain.value
    assert plain.high is not None
    assert droopy.high is not None
    # 4.03 of the rated 30 m3/h gives back about a seventh of 2 bar.
    assert droopy.high - plain.high == pytest.approx(2e5 * 4.03 / 30, rel=0.05)  # the flow's own rounding


def test_a_single_stage_outlet_climbs_as_the_cylinder_empties_and_a_two_stage_one_does_not() -> None:
    single = card(cut="40 m").figures.lines["oxygen"]
    double = card(cut="40 m", rating='10 bar"\nstages = 2\nlockup = "30 %').figures.lines["oxygen"]
    assert single.rise.high is not None
    assert single.rise.high > 0
    assert double.rise.high == 0
    assert single.static.high is not None
    assert double.static.high is not None
    assert single.static.high == pytest.approx(double.static.high + single.rise.high, rel=1e-9)
