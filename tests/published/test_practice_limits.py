"""The trade's limits against the texts that print them."""

from dataclasses import replace

import pytest
from tests import factories as bench
from tests.checks import COPIED, PRINTED, check

from steadycone.assembly.figures import Figures
from steadycone.practice import acetylene, arrestor, draw
from steadycone.quantity import Quantity
from steadycone.station.parts import CheckValve
from steadycone.station.policy import DrawLimit
from steadycone.units import US_70F

PSI = 6894.757293168
CUBIC_FOOT = 0.3048**3
# Air pressure at 1600 m by the standard atmosphere, 101325 (1 - 2.25577e-5 h)^5.25588; the same formula as any altimeter table.
AT_1600_M = 101325.0 * (1 - 2.25577e-5 * 1600) ** 5.25588
OSHA = "29 CFR 1910.253(a)(2), 2015 edition: acetylene not over 15 psi gauge (103 kPa) or 30 psi absolute (206 kPa)"


def us_bench(flowing_psi: float, atmosphere: float) -> Figures:
    """Acetylene flowing at this gauge pressure, in air of this pressure."""
    bar = flowing_psi * PSI / 1e5
    figures = bench.with_line(
        bench.clean(region="us"), "fuel", flowing=bench.gauge(bar), set_pressure=bench.gauge(bar), static=bench.gauge(bar)
    )
    return replace(figures, atmosphere=atmosphere)


def verdict(figures: Figures) -> str:
    return bench.found(acetylene.judge(figures), "acetylene-pressure-static").verdict


def test_fifteen_psi_gauge_is_allowed_and_nothing_over_it_at_sea_level() -> None:
    # 29 CFR 1910.253(a)(2) forbids pressures in excess of 15 psi gauge: at the figure itself it is still allowed.
    assert verdict(us_bench(15.0, 101325.0)) == "go"
    assert verdict(us_bench(15.01, 101325.0)) == "stop"
    found = (us_bench(1, 101325.0)).cap
    cap, absolute = found.gauge, found.absolute
    assert not absolute
    check(
        "acetylene-cap-us-gauge",
        kind=COPIED,
        got=cap / 1e5,
        expected=1.034214,
        unit="bar gauge",
        abs=1e-6,
        source=OSHA,
        why="15 psi, exact conversion",
    )


def test_at_1600_metres_the_gauge_limit_still_bites_first() -> None:
    # 30 psi absolute less 12.1 psi of air is 17.9 psi gauge: the gauge figure is the lower one high up.
    figures = us_bench(15.0, AT_1600_M)
    assert verdict(figures) == "go"
    assert verdict(us_bench(15.01, AT_1600_M)) == "stop"
    found = (figures).cap
    cap, absolute = found.gauge, found.absolute
    assert not absolute
    check(
        "acetylene-cap-us-1600-m",
        kind=COPIED,
        got=cap / PSI,
        expected=15.0,
        unit="psi gauge",
        abs=1e-6,
        source=OSHA,
        why="the same figure, whatever the air",
    )


def test_in_a_pressurised_place_the_absolute_limit_bites_first() -> None:
    # A caisson at 20 psi absolute: 30 psi absolute is 10 psi gauge there.
    air = 20 * PSI
    assert verdict(us_bench(10.0, air)) == "go"
    finding = bench.found(acetylene.judge(us_bench(10.01, air)), "acetylene-pressure-static")
    assert (finding.verdict, finding.text) == ("stop", "stop absolute")
    found = (us_bench(1, air)).cap
    cap, absolute = found.gauge, found.absolute
    assert absolute
    check(
        "acetylene-cap-us-caisson",
        kind=COPIED,
        got=cap / PSI,
        expected=10.0,
        unit="psi gauge",
        abs=1e-6,
        source=OSHA,
        why="30 less 20, exact",
    )


def test_just_above_standard_air_the_absolute_limit_takes_over() -> None:
    # 30 psi is twice 15: the two limits meet in air of 15 psi, hardly above the standard 14.696.
    assert not us_bench(1, 14.99 * PSI).cap.absolute
    assert us_bench(1, 15.01 * PSI).cap.absolute


