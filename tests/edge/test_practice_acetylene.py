"""Acetylene's own rules on a bench with one thing changed."""

from dataclasses import replace

import pytest
from tests import factories as bench

from steadycone.practice import acetylene
from steadycone.quantity import unknown
from steadycone.station.parts import Coupling, Pipe
from steadycone.station.torch import Torch
from steadycone.units import Duration, Length

FLOWING, STATIC = "acetylene-pressure-flowing", "acetylene-pressure-static"


def test_a_clean_bench_is_go() -> None:
    judged = acetylene.judge(bench.clean())
    assert {finding.verdict for finding in judged} == {"go"}
    assert bench.codes(judged) == {FLOWING, STATIC, "acetylene-cold"}


def test_nothing_is_said_of_another_fuel() -> None:
    assert acetylene.judge(bench.clean("propane")) == ()


def test_the_high_end_of_the_flowing_pressure_is_judged() -> None:
    figures = bench.with_line(bench.clean(region="us"), "fuel", flowing=bench.gauge(1.0, 0.05))
    finding = bench.found(acetylene.judge(figures), FLOWING)
    assert finding.verdict == "stop"
    assert finding.margin is not None
    assert finding.margin.low is not None
    assert finding.margin.low < 0 < (finding.margin.high or 0)


def test_what_a_person_sets_counts_when_it_is_above_what_the_march_asks() -> None:
    figures = bench.with_line(bench.clean(region="us"), "fuel", set_pressure=bench.gauge(1.05))
    assert bench.found(acetylene.judge(figures), FLOWING).verdict == "stop"


def test_the_static_pressure_is_judged_even_where_the_flowing_one_passes() -> None:
    figures = bench.with_line(bench.clean(region="us"), "fuel", static=bench.gauge(1.04))
    judged = acetylene.judge(figures)
    assert bench.found(judged, FLOWING).verdict == "go"
    assert bench.found(judged, STATIC).verdict == "stop"


def test_the_caps_of_two_regions_differ() -> None:
    pressures = bench.gauge(1.2)
    for region, verdict in (("uk", "go"), ("us", "stop")):
        figures = bench.with_line(bench.clean(region=region), "fuel", static=pressures)
        assert bench.found(acetylene.judge(figures), STATIC).verdict == verdict


def test_a_pressure_nobody_knows_is_a_caution() -> None:
    nothing = unknown("gauge pressure")
    figures = bench.with_line(bench.clean(), "fuel", flowing=nothing, set_pressure=nothing, static=nothing)
    for code in (FLOWING, STATIC):
        finding = bench.found(acetylene.judge(figures), code)
        assert (finding.verdict, finding.text) == ("caution", "unknown")


def test_the_gauges_as_they_stand_are_judged_too() -> None:
    figures = bench.clean()
    now = replace(bench.as_set_line(figures.lines["fuel"]), regulator_static=bench.gauge(1.6))
    judged = acetylene.judge(bench.with_as_set(figures, fuel=now))
    assert bench.found(judged, STATIC, "fuel regulator").verdict == "go"
    assert bench.found(judged, STATIC, "fuel regulator, as set").verdict == "stop"
    assert bench.found(judged, FLOWING, "fuel regulator, as set").verdict == "go"


# 4.95 m³ for twenty minutes: 1/10 of what is left allows 0.48 m³/h. Below 10 °C the pressure is 0.77, at -5 °C 0.53 of that at 70 °F.
@pytest.mark.parametrize(
    ("celsius", "m3_per_h", "verdict"),
    [(10.0, 0.45, "go"), (9.9, 0.45, "caution"), (9.9, 0.36, "go"), (9.9, 0.38, "caution"), (-5.0, 0.24, "go"), (-5.0, 0.27, "caution")],
)
def test_cold_acetylene_bears_a_smaller_draw(celsius: float, m3_per_h: float, verdict: str) -> None:
    figures = bench.with_supply(replace(bench.clean(), ambient=273.15 + celsius), "fuel", drawn=bench.flow(m3_per_h))
    assert bench.found(acetylene.judge(figures), "acetylene-cold").verdict == verdict


def test_cold_acetylene_of_unknown_contents_is_a_caution() -> None:
    unweighed = bench.with_supply(bench.clean(), "fuel", contents=unknown("amount"), at_end=unknown("amount"))
    found = bench.found(acetylene.judge(replace(unweighed, ambient=273.15 + 9)), "acetylene-cold")
    assert (found.verdict, found.text) == ("caution", "")


@pytest.mark.parametrize(
    ("upright", "lay", "verdict"),
    [
        ("60 min", None, "go"),
        ("59 min", None, "stop"),
        ("2 h", "50 min", "go"),
        ("2 h", "70 min", "stop"),  # twice as long as it lay
        ("24 h", "30 h", "go"),  # a day is the longest anybody asks
        (None, "70 min", "caution"),
    ],
)
def test_a_cylinder_that_lay_down_stands_first(upright: str | None, lay: str | None, verdict: str) -> None:
    figures = bench.with_supply_noun(
        bench.clean(),
        "fuel",
        upright_for=Duration.parse(upright) if upright else None,
        lay_for=Duration.parse(lay) if lay else None,
    )
    assert bench.found(acetylene.judge(figures), "cylinder-lay-down").verdict == verdict


@pytest.mark.parametrize(
    ("material", "verdict"),
    [
        ("copper", "stop"),
        ("bronze", "stop"),
        ("alloy with 72 % copper", "stop"),
        ("copper 68 %", "caution"),
        ("brass", "go"),
        ("alloy with 60% copper", "go"),
        ("stainless steel", "go"),
        ("mystery metal", "caution"),
    ],
)
def test_copper_on_the_acetylene_line(material: str, verdict: str) -> None:
    parts = (*bench.clean().lines["fuel"].line.part, Coupling(material=material))
    figures = bench.with_noun(bench.clean(), "fuel", part=parts)
    assert bench.found(acetylene.judge(figures), "copper-acetylene", "fuel part 4 (coupling)").verdict == verdict


def test_copper_pipe_and_a_copper_torch_are_found() -> None:
    pipe = Pipe(bore=Length.parse("8 mm"), length=Length.parse("2 m"), material="copper")
    figures = bench.with_noun(bench.clean(), "fuel", part=(pipe, *bench.clean().lines["fuel"].line.part))
    figures = bench.with_station(figures, torch=Torch(attachment="cutting", material="brass"))
    assert bench.found(acetylene.judge(figures), "copper-acetylene", "fuel part 1 (pipe)").verdict == "stop"
    assert bench.found(acetylene.judge(figures), "copper-acetylene", "torch").verdict == "go"
