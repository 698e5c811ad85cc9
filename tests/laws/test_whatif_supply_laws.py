"""Laws of the what-ifs of supply, drop test, restriction and flame, and of the drills, on stations whose knobs are turned."""

from dataclasses import replace
from functools import cache
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.stations import card

from steadycone.assembly.gauges import gauges
from steadycone.card.card import Card
from steadycone.physics.flow.port import critical_gradient, wall_gradient
from steadycone.physics.gas import load
from steadycone.physics.gas.speed import burning_velocity
from steadycone.physics.transient.dissolved import Dissolved
from steadycone.physics.transient.liquid import Liquid
from steadycone.physics.transient.shift import flow_limit, shift
from steadycone.physics.transient.trapped import Ways, settling, watch
from steadycone.whatif.common.fitted import at_torch, changed, described, flows_of
from steadycone.whatif.common.shut import SETTLES, case_of, looked
from steadycone.whatif.drills.make import make_drill, names
from steadycone.whatif.drills.mark import mark, total
from steadycone.whatif.run import answer

QUICK = settings(max_examples=25, deadline=None)
HOUR = 3600.0
USUAL = card()


@cache
def stations() -> tuple[Card, ...]:
    return (
        USUAL,
        card(bore="10 mm", length="30 m"),
        card(region="us", bore="6.3 mm", length="8 m"),
        card(ambient="-5 °C", pressure="60 bar"),
    )


stores = st.one_of(
    st.builds(lambda full, share: Dissolved(full, share * full, 1.59 * full), st.floats(4, 10), st.floats(0.2, 1)),
    st.builds(lambda full, share: Liquid(load("propane"), full, share * full, 283.15), st.floats(5, 47), st.floats(0.2, 1)),
)


# --- a shift -------------------------------------------------------------------


@QUICK
@given(stores, st.floats(0.05, 0.6), st.floats(1.05, 2.0))
def test_more_draw_is_colder_and_fails_sooner(store: Dissolved | Liquid, share: float, more: float) -> None:
    flow, air, feed = share * store.amount / (8 * HOUR), 283.15, 1.6e5
    less, drawn = shift(store, flow, air, feed, 8 * HOUR), shift(store, more * flow, air, feed, 8 * HOUR)
    one, other = less.ends_after or 1e9, drawn.ends_after or 1e9
    assert other <= one * (1 + 1e-9)
    for a, b in zip(less.moments[1:], drawn.moments[1:-1], strict=False):
        assert b.temperature < a.temperature
        assert b.pressure < a.pressure


@QUICK
@given(stores, st.floats(1, 10))
def test_the_flow_limit_is_kept_up_and_a_little_more_is_not(store: Dissolved | Liquid, hours: float) -> None:
    air, feed, count = 283.15, 1.6e5, 60
    limit = flow_limit(store, air, feed, hours * HOUR, count)
    assert limit > 0.0
    assert shift(store, limit * 0.999, air, feed, hours * HOUR, count).ends_after is None
    assert shift(store, limit * 1.001, air, feed, hours * HOUR, count).ends_after is not None


@QUICK
@given(stores, st.floats(1, 4), st.floats(1.1, 3))
def test_a_longer_draw_allows_less(store: Dissolved | Liquid, hours: float, longer: float) -> None:
    short, long = (flow_limit(store, 283.15, 1.6e5, time * HOUR, 60) for time in (hours, longer * hours))
    assert long <= short * (1 + 1e-4)


