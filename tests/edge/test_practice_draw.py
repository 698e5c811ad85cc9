"""How fast acetylene may be drawn, in every reading of the rules."""

from dataclasses import replace

import msgspec
import pytest
from tests import factories as bench
from tests.factories import amount, flow, minutes

from steadycone.assembly.figures import Figures
from steadycone.practice import draw
from steadycone.practice.finding import Finding
from steadycone.quantity import Quantity, band, unknown
from steadycone.station.policy import DrawLimit


def with_draw(figures: Figures, **changes: object) -> Figures:
    return bench.with_policy(figures, draw=msgspec.structs.replace(figures.setup.policy.draw, **changes))


def drawing(m3_per_h: float, left: float = 7.0, time: float | None = 30.0) -> Figures:
    """A supply of `left` m³ drawn for `time` minutes."""
    figures = bench.clean()
    end = amount(left - m3_per_h * time / 60) if time else unknown("amount")
    figures = bench.with_supply(figures, "fuel", drawn=flow(m3_per_h), contents=amount(left), at_end=end, full=amount(8.0))
    return replace(figures, job=replace(figures.job, time=minutes(time) if time else None))


def band_of(low: float, value: float, high: float) -> Quantity:
    """m³ as an amount with unequal ends."""
    one = amount(1).value or 1
    return band(value * one, low * one, high * one, "amount")


def judged(figures: Figures) -> Finding:
    return bench.found(draw.judge(figures), "fuel-draw")


# 7 m³ now, half an hour: F of 1/10 solves F = (7 - F/2)/10, so F = 2/3; of 1/7, F = 14/15
@pytest.mark.parametrize(("m3_per_h", "verdict"), [(0.66, "go"), (0.67, "caution"), (0.93, "caution"), (0.94, "stop")])
def test_the_share_is_of_what_is_left_at_the_end_of_the_job(m3_per_h: float, verdict: str) -> None:
    assert judged(drawing(m3_per_h)).verdict == verdict


# Two hours: of what is there now 1/15 is 7/15 = 0.467 and 1/10 is 0.7; of what is left then 1/10 gives 7/12 and 1/7 gives 7/9.
@pytest.mark.parametrize(("m3_per_h", "verdict"), [(0.46, "go"), (0.47, "caution"), (0.69, "caution"), (0.71, "stop")])
def test_a_flow_that_runs_on_is_held_to_the_long_shares_of_what_is_there(m3_per_h: float, verdict: str) -> None:
    assert judged(drawing(m3_per_h, time=120)).verdict == verdict


# Eight hours: of what is left then 1/10 gives F = (7 - 8F)/10 = 7/18 = 0.389, 1/7 gives 7/15 = 0.467: the end of the job bites first.
@pytest.mark.parametrize(("m3_per_h", "verdict"), [(0.38, "go"), (0.40, "caution"), (0.46, "caution"), (0.47, "stop")])
def test_a_job_that_nearly_empties_the_cylinder_is_held_to_the_short_shares_of_what_it_leaves(m3_per_h: float, verdict: str) -> None:
    finding = judged(drawing(m3_per_h, time=480))
    assert finding.verdict == verdict
    assert finding.blanks["of"] == "end of job"


def test_three_machine_torches_on_four_cylinders_through_a_shift_are_no_stop() -> None:
    # 1.44 m³/h from 24.4 m³ in four cylinders, a seventeenth an hour, for six hours
    assert judged(drawing(1.44, left=24.4, time=360)).verdict == "go"


def test_a_weighing_to_the_pound_is_told_to_be_finer_and_not_to_couple_eighty_cylinders() -> None:
    tiny = bench.with_supply(
        drawing(0.13, left=0.28, time=10), "fuel", by="weight", contents=band_of(0.02, 0.28, 0.54), at_end=band_of(0.0, 0.26, 0.52)
    )
    finding = judged(tiny)
    assert finding.text == "stop coarse"
    assert finding.blanks["likely"] == "5"


def test_more_than_a_dozen_cylinders_are_another_kind_of_supply() -> None:
    assert judged(drawing(9.0)).text == "stop many"  # (9 x 10 + 4.5) / 7: 14
    assert judged(drawing(7.9)).text == ""  # 82.95 / 7: 12


