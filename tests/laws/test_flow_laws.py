"""What must hold of the flow formulas whatever the numbers."""

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from steadycone.physics.flow import (
    Droop,
    FlowPoint,
    Hose,
    Injector,
    Line,
    Openings,
    Orifice,
    Resistance,
    Station,
    Stream,
    fit,
    fit_band,
    fit_openings,
    friction_factor,
    march_down,
    march_up,
    mix_streams,
    profiles,
    solve,
)
from steadycone.physics.flow.line import Element, largest_flow, needed
from steadycone.physics.flow.mixer import jet_thrust_slopes, lift_slopes, mixing_pressure_slopes
from steadycone.physics.flow.network import evaluate
from steadycone.physics.flow.orifice import upstream_pressure
from steadycone.physics.flow.regulator import capacity, flowing_pressure, static_pressure

R = 8.314462618
ATMOSPHERE = 101325.0
OXYGEN = Stream(0.0319988, R / 0.0319988, 1.397, 2.03e-5, 293.15, -6.9e-9)
ACETYLENE = Stream(0.0260373, R / 0.0260373, 1.235, 1.02e-5, 293.15, -6.9e-8)
PROPANE = Stream(0.0440956, R / 0.0440956, 1.139, 8.0e-6, 293.15, -1.7e-7)
HYDROGEN = Stream(0.0020159, R / 0.0020159, 1.406, 8.8e-6, 293.15, 5.9e-9)

gases = st.sampled_from((OXYGEN, ACETYLENE, PROPANE, HYDROGEN))
pressures = st.floats(3e4, 2e6)
flows = st.floats(1e-7, 3e-2)
lengths = st.floats(0.5, 100.0)
bores = st.floats(0.002, 0.016)
roughness = st.floats(0.0, 5e-5)


@st.composite
def hoses(draw: st.DrawFn) -> Hose:
    return Hose(draw(gases), draw(bores), draw(lengths), draw(roughness), draw(st.floats(0.0, 12.0)))


@st.composite
def elements(draw: st.DrawFn) -> Element:
    kind = draw(st.sampled_from(("hose", "orifice", "resistance", "droop")))
    if kind == "hose":
        return draw(hoses())
    if kind == "orifice":
        return Orifice(draw(gases), draw(st.floats(1e-7, 5e-5)))
    if kind == "droop":
        return Droop(draw(st.floats(0.0, 1e7)))
    return Resistance(draw(gases), draw(st.floats(5e-10, 1e-7)), draw(st.floats(0.0, 0.8)), draw(st.floats(0.0, 3000.0)))


@given(hoses(), pressures, flows, st.floats(1.0, 3.0))
def test_a_longer_hose_never_needs_less_pressure(hose: Hose, outlet: float, flow: float, factor: float) -> None:
    assert replace(hose, length=hose.length * factor).upstream(outlet, flow) >= hose.upstream(outlet, flow) * (1.0 - 1e-12)


@given(hoses(), pressures, flows, st.floats(0.4, 1.0))
def test_a_narrower_hose_never_needs_less_pressure(hose: Hose, outlet: float, flow: float, factor: float) -> None:
    assert replace(hose, bore=hose.bore * factor).upstream(outlet, flow) >= hose.upstream(outlet, flow) * (1.0 - 1e-12)


@given(hoses(), pressures, flows, st.floats(1.0, 5.0))
def test_a_rougher_hose_never_needs_less_pressure(hose: Hose, outlet: float, flow: float, factor: float) -> None:
    rougher = replace(hose, roughness=1e-6 + hose.roughness * factor)
    assert rougher.upstream(outlet, flow) >= hose.upstream(outlet, flow) * (1.0 - 1e-12)


@given(elements(), pressures, flows, st.floats(1.0, 1.5))
def test_more_flow_never_needs_less_pressure(element: Element, outlet: float, flow: float, factor: float) -> None:
    assert element.upstream(outlet, flow * factor) >= element.upstream(outlet, flow) * (1.0 - 1e-12)


@given(elements(), pressures, flows, st.floats(1.0, 1.5))
def test_more_pressure_beyond_never_needs_less_before(element: Element, outlet: float, flow: float, factor: float) -> None:
    assert element.upstream(outlet * factor, flow) >= element.upstream(outlet, flow) * (1.0 - 1e-12)


