"""The judge of a round, number by number: what one reading, one answer or one pause makes of a round that was otherwise in order."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from functools import cache

import pytest
from tests.edge.render_samples import card, changed
from tests.edge.round_samples import STATION, Plan, Round, gone, up_to

from steadycone.card.anew import anew, least_supply
from steadycone.errors import OutOfRange
from steadycone.practice.finding import Finding
from steadycone.procedures import settings
from steadycone.procedures.rounds import Answer, judged, make_plan, stops, take
from steadycone.procedures.rounds.judge import from_phase
from steadycone.quantity import exact, unknown

CAP = 1.2  # bar: the fuel regulator's and the house's acetylene cap, as the card of the slip has it
LEAST = 42.61  # bar of oxygen below which the card stops


@cache
def slip() -> Round:
    """Slip 2 gone to its end, everything in order."""
    of = card("slip-2")
    return gone(make_plan(of, STATION, anew=anew(of.figures.setup), least=least_supply(of)))


@cache
def closed() -> Round:
    return gone(make_plan(changed("slip-2", ("enclosed = false", "enclosed = true")), STATION))


def lock_up(line: str = "oxygen") -> float:
    """What the card says that a line locks up to, and is tested at [bar]: it moves with the demo's gauges, so it is asked here."""
    figures = slip().plan.judged.figures
    found = settings.shut_pressure(figures, figures.lines[line]).value
    assert found is not None
    assert found == settings.test_pressure(figures, figures.lines[line]).value
    return found / 1e5


def reading(now: Round, step: str, bar: float | Callable[[], float] | None, **more: object) -> Round:
    """The round with another number read at one step; None: the gauge could not be read."""
    given = now.given[step]
    bar = bar() if callable(bar) else bar
    number = None if bar is None else exact(bar * 1e5, "gauge pressure")
    said = "not read" if bar is None else f"{bar} bar"
    value = replace(given.value, number=number, said=said, **more)  # type: ignore[arg-type]
    return replace(now, given={**now.given, step: replace(given, value=value)})


def of_step(now: Round, step: str, code: str = "round-reading") -> list[Finding]:
    return [each.finding for each in judged(now) if each.step.id == step and each.finding.code == code]


def words(now: Round, step: str) -> list[tuple[str, str]]:
    return [(each.verdict, each.text) for each in of_step(now, step)]


def test_a_round_in_order_has_no_finding_but_go() -> None:
    assert {each.finding.verdict for each in judged(slip())} == {"go"}
    assert stops(slip()) == ()
    assert [each.step.id for each in stops(reading(slip(), "test-oxygen", 14.0))] == ["test-oxygen", "leak-start-low.oxygen"]


# --- the pressure of the leak test ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("step", "bar", "verdict", "text"),
    [
        ("test-oxygen", lambda: lock_up(), "go", "test"),
        ("test-oxygen", lambda: lock_up() - 0.1, "go", "test"),
        ("test-oxygen", lambda: lock_up() - 0.101, "caution", "test low"),
        ("test-oxygen", lambda: lock_up() / 2 + 0.001, "caution", "test low"),
        ("test-oxygen", lambda: lock_up() / 2 - 0.001, "stop", "test none"),
        ("test-oxygen", 13.0, "go", "test"),
        ("test-oxygen", 13.01, "stop", "over"),
        ("test-fuel", lambda: lock_up("fuel"), "go", "test"),
        ("test-fuel", lambda: lock_up("fuel") - 0.05, "go", "test"),
        ("test-fuel", lambda: lock_up("fuel") - 0.051, "caution", "test low"),
        ("test-fuel", lambda: lock_up("fuel") / 2 + 0.001, "caution", "test low"),
        ("test-fuel", lambda: lock_up("fuel") / 2 - 0.001, "stop", "test none"),
        ("test-fuel", CAP, "go", "test"),
        ("test-fuel", CAP + 0.001, "stop", "over"),
    ],
)
def test_the_tests_pressure_is_held_to_the_working_one_and_to_the_most_that_may_stand(
    step: str, bar: float | Callable[[], float], verdict: str, text: str
) -> None:
    assert words(reading(slip(), step, bar), step) == [(verdict, text)]


