"""Sums that a card is made of, done again by hand: each is a rule that once could be wrong without any test noticing."""

import math
from dataclasses import replace

import pytest
from msgspec import structs
from tests.edge.render_samples import card, changed
from tests.factories import row

from steadycone.assembly.corner import Corner
from steadycone.assembly.estimate import completed
from steadycone.assembly.gauges import Gauges, gauges, settable
from steadycone.assembly.target import Target
from steadycone.card.make import make_card
from steadycone.physics.flow import stream_of
from steadycone.physics.flow.resistance import FlowPoint, fit_band
from steadycone.physics.gas import load, neutral_ratio
from steadycone.physics.supply import lpg
from steadycone.quantity import exact

ATMOSPHERE = 101325.0  # Pa
MOLAR = 0.02241397  # m³/mol at 0 °C and 1.01325 bar


# --- what the gauges give now --------------------------------------------------------------------


def test_the_flames_ratio_is_one_of_volumes_and_not_of_weights() -> None:
    """Equal volumes of gas hold equal amounts: mol of preheat oxygen over mol of fuel, whatever the two weigh."""
    now = card("as-set").figures.as_set
    assert now is not None
    oxygen, fuel = now.lines["oxygen"].preheat_flow, now.lines["fuel"].flow
    assert oxygen is not None
    assert oxygen.value is not None
    assert fuel.value is not None
    assert now.oxygen_to_fuel.value == pytest.approx(oxygen.value / fuel.value, rel=1e-6)
    assert 0.5 < now.oxygen_to_fuel.value < 2.0  # acetylene burns neutral a little over 1


def test_what_the_gauges_give_now_is_known_where_both_were_read() -> None:
    now = card("as-set").figures.as_set
    assert now is not None
    for figure in (now.oxygen_to_fuel, now.lines["oxygen"].torch_inlet, now.lines["fuel"].torch_inlet):
        assert None not in (figure.value, figure.low, figure.high)


# --- LPG --------------------------------------------------------------------------------------------


def test_an_lpg_cylinder_shows_its_vapours_pressure_over_the_air() -> None:
    """At 15 °C pure propane stands at 7.32 bar absolute, by any table of it; so its gauge shows 6.3."""
    made = changed("pontoon-lpg-au", ('composition = { propane = "60 %", butane = "40 %" }', 'composition = { propane = "100 %" }'))
    shown = made.figures.lines["fuel"].supply.pressure.value
    assert shown is not None
    assert shown == pytest.approx(7.32e5 - ATMOSPHERE, rel=0.02)


def test_what_is_left_in_an_lpg_cylinder_is_its_weight_less_its_tare() -> None:
    """74 kg on the scales, 41 kg stamped: 33 kg, read to the kilogram."""
    fuel = card("pontoon-lpg-au").figures.lines["fuel"]
    mass = fuel.supply.contents_mass
    assert mass.value == pytest.approx(33.0)
    assert mass.low is not None
    assert mass.high is not None
    assert 31.0 < mass.low < 33.0 < mass.high < 35.0


def test_a_litre_of_lpg_cylinder_holds_forty_two_hundredths_of_a_kilogram() -> None:
    """The filling ratio, where only the water volume is stamped."""
    assert lpg.FILLING_RATIO == 0.42
    made = changed("pontoon-lpg-au", ('content = "45 kg"\ngross = "74 kg"\ntare = "41 kg"\n', 'water_volume = "108 L"\n'))
    fuel = made.figures.lines["fuel"]
    assert fuel.supply.contents_mass.value == pytest.approx(108 * 0.42)


def test_lpg_of_unknown_make_gives_less_gas_at_its_heaviest_and_more_at_its_lightest() -> None:
    known = card("pontoon-lpg-au").figures.lines["fuel"].supply.usable
    made = changed("pontoon-lpg-au", ('composition = { propane = "60 %", butane = "40 %" }\n', ""))
    unknown = made.figures.lines["fuel"].supply.usable
    heaviest, lightest = load("butane").molar_mass, load("propane").molar_mass
    assert None not in (known.low, known.high, unknown.low, unknown.high)
    assert unknown.low * heaviest <= 33.0  # type: ignore[operator]
    assert unknown.low * lightest < 32.0  # type: ignore[operator]
    assert unknown.high * lightest > 33.0  # type: ignore[operator]


# --- purging ------------------------------------------------------------------------------------------