@given(hoses(), pressures, st.sampled_from((2000.0, 4000.0)))
def test_loss_has_no_jump_where_the_friction_law_changes(hose: Hose, outlet: float, reynolds: float) -> None:
    flow = reynolds / hose.reynolds(1.0)
    below, above = hose.upstream(outlet, flow * (1.0 - 1e-9)), hose.upstream(outlet, flow * (1.0 + 1e-9))
    assert 0.0 <= (above - below) / outlet < 1e-6


@given(st.floats(10.0, 1e7), st.floats(0.0, 0.05), st.floats(1.0, 1.2))
def test_friction_loss_rises_with_reynolds(reynolds: float, rough: float, factor: float) -> None:
    more = reynolds * factor
    assert friction_factor(more, rough) * more**2 >= friction_factor(reynolds, rough) * reynolds**2 * (1.0 - 1e-12)


@given(elements(), pressures, flows)
def test_marching_down_undoes_marching_up(element: Element, outlet: float, flow: float) -> None:
    inlet = element.upstream(outlet, flow)
    assume(inlet < 1e8)
    back = element.downstream(inlet * (1.0 + 1e-12), flow)
    assert back is not None
    if not element.chokes(outlet, flow):
        # where the loss is nearly independent of the outlet (close to choking) the outlet is ill-determined: judge by the inlet
        assert element.upstream(back, flow) == pytest.approx(inlet, rel=1e-10)
        assert back == pytest.approx(outlet, rel=1e-4)


@given(hoses(), st.floats(1.1e5, 2e6), st.floats(0.05, 0.99))
def test_the_largest_flow_is_the_edge_of_what_can_pass(hose: Hose, inlet: float, share: float) -> None:
    flow, choked = hose.largest_flow(inlet, inlet * share)
    left = hose.downstream(inlet, flow * (1.0 - 1e-9))
    assert left is not None
    assert left >= inlet * share * (1.0 - 1e-5)
    if choked:
        assert hose.downstream(inlet, flow * (1.0 + 1e-6)) is None


@given(hoses(), pressures, st.floats(1e-6, 5e-3), st.floats(0.1, 0.9))
def test_a_hose_cut_in_two_loses_the_same(hose: Hose, outlet: float, flow: float, share: float) -> None:
    whole = replace(hose, loss_coefficient=0.0)
    assume(not whole.chokes(outlet, flow))
    first, second = replace(whole, length=whole.length * share), replace(whole, length=whole.length * (1.0 - share))
    assert first.upstream(second.upstream(outlet, flow), flow) == pytest.approx(whole.upstream(outlet, flow), rel=1e-9)


@given(elements(), pressures, flows)
def test_slopes_are_those_of_the_loss_itself(element: Element, outlet: float, flow: float) -> None:
    inlet, by_pressure, by_flow = element.upstream_slopes(outlet, flow)
    for kink in (2000.0, 4000.0):
        assume(not isinstance(element, Hose) or abs(element.reynolds(flow) / kink - 1.0) > 1e-4)
    assume(element.chokes(outlet * 1.001, flow * 0.999) == element.chokes(outlet * 0.999, flow * 1.001))
    step = 1e-5
    rise = (element.upstream(outlet, flow * (1 + step)) - element.upstream(outlet, flow * (1 - step))) / (2 * step)
    assert flow * by_flow == pytest.approx(rise, rel=1e-4, abs=1e-7 * inlet)
    rise = (element.upstream(outlet * (1 + step), flow) - element.upstream(outlet * (1 - step), flow)) / (2 * step)
    assert outlet * by_pressure == pytest.approx(rise, rel=1e-4, abs=1e-6 * inlet)


@given(gases, st.floats(1e-9, 1e-7), st.floats(0.0, 0.7), st.floats(2e5, 1e6), st.floats(0.02, 0.3), st.floats(0.4, 0.9))
def test_a_fit_gives_its_own_points_back(gas: Stream, conductance: float, ratio: float, inlet: float, small: float, large: float) -> None:
    part = Resistance(gas, conductance, ratio)
    points = [FlowPoint(inlet, inlet * x, part.mass_flow(inlet, inlet * (1.0 - x)), gas) for x in (small, 0.5 * (small + large), large)]
    found = fit(points)
    again = Resistance(gas, found.conductance, found.critical_ratio)
    assert found.spread < 1e-3
    for point in points:
        assert again.mass_flow(inlet, inlet - point.drop) == pytest.approx(point.mass_flow, rel=1e-3)