# --- what is set, and what stands with the torch shut ----------------------------------------------------


@pytest.mark.parametrize(
    ("step", "bar", "verdict", "text"),
    [
        ("set-oxygen-cutting", 3.3, "go", "set"),
        ("set-oxygen-cutting", 3.4, "go", "set"),
        ("set-oxygen-cutting", 3.2, "go", "set"),
        ("set-oxygen-cutting", 3.401, "caution", "set off"),
        ("set-oxygen-cutting", 3.199, "caution", "set off"),
        ("set-oxygen-cutting", 3.959, "caution", "set off"),
        ("set-oxygen-cutting", 3.961, "stop", "set wrong"),
        ("set-oxygen-cutting", 2.641, "caution", "set off"),
        ("set-oxygen-cutting", 2.639, "stop", "set wrong"),
        ("set-oxygen-cutting", 10.0, "stop", "set wrong"),
        ("set-oxygen-cutting", 10.01, "stop", "over"),
        ("set-fuel", 0.60, "go", "set"),
        ("set-fuel", 0.601, "caution", "set off"),
        ("set-fuel", 0.661, "stop", "set wrong"),
        ("set-fuel", CAP + 0.001, "stop", "over"),
    ],
)
def test_a_mark_either_way_is_the_same_setting_and_a_fifth_is_another_one(
    step: str, bar: float | Callable[[], float], verdict: str, text: str
) -> None:
    assert (verdict, text) in words(reading(slip(), step, bar), step)
    assert len(of_step(reading(slip(), step, bar), step)) == 1


@pytest.mark.parametrize(
    ("step", "bar", "found"),
    [
        ("shut-oxygen", lambda: lock_up(), [("go", "shut")]),
        ("shut-oxygen", lambda: lock_up() + 0.001, [("stop", "creeps")]),
        ("shut-oxygen", 13.01, [("stop", "over")]),
        ("shut-fuel", lambda: lock_up("fuel"), [("go", "shut")]),
        ("shut-fuel", lambda: lock_up("fuel") + 0.001, [("stop", "creeps")]),
        ("shut-fuel", CAP + 0.001, [("stop", "over")]),
        # beside the same gauge in flow: 3.3 and 0.55 bar
        ("shut-oxygen", 3.2, [("go", "shut")]),
        ("shut-oxygen", 3.199, [("go", "shut"), ("stop", "shut below")]),
        ("shut-fuel", 0.50, [("go", "shut")]),
        ("shut-fuel", 0.499, [("go", "shut"), ("stop", "shut below")]),
    ],
)
def test_what_stands_with_the_torch_shut_is_neither_above_lock_up_nor_below_the_flow(
    step: str, bar: float | Callable[[], float], found: list[tuple[str, str]]
) -> None:
    assert words(reading(slip(), step, bar), step) == found


@pytest.mark.parametrize(("bar", "found"), [(3.4, []), (3.401, ["flow above"])])
def test_a_gauge_in_flow_is_not_above_the_same_gauge_shut(bar: float, found: list[str]) -> None:
    """The same rule where the shut gauge was read first."""
    now = slip()
    steps = tuple(replace(step, beside="shut-oxygen") if step.id == "set-oxygen-cutting" else step for step in now.plan.steps)
    turned = reading(replace(now, plan=replace(now.plan, steps=steps)), "shut-oxygen", 3.3)
    texts = [each.text for each in of_step(reading(turned, "set-oxygen-cutting", bar), "set-oxygen-cutting") if each.verdict == "stop"]
    assert texts == found


