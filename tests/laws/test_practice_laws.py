"""What must hold of every rule whatever the numbers: stricter is never kinder, and worse is never better."""

from dataclasses import replace
from typing import Any

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st
from tests import factories as bench
from tests.factories import amount, drop, flow, gauge, minutes
from tests.practice_cases import judged_everywhere

from steadycone.assembly.figures import Figures
from steadycone.practice import acetylene, arrestor, draw, hose
from steadycone.practice.finding import Finding, Verdict, worst
from steadycone.practice.themes import judge_all
from steadycone.quantity import Quantity, exact
from steadycone.station.policy import DrawLimit
from steadycone.units import Pressure, Share

QUICK = settings(max_examples=60, deadline=None)
RANK = {"go": 0, "caution": 1, "stop": 2}
pressures = st.floats(0.05, 3.0)
shares = st.floats(0.02, 0.4)


def verdicts(findings: tuple[Finding, ...]) -> dict[tuple[str, str], Verdict]:
    return {(finding.code, finding.subject): finding.verdict for finding in findings}


def no_better(before: tuple[Finding, ...], after: tuple[Finding, ...]) -> bool:
    """Every finding judged both times is as bad or worse the second time."""
    first, second = verdicts(before), verdicts(after)
    return all(RANK[second[key]] >= RANK[verdict] for key, verdict in first.items() if key in second)


@QUICK
@given(pressures, st.floats(0.2, 1.5), st.floats(0.2, 1.5), st.sampled_from(["uk", "us", "au"]))
def test_a_stricter_cap_never_turns_a_stop_into_a_go(bar: float, one: float, other: float, region: str) -> None:
    loose, strict = max(one, other), min(one, other)
    figures = bench.with_line(bench.clean(region=region), "fuel", flowing=gauge(bar, 0.02 * bar), static=gauge(1.3 * bar))
    judged = [acetylene.judge(bench.with_policy(figures, acetylene_cap=Pressure(cap * 1e5))) for cap in (loose, strict)]
    assert no_better(*judged)


@QUICK
@given(st.floats(0.1, 2.0), shares, shares, st.sampled_from(["full", "left", "end of job"]))
def test_a_stricter_draw_rule_never_turns_a_stop_into_a_go(m3_per_h: float, one: float, other: float, of: str) -> None:
    figures = bench.with_supply(bench.clean(), "fuel", drawn=flow(m3_per_h), at_end=amount(4.95 - m3_per_h / 3))
    judged = []
    for share in (max(one, other), min(one, other)):
        rule = DrawLimit(share, f"{share:g}")
        choice = msgspec.structs.replace(figures.setup.policy.draw, stop=rule, caution=rule, of=of)
        judged.append(draw.judge(bench.with_policy(figures, draw=choice)))
    assert no_better(*judged)


@QUICK
@given(shares, shares, st.floats(0.0, 2.0))
def test_a_stricter_loss_never_turns_a_caution_into_a_go(one: float, other: float, bar: float) -> None:
    figures = bench.with_line(bench.clean(), "oxygen", loss_hoses=drop(bar))
    judged = [hose.judge(bench.with_policy(figures, loss=Share(share))) for share in (max(one, other), min(one, other))]
    assert no_better(*judged)


def widened(quantity: Quantity, by: float) -> Quantity:
    value = quantity.value
    assert value is not None
    return Quantity(value, value - by * abs(value), value + by * abs(value), quantity.kind)


@QUICK
@given(st.floats(0.3, 2.5), st.floats(0.0, 0.3), st.floats(0.0, 0.3))
def test_a_wider_band_never_improves_a_finding(scale: float, one: float, other: float) -> None:
    def with_band(by: float) -> tuple[Finding, ...]:
        figures = bench.clean()
        for name, found in figures.lines.items():
            changes: dict[str, Any] = {
                field: widened(getattr(found, field).map(lambda x: x * scale), by)
                for field in ("torch_inlet", "flowing", "static", "set_pressure", "flow", "loss_hoses", "loss_parts")
            }
            fed = found.supply
            supplied = {field: widened(getattr(fed, field), by) for field in ("contents", "at_end", "pressure_at_end", "duration", "drawn")}
            figures = bench.with_line(figures, name, **changes, supply=replace(fed, **supplied))
        return judge_all(figures)

    narrow, wide = sorted((one, other))
    assert no_better(with_band(narrow), with_band(wide))


