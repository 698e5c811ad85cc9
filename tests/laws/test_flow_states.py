"""Outcomes that are states and not numbers."""

import math
from dataclasses import replace

import pytest

from steadycone.errors import OutOfRange
from steadycone.physics.flow import (
    Droop,
    FlowPoint,
    Hose,
    Injector,
    Line,
    Openings,
    Resistance,
    Station,
    Stream,
    demand,
    estimated_suction,
    fit,
    fit_openings,
    march_down,
    march_up,
    profiles,
    solve,
    stream_of,
)
from steadycone.physics.flow.regulator import supply_rise
from steadycone.physics.gas import load

R = 8.314462618
ATMOSPHERE = 101325.0
OXYGEN = Stream(0.0319988, R / 0.0319988, 1.397, 2.03e-5, 293.15, -6.9e-9)
ACETYLENE = Stream(0.0260373, R / 0.0260373, 1.235, 1.02e-5, 293.15, -6.9e-8)
OPENINGS = Openings(1.0e-6, 2.0e-6, 3.6e-6, 1.4e-6)


def bar(gauge: float) -> float:
    return ATMOSPHERE + gauge * 1e5


def station(openings: Openings = OPENINGS, cracking: float = 0.0, length: float = 15.0) -> Station:
    oxygen = Line((Hose(OXYGEN, 0.0063, length), Resistance(OXYGEN, 3e-8, 0.3, cracking)))
    fuel = Line((Hose(ACETYLENE, 0.0063, length), Resistance(ACETYLENE, 3e-8, 0.3, cracking)))
    return Station(oxygen, fuel, openings, OXYGEN, ACETYLENE, ATMOSPHERE)


def test_a_well_set_station_is_ok() -> None:
    answer = solve(station(), bar(3.5), bar(0.5))
    assert (answer.state, answer.push) == ("ok", None)
    assert 0 < answer.iterations < 8
    assert answer.mixing_pressure < answer.fuel_torch_pressure < bar(0.5)


def test_fuel_that_the_oxygen_holds_back_is_blocked_with_the_direction() -> None:
    answer = solve(station(), bar(5.0), bar(0.02))
    assert (answer.state, answer.fuel_state, answer.oxygen_state) == ("blocked", "blocked", "ok")
    assert answer.push == "oxygen into fuel"
    assert answer.fuel_flow == 0.0
    alone = solve(station(replace(OPENINGS, fuel_area=0.0)), bar(5.0), bar(0.02))
    assert answer.preheat_flow == pytest.approx(alone.preheat_flow, rel=1e-9)
    assert alone.fuel_state == "shut"
    assert answer.fuel_torch_pressure == pytest.approx(answer.mixing_pressure)


def test_oxygen_that_the_fuel_holds_back_is_blocked_with_the_direction() -> None:
    answer = solve(station(replace(OPENINGS, cutting_area=0.0)), bar(0.05), bar(1.0))
    assert (answer.state, answer.oxygen_state, answer.fuel_state) == ("blocked", "blocked", "ok")
    assert answer.push == "fuel into oxygen"
    assert answer.preheat_flow == 0.0


def test_cutting_oxygen_may_flow_while_the_preheat_is_held_back() -> None:
    answer = solve(station(), bar(0.2), bar(1.0))
    assert (answer.oxygen_state, answer.push) == ("blocked", "fuel into oxygen")
    assert answer.preheat_flow == 0.0
    assert answer.cutting_flow > 0.0
    assert profiles(station(), answer)[0].inlet == pytest.approx(bar(0.2), rel=1e-9)


def test_a_regulator_at_the_atmosphere_is_locked() -> None:
    answer = solve(station(), ATMOSPHERE, ATMOSPHERE)
    assert (answer.state, answer.oxygen_state, answer.fuel_state) == ("locked", "locked", "locked")
    assert answer.fuel_flow == answer.preheat_flow == answer.cutting_flow == 0.0
    assert solve(station(), 0.9 * ATMOSPHERE, 0.9 * ATMOSPHERE).push is None


def test_a_check_valve_that_does_not_crack_locks_its_line() -> None:
    answer = solve(station(cracking=3000.0), ATMOSPHERE, bar(0.02))
    assert answer.fuel_state == "locked"