def test_just_an_hour_is_not_yet_long() -> None:
    assert not draw.runs_long(drawing(0.5, time=60))
    assert draw.runs_long(drawing(0.5, time=61))


# No time: the long shares of what is there now, 7/15 = 0.467 and 7/10
@pytest.mark.parametrize(("m3_per_h", "verdict"), [(0.46, "go"), (0.47, "caution"), (0.71, "stop")])
def test_a_job_without_a_time_is_held_to_the_long_shares_of_what_is_there(m3_per_h: float, verdict: str) -> None:
    finding = judged(drawing(m3_per_h, time=None))
    assert finding.verdict == verdict
    assert finding.blanks["of"] == "left"


def test_the_low_end_of_the_contents_and_the_high_end_of_the_draw_are_judged() -> None:
    figures = bench.with_supply(drawing(0.60), "fuel", at_end=amount(6.7, 0.15))
    assert judged(figures).verdict == "caution"  # 5.695 / 10 < 0.60
    figures = bench.with_supply(drawing(0.60), "fuel", drawn=flow(0.60, 0.15))
    assert judged(figures).verdict == "caution"


@pytest.mark.parametrize(("of", "verdict"), [("full", "go"), ("left", "caution"), ("end of job", "caution")])
def test_the_policy_says_what_the_share_is_of(of: str, verdict: str) -> None:
    assert judged(with_draw(drawing(0.75), of=of)).verdict == verdict


def test_a_flat_flow_is_for_each_cylinder() -> None:
    flat = with_draw(drawing(0.9), stop=DrawLimit.parse("1 m3/h"), caution=DrawLimit.parse("0.5 m3/h"))
    assert (judged(flat).verdict, judged(flat).text) == ("caution", "caution flat")
    two = bench.with_supply_noun(flat, "fuel", cylinders=2)
    assert judged(two).verdict == "go"
    assert judged(with_draw(drawing(1.1), stop=DrawLimit.parse("1 m3/h"), caution=DrawLimit.parse("0.5 m3/h"))).verdict == "stop"


def test_an_empty_supply_stops() -> None:
    finding = judged(drawing(0.3, left=0.0))
    assert (finding.verdict, finding.text) == ("stop", "stop empty")


def test_contents_nobody_knows_are_a_caution() -> None:
    figures = bench.with_supply(drawing(0.3), "fuel", contents=unknown("amount"), at_end=unknown("amount"))
    assert (judged(figures).verdict, judged(figures).text) == ("caution", "unknown")


def test_other_fuels_and_piped_acetylene_are_not_judged() -> None:
    assert draw.judge(bench.clean("propane")) == ()
    assert draw.limit(bench.clean("propane")) is None
    assert draw.judge(bench.with_supply_noun(bench.clean(), "fuel", kind="pipeline")) == ()


@pytest.mark.parametrize("time", [None, 30.0, 120.0])
def test_the_draw_limit_is_the_flow_above_which_the_verdict_leaves_go(time: float | None) -> None:
    limit = draw.limit(drawing(0.5, time=time))
    assert limit is not None
    assert limit.low is not None
    cubic_metres = limit.low / (flow(1).value or 1)
    assert judged(drawing(0.999 * cubic_metres, time=time)).verdict == "go"
    assert judged(drawing(1.001 * cubic_metres, time=time)).verdict == "caution"


def test_every_customary_rule_stands_beside_the_one_in_force() -> None:
    rules = draw.rules(drawing(0.6))
    assert [(rule.share, rule.of) for rule in rules] == [
        (share, of) for share in ("1/7", "1/10", "1/15") for of in ("full", "left", "end of job")
    ]
    assert [rule.cylinders for rule in rules if rule.of == "full"] == [1, 1, 2]  # 8 m³: 1.14, 0.80 and 0.53 m³/h


def test_cylinders_are_rounded_up_and_enough() -> None:
    # 0.9 m³/h for half an hour at 1/10: n >= (9 + 0.45)/7 = 1.35
    assert draw.cylinders_by(drawing(0.9), DrawLimit.parse("1/10")) == 2
    assert judged(drawing(0.9)).blanks["cylinders"] == "2"
    assert judged(drawing(0.9, left=14.0)).verdict == "go"