@given(gases, st.floats(1.2e5, 1e6), st.floats(0.01, 0.4), st.floats(1e-5, 1e-2))
def test_one_point_is_met_by_every_ratio_of_its_band(gas: Stream, inlet: float, drop: float, flow: float) -> None:
    points = [FlowPoint(inlet, drop * inlet, flow, OXYGEN)]
    for found in (fit(points), *fit_band(points)):
        part = Resistance(OXYGEN, found.conductance, found.critical_ratio)
        assert part.mass_flow(inlet, inlet * (1.0 - drop)) == pytest.approx(flow, rel=1e-9)
    light, heavy = (Resistance(OXYGEN, f.conductance, f.critical_ratio) for f in fit_band(points))
    assert heavy.upstream(ATMOSPHERE, 2.0 * flow) >= light.upstream(ATMOSPHERE, 2.0 * flow) * (1.0 - 1e-9)


@given(gases, gases, st.floats(1e-9, 1e-7), st.floats(0.05, 0.7))
def test_small_drop_flow_between_gases_goes_with_the_root_of_molar_mass(
    one: Stream, other: Stream, conductance: float, ratio: float
) -> None:
    first = Resistance(one, conductance, ratio).mass_flow(3e5, 2.9999e5)
    second = Resistance(other, conductance, ratio).mass_flow(3e5, 2.9999e5)
    assert second / first == pytest.approx(math.sqrt(other.molar_mass / one.molar_mass), rel=1e-3)


@given(st.floats(1e-6, 1e-2), st.floats(1e-6, 1e-2), st.sampled_from((ACETYLENE, PROPANE, HYDROGEN)))
def test_the_port_agrees_with_an_opening_for_the_mixture(fuel_flow: float, oxygen_flow: float, fuel: Stream) -> None:
    mixture = mix_streams(fuel, OXYGEN, fuel_flow, oxygen_flow)
    pressure, by_fuel, by_oxygen = mixing_pressure_slopes(ATMOSPHERE, fuel_flow, oxygen_flow, 4e-6, fuel, OXYGEN)
    assert pressure == pytest.approx(upstream_pressure(ATMOSPHERE, fuel_flow + oxygen_flow, 4e-6, mixture), rel=1e-12)
    assert by_fuel > 0.0
    assert by_oxygen > 0.0


def test_the_jets_thrust_has_no_jump_where_it_becomes_sonic() -> None:
    pressures_below = [1.2e5 + x for x in range(0, 200000, 500)]
    thrusts = [jet_thrust_slopes(p, 1e-3, 1e-6, OXYGEN)[0] for p in pressures_below]
    assert all(a > b and a - b < 0.002 * a for a, b in itertools.pairwise(thrusts))


@given(st.floats(1.1e5, 1.6e5), st.floats(1e-5, 2e-3), st.floats(1e-5, 2e-3), st.floats(5e-7, 4e-6))
def test_the_lifts_slopes_are_its_own(mixing: float, fuel_flow: float, oxygen_flow: float, area: float) -> None:
    injector = Injector(3e4, 2e-5)

    def lift(p: float, f: float, o: float) -> float:
        return lift_slopes(injector, p, f, o, area, ACETYLENE, OXYGEN)[0]

    mach_edge = upstream_pressure(mixing, oxygen_flow, area, OXYGEN) / mixing
    assume(abs(mach_edge - 1.893) > 0.01)
    value, by_p, by_f, by_o = lift_slopes(injector, mixing, fuel_flow, oxygen_flow, area, ACETYLENE, OXYGEN)
    step = 1e-5
    scale = abs(value) + 1.0
    for slope, size, change in (
        (by_p, mixing, lambda s: lift(mixing * (1 + s), fuel_flow, oxygen_flow)),
        (by_f, fuel_flow, lambda s: lift(mixing, fuel_flow * (1 + s), oxygen_flow)),
        (by_o, oxygen_flow, lambda s: lift(mixing, fuel_flow, oxygen_flow * (1 + s))),
    ):
        assert slope * size == pytest.approx((change(step) - change(-step)) / (2 * step), rel=1e-4, abs=1e-4 * scale)


@given(st.floats(1.2e5, 2e6), st.floats(0.0, 0.6))
def test_lock_up_is_undone(pressure: float, lockup: float) -> None:
    assert flowing_pressure(static_pressure(pressure, ATMOSPHERE, lockup), ATMOSPHERE, lockup) == pytest.approx(pressure)


@given(st.floats(1.2e5, 2e6))
def test_a_regulator_is_never_trusted_beyond_its_rating(pressure: float) -> None:
    assert capacity(1.0, 1e6, pressure) <= 1.0
    assert capacity(1.0, 1e6, pressure, 1e6, 2e6) <= capacity(1.0, 1e6, pressure)