def test_a_hose_that_cannot_pass_the_flow_is_choked_and_says_where() -> None:
    line = station().oxygen_line
    down = march_down(line, bar(1.7), 1.2e-2, ATMOSPHERE)
    assert down.state == "choked"
    assert down.states[0] == "choked"
    assert down.pressures[1:] == (None, None)
    assert down.losses == (None, None)
    assert march_down(line, bar(0.2), 2.5e-3, ATMOSPHERE).state in ("below atmosphere", "choked")
    assert march_up(Line(line.elements[:1]), ATMOSPHERE, 3e-2).states == ("choked",)


def test_a_line_that_needs_suction_is_below_atmosphere() -> None:
    line = Line((Hose(ACETYLENE, 0.0063, 15.0),))
    most = Hose(ACETYLENE, 0.0063, 15.0).largest_flow(bar(0.3), ATMOSPHERE)[0]
    assert march_down(line, bar(0.3), most * 1.01, ATMOSPHERE).state == "below atmosphere"
    assert march_down(line, bar(0.3), most * 0.99, ATMOSPHERE).state == "ok"
    assert march_up(line, 0.9 * ATMOSPHERE, most, ATMOSPHERE).state == "below atmosphere"


def test_a_station_behind_a_far_too_narrow_hose_is_choked() -> None:
    thin = replace(station(replace(OPENINGS, cutting_area=1.2e-5)), oxygen_line=Line((Hose(OXYGEN, 0.003, 2.0),)))
    answer = solve(thin, bar(9.0), bar(0.5))
    assert (answer.oxygen_state, answer.fuel_state) == ("choked", "ok")


def test_an_injector_draws_fuel_in_where_an_equal_pressure_mixer_is_blocked() -> None:
    plain = station(Openings(1.0e-6, 4.0e-6, 6e-6))
    tube = 1.5e-5
    injected = replace(plain, openings=replace(plain.openings, injector=Injector(0.65 / tube, tube)))
    assert solve(plain, bar(2.5), bar(0.02)).fuel_state == "blocked"
    answer = solve(injected, bar(2.5), bar(0.02))
    assert answer.fuel_flow > 0.0
    assert answer.fuel_state in ("ok", "below atmosphere")
    stronger = solve(replace(plain, openings=replace(plain.openings, injector=Injector(0.8 / tube, tube))), bar(2.5), bar(0.02))
    assert stronger.fuel_flow > answer.fuel_flow


def test_the_cutting_valve_can_be_shut() -> None:
    shut, opened = solve(station(), bar(3.5), bar(0.5), cutting=False), solve(station(), bar(3.5), bar(0.5))
    assert shut.cutting_flow == 0.0
    assert shut.preheat_flow > opened.preheat_flow


def test_one_gas_alone_can_be_purged() -> None:
    answer = solve(station(Openings(0.0, 2e-6, 3.6e-6)), bar(3.5), bar(0.5))
    assert (answer.oxygen_state, answer.fuel_state, answer.state) == ("shut", "ok", "ok")
    assert answer.fuel_flow > 0.0
    only_cutting = solve(station(Openings(0.0, 0.0, 3.6e-6, 1.4e-6)), bar(3.5), bar(0.5))
    assert only_cutting.cutting_flow > 0.0
    assert (only_cutting.oxygen_state, only_cutting.fuel_state) == ("ok", "shut")


def test_three_hoses_solve_the_cutting_oxygen_by_itself() -> None:
    three = replace(station(), preheat_line=Line((Hose(OXYGEN, 0.0063, 15.0),)))
    answer = solve(three, bar(6.0), bar(0.5), bar(2.0))
    other = solve(three, bar(3.0), bar(0.5), bar(2.0))
    assert answer.cutting_flow > other.cutting_flow
    assert answer.preheat_flow == other.preheat_flow
    assert (answer.preheat_state, answer.oxygen_state) == ("ok", "ok")
    oxygen, fuel, preheat = profiles(three, answer)
    assert preheat is not None
    assert (oxygen.inlet, fuel.inlet, preheat.inlet) == pytest.approx((bar(6.0), bar(0.5), bar(2.0)), rel=1e-9)
    asked = demand(
        three.oxygen_line,
        three.fuel_line,
        answer.oxygen_torch_pressure,
        answer.fuel_torch_pressure,
        answer.preheat_flow,
        answer.cutting_flow,
        answer.fuel_flow,
        ATMOSPHERE,
        three.preheat_line,
        answer.preheat_torch_pressure,
    )
    assert asked.preheat is not None
    assert (asked.oxygen.inlet, asked.fuel.inlet, asked.preheat.inlet) == pytest.approx((bar(6.0), bar(0.5), bar(2.0)), rel=1e-9)