def test_the_margin_of_a_reading_is_what_is_left_to_its_limit() -> None:
    (finding,) = of_step(reading(slip(), "shut-oxygen", lock_up() - 0.2), "shut-oxygen")
    assert finding.margin is not None
    assert finding.limit is not None
    assert (finding.margin.value, finding.margin.kind) == (pytest.approx(0.2e5), "pressure difference")
    assert finding.limit.value == pytest.approx(lock_up() * 1e5)


# --- cylinders ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bar", "verdict", "text"),
    [
        (140.0, "go", "supply"),
        (129.97, "go", "supply"),  # the card's 140 may be 134.96, and a mark below that reads the same
        (129.95, "caution", "supply low"),
        (LEAST + 0.05, "caution", "supply low"),
        (LEAST - 0.05, "stop", "supply stops"),
        (5.0, "stop", "supply stops"),
        (4.99, "stop", "supply empty"),
        (230.0, "go", "supply"),
    ],
)
def test_a_cylinder_is_held_to_what_the_card_was_made_with(bar: float | Callable[[], float], verdict: str, text: str) -> None:
    assert words(reading(slip(), "open-oxygen", bar), "open-oxygen") == [(verdict, text)]


def test_without_a_least_pressure_only_an_empty_cylinder_stops() -> None:
    """A weighed fuel: its gauge does not tell what is left."""
    now = replace(slip(), plan=replace(slip().plan, least=lambda line: None))
    assert words(reading(now, "open-oxygen", 10.0), "open-oxygen") == [("caution", "supply low")]
    assert words(reading(now, "open-oxygen", 4.99), "open-oxygen") == [("stop", "supply empty")]


@pytest.mark.parametrize(
    ("step", "bar", "found"),
    [
        ("open-oxygen", 230.01, [("stop", "over rating")]),
        ("open-acetylene", 25.01, [("stop", "over rating")]),
        ("leak-start-low.oxygen", 13.0, []),
        ("leak-start-low.oxygen", 13.01, [("stop", "over")]),
        ("leak-start-low.fuel", CAP, []),
        ("leak-start-low.fuel", CAP + 0.001, [("stop", "over")]),
        ("leak-end-low.oxygen", 13.01, []),
    ],
)
def test_no_gauge_stands_over_what_it_is_rated_for(step: str, bar: float | Callable[[], float], found: list[tuple[str, str]]) -> None:
    assert [each for each in words(reading(slip(), step, bar), step) if each != ("go", "supply")] == found


@pytest.mark.parametrize(
    ("step", "bar", "found"),
    [
        ("leak-start-low.oxygen", lambda: lock_up() - 0.1, []),
        ("leak-start-low.oxygen", lambda: lock_up() - 0.101, [("caution", "lost before")]),
        ("leak-start-low.oxygen", lambda: lock_up() - 0.2, [("caution", "lost before")]),
        ("leak-start-low.oxygen", lambda: lock_up() - 0.201, [("stop", "lost before")]),
        ("leak-start-low.fuel", lambda: lock_up("fuel") - 0.05, []),
        ("leak-start-low.fuel", lambda: lock_up("fuel") - 0.051, [("caution", "lost before")]),
        ("leak-start-low.fuel", lambda: lock_up("fuel") - 0.101, [("stop", "lost before")]),
        ("leak-start-high.oxygen", 135.0, []),
        ("leak-start-high.oxygen", 134.9, [("caution", "lost before")]),
        ("leak-start-high.oxygen", 129.9, [("stop", "lost before")]),
    ],
)
def test_what_a_gauge_lost_before_the_watch_counts(step: str, bar: float | Callable[[], float], found: list[tuple[str, str]]) -> None:
    assert words(reading(slip(), step, bar), step) == found


def test_a_gauge_that_was_not_read_before_is_not_held_beside_it() -> None:
    now = reading(slip(), "test-oxygen", None)
    assert words(reading(now, "leak-start-low.oxygen", 4.0), "leak-start-low.oxygen") == []