def whole_cylinder(cubic_feet: float, drawn_cubic_feet: float) -> Figures:
    """A full cylinder of so many ft³ at 70 °F, drawn at so many ft³ an hour."""

    def moles(amount: float, kind: str) -> Quantity:
        si = amount * CUBIC_FOOT * US_70F.moles_per_cubic_metre
        return Quantity(si, si, si, kind)

    held, drawn = moles(cubic_feet, "amount"), moles(drawn_cubic_feet / 3600, "flow")
    return bench.with_supply(bench.clean(region="us"), "fuel", contents=held, full=held, at_end=held, drawn=drawn)


@pytest.mark.parametrize(
    ("capacity", "share", "printed", "rel", "source", "why"),
    [
        (100.0, "1/7", 14.0, 0.025, "Oxy-Acetylene Welding and Cutting, 1916: 100 ft3 cylinder, 14 ft3/h", "printed to whole feet: 14.29"),
        (
            225.0,
            "1/7",
            32.1,
            0.002,
            "1/7 of the Navy's standard 225 ft3 cylinder (NAVEDTRA 14250)",
            "printed to a tenth: half of it is 0.16 %",
        ),
        (225.0, "1/10", 22.5, 1e-9, "1/10 of the same cylinder", "exact arithmetic"),
        (225.0, "1/15", 15.0, 1e-9, "1/15 of the same cylinder", "exact arithmetic"),
    ],
)
def test_draw_rules_as_printed(capacity: float, share: str, printed: float, rel: float, source: str, why: str) -> None:
    rules = draw.rules(whole_cylinder(capacity, 1.0))
    limit = next(rule.limit for rule in rules if rule.share == share and rule.of == "full").value
    assert limit is not None
    got = limit * 3600 / US_70F.moles_per_cubic_metre / CUBIC_FOOT
    name = f"draw-{share.replace('/', '-of-')}-{capacity:g}-ft3"
    check(name, kind=PRINTED if capacity == 100.0 else COPIED, got=got, expected=printed, unit="ft3/h", rel=rel, source=source, why=why)


@pytest.mark.parametrize(("drawn", "cylinders"), [(14.0, 1), (28.0, 2), (42.0, 3), (57.0, 4), (71.0, 5)])
def test_cylinders_to_couple_by_a_seventh(drawn: float, cylinders: int) -> None:
    # The 1916 book couples one 100 ft³ cylinder for each 15 ft³/h, its seventh rounded up; the rows are taken where both agree.
    got = draw.cylinders_by(whole_cylinder(100.0, drawn), DrawLimit.parse("1/7"), "full")
    assert got is not None
    source = "Oxy-Acetylene Welding and Cutting, 1916: 100 ft3 of capacity to couple for each 15 ft3/h"
    why = "whole cylinders; flows up to a seventh of each, where the book's 15 % and its 1/7 agree"
    check(f"draw-couple-{drawn:g}-ft3-h", kind=PRINTED, got=got, expected=cylinders, unit="cylinders", abs=0, source=source, why=why)


def test_the_army_figure_is_over_a_seventh_of_the_navy_cylinder() -> None:
    # Army OD0017, item (3): 50 ft³/h from one cylinder. It conflicts with 1/7 of 225 ft³: here the share rules, as a stop.
    assert bench.found(draw.judge(whole_cylinder(225.0, 50.0)), "fuel-draw").verdict == "stop"
    assert bench.found(draw.judge(whole_cylinder(225.0, 22.0)), "fuel-draw").verdict == "go"


@pytest.mark.parametrize("region", ["uk", "eu", "us", "ca", "au", "nz"])
def test_a_check_valve_does_not_stop_a_flame(region: str) -> None:
    # Welding society fact sheet 28 (August 2018) and a welding institute's answers: a check valve holds gas back, an arrestor stops the flame.
    figures = bench.with_noun(bench.clean(region=region), "fuel", part=(bench.hose("acetylene"), CheckValve(gas="acetylene")))
    assert bench.found(arrestor.judge(figures), "arrestor-missing", "fuel line").verdict != "go"