@st.composite
def lines(draw: st.DrawFn, gas: Stream) -> Line:
    parts: list[Element] = [Hose(gas, draw(st.floats(0.005, 0.01)), draw(st.floats(2.0, 60.0)), draw(roughness), draw(st.floats(0.0, 8.0)))]
    if draw(st.booleans()):
        parts.insert(0, Resistance(gas, draw(st.floats(4e-9, 5e-8)), draw(st.floats(0.1, 0.5))))
    if draw(st.booleans()):
        parts.append(Resistance(gas, draw(st.floats(4e-9, 5e-8)), draw(st.floats(0.1, 0.5)), draw(st.floats(0.0, 2000.0))))
    return Line(tuple(parts))


@st.composite
def stations(draw: st.DrawFn) -> Station:
    fuel = draw(st.sampled_from((ACETYLENE, PROPANE, HYDROGEN)))
    port = draw(st.floats(1e-6, 1e-5))
    openings = Openings(
        port * draw(st.floats(0.1, 1.0)),
        port * draw(st.floats(0.2, 2.0)),
        port,
        draw(st.sampled_from((0.0, 5e-7, 2e-6))),
        Injector(draw(st.floats(0.3, 0.8)) / (2.5 * port), 2.5 * port) if draw(st.booleans()) else None,
    )
    return Station(draw(lines(OXYGEN)), draw(lines(fuel)), openings, OXYGEN, fuel, ATMOSPHERE)


oxygen_settings, fuel_settings = st.floats(1.3e5, 9e5), st.floats(1.05e5, 3e5)


@given(stations(), oxygen_settings, fuel_settings)
def test_solving_then_marching_back_gives_the_gauges(station: Station, oxygen: float, fuel: float) -> None:
    answer = solve(station, oxygen, fuel)
    oxygen_profile, fuel_profile, _ = profiles(station, answer)
    if answer.oxygen_flow > 0.0:
        assert oxygen_profile.inlet == pytest.approx(oxygen, rel=1e-9)
    if answer.fuel_flow > 0.0:
        assert fuel_profile.inlet == pytest.approx(fuel, rel=1e-9)
    assert (answer.fuel_flow > 0.0) == (answer.fuel_state in ("ok", "choked", "below atmosphere"))
    if answer.fuel_state in ("blocked", "locked") and station.openings.injector is None:
        assert needed(station.fuel_line, answer.mixing_pressure, 0.0) >= fuel * (1.0 - 1e-9)
    if answer.oxygen_state in ("blocked", "locked"):
        assert needed(station.oxygen_line, answer.mixing_pressure, 0.0) >= oxygen * (1.0 - 1e-9) or answer.cutting_flow > 0.0
    assert (answer.push is None) or answer.state == "blocked"
    assert all(math.isfinite(x) for x in (answer.fuel_flow, answer.preheat_flow, answer.cutting_flow, answer.mixing_pressure))


@given(stations(), oxygen_settings, fuel_settings, st.floats(1.001, 1.5))
def test_more_oxygen_pressure_never_gives_less_oxygen(station: Station, oxygen: float, fuel: float, factor: float) -> None:
    before, after = solve(station, oxygen, fuel), solve(station, oxygen * factor, fuel)
    assert after.preheat_flow >= before.preheat_flow * (1.0 - 1e-7)
    assert after.oxygen_flow >= before.oxygen_flow * (1.0 - 1e-7)


@given(stations(), oxygen_settings, fuel_settings, st.floats(1.001, 1.5))
def test_more_fuel_pressure_never_gives_less_fuel(station: Station, oxygen: float, fuel: float, factor: float) -> None:
    assert solve(station, oxygen, fuel * factor).fuel_flow >= solve(station, oxygen, fuel).fuel_flow * (1.0 - 1e-7)


@given(stations(), oxygen_settings, fuel_settings)
def test_the_two_gases_may_change_names(station: Station, oxygen: float, fuel: float) -> None:
    one = replace(station, openings=replace(station.openings, cutting_area=0.0, injector=None))
    turned = Station(
        one.fuel_line,
        one.oxygen_line,
        replace(one.openings, oxygen_area=one.openings.fuel_area, fuel_area=one.openings.oxygen_area),
        one.fuel,
        one.oxygen,
        one.atmosphere,
    )
    a, b = solve(one, oxygen, fuel), solve(turned, fuel, oxygen)
    assert a.fuel_flow == pytest.approx(b.preheat_flow, rel=1e-6)
    assert a.preheat_flow == pytest.approx(b.fuel_flow, rel=1e-6)
    assert (a.fuel_state, a.oxygen_state) == (b.oxygen_state, b.fuel_state)