# --- valves, and the air ----------------------------------------------------------------------------------


@pytest.mark.parametrize("step", ["leak-valve-needle.oxygen", "leak-valve-needle.fuel"])
@pytest.mark.parametrize(("bar", "verdict"), [(0.0, "go"), (0.001, "stop")])
def test_anything_above_zero_after_the_bleed_came_through_the_valve(step: str, bar: float, verdict: str) -> None:
    (finding,) = of_step(reading(slip(), step, bar), step, "round-valve")
    assert finding.verdict == verdict


@pytest.mark.parametrize(
    ("step", "percent", "verdict", "text"),
    [
        ("air-oxygen", 19.49, "stop", "air low"),
        ("air-oxygen", 19.51, "go", "air"),
        ("air-oxygen", 21.99, "go", "air"),
        ("air-oxygen", 22.01, "stop", "air high"),
        ("air-fuel", 0.0, "go", "air no fuel"),
        ("air-fuel", 0.01, "caution", "air some fuel"),
    ],
)
def test_the_air_of_a_closed_place_has_a_limit_both_ways(step: str, percent: float, verdict: str, text: str) -> None:
    now = closed()
    given = now.given[step]
    other = replace(given, value=replace(given.value, number=exact(percent / 100, "share")))
    assert words(replace(now, given={**now.given, step: other}), step) == [(verdict, text)]


@pytest.mark.parametrize(("share", "verdict"), [(0.1, "stop"), (0.0999, "caution")])
def test_fuel_in_the_air_stops_from_a_tenth_of_the_flammable_limit_on(share: float, verdict: str) -> None:
    now = closed()
    given = now.given["air-fuel"]
    other = replace(given, value=replace(given.value, number=exact(share, "share")))
    assert [each.verdict for each in of_step(replace(now, given={**now.given, "air-fuel": other}), "air-fuel")] == [verdict]


# --- answers that are no number -----------------------------------------------------------------------------


def with_step(now: Round, step: str, **more: object) -> Round:
    steps = tuple(replace(each, **more) if each.id == step else each for each in now.plan.steps)  # type: ignore[arg-type]
    return replace(now, plan=replace(now.plan, steps=steps))


@pytest.mark.parametrize(("optional", "verdict"), [(False, "stop"), (True, "caution")])
def test_a_gauge_that_was_not_read_is_never_go(optional: bool, verdict: str) -> None:
    now = reading(with_step(slip(), "set-fuel", optional=optional), "set-fuel", None)
    (finding,) = of_step(now, "set-fuel", "round-not-read")
    assert finding.verdict == verdict


def test_a_wait_without_its_number_stops() -> None:
    """A purge that nobody can time has not purged."""
    waits = [step.id for step in slip().plan.steps if step.kind == "wait"]
    assert waits
    for step in waits:
        now = with_step(slip(), step, seconds=None)
        assert [each.verdict for each in of_step(now, step, "round-number-missing")] == ["stop"]
        assert of_step(slip(), step, "round-number-missing") == []


def test_a_fail_is_a_stop_in_the_words_that_were_said() -> None:
    now = slip()
    given = now.given["reopen"]
    failed = replace(given, value=replace(given.value, stops=True, said="fail: it hisses"))
    (finding,) = of_step(replace(now, given={**now.given, "reopen": failed}), "reopen", "round-answer")
    assert (finding.verdict, finding.blanks["said"]) == ("stop", "fail: it hisses")


def test_a_reading_finer_than_assumed_marks_is_said_beside_its_own_verdict() -> None:
    now = reading(slip(), "set-fuel", 0.55, finer=True)
    assert words(now, "set-fuel") == [("go", "set"), ("caution", "finer")]


# --- the needles ------------------------------------------------------------------------------------------------


def drop_of(now: Round, line: str) -> Finding:
    return next(each.finding for each in judged(now) if each.drop is not None and each.drop.line == line)


