"""Tip, flame, metal, place and proving: the work itself."""

from dataclasses import replace

import msgspec
import pytest
from tests import factories as bench
from tests.factories import gauge

from steadycone.assembly.figures import Figures
from steadycone.physics.gas import NORMAL_MOLAR_VOLUME
from steadycone.practice import material, place, proving, tip, work
from steadycone.practice.finding import Finding
from steadycone.quantity import Quantity, band, exact, unknown
from steadycone.station.job import Job
from steadycone.station.torch import Torch
from steadycone.units import Pressure, PressureDifference


def verdict(module: object, figures: Figures, code: str, subject: str | None = None) -> tuple[str, str]:
    finding: Finding = bench.found(module.judge(figures), code, subject)  # type: ignore[attr-defined]
    return finding.verdict, finding.text


@pytest.mark.parametrize("module", [tip, material, proving])
def test_a_clean_bench_is_go(module: object) -> None:
    assert {finding.verdict for finding in module.judge(bench.with_as_set(bench.clean()))} == {"go"}  # type: ignore[attr-defined]


# --- tip ---


def with_chart(figures: Figures, chart: object) -> Figures:
    return replace(figures, setup=msgspec.structs.replace(figures.setup, chart=chart))


def test_no_chart_stops() -> None:
    assert verdict(tip, with_chart(bench.clean(), None), "no-chart")[0] == "stop"


def test_an_estimate_is_never_go() -> None:
    assert "chart-estimate" not in bench.codes(tip.judge(bench.clean()))
    estimated = replace(bench.clean(), tip=replace(bench.clean().tip, estimate=True))
    assert verdict(tip, estimated, "chart-estimate")[0] == "caution"
    chart = bench.clean().setup.chart
    assert chart is not None
    assert verdict(tip, with_chart(bench.clean(), replace(chart, estimate=True)), "chart-estimate")[0] == "caution"


def test_a_row_that_lacks_a_figure() -> None:
    row = replace(bench.row(), fuel_flow=None)
    figures = replace(bench.clean(), tip=replace(bench.clean().tip, row=row))
    finding = bench.found(tip.judge(figures), "chart-incomplete")
    assert (finding.verdict, finding.blanks["missing"]) == ("caution", "fuel flow")  # the figures are known all the same
    unanswered = bench.with_line(figures, "fuel", flow=unknown("flow"))
    assert verdict(tip, unanswered, "chart-incomplete")[0] == "stop"


def test_unknown_figures_stop_even_where_no_cell_is_missing() -> None:
    assert verdict(tip, bench.with_line(bench.clean(), "fuel", flowing=unknown("gauge pressure")), "chart-incomplete")[0] == "stop"


@pytest.mark.parametrize(
    ("fuels", "fuel", "expected"),
    [(("acetylene",), "acetylene", "go"), (("propane",), "acetylene", "stop"), (("acetylene", "propane"), "lpg", "go")],
)
def test_a_mixer_for_another_fuel_stops(fuels: tuple[str, ...], fuel: str, expected: str) -> None:
    figures = bench.with_station(bench.clean(fuel), torch=Torch(attachment="cutting", fuels=fuels))
    assert verdict(tip, figures, "mixer-fuel")[0] == expected


def test_a_mixer_whose_fuels_are_not_stated_is_not_judged() -> None:
    figures = bench.with_station(bench.clean(), torch=Torch(attachment="cutting"))
    assert "mixer-fuel" not in bench.codes(tip.judge(figures))


@pytest.mark.parametrize(("share", "expected"), [(1.0, "go"), (0.951, "go"), (0.949, "caution"), (0.801, "caution"), (0.799, "stop")])
@pytest.mark.parametrize(("name", "subject"), [("oxygen", "cutting oxygen"), ("oxygen", "preheat oxygen"), ("fuel", "fuel")])
def test_as_set_a_tip_short_of_gas(name: str, subject: str, share: float, expected: str) -> None:
    figures = bench.clean()
    figures = bench.with_as_set(figures, **{name: bench.as_set_line(figures.lines[name], share)})
    assert verdict(tip, figures, "tip-starved", f"{subject}, as set")[0] == expected


