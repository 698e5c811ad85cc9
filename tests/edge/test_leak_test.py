"""One leak test: box, step, JSON, plan and round tell the same minutes; a watch that no gauge's doubt can hide a leak in."""

import random
from dataclasses import replace
from datetime import date

import pytest
from tests import factories, stations
from tests.edge.render_samples import EXAMPLES, NAMES, card, changed
from tests.edge.round_samples import STATION

from steadycone.assembly.figures import LEAST_PURGE
from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.data.reader import toml
from steadycone.files.read import read_setup
from steadycone.physics.transient.leak import leak_at
from steadycone.practice import proving
from steadycone.practice.drop import DropTest, Side, read_drop
from steadycone.procedures.choose import steps
from steadycone.procedures.rounds import make_plan
from steadycone.quantity import exact, unknown
from steadycone.render.json_card import card_dict
from steadycone.render.view_boxes import boxes
from steadycone.render.words import Words
from steadycone.units import Pressure


def told(made: Card) -> set[float]:
    """Minutes of the leak test wherever they are told."""
    words = Words.of(made.figures.setup.station.station.region)
    _, number, unit = boxes(made, words)[0].numbers[0]
    assert unit == "min"
    assert number is not None
    plan = make_plan(made, STATION)
    found = [plan.step("leak-watch").seconds, plan.step("leak-watch").numbers["wait"].value]  # type: ignore[union-attr]
    found += [step.numbers["wait"].value for step in (*made.steps, *steps(made.figures, "setup")) if "wait" in step.numbers]
    return {
        float(number),
        card_dict(made, sealed=False)["leak_test"]["watch"]["value"],
        *(seconds / 60 for seconds in found if seconds is not None),
    }


@pytest.mark.parametrize("name", NAMES)
def test_every_example_tells_one_wait(name: str) -> None:
    assert len(told(card(name))) == 1, told(card(name))


def test_two_hundred_random_stations_tell_one_wait() -> None:
    chance = random.Random(20261130)
    waits = set()
    for _ in range(200):
        about = f'test_pressure_fuel = "{chance.choice(("0.3", "0.5", "0.9"))} bar"' if chance.random() < 0.3 else ""
        made = stations.card(
            region=chance.choice(("uk", "eu", "us", "ca", "au", "nz")),
            length=f"{chance.randint(3, 80)} m",
            bore=chance.choice(("6.3 mm", "8 mm", "10 mm")),
            pressure=f"{chance.randint(20, 200)} bar",
            ambient=f"{chance.randint(-10, 38)} °C",
            about=about,
        )
        assert len(told(made)) == 1, told(made)
        waits |= told(made)
    assert len(waits) > 5
    assert min(waits) >= 5


def test_the_demo_is_watched_for_nine_minutes_on_the_card_too() -> None:
    # its high oxygen gauge has marks of 5 bar: a step, half a step of rounding and the weather take 8.7 min of 2 L/h on 0.03 L
    assert told(card("slip-2")) == {9.0}


def test_a_test_far_below_work_is_watched_for_as_long_as_it_takes() -> None:
    made = changed(
        "slip-2", ("[station]\n", '[station]\ntest_pressure_fuel = "0.05 bar"\ntest_pressure_oxygen = "0.5 bar"\n'),
        ('outlet_division = "0.05 bar"', 'outlet_division = "0.1 bar"'),
    )  # fmt: skip
    assert told(made) == {60.0}
    cautions = [finding.subject for finding in made.findings if finding.code == "leak-floor-coarse" and finding.verdict == "caution"]
    assert sorted(cautions) == ["fuel line", "oxygen line"]


@pytest.mark.parametrize("name", NAMES)
def test_after_the_watch_no_leak_to_reject_is_called_still(name: str) -> None:
    """What the card promises, read by the rule that reads the round: two equal looks after the watch prove the policy's leak absent."""
    figures = card(name).figures
    watch = figures.leak_test.watch.value
    assert watch is not None
    for line in figures.lines.values():
        test = figures.leak_test.lines[line.name]
        if test.low.state != "ok" or test.high.state != "ok":
            continue
        high, low = ((each.pressure.value or 0.0) + figures.atmosphere for each in (test.high, test.low))
        sides = [
            Side(side, each.volume.high or 0.0, at, at, each.division)  # type: ignore[arg-type]
            for side, each, at in (("high", test.high, high), ("low", test.low, low))
        ]
        reject = figures.setup.policy.leak.reject.amount(line.gas.molar_mass)
        read = read_drop(
            DropTest(line.gas, sides[0], sides[1], watch, None, reject, atmosphere=figures.atmosphere, acetylene_cap=figures.cap.gauge)
        )
        assert read.verdict == "go", (line.name, read.because)