def test_a_gauge_that_nobody_read_proves_nothing() -> None:
    for name in ("leak-end-low.oxygen", "leak-end-high.oxygen"):
        found = drop_of(reading(slip(), name, None), "oxygen")
        assert (found.verdict, found.text) == ("stop", "unread")


def test_a_pipe_may_have_no_high_gauge_but_its_low_one_is_read() -> None:
    now = gone(make_plan(card("gantry-three-hose"), STATION))
    high, low = "leak-end-high.oxygen", "leak-end-low.oxygen"
    start = "leak-start-high.oxygen"
    unread = reading(reading(now, high, None), start, None)
    assert (drop_of(unread, "oxygen").verdict, drop_of(unread, "oxygen").text) == ("caution", "unread")
    assert drop_of(reading(unread, low, None), "oxygen").verdict == "stop"
    assert drop_of(reading(now, low, None), "oxygen").verdict == "stop"
    cylinders = reading(reading(now, "leak-end-high.fuel", None), "leak-start-high.fuel", None)
    assert drop_of(cylinders, "fuel").verdict == "stop"


def test_a_valve_that_the_bleed_shows_shut_is_not_blamed_for_a_needle_that_rose() -> None:
    """The high needle went up over the watch: the valve let gas in, unless the bleed shows that it shuts."""
    now = reading(slip(), "leak-end-high.oxygen", 150.0)
    shuts, passes = drop_of(now, "oxygen"), drop_of(reading(now, "leak-valve-needle.oxygen", 0.5), "oxygen")
    assert shuts.verdict != "go"
    assert (shuts.text == "a gauge moved") is (passes.text != "a gauge moved")
    assert shuts.text == "a gauge moved"
    other = drop_of(reading(now, "leak-valve-needle.fuel", 3.0), "oxygen")
    assert other.text == "a gauge moved"  # the other line's valve has nothing to do with it


# --- time ----------------------------------------------------------------------------------------------------------


def later(now: Round, step: str, seconds: float) -> Round:
    """Everything from a step on that much later."""
    place = now.plan.index(step)
    moved = {
        name: replace(given, first_at=given.first_at + timedelta(seconds=seconds)) if now.plan.index(name) >= place else given
        for name, given in now.given.items()
    }
    return replace(now, given=moved)


def pause_before(now: Round, step: str) -> float:
    """Seconds without anything done, before a step."""
    ids = [each.id for each, _ in now.answered]
    before = ids[ids.index(step) - 1]
    gap = (now.given[step].first_at - now.given[before].first_at).total_seconds()
    return gap - (now.plan.step(step).seconds or 0.0)


@pytest.mark.parametrize(("step", "holds"), [("leak-wait", True), ("set-fuel", True), ("test-oxygen", True), ("screws-out", False)])
def test_half_an_hour_without_a_hand_on_it_is_the_longest_break_with_gas_let_in(step: str, holds: bool) -> None:
    """A wait that the round asked for is no break."""
    now = slip()
    step = next(
        each.id for each in now.plan.steps if each.id == step or (step == "leak-wait" and each.kind == "wait" and (each.seconds or 0) > 60)
    )
    spare = 1800 - pause_before(now, step)
    assert of_step(later(now, step, spare), step, "round-break") == []
    found = of_step(later(now, step, spare + 1), step, "round-break")
    assert [each.verdict for each in found] == (["stop"] if holds else [])
    if found:
        assert found[0].value is not None
        assert found[0].margin is not None
        assert (found[0].value.value, found[0].margin.value) == (pytest.approx(1801), pytest.approx(-1))