def test_the_low_end_of_a_flow_as_set_is_judged() -> None:
    figures = bench.clean()
    got = bench.flow(0.44, 0.05)  # 0.418 of 0.45: 7 % short
    figures = bench.with_as_set(figures, fuel=replace(bench.as_set_line(figures.lines["fuel"]), flow=got))
    assert verdict(tip, figures, "tip-starved", "fuel, as set")[0] == "caution"


@pytest.mark.parametrize(("bar", "expected"), [(3.5, "go"), (3.7, "caution"), (4.6, "stop")])
def test_as_set_a_pressure_far_over_the_chart(bar: float, expected: str) -> None:
    figures = bench.clean()
    now = replace(bench.as_set_line(figures.lines["oxygen"]), torch_inlet=gauge(bar))
    assert verdict(tip, bench.with_as_set(figures, oxygen=now), "tip-over-pressure", "oxygen at the torch, as set")[0] == expected


@pytest.mark.parametrize(
    ("ratio", "expected", "text"),
    [(0.76, "go", ""), (0.74, "caution", "carburising lever"), (1.49, "go", ""), (1.51, "caution", "oxidising lever")],
)
def test_a_flame_off_neutral(ratio: float, expected: str, text: str) -> None:
    assert verdict(tip, replace(bench.clean(), flame_ratio=exact(ratio, "number")), "flame-ratio", "flame") == (expected, text)
    assert verdict(tip, bench.with_as_set(bench.clean(), ratio=ratio), "flame-ratio", "flame, as set") == (expected, text)


def test_either_end_of_a_flame_ratio_counts() -> None:
    wide = replace(bench.clean(), flame_ratio=band(1.1, 0.7, 1.4, "number"))
    assert verdict(tip, wide, "flame-ratio", "flame") == ("caution", "carburising lever")


@pytest.mark.parametrize("state", ["blocked", "locked", "below atmosphere"])
def test_a_line_pushed_back_stops_and_is_not_judged_for_flow(state: str) -> None:
    figures = bench.clean()
    for name, code in (("fuel", "fuel-blocked"), ("oxygen", "oxygen-blocked")):
        judged = bench.with_as_set(figures, **{name: bench.as_set_line(figures.lines[name], 0.0, state)})
        assert verdict(tip, judged, code) == ("stop", f"stop {state}")
        assert not [f for f in tip.judge(judged) if f.code == "tip-starved" and f.subject.startswith(name)]


def test_lines_that_flow_are_go() -> None:
    figures = bench.with_as_set(bench.clean())
    assert verdict(tip, figures, "fuel-blocked")[0] == verdict(tip, figures, "oxygen-blocked")[0] == "go"


# --- material ---


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("low-carbon steel", ("go", "")),
        ("Mild  Steel", ("go", "")),
        ("low-alloy steel", ("go", "")),
        ("rebar", ("go", "")),
        ("wear plate", ("caution", "hardens")),
        ("AR400", ("caution", "hardens")),
        ("S690QL", ("caution", "hardens")),
        ("stainless steel", ("stop", "")),
        ("cast iron", ("stop", "")),
        ("aluminum", ("stop", "")),
        ("aluminium", ("stop", "")),
        ("copper", ("stop", "")),
        ("brass", ("stop", "")),
        ("unobtainium", ("caution", "unknown")),
        (None, ("caution", "not stated")),
    ],
)
def test_what_oxygen_cuts(name: str | None, expected: tuple[str, str]) -> None:
    job = msgspec.structs.replace(bench.clean().setup.station.job, material=name)
    assert verdict(material, bench.with_station(bench.clean(), job=job), "material-not-cuttable") == expected


def test_heating_is_not_judged_for_its_metal() -> None:
    figures = bench.with_station(bench.clean(), job=Job(kind="heat", material="aluminium"))
    assert material.judge(replace(figures, job=replace(figures.job, kind="heat"))) == ()


# --- place ---

_LITRE = 1e-3 / NORMAL_MOLAR_VOLUME


def releasing(litres: float, volume: str | None, name: str = "fuel") -> Figures:
    return bench.with_proving(bench.enclosed(bench.clean(), volume), name, purge_released=exact(litres * _LITRE, "released"))


