"""Draw limits and situations worked by hand."""

import pytest
from tests.checks import COPIED, PRINTED, check

from steadycone.physics.gas import load
from steadycone.physics.supply import draw, lpg

POUND = 0.45359237


@pytest.mark.parametrize(
    ("capacity", "rule", "expected", "source"),
    [
        (100.0, "1/7", 14.0, "Oxy-Acetylene Welding and Cutting, 1916: 14 ft3/h from 100 ft3"),
        (225.0, "1/7", 32.1, "arithmetic on the Navy's 225 ft3 cylinder"),
        (225.0, "1/10", 22.5, "arithmetic on the Navy's 225 ft3 cylinder"),
        (225.0, "1/15", 15.0, "arithmetic on the Navy's 225 ft3 cylinder"),
    ],
)
def test_shares_of_a_cylinder(capacity: float, rule: str, expected: float, source: str) -> None:
    check(
        f"draw-{capacity:g}-{rule}",
        kind=PRINTED if capacity == 100.0 else COPIED,
        got=draw.published_limits(capacity)[rule] * 3600,
        expected=expected,
        rel=0.025,
        unit="ft3/h",
        source=source,
        why="1916 prints 14 for 14.3, cut to two figures",
    )


def test_the_flat_army_figure_breaks_the_one_seventh_rule() -> None:
    # 50 ft3/h (Army ordnance course OD0017) from 225 ft3 is 1/4.5 an hour: the two published rules cannot both be kept.
    assert draw.published_limits(225.0)["1/7"] * 3600 * 1.5 < draw.FLAT_ARMY


@pytest.mark.parametrize(("flow", "capacity"), [(15, 100), (30, 200), (45, 300), (60, 400), (75, 500)])
def test_the_coupling_table_of_1916_is_fifteen_per_cent(flow: float, capacity: float) -> None:
    # lines 1322-1328 of the 1916 book: flow up to which a capacity may be coupled. 15 % an hour, a little over 1/7.
    assert draw.cylinders_needed(flow, draw.share_limit(100.0, 0.15) * 3600) == capacity // 100


def test_a_long_cut_in_structural_steel_leaves_one_cylinder_between_two_rules() -> None:
    # invented situation, our own arithmetic: 9 kg cylinder, 0.5 m3/h for 7.5 h
    kilograms, molar_volume, molar_mass = 9.0, 22.41397e-3, 0.026038
    left = draw.contents_after(kilograms / molar_mass, 0.5 / molar_volume / 3600, 7.5 * 3600)
    assert left * molar_mass == pytest.approx(4.6, abs=0.06)
    limits = {rule: flow * 3600 * molar_volume for rule, flow in draw.published_limits(left).items()}
    assert limits["1/7"] == pytest.approx(0.56, abs=0.015)
    assert limits["1/10"] == pytest.approx(0.39, abs=0.01)
    assert limits["1/10"] < 0.5 < limits["1/7"]


def test_one_cold_propane_cylinder_gives_a_quarter_of_a_large_heating_flame() -> None:
    # invented situation, our own arithmetic: 100 lb cylinder with 40 lb left, 20 °F, flame of 312 000 Btu/h = 6.6 kg/h
    one = lpg.vaporisation(load("propane"), 100 * POUND, 0.4, (20 + 459.67) * 5 / 9)
    check(
        "lpg-100lb-20F",
        kind=COPIED,
        got=one.value * 3600,
        expected=1.65,
        rel=0.1,
        unit="kg/h",
        source="worked situation: a quarter of 6.6 kg/h",
        why="the wall's heat is judged, and a quarter is a round figure",
    )
    assert 4 * one.value * 3600 == pytest.approx(6.6, rel=0.05)
    assert 5 * one.low * 3600 > 6.6