def test_droop_in_the_line_takes_pressure_from_the_torch() -> None:
    plain = station()
    drooping = replace(plain, fuel_line=Line((Droop(3e7), *plain.fuel_line.elements)))
    answer = solve(drooping, bar(3.5), bar(0.5))
    assert answer.fuel_flow < solve(plain, bar(3.5), bar(0.5)).fuel_flow
    inlet = profiles(drooping, answer)[1].pressures
    assert inlet[0] == pytest.approx(bar(0.5), rel=1e-9)
    assert inlet[1] == pytest.approx(bar(0.5) - 3e7 * answer.fuel_flow)


def test_an_emptying_cylinder_raises_a_single_stage_outlet() -> None:
    assert supply_rise(100e5, 0.007) == pytest.approx(0.7e5)
    assert supply_rise(100e5, 0.007, 0.5e5) == pytest.approx(0.5e5)
    assert supply_rise(100e5, 0.0) == 0.0


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Hose(OXYGEN, 0.0, 5.0),
        lambda: Hose(OXYGEN, 0.006, math.nan),
        lambda: Hose(OXYGEN, 0.006, 5.0, -1e-6),
        lambda: Resistance(OXYGEN, 0.0, 0.3),
        lambda: Resistance(OXYGEN, 1e-8, 1.0),
        lambda: Resistance(OXYGEN, 1e-8, 0.3, -1.0),
        lambda: fit([]),
        lambda: fit([FlowPoint(2e5, 2.5e5, 1e-3, OXYGEN)]),
        lambda: fit_openings(1.2e5, 1.5e5, 1e-3, 1e-3, 0.0, 1.3e5, ATMOSPHERE, OXYGEN, ACETYLENE),
        lambda: fit_openings(3e5, 1.5e5, 1e-4, 1e-3, 0.0, 1.3e5, ATMOSPHERE, OXYGEN, ACETYLENE, suction=2e4, tube_area=1e-6),
        lambda: fit_openings(3e5, 1.5e5, 0.0, 0.0, 0.0, 1.3e5, ATMOSPHERE, OXYGEN, ACETYLENE),
        lambda: station(Openings(1e-6, 1e-6, 0.0)),
        lambda: station(Openings(0.0, 0.0, 1e-6)),
        lambda: solve(station(), 0.0, 1.2e5),
        lambda: solve(station(), math.nan, 1.2e5),
        lambda: solve(station(), 3e5, 1.2e5, 3e5),
    ],
)
def test_numbers_that_cannot_be_are_refused(wrong) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(OutOfRange):
        wrong()


def test_an_estimated_suction_lies_where_injectors_do() -> None:
    low, high = (estimated_suction(bar(2.5), bar(0.03), 4e-4, 1.5e-4, 2e-5, OXYGEN, ACETYLENE, eta) for eta in (0.5, 0.8))
    assert 500.0 < low < high < 20000.0


@pytest.mark.parametrize(("name", "reference"), [("oxygen", OXYGEN), ("acetylene", ACETYLENE)])
def test_a_stream_takes_its_figures_from_the_gas(name: str, reference: Stream) -> None:
    found = stream_of(load(name), 293.15)
    assert found.molar_mass == pytest.approx(reference.molar_mass, rel=1e-4)
    assert found.gas_constant == pytest.approx(reference.gas_constant, rel=1e-4)
    assert found.gamma == pytest.approx(reference.gamma, rel=0.01)
    assert found.viscosity == pytest.approx(reference.viscosity, rel=0.02)
    assert found.virial_slope == pytest.approx(reference.virial_slope, rel=0.1)
    assert found.density(1.5e5) == pytest.approx(1.5e5 / (found.compressibility(1.5e5) * found.gas_constant * 293.15))