def test_an_open_place_is_not_judged() -> None:
    assert place.judge(bench.clean()) == ()


def test_an_enclosed_place_without_a_volume_is_a_caution() -> None:
    assert verdict(place, bench.enclosed(bench.clean(), None), "enclosed-space") == ("caution", "no volume")


# A tenth of acetylene's 2.3 % in 10 m³ at 18 °C is 23 L there, 21.6 normal litres; 2 of them are the hour's leak.
@pytest.mark.parametrize(("litres", "expected"), [(1.3, "go"), (3.5, "caution"), (19.5, "caution"), (19.7, "stop")])
def test_fuel_against_a_tenth_of_the_lower_limit(litres: float, expected: str) -> None:
    assert verdict(place, releasing(litres, "10 m3"), "enclosed-space", "fuel in the place")[0] == expected


# From 20.95 to 22.0 % takes 1.328 % of 10 m³ of pure oxygen: 133 L, 124.6 normal litres, 2 of them the leak.
@pytest.mark.parametrize(("litres", "expected"), [(1.3, "go"), (122, "caution"), (123, "stop")])
def test_oxygen_against_the_enrichment_of_the_policy(litres: float, expected: str) -> None:
    assert verdict(place, releasing(litres, "10 m3", "oxygen"), "enclosed-space", "oxygen in the place")[0] == expected


def test_a_purge_nobody_knows_is_a_caution_in_an_enclosed_place() -> None:
    figures = bench.with_proving(bench.enclosed(bench.clean(), "10 m3"), "fuel", purge_released=unknown("released"))
    assert verdict(place, figures, "enclosed-space", "fuel in the place") == ("caution", "unknown")


# --- proving ---


@pytest.mark.parametrize(("seconds", "expected"), [(120.0, "go"), (120.1, "caution")])
def test_a_purge_longer_than_anybody_holds_a_valve(seconds: float, expected: str) -> None:
    figures = bench.with_proving(bench.clean(), "fuel", purge_time=Quantity(10, 9, seconds, "seconds"))
    assert verdict(proving, figures, "purge-long", "fuel line")[0] == expected


@pytest.mark.parametrize(("side", "subject"), [("low", "fuel line"), ("high", "fuel line, high side")])
def test_a_gauge_too_coarse_for_the_leak(side: str, subject: str) -> None:
    figures = bench.with_side(bench.clean(), "fuel", side, floor=exact(2.1 * _LITRE / 3600, "leak"), finer=500.0)
    assert verdict(proving, figures, "leak-floor-coarse", subject)[0] == "caution"
    assert verdict(proving, bench.clean(), "leak-floor-coarse", subject)[0] == "go"


@pytest.mark.parametrize(("division", "tested"), [(None, False), ("0.5 bar", True)])
def test_a_pipe_has_a_high_side_to_test_where_the_file_says_that_a_gauge_is_there(division: str | None, tested: bool) -> None:
    given = PressureDifference.parse(division) if division else None
    figures = bench.with_regulator(bench.with_supply_noun(bench.clean(), "oxygen", kind="pipeline"), "oxygen", inlet_division=given)
    assert ("oxygen line, high side" in [finding.subject for finding in proving.judge(figures)]) is tested


@pytest.mark.parametrize(("text", "expected"), [("0.7 bar", "go"), ("0.6 bar", "caution")])  # 0.69 bar with the valves shut
def test_a_leak_test_below_the_working_pressure(text: str, expected: str) -> None:
    figures = bench.with_about(bench.clean(), test_pressure_fuel=Pressure.parse(text))
    assert verdict(proving, figures, "leak-test-pressure", "fuel line")[0] == expected
    assert "leak-test-pressure" not in bench.codes(proving.judge(bench.clean()))


def test_a_cutting_attachment_heats_little() -> None:
    figures = bench.clean()
    heating = replace(figures, job=replace(figures.job, kind="heat"))
    assert work.judge(figures) == ()
    assert verdict(work, heating, "job-attachment")[0] == "caution"
    torch = msgspec.structs.replace(figures.setup.station.torch, attachment="heating")
    assert verdict(work, bench.with_station(heating, torch=torch), "job-attachment")[0] == "go"