# --- the drop test, there and back ---------------------------------------------


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["none", "high", "low", "both", "seat"]), st.sampled_from(["oxygen", "fuel"]), st.floats(0.2, 8), st.floats(-3, 1.9),
    st.integers(0, 10**6),
)  # fmt: skip
def test_a_simulated_leak_is_read_back_within_its_band(leak: str, line: str, times: float, drift: float, seed: int) -> None:
    """Gauges as the reading allows for them; within the band at the unsafe and the safe end alike."""
    case = case_of(USUAL.figures, USUAL.figures.lines[line])
    rate = times * case.rejected
    ways = Ways(
        **{"none": {}, "high": {"high": rate}, "low": {"low": rate}, "both": {"high": rate, "low": rate}, "seat": {"seat": rate}}[leak]
    )
    moments = watch(case.shut, ways, settling(USUAL.figures.ambient, drift, 0.0, SETTLES, case.wait), case.wait)
    found = looked(case, moments, Random(seed), drift=drift).reading
    if found is None:  # the high side has emptied, and a gauge that is off reads it under the low one
        assert moments[-1].high - moments[-1].low < gauges(case.line.line.regulator, "uk").inlet_error + 2 * case.line.inlet_division
        return
    for true, told in ((moments[-1].high_lost, found.high_leak), (moments[-1].low_lost, found.low_leak)):
        if told.low is not None and told.high is not None:
            assert told.low <= true / case.wait <= told.high
    if leak == "none":
        assert found.reading in ("no movement seen", "not clear")
    for side, floor in (("high", found.high_floor.high), ("low", found.low_floor.high)):
        lost = getattr(moments[-1], f"{side}_lost") / case.wait
        if floor is not None and lost > floor:
            assert found.reading != "no movement seen"  # a loss over the floor can't be called still


def test_a_wide_open_high_side_ends_at_the_air_and_not_below() -> None:
    case = case_of(USUAL.figures, USUAL.figures.lines["oxygen"])
    last = watch(case.shut, Ways(high=500 * case.rejected, low=500 * case.rejected), settling(288.15, 0, 0, 60, 300), 300.0)[-1]
    for pressure in (last.high, last.low):
        assert pressure == pytest.approx(USUAL.figures.atmosphere, rel=0.01)
        assert pressure >= 0.999 * USUAL.figures.atmosphere


# --- restriction -----------------------------------------------------------------


@pytest.mark.parametrize("which", range(4))
def test_a_part_left_out_never_costs_its_own_line_anything(which: int) -> None:
    figures = stations()[which].figures
    station = described(figures)
    pressures = {name: line.torch_inlet.value or 0.0 for name, line in figures.lines.items()}
    now = flows_of(station, figures, pressures)
    for name, line in figures.lines.items():
        for number in range(len(line.line.part)):
            free = flows_of(changed(station, name, lambda n, e, number=number: None if n == number else e), figures, pressures)  # type: ignore[misc]
            if name == "fuel":
                assert free.fuel >= now.fuel * (1 - 1e-9)
            else:
                assert free.preheat + free.cutting >= (now.preheat + now.cutting) * (1 - 1e-9)


@pytest.mark.parametrize("which", range(4))
def test_without_any_part_the_chart_s_pressures_give_the_chart_s_flows(which: int) -> None:
    figures = stations()[which].figures
    station = described(figures)
    for name in figures.lines:
        station = changed(station, name, lambda n, e: None)
    row = at_torch(figures)
    found = flows_of(station, figures, {name: line.torch_inlet.value or 0.0 for name, line in figures.lines.items()})
    assert found.fuel * figures.fuel.molar_mass == pytest.approx(row.fuel_flow, rel=1e-6)
    assert found.solution.oxygen_flow == pytest.approx(row.preheat_flow + row.cutting_flow, rel=1e-6)


@pytest.mark.parametrize("length", ["8 m", "15 m", "40 m"])
def test_the_cure_named_is_the_first_that_cures(length: str) -> None:
    outcome = answer("restriction", card(length=length), {"at": "chart"})
    changes = outcome.series["changes"]
    first = next((str(change["change"]).partition(" ")[0] for change in changes if change["cures"] == "yes"), None)
    assert outcome.words["cure"] == (first or ("none" if changes else "not-needed"))
    if first is None and not changes:
        assert outcome.state == "fed"


# --- flame -------------------------------------------------------------------------