@pytest.mark.parametrize(("late", "verdict", "limit"), [(60, None, 0), (61, "caution", 60), (300, "caution", 60), (301, "stop", 300)])
def test_the_time_from_the_purge_to_the_flame_is_told_with_its_limit(late: int, verdict: str | None, limit: int) -> None:
    now = slip()
    light = next(step.id for step, _ in now.answered if step.phase == "light")
    purged = [given for step, given in now.answered if step.phase == "purge" and step.kind == "wait"][-1]
    gap = (now.given[light].first_at - purged.first_at).total_seconds()
    found = of_step(later(now, light, late - gap), light, "round-purge")
    assert [each.verdict for each in found] == ([verdict] if verdict else [])
    if found:
        assert found[0].value is not None
        assert found[0].limit is not None
        assert (found[0].value.value, found[0].limit.value) == (pytest.approx(late), limit)


def test_a_flame_that_was_not_lit_is_not_late() -> None:
    now, at = up_to(slip().plan, "light")
    failed = take(now, Answer("light", "fail", at + timedelta(seconds=400)))
    assert not [each for each in judged(failed) if each.finding.code == "round-purge"]
    before, _ = up_to(slip().plan, "light")
    assert not [each for each in judged(before) if each.finding.code == "round-purge"]


def test_gas_is_let_in_from_the_first_step_of_opening_on() -> None:
    of: Plan = slip().plan
    first = next(step for step in of.steps if step.phase == "open")
    place = of.index(first.id)
    assert from_phase(of, first, "open")
    assert from_phase(of, of.steps[-1], "open")
    assert not from_phase(of, of.steps[place - 1], "open")


@pytest.mark.parametrize("missing", ["who", "sign"])
def test_two_names_are_compared_only_where_both_are_given(missing: str) -> None:
    now = slip()
    one = replace(now, given={name: given for name, given in now.given.items() if name != missing})
    assert not [each for each in judged(one) if each.finding.code == "round-names"]


# --- what a machine's arithmetic adds, and what is not known -----------------------------------------------------------


@pytest.mark.parametrize(
    ("step", "limit", "mark", "way", "past"),
    [
        ("open-oxygen", lambda: 230e5, 5e5, 1, "over rating"),
        ("leak-start-low.oxygen", lambda: 13e5, 0.1e5, 1, "over"),
        ("test-oxygen", lambda: 13e5, 0.1e5, 1, "over"),
        ("test-oxygen", lambda: lock_up() * 1e5 - 0.1e5, 0.1e5, -1, "test low"),
        ("set-oxygen-cutting", lambda: 3.4e5, 0.1e5, 1, "set off"),
        ("shut-oxygen", lambda: lock_up() * 1e5, 0.1e5, 1, "creeps"),
        ("shut-oxygen", lambda: 3.2e5, 0.1e5, -1, "shut below"),
        ("open-oxygen", lambda: 5e5, 5e5, -1, "supply empty"),
        ("leak-start-high.oxygen", lambda: 135e5, 5e5, -1, "lost before"),
    ],
)
def test_a_reading_on_its_limit_is_not_past_it_for_the_last_digits_of_a_sum(
    step: str, limit: Callable[[], float], mark: float, way: int, past: str
) -> None:
    """A millionth of a mark is no reading; a few of them are."""
    on = limit() + way * 0.7e-6 * mark
    beyond = limit() + way * 3e-6 * mark
    assert past not in [text for _, text in words(reading(slip(), step, on / 1e5), step)]
    assert past in [text for _, text in words(reading(slip(), step, beyond / 1e5), step)]


def without(now: Round, **unknowns: object) -> Round:
    """The round with figures of the oxygen line that nobody knows, the leak test's pressure among them."""
    of = now.plan.judged
    lines = {**of.figures.lines, "oxygen": replace(of.figures.lines["oxygen"], **unknowns)}  # type: ignore[arg-type]
    asked = of.figures.leak_test.lines["oxygen"]
    asked = replace(asked, low=replace(asked.low, pressure=unknown("gauge pressure")))
    test = replace(of.figures.leak_test, lines={**of.figures.leak_test.lines, "oxygen": asked})
    return replace(now, plan=replace(now.plan, judged=replace(of, figures=replace(of.figures, lines=lines, leak_test=test))))