@pytest.mark.parametrize(("minutes", "expected"), [(4.9, 300.0), (5.1, 360.0), (59.9, 3600.0), (61.0, 3600.0)])
def test_the_watch_is_the_slowest_gauge_s_in_whole_minutes_and_an_hour_at_most(minutes: float, expected: float) -> None:
    figures = factories.clean()
    found = figures.leak_test.lines["oxygen"].high.wait.high
    assert found is not None
    for name in figures.lines:
        figures = factories.with_line(figures, name, outlet_division=100.0, inlet_division=1000.0)
    # the wait goes with the gas space: as large a one as gives these minutes
    alone = figures.leak_test.lines["oxygen"].high.wait.high
    assert alone is not None
    volume = figures.lines["oxygen"].proving.high_volume.value
    assert volume is not None

    def wait(size: float) -> float:
        tried = factories.with_proving(figures, "oxygen", high_volume=exact(size, "volume"))
        return tried.leak_test.lines["oxygen"].high.wait.high or 1e9

    small, large = volume / 100, volume * 1000
    for _ in range(80):
        middle = 0.5 * (small + large)
        small, large = (middle, large) if wait(middle) < minutes * 60 else (small, middle)
    assert factories.with_proving(figures, "oxygen", high_volume=exact(small, "volume")).leak_test.watch.value == expected


def test_a_coarser_gauge_never_shortens_the_watch() -> None:
    for name, field in (("oxygen", "outlet_division"), ("fuel", "outlet_division"), ("oxygen", "inlet_division")):
        watches = []
        for step in range(1, 60):
            figures = factories.with_line(factories.clean(), name, **{field: step * (0.02e5 if field == "outlet_division" else 1e5)})
            watches.append(figures.leak_test.watch.value or 0.0)
        assert watches == sorted(watches)


def test_a_lower_test_pressure_never_shortens_the_watch() -> None:
    watches = []
    for tenths in range(41, 2, -1):
        figures = factories.with_about(factories.clean(), test_pressure_oxygen=Pressure.parse(f"{tenths / 10} bar"))
        watches.append(figures.leak_test.watch.value or 0.0)
    assert watches == sorted(watches)


def test_the_leak_to_reject_shrinks_with_the_pressure_tested() -> None:
    figures = factories.with_about(factories.clean(), test_pressure_oxygen=Pressure.parse("2 bar"))
    side, air = figures.leak_test.lines["oxygen"].low, figures.atmosphere
    static = figures.lines["oxygen"].static.value
    assert static is not None
    grown = leak_at(side.reject.value or 0.0, 2e5 + air, static + air, air)
    assert grown.high == pytest.approx(figures.leak_test.reject.value)


def test_a_body_of_unknown_size_is_reckoned_at_its_largest() -> None:
    made = changed("slip-2")
    side = made.figures.leak_test.lines["oxygen"].low
    assert side.volume.low is not None
    assert side.volume.high is not None
    least, _, most = toml("defaults.toml")["regulator"]["low_volume_L"]
    stated = changed("slip-2", ("[oxygen.regulator]\n", '[oxygen.regulator]\nlow_volume = "0.05 L"\n'))
    hose = stated.figures.leak_test.lines["oxygen"].low.volume  # what is left is the doubt of the hoses' bore
    assert hose.low is not None
    assert hose.high is not None
    assert (side.volume.high - side.volume.low) - (hose.high - hose.low) == pytest.approx((most - least) * 1e-3)
    assert (side.wait.high or 0.0) > (side.wait.value or 0.0) > (side.wait.low or 0.0)
    assert made.figures.lines["oxygen"].proving.trapped_volume == side.volume


def test_a_line_of_unknown_pressure_is_reckoned_at_the_most_it_may_see() -> None:
    figures = factories.with_line(factories.clean(), "oxygen", static=unknown("gauge pressure"))
    assert figures.leak_test.lines["oxygen"].low.pressure.value is None
    known = factories.clean().leak_test.lines["oxygen"].low.wait.high
    assert (figures.leak_test.lines["oxygen"].low.wait.high or 0.0) > (known or 0.0)