@given(stations(), oxygen_settings, fuel_settings, st.floats(0.3, 4.0))
def test_a_station_of_openings_alone_scales_with_its_areas(station: Station, oxygen: float, fuel: float, factor: float) -> None:
    bare = replace(station, oxygen_line=Line(()), fuel_line=Line(()), openings=replace(station.openings, injector=None))
    areas = bare.openings
    larger = replace(
        bare,
        openings=Openings(areas.oxygen_area * factor, areas.fuel_area * factor, areas.port_area * factor, areas.cutting_area * factor),
    )
    a, b = solve(bare, oxygen, fuel), solve(larger, oxygen, fuel)
    assert b.fuel_flow == pytest.approx(a.fuel_flow * factor, rel=1e-6)
    assert b.oxygen_flow == pytest.approx(a.oxygen_flow * factor, rel=1e-6)
    assert b.state == a.state


@given(stations(), st.floats(1e-5, 3e-3), st.floats(1e-5, 3e-3))
def test_needed_pressures_have_a_positive_determinant(station: Station, fuel: float, oxygen: float) -> None:
    trial = evaluate(station, fuel, oxygen)
    assert trial.fuel_by_fuel > 0.0
    assert trial.oxygen_by_oxygen >= 0.0
    determinant = trial.fuel_by_fuel * trial.oxygen_by_oxygen - trial.fuel_by_oxygen * trial.oxygen_by_fuel
    assert determinant > -1e-9 * trial.fuel_by_fuel * trial.oxygen_by_oxygen


@given(
    st.floats(1.5e5, 8e5),
    st.floats(1.05e5, 2.2e5),
    st.floats(1e-4, 2e-3),
    st.floats(5e-5, 2e-3),
    st.sampled_from((0.0, 1e-4, 5e-3)),
    st.floats(0.2, 0.8),
)
def test_openings_fitted_to_a_chart_row_give_the_row_back(
    oxygen: float, fuel: float, preheat: float, fuel_flow: float, cutting: float, share: float
) -> None:
    mixing = ATMOSPHERE + share * (fuel - ATMOSPHERE)
    assume(oxygen > mixing * 1.01)
    openings = fit_openings(oxygen, fuel, preheat, fuel_flow, cutting, mixing, ATMOSPHERE, OXYGEN, ACETYLENE)
    station = Station(Line(()), Line(()), openings, OXYGEN, ACETYLENE, ATMOSPHERE)
    answer = solve(station, oxygen, fuel)
    assert answer.fuel_flow == pytest.approx(fuel_flow, rel=1e-6)
    assert answer.preheat_flow == pytest.approx(preheat, rel=1e-6)
    assert answer.cutting_flow == pytest.approx(cutting, rel=1e-6)
    assert answer.mixing_pressure == pytest.approx(mixing, rel=1e-7)


@given(st.floats(0.01, 0.9))
def test_an_injector_row_with_fuel_below_the_mixing_point_comes_back(share: float) -> None:
    oxygen, fuel, mixing = 3.5e5, ATMOSPHERE + 2000.0, ATMOSPHERE + 6000.0
    suction = 4000.0 + share * 8000.0
    openings = fit_openings(oxygen, fuel, 5e-4, 3e-4, 0.0, mixing, ATMOSPHERE, OXYGEN, ACETYLENE, suction=suction, tube_area=4e-5)
    answer = solve(Station(Line(()), Line(()), openings, OXYGEN, ACETYLENE, ATMOSPHERE), oxygen, fuel)
    assert answer.fuel_flow == pytest.approx(3e-4, rel=1e-6)
    assert answer.preheat_flow == pytest.approx(5e-4, rel=1e-6)


@given(lines(ACETYLENE), st.floats(1.02e5, 2.5e5), st.floats(1e-5, 3e-3))
def test_a_line_marched_up_and_down_is_the_same_line(line: Line, torch: float, flow: float) -> None:
    up = march_up(line, torch, flow)
    down = march_down(line, up.inlet * (1.0 + 1e-12), flow)
    assume(up.state == "ok")
    assert down.state == "ok"
    assert down.pressures[-1] == pytest.approx(torch, rel=1e-5)
    assert sum(loss for loss in up.losses if loss is not None) == pytest.approx(up.inlet - torch, abs=1e-6)
    assert largest_flow(line, up.inlet, torch) == pytest.approx(flow, rel=1e-5)