@QUICK
@given(st.sampled_from(["acetylene", "propane", "propylene", "methane", "hydrogen"]), st.floats(0.3, 1.0), st.floats(294, 500))
def test_warm_mixture_burns_faster_and_the_ends_hold_what_is_computed(fuel: str, share: float, kelvin: float) -> None:
    ratio = share * {"acetylene": 2.5, "propane": 5.0, "propylene": 4.5, "methane": 2.0, "hydrogen": 0.5}[fuel]
    cold, warm = burning_velocity(load(fuel), ratio), burning_velocity(load(fuel), ratio, kelvin)
    assert warm.high >= cold.high * (1 - 1e-9)
    assert cold.low <= (cold.computed or cold.low) <= cold.high


@QUICK
@given(st.floats(1, 300), st.floats(3e-4, 3e-3), st.floats(1.01, 3))
def test_a_faster_outflow_has_the_steeper_wall_and_a_faster_flame_climbs_more(speed: float, bore: float, more: float) -> None:
    assert wall_gradient(speed * more, bore, 1.3e-5).gradient > wall_gradient(speed, bore, 1.3e-5).gradient
    assert critical_gradient(more * 5.0, 2e-5) > critical_gradient(5.0, 2e-5)


@pytest.mark.parametrize("which", range(4))
def test_closing_the_valves_never_makes_a_flame_safer(which: int) -> None:
    outcome = answer("flame", stations()[which], {})
    margins = [point["margin_least"].value for point in outcome.series["travel"]]  # type: ignore[union-attr]
    assert margins == sorted(margins, reverse=True)  # type: ignore[type-var]


def test_a_hot_tip_and_fewer_ports_leave_less_margin() -> None:
    hot, cold = (answer("flame", USUAL, {"tip": tip}).numbers["margin"] for tip in ("hot", "cold"))
    few, many = (answer("flame", USUAL, {"ports": ports}).numbers["margin"] for ports in ("2", "12"))
    assert hot.value is not None
    assert cold.value is not None
    assert few.value is not None
    assert many.value is not None
    assert hot.value < cold.value
    assert few.value < many.value


# --- drills --------------------------------------------------------------------------


@pytest.mark.parametrize("name", names())
@pytest.mark.parametrize("seed", [1, 2, 99])
def test_a_seed_gives_the_same_sheet_and_each_accepted_answer_its_marks(name: str, seed: int) -> None:
    drill = make_drill(name, USUAL, seed, 8)
    assert make_drill(name, USUAL, seed, 8).questions == drill.questions
    assert make_drill(name, USUAL, seed, 3).questions == drill.questions[:3]  # the third is the third whatever the count
    best = {number: " ".join(question.accepted[0].answer) for number, question in enumerate(drill.questions, start=1)}
    assert total(mark(drill, best)) == 8.0
    for number, question in enumerate(drill.questions, start=1):
        for accepted in question.accepted:
            assert accepted.sources
            (found,) = mark(replace(drill, questions=(question,)), {1: " ".join(accepted.answer)})
            assert found.points == accepted.credit, (number, accepted)
    assert total(mark(drill, {})) == 0.0


def test_another_seed_gives_another_sheet() -> None:
    assert make_drill("mixed", USUAL, 1, 8).questions != make_drill("mixed", USUAL, 2, 8).questions


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**9), st.text(max_size=20))
def test_marking_never_fails_and_never_gives_more_than_a_whole_point(seed: int, text: str) -> None:
    drill = make_drill("mixed", USUAL, seed, 4)
    for one in mark(drill, dict.fromkeys(range(1, 5), text)):
        assert 0.0 <= one.points <= 1.0


def test_a_high_side_that_empties_takes_the_low_one_with_it() -> None:
    case = case_of(USUAL.figures, USUAL.figures.lines["fuel"])
    last = watch(case.shut, Ways(high=40 * case.rejected), settling(288.15, 0, 0, 60, 300), 600.0)[-1]
    assert last.low == pytest.approx(last.high, rel=0.01)
    assert last.low < case.shut.low_pressure