def test_liquid_that_keeps_the_pressure_up_is_not_watched_for() -> None:
    figures = factories.clean("propane")
    assert figures.leak_test.lines["fuel"].high.state == "blind"
    assert figures.leak_test.lines["fuel"].high.wait.value is None
    assert "fuel line, high side" not in [finding.subject for finding in proving.judge(figures)]


def test_the_finer_gauge_that_is_named_would_do() -> None:
    long = factories.with_proving(factories.clean(), "oxygen", trapped_volume=exact(5e-3, "volume"))
    coarse = factories.with_line(long, "oxygen", outlet_division=0.25e5)
    finer = coarse.leak_test.lines["oxygen"].low.finer
    assert finer is not None
    assert factories.found(proving.judge(coarse), "leak-floor-coarse", "oxygen line").verdict == "caution"
    mended = factories.with_line(long, "oxygen", outlet_division=finer)
    assert factories.found(proving.judge(mended), "leak-floor-coarse", "oxygen line").verdict == "go"


def test_the_wait_is_no_caution_where_a_longer_one_shows_the_leak() -> None:
    made = make_card(read_setup(EXAMPLES / "slip-2.toml"), date(2026, 11, 25))
    floors = [finding for finding in made.findings if finding.code == "leak-floor-coarse"]
    assert {finding.verdict for finding in floors} == {"go"}
    assert len(floors) == 4
    for finding in floors:
        assert "9 min" in Words.of("uk").says(replace(finding))


@pytest.mark.parametrize("name", NAMES)
def test_every_example_tells_one_purge_time_a_line(name: str) -> None:
    """The long end in whole seconds up, five at the least: box, row, steps, round and finding."""
    made = card(name)
    words, plan = Words.of(made.figures.setup.station.station.region), make_plan(made, STATION)
    for line, figures in made.figures.lines.items():
        told_seconds = figures.proving.purge_seconds.value
        high = card_dict(made, sealed=False)[line]["purge_time"]["high"]
        assert told_seconds is not None
        assert high <= told_seconds < max(high + 1, LEAST_PURGE + 1)
        assert told_seconds >= LEAST_PURGE
        if made.verdict != "stop":
            side = {"fuel": "fu"}.get(line, "ox")
            assert f"{told_seconds:.0f}" in {number for mark, number, _ in boxes(made, words)[1].numbers if mark == side}
        finding = next(f for f in made.findings if f.code == "purge-long" and f.subject == line.replace("_", " ") + " line")
        assert finding.value is not None
        assert finding.value.value == told_seconds
    purges = [step for step in plan.steps if step.id.startswith("purge-") and "time" in step.numbers]
    assert {step.numbers["time"].value for step in purges} <= {  # type: ignore[union-attr]
        figures.proving.purge_seconds.value for figures in made.figures.lines.values()
    }


@pytest.mark.parametrize("shut", [0.9e5, 0.97e5, 0.999e5, 1.0e5, 1.03e5, 1.2e5])
def test_acetylene_is_never_tested_where_half_a_mark_passes_its_cap(shut: float) -> None:
    for division in (0.02e5, 0.05e5, 0.1e5, 3447.4):
        strict = factories.with_policy(factories.clean(), acetylene_cap=Pressure.parse("1 bar"))
        figures = factories.with_line(strict, "fuel", static=exact(shut, "gauge pressure"), outlet_division=division)
        tested = figures.leak_test.lines["fuel"].low.pressure.value
        assert tested is not None
        assert tested + 0.5 * division <= 1e5 * (1 + 1e-6)
        assert tested >= min(shut, 1e5 - 1.5 * division) - 1e-6


def test_box_and_step_tell_one_floor() -> None:
    made = stations.card(length="100 m", bore="10 mm")
    words = Words.of("uk")
    step = next(step for step in made.steps if step.id == "leak-test")
    finding = next(finding for finding in made.findings if finding.code == "leak-floor-coarse" and finding.verdict == "caution")
    floor = words.fill("{oxygen_floor}", step.numbers)
    assert boxes(made, words)[0].note == f"Sees leaks over {floor}."
    assert f"no leak under {floor}" in words.says(finding)


@pytest.mark.parametrize(("pressure", "named"), [("0.05 bar", False), ("0.15 bar", True)])
def test_no_finer_gauge_is_named_than_is_made(pressure: str, named: bool) -> None:
    figures = factories.with_about(
        factories.with_line(factories.clean(), "fuel", outlet_division=0.2e5), test_pressure_fuel=Pressure.parse(pressure)
    )
    finer = figures.leak_test.lines["fuel"].low.finer
    assert (finer is not None) is named
    assert finer is None or finer >= 1000.0
