"""Supplies that are short, low, cold, shared or not described."""

from dataclasses import replace

import pytest
from tests import factories as bench
from tests.factories import flow, gauge, minutes

from steadycone.assembly.figures import Figures
from steadycone.practice import supply
from steadycone.practice.finding import Finding
from steadycone.quantity import unknown
from steadycone.units import GasFlow


def one(figures: Figures, code: str, subject: str | None = None) -> Finding:
    return bench.found(supply.judge(figures), code, subject)


def test_a_clean_bench_is_go() -> None:
    assert {finding.verdict for finding in supply.judge(bench.clean())} == {"go"}


def test_contents_nobody_states_are_a_caution() -> None:
    figures = bench.with_supply(bench.clean(), "fuel", contents=unknown("amount"))
    assert one(figures, "contents-unknown", "fuel supply").verdict == "caution"


def test_a_job_longer_than_the_gas_stops_and_says_which_ends_first() -> None:
    figures = bench.with_supply(bench.clean(), "fuel", duration=minutes(19))
    assert (one(figures, "contents-short", "fuel supply").text) == "stop first"
    assert one(figures, "contents-short", "oxygen supply").verdict == "go"
    both = bench.with_supply(figures, "oxygen", duration=minutes(19.5))
    assert one(both, "contents-short", "oxygen supply").verdict == "stop"
    assert one(both, "contents-short", "oxygen supply").text == ""


def test_the_short_end_of_the_duration_and_the_long_end_of_the_job_are_judged() -> None:
    figures = bench.with_supply(bench.clean(), "fuel", duration=minutes(22, 0.1))
    assert one(figures, "contents-short", "fuel supply").verdict == "stop"  # 19.8 min
    figures = replace(bench.clean(), job=replace(bench.clean().job, time=minutes(82, 0.1)))
    assert one(figures, "contents-short", "oxygen supply").verdict == "stop"  # 90.2 min against 89.3


def test_a_job_without_a_time_is_not_judged_for_contents() -> None:
    figures = replace(bench.clean(), job=replace(bench.clean().job, time=None))
    assert not bench.codes(supply.judge(figures)) & {"contents-short", "oxygen-first-out"}


def test_oxygen_that_ends_first_inside_the_job_stops() -> None:
    figures = bench.with_supply(bench.clean(), "oxygen", duration=minutes(18))
    assert one(figures, "oxygen-first-out").verdict == "stop"


def test_oxygen_that_ends_first_but_after_the_job_is_go() -> None:
    assert one(bench.clean(), "oxygen-first-out").verdict == "go"


def test_oxygen_that_outlasts_the_fuel_is_go_even_where_both_end_inside_the_job() -> None:
    figures = bench.with_supply(bench.clean(), "oxygen", duration=minutes(18))
    figures = bench.with_supply(figures, "fuel", duration=minutes(17))
    assert one(figures, "oxygen-first-out").verdict == "go"
    nearly = bench.with_supply(figures, "fuel", duration=minutes(17, 0.1))  # may last 18.7
    assert one(nearly, "oxygen-first-out").verdict == "stop"


@pytest.mark.parametrize(
    ("bar", "verdict", "text"),
    [(7.5, "go", ""), (7.3, "caution", "caution at end"), (3.6, "stop", "stop at end")],  # set 3.2: 2 x 3.2 + 1, 3.2 + 0.5
)
def test_a_supply_that_sinks_too_low(bar: float, verdict: str, text: str) -> None:
    finding = one(bench.with_supply(bench.clean(), "oxygen", pressure_at_end=gauge(bar)), "supply-pressure-low", "oxygen supply")
    assert (finding.verdict, finding.text) == (verdict, text)


def test_a_cold_cylinder_is_judged_as_it_stands_where_the_end_is_not_known() -> None:
    figures = bench.with_supply(bench.clean("lpg"), "fuel", pressure=gauge(0.9), pressure_at_end=unknown("gauge pressure"))
    assert one(figures, "supply-pressure-low", "fuel supply").text == "stop now liquid"


def test_a_pipeline_without_a_pressure_is_a_caution() -> None:
    figures = bench.with_supply_noun(bench.clean(), "oxygen", kind="pipeline", available_flow=GasFlow.parse("20 m3/h"))
    nothing = unknown("gauge pressure")
    figures = bench.with_supply(figures, "oxygen", pressure=nothing, pressure_at_end=nothing)
    assert one(figures, "supply-pressure-low", "oxygen supply").text == "unknown"


def test_a_pipeline_gives_what_it_states() -> None:
    for text, verdict in (("20 m3/h", "go"), ("4 m3/h", "stop")):
        figures = bench.with_supply_noun(bench.clean(), "oxygen", kind="pipeline", available_flow=GasFlow.parse(text))
        assert one(figures, "supply-flow").verdict == verdict
    figures = bench.with_supply_noun(bench.clean(), "oxygen", kind="pipeline")
    assert one(figures, "supply-flow").verdict == "caution"


def test_draw_over_what_the_walls_evaporate_stops() -> None:
    assert one(bench.clean("propane"), "lpg-vaporisation").verdict == "go"
    assert one(bench.with_supply(bench.clean("propane"), "fuel", vaporisation=flow(0.5, 0.15)), "lpg-vaporisation").verdict == "stop"
    figures = bench.with_supply(bench.clean("propane"), "fuel", vaporisation=unknown("flow"))
    assert one(figures, "lpg-vaporisation").verdict == "caution"


def test_lpg_of_unknown_composition_is_a_caution() -> None:
    assert one(bench.clean("lpg"), "fuel-mix-unknown").verdict == "go"
    assert one(replace(bench.clean("lpg"), fuel_known=False), "fuel-mix-unknown").verdict == "caution"
    assert "fuel-mix-unknown" not in bench.codes(supply.judge(bench.clean("propane")))


def test_shared_draw_only_says_so() -> None:
    assert "shared-draw" not in bench.codes(supply.judge(bench.clean()))
    assert one(bench.with_supply(bench.clean(), "oxygen", shared=flow(2)), "shared-draw").verdict == "go"


def test_a_tare_with_saturation_gas_is_said() -> None:
    assert "tare-basis" not in bench.codes(supply.judge(bench.clean()))
    figures = bench.with_supply_noun(bench.clean(), "fuel", tare_basis="with saturation gas")
    assert one(figures, "tare-basis").verdict == "go"