def figure_at(what: str, x: float) -> Figures:
    """A bench whose one figure gets worse as x rises from 0 to 1."""
    clean = bench.clean()
    oxygen, fuel = bench.as_set_line(clean.lines["oxygen"], 1 - x), bench.as_set_line(clean.lines["fuel"], 1 - x)
    return {
        "draw": lambda: bench.with_supply(clean, "fuel", drawn=flow(0.2 + x)),
        "contents": lambda: bench.with_supply(clean, "fuel", contents=amount(5 - 4.9 * x), at_end=amount(4.9 - 4.9 * x)),
        "duration": lambda: bench.with_supply(clean, "oxygen", duration=minutes(40 - 39 * x)),
        "supply": lambda: bench.with_supply(clean, "oxygen", pressure_at_end=gauge(12 - 12 * x)),
        "evaporation": lambda: bench.with_supply(bench.clean("propane"), "fuel", vaporisation=flow(1 - 0.99 * x)),
        "inlet": lambda: bench.with_supply(clean, "oxygen", pressure=gauge(200 + 60 * x)),
        "static": lambda: bench.with_line(clean, "oxygen", static=gauge(8 + 6 * x)),
        "acetylene": lambda: bench.with_line(clean, "fuel", static=gauge(1 + x)),
        "flow": lambda: bench.with_line(clean, "oxygen", flow=flow(8 + 6 * x)),
        "loss": lambda: bench.with_line(clean, "oxygen", loss_hoses=drop(x)),
        "starved": lambda: bench.with_as_set(clean, oxygen=oxygen, fuel=fuel),
        "over": lambda: bench.with_as_set(clean, oxygen=replace(oxygen, torch_inlet=gauge(3 + 3 * x))),
        "arrestor": lambda: bench.with_line(
            clean,
            "fuel",
            parts=tuple(replace(part, loss=drop(0.3 * x)) for part in clean.lines["fuel"].parts),
            flowing=gauge(0.6 + 0.5 * x),
        ),
        "purge": lambda: bench.with_proving(clean, "fuel", purge_time=exact(300 * x, "seconds")),
        "cold": lambda: replace(clean, ambient=300 - 60 * x),
        "room": lambda: bench.enclosed(clean, f"{400 - 399.9 * x:.3f} m3", "3000 m3/h"),
        "age": lambda: replace(clean, on=clean.on.replace(year=clean.on.year + round(6 * x))),
    }[what]()


WORSENING = ["draw", "contents", "duration", "supply", "evaporation", "inlet", "static", "acetylene", "flow", "loss", "starved", "over"]
WORSENING += ["arrestor", "purge", "cold", "room", "age"]


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(WORSENING), st.floats(0, 1), st.floats(0, 1))
def test_a_finding_never_improves_as_its_figure_gets_worse(what: str, one: float, other: float) -> None:
    better, worse = sorted((one, other))
    assert no_better(judge_all(figure_at(what, better)), judge_all(figure_at(what, worse)))


def test_each_of_those_figures_starts_good_and_ends_bad() -> None:
    for what in WORSENING:
        # with no flow at all the age of gear still counts; the rest of the bench is clean
        assert worst(finding.verdict for finding in judge_all(figure_at(what, 1.0))) != "go", what
        # that a place is closed is a caution in itself
        start = [finding.verdict for finding in judge_all(figure_at(what, 0.0)) if finding.code != "place-closed"]
        assert worst(start) == "go", what


def test_the_margin_is_positive_on_the_safe_side() -> None:
    for finding in judged_everywhere():
        margin = finding.margin
        if margin is None or margin.low is None:
            continue
        if finding.verdict == "go":
            assert margin.low >= -1e-6 * abs(margin.low), finding
        else:
            assert margin.low < 0 or finding.code == "part-overdue" or finding.text == "not read", finding


@QUICK
@given(st.floats(0.05, 0.6), st.floats(0.05, 0.6))
def test_taking_two_parts_out_gains_more_than_either(one: float, other: float) -> None:
    figures = bench.clean(region="au")
    parts = tuple(replace(part, loss=drop(lost)) for part, lost in zip(figures.lines["oxygen"].parts, (one, 0.1, other), strict=True))
    figures = bench.with_line(figures, "oxygen", parts=parts, flowing=gauge(3.1 + one + other))
    line = figures.lines["oxygen"]
    gains = [arrestor.flow_lost(figures, line, chosen) for chosen in ([parts[0]], [parts[2]], [parts[0], parts[2]])]
    values = [gain.value for gain in gains if gain is not None and gain.value is not None]
    assert len(values) == 3
    assert max(values[:2]) < values[2] < sum(values[:2]) + 0.2