def test_what_the_card_does_not_know_is_no_setting_and_no_test() -> None:
    nothing = unknown("gauge pressure")
    now = without(slip(), set_pressure=nothing, static=nothing)
    assert words(now, "set-oxygen-cutting") == [("stop", "unknown")]
    assert words(now, "shut-oxygen") == [("stop", "unknown")]
    assert words(now, "test-oxygen") == [("caution", "unknown")]
    supply = replace(slip().plan.judged.figures.lines["oxygen"].supply, pressure=nothing)
    assert words(without(slip(), supply=supply), "open-oxygen") == [("go", "supply")]


def test_a_regulator_without_a_rating_is_held_to_none() -> None:
    text = 'inlet_rating = "230 bar"\n'
    now = gone(make_plan(changed("slip-2", (text, "")), STATION))
    assert not [each for each in words(reading(now, "open-oxygen", 299.0), "open-oxygen") if each[1] == "over rating"]


def test_a_temperature_that_nobody_read_is_no_finding() -> None:
    now = slip()
    given = now.given["leak-start-temperature"]
    other = replace(given, value=replace(given.value, number=None, said="not read"))
    found = replace(now, given={**now.given, "leak-start-temperature": other})
    assert given.value.number is not None
    assert other.value.not_read
    assert not [each for each in judged(found) if each.step.id == "leak-start-temperature"]


def test_a_reading_names_the_source_of_its_own_rule() -> None:
    def sources(step: str, bar: float) -> tuple[str, ...]:
        return of_step(reading(slip(), step, bar), step)[0].sources

    assert sources("test-oxygen", 1.0) == ("round-test-low-judged",)
    assert sources("set-fuel", 0.7) == ("round-set-judged",)
    assert sources("leak-start-low.oxygen", 1.0) == ("round-lost-before-judged",)
    step = slip().plan.step("shut-oxygen")
    assert sources("shut-oxygen", lock_up()) == step.source != ()


def test_a_margin_is_of_the_kind_of_its_reading_and_a_valves_limit_is_zero() -> None:
    (finding,) = of_step(closed(), "air-oxygen")
    assert finding.margin is not None
    assert finding.margin.kind == "share"
    (valve,) = of_step(slip(), "leak-valve-needle.oxygen", "round-valve")
    assert valve.limit is not None
    assert valve.limit.value == 0.0


def test_what_the_day_says_stands_at_the_first_step() -> None:
    now = gone(make_plan(card("slip-2"), STATION))
    moved = {name: replace(given, first_at=given.first_at + timedelta(days=3)) for name, given in now.given.items()}
    log = tuple(replace(answer, at=answer.at + timedelta(days=3)) for answer in now.log)
    later_day = [each for each in judged(replace(now, given=moved, log=log)) if each.finding.code.startswith("round-day")]
    assert [each.step.id for each in later_day] == [now.plan.steps[0].id]


@pytest.mark.parametrize("name", ["slip-2", "plate-shop-natural-gas-eu"])
@pytest.mark.parametrize(("fallen", "verdict"), [(1.0, "caution"), (3.0, "stop")])
def test_a_needle_that_moved_without_a_sum_stops_on_cylinders_and_on_pipes(
    name: str, fallen: float, verdict: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_sum(test: object) -> None:
        raise OutOfRange("the gas table ends below these readings")

    plan = make_plan(card(name), STATION)
    step, start = plan.step("leak-end-low.fuel"), gone(plan).given["leak-start-low.fuel"].value.number
    assert step.division is not None
    assert start is not None
    assert start.value is not None
    monkeypatch.setattr("steadycone.procedures.rounds.drop.read_drop", no_sum)
    now = gone(plan, **{step.id: f"{(start.value - fallen * step.division.si) / 1e5:.4f} bar"})
    found = [each.finding.verdict for each in judged(now) if each.finding.code == "round-drop" and each.step.id == step.id]
    assert found == [verdict]