def test_three_volumes_are_three_times_what_the_hose_holds() -> None:
    """The rule of a house that counts volumes: three times the gas space, filled at the set pressure, through the purge's flow."""
    made = card("clean-bench")
    setup = made.figures.setup
    policy = structs.replace(setup.policy, purge=structs.replace(setup.policy.purge, rule="three volumes"))
    line = make_card(structs.replace(setup, policy=policy), made.figures.on).figures.lines["oxygen"]
    hoses = [part for part in line.line.part if type(part).__name__ == "Hose"]
    hose = sum(math.pi / 4 * part.bore.si**2 * part.length.si for part in hoses)
    set_to, flow = line.set_pressure.value, line.proving.purge_flow.value
    assert set_to is not None
    assert flow
    wanted = 3 * hose * (set_to + ATMOSPHERE) / (8.314462618 * made.figures.ambient) / flow
    assert line.proving.purge_time.value is not None
    assert wanted < line.proving.purge_time.value < 2.0 * wanted  # and the small parts' space beside the hose's
    assert line.proving.purge_time.high is not None
    assert line.proving.purge_time.high > line.proving.purge_time.value


# --- the chart ------------------------------------------------------------------------------------------


def test_what_a_row_leaves_out_comes_from_a_neutral_flame() -> None:
    fuel, oxygen = load("acetylene"), load("oxygen")
    ratio = neutral_ratio(fuel).typical
    raw = Target(3.0e5, 0.5e5, None, 1e-3, None, 2e-4)
    found, estimated = completed(raw, row(), fuel, oxygen, 288.15, Corner("as taken", 1e-5, 6.0, 1, 0), cutting=True)
    assert estimated
    assert found.preheat_flow is not None
    assert found.preheat_flow / oxygen.molar_mass == pytest.approx(ratio * 2e-4 / fuel.molar_mass, rel=1e-6)
    raw = Target(3.0e5, 0.5e5, None, 1e-3, 3e-4, None)
    found, _ = completed(raw, row(), fuel, oxygen, 288.15, Corner("as taken", 1e-5, 6.0, 1, 0), cutting=True)
    assert found.fuel_flow is not None
    assert found.fuel_flow / fuel.molar_mass == pytest.approx(3e-4 / oxygen.molar_mass / ratio, rel=1e-6)


# --- gauges -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "ceiling", "reading"),
    [
        (3.04, 10.0, 3.0),  # 1.3 % short of it is the same flame
        (3.06, 10.0, 3.1),
        (3.10, 10.0, 3.1),
        (0.54, 10.0, 0.6),  # 0.5 would starve the tip by 7 %
        (0.56, 10.0, 0.6),
        (3.06, 3.05, 3.1),  # what is wanted is over the ceiling itself: that is another finding
        (3.06, 3.07, 3.0),  # the mark above would pass the ceiling, the mark below starves nobody
        (0.54, 0.55, 0.6),  # the mark below would
    ],
)
def test_the_nearest_mark_is_set_unless_it_starves_the_tip_or_passes_the_ceiling(wanted: float, ceiling: float, reading: float) -> None:
    gauge: Gauges = replace(_gauges(), step=0.1e5, outlet_error=0.0)
    found = settable(exact(wanted * 1e5, "gauge pressure"), gauge, ceiling * 1e5)
    assert found.value == pytest.approx(reading * 1e5)


def _gauges() -> Gauges:
    setup = card("slip-2").figures.setup
    return gauges(setup.lines["oxygen"].regulator, setup.station.station.region)


# --- arrestors ---------------------------------------------------------------------------------------------


def test_one_point_of_a_curve_leaves_its_shape_open_and_many_leave_their_spread() -> None:
    """One point: the conductance at that point is what it is, and the critical ratio may be any usual one. Several: the ratio is fitted,
    and the conductance lies within what the points differ by, the better one first."""
    air = stream_of(load("air"), 293.15)
    one = [FlowPoint(6e5, 0.2e5, 5.5e-3, air)]
    least, most = fit_band(one)
    assert least.critical_ratio < most.critical_ratio
    many = [FlowPoint(6e5, 0.1e5, 4.0e-3, air), FlowPoint(6e5, 0.4e5, 7.0e-3, air), FlowPoint(6e5, 0.8e5, 10.5e-3, air)]
    best, worst = fit_band(many)
    assert best.critical_ratio == worst.critical_ratio
    assert best.spread > 0
    assert best.conductance / worst.conductance == pytest.approx((1 + best.spread) / (1 - best.spread))
