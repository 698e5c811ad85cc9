"""A round's answers: what is taken, what is refused, what stops."""

from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from tests.edge.render_samples import card, changed, view
from tests.edge.round_samples import START, STATION, answers, begin, gone, keyed, plan, up_to

from steadycone.errors import BadFile, InputError
from steadycone.procedures.rounds import (
    Answer,
    AnswersFile,
    Round,
    drops,
    fold,
    fold_file,
    judged,
    make_plan,
    next_step,
    read_answers,
    sign_off,
    stops,
    take,
)
from steadycone.procedures.rounds.sign import state, verdict
from steadycone.render.text import text_card


def codes(now: Round) -> set[str]:
    return {each.finding.code for each in stops(now)}


def text(now: Round, step: str) -> str:
    return next(each.finding.text for each in judged(now) if each.step.id == step)


def refused(now: Round, step: str, value: str, at: datetime) -> InputError:
    with pytest.raises(InputError) as caught:
        take(now, Answer(step, value, at))
    return caught.value


# --- the whole way -------------------------------------------------------------------


@pytest.mark.parametrize("name", ["slip-2", "gantry-three-hose", "pontoon-lpg-au", "weld-bench-eu", "plate-shop-natural-gas-eu"])
def test_a_round_in_order_ends_in_a_sign_off(name: str) -> None:
    now = gone(plan(name))
    signed = sign_off(now)
    assert signed is not None
    assert signed.by == "M. Okoro"
    assert signed.valid_until == datetime(2026, 11, 25, 16, 30, tzinfo=UTC)
    assert state(now) == "signed"


def test_an_unfinished_round_is_never_go() -> None:
    now, _ = up_to(plan("weld-bench-eu"), "sign")
    assert verdict(now) == "caution"
    assert sign_off(now) is None


def test_not_lit_now_leaves_purge_and_light_out() -> None:
    now = gone(plan(), **keyed(light_now="later"))
    signed = sign_off(now)
    assert signed is not None
    assert not signed.lit
    assert not any(step.phase in ("purge", "light") for step in now.asked)


# --- what cannot be ------------------------------------------------------------------


def test_a_step_skipped_is_named() -> None:
    now, at = up_to(plan(), "ready")
    error = refused(now, "look-oxygen-supply", "done", at)
    assert "ready was skipped" in str(error)


def test_an_unknown_step_is_refused_with_the_nearest() -> None:
    assert "authority" in refused(begin(plan()), "authoriti", "done", START).try_


def test_a_time_before_the_last_one_is_refused() -> None:
    now, at = up_to(plan(), "ready")
    assert "is before the answer before it" in str(refused(now, "ready", "done", at - timedelta(hours=1)))


def test_times_in_other_zones_are_the_same_moments() -> None:
    now, at = up_to(plan(), "ready")
    there = at.astimezone(timezone(timedelta(hours=-9)))
    assert take(now, Answer("ready", "done", there)).given["ready"].first_at == at


def test_a_wait_answered_too_early_is_refused_but_a_fail_is_taken_at_once() -> None:
    now, at = up_to(plan(), "leak-watch")
    assert "answered after 20 s, and the wait is 540 s" in str(refused(now, "leak-watch", "done", at))
    assert codes(take(now, Answer("leak-watch", "fail: hissing", at))) == {"round-answer"}


def test_a_wait_begun_later_counts_from_then() -> None:
    now, at = up_to(plan(), "leak-settle")
    with pytest.raises(InputError, match="30 s"):
        take(now, Answer("leak-settle", "done", at + timedelta(seconds=100), since=at + timedelta(seconds=70)))


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("4.35 bar", "finer than the gauge"),
        ("4.3", "no unit"),
        ("4.3 L", "not of pressure"),
        ("-0.5 bar", "below the air"),
        ("-2 bar", "below vacuum"),
        ("4,3 bar", "not a number"),
        ("done", "not a number"),
        ("", "empty"),
        ("4.3 bar" + " " * 400, "characters"),
    ],
)
def test_a_gauge_reading_that_can_not_be_is_refused(value: str, says: str) -> None:
    now, at = up_to(plan(), "leak-start-low.oxygen")
    error = refused(now, "leak-start-low.oxygen", value, at)
    assert says in str(error)
    assert error.where == "leak-start-low.oxygen"
    assert error.try_


def test_high_below_low_is_refused_at_once() -> None:
    now, at = up_to(plan(), "leak-start-low.oxygen", **keyed(leak_start_high__oxygen="5 bar"))
    take(now, Answer("leak-start-low.oxygen", "5 bar", at))
    assert "swapped" in refused(now, "leak-start-low.oxygen", "9 bar", at).try_


@pytest.mark.parametrize("value", ["maybe", "yes: but", "12", "done fail"])
def test_a_tick_is_done_or_fail(value: str) -> None:
    now, at = up_to(plan(), "authority")
    assert "not an answer here" in str(refused(now, "authority", value, at))


def test_a_choice_is_one_of_its_own() -> None:
    now, at = up_to(plan(), "stand-up")
    assert "never lay down" in refused(now, "stand-up", "never lie down", at).try_


@pytest.mark.parametrize("value", ["25:00", "16.30", "half past four", "07:39", "20:30"])
def test_a_shift_end_is_on_the_clock_and_within_twelve_hours(value: str) -> None:
    now, at = up_to(plan(), "shift-end")
    refused(now, "shift-end", value, at)


def test_a_night_shift_ends_tomorrow() -> None:
    now, at = up_to(plan(), "shift-end")
    evening = take(now, Answer("shift-end", "02:00", at.replace(hour=18)))
    assert evening.given["shift-end"].value.until == datetime(2026, 11, 26, 2, 0, tzinfo=UTC)


def test_nobody_signs_after_the_shift_has_ended() -> None:
    now, at = up_to(plan(), "sign", **keyed(shift_end="08:30"))
    assert "the shift has ended" in str(refused(now, "sign", "M. Okoro", at.replace(hour=8, minute=40)))


def test_a_refused_answer_leaves_the_round_as_it_was() -> None:
    found = list(answers(plan()))
    bad = Answer(found[10].step, "perhaps", found[10].at)
    folded = fold(plan(), [*found[:10], bad, *found[11:]])
    assert folded.problem is not None
    assert folded.round == fold(plan(), found[:10]).round
    assert len(folded.left) == len(found) - 10
    assert fold(plan(), [*folded.round.log, *found[10:]]).problem is None


# --- corrections -----------------------------------------------------------------------


def test_a_later_answer_replaces_and_the_first_stays_to_be_seen() -> None:
    now, at = up_to(plan(), "screws-out")
    mended = take(now, Answer("look-fuel-part-2", "fail: soft spot", at))
    assert codes(mended) == {"round-answer"}
    mended = take(mended, Answer("look-fuel-part-2", "done", at + timedelta(minutes=5)))
    assert not codes(mended)
    assert [answer.value for answer in mended.given["look-fuel-part-2"].earlier] == ["done", "fail: soft spot"]


def test_a_corrected_reading_keeps_the_time_it_was_read_at() -> None:
    now, at = up_to(plan(), "leak-valve-wait.oxygen")
    before = next(each.drop for each in judged(now) if each.drop and each.drop.line == "oxygen")
    mended = take(now, Answer("leak-end-low.oxygen", "4.2 bar", at + timedelta(minutes=10)))
    after = next(each.drop for each in judged(mended) if each.drop and each.drop.line == "oxygen")
    assert before.test
    assert after.test
    assert after.test.time == before.test.time


def test_a_correction_after_the_signature_takes_the_signature_away() -> None:
    now = gone(plan())
    assert now.last_at is not None
    mended = take(now, Answer("leak-end-low.fuel", "0.8 bar", now.last_at))
    assert sign_off(mended) is None
    assert next_step(mended) is mended.plan.step("sign")


def test_going_round_again_voids_what_came_after() -> None:
    now, at = up_to(plan(), "reopen", **keyed(leak_end_low__oxygen="3.9 bar"))
    assert codes(now) == {"round-drop"}
    assert next_step(now) is None
    again = take(now, Answer("screws-out", "done", at, again=True))
    assert not codes(again)
    assert "leak-end-low.oxygen" not in again.given
    assert len(again.gone) == len(now.given) - len(again.given) + 1
    step = next_step(again)
    assert step is not None
    assert step.id == "handle-open"


@pytest.mark.parametrize(("step", "said"), [("leak-fluid", "fail: bubbles"), ("blow-oxygen-hose", "not done"), ("purge-fuel", "fail: pop")])
def test_a_fail_with_gas_let_in_is_gone_round_again_and_not_just_answered(step: str, said: str) -> None:
    now, at = up_to(plan(), step)
    now = take(now, Answer(step, said, at))
    well = "not new or stored" if step == "blow-oxygen-hose" else "done"
    later = at + timedelta(minutes=12)
    for from_, value, again in [(step, well, False), (step, well, True), ("handle-open", "done", True)]:
        with pytest.raises(InputError, match=f"{step} failed, and gas was let in") as caught:
            take(now, Answer(from_, value, later, again=again))
        assert "from screws-out" in caught.value.try_
    for from_ in ("screws-out", "tip-spanner"):
        assert not codes(take(now, Answer(from_, "done", later, again=True)))


def test_before_gas_is_let_in_a_fail_is_answered_again_and_so_is_screws_out_itself() -> None:
    for step in ("crack-oxygen", "screws-out"):
        now, at = up_to(plan(), step)
        now = take(now, Answer(step, "fail", at))
        assert not codes(take(now, Answer(step, "done", at + timedelta(seconds=5))))


@pytest.mark.parametrize("step", ["purge-fuel", "light"])
def test_not_lit_now_does_not_take_back_a_fail_while_lighting(step: str) -> None:
    now, at = up_to(plan(), step)
    later = Answer("light-now", "later", at + timedelta(seconds=20))
    assert take(now, later)
    with pytest.raises(InputError, match=f"{step} failed, and gas was let in"):
        take(take(now, Answer(step, "fail: pop", at)), later)


def test_a_purge_gone_again_is_waited_again_whole() -> None:
    now, at = up_to(plan(), "light")
    with pytest.raises(InputError, match="answered after 24 s, and the wait is 25 s"):
        take(now, Answer("purge-fuel", "done", at - timedelta(seconds=20) + timedelta(seconds=24), again=True))
    assert take(now, Answer("purge-fuel", "done", at + timedelta(seconds=5), again=True))


# --- what stops -------------------------------------------------------------------------


def test_a_fail_among_the_looks_lets_the_looks_go_on_and_nothing_else() -> None:
    now, at = up_to(plan(), "look-oxygen-part-1")
    now = take(now, Answer("look-oxygen-part-1", "fail: tripped", at))
    for step in plan().steps:
        if step.phase == "inspect" and step.id not in now.given:
            at += timedelta(seconds=20)
            now = take(now, Answer(step.id, "done", at))
    assert next_step(now) is None
    with pytest.raises(InputError, match="a stop stands before it"):
        take(now, Answer("crack-oxygen", "done", at))


def test_no_permit_ends_it_there() -> None:
    now, at = up_to(plan(), "authority")
    assert next_step(take(now, Answer("authority", "fail", at))) is None


def test_a_stop_on_the_card_lets_no_gas_in() -> None:
    now = gone(plan("bay-4-us"))
    assert now.plan.card_stops
    assert not any(step.phase == "open" and step.id in now.given for step in now.plan.steps)
    assert state(now) == "stopped"


@pytest.mark.parametrize(
    ("step", "value", "code", "wording"),
    [
        ("leak-end-low.oxygen", "3.9 bar", "round-drop", "a leak was seen"),
        ("leak-end-low.fuel", "0.9 bar", "round-drop", "the seat passes"),
        ("leak-end-high.oxygen", "160 bar", "round-drop", "a gauge moved"),  # bled to zero, the supply valve was seen to shut
        ("leak-end-low.fuel", "not read", "round-drop", "unread"),
        ("leak-valve-needle.oxygen", "0.1 bar", "round-valve", ""),
        ("leak-valve-needle.fuel", "not read", "round-not-read", ""),
        ("test-fuel", "1.25 bar", "round-reading", "over"),
        ("set-oxygen-cutting", "2.5 bar", "round-reading", "set wrong"),
        ("shut-oxygen", "5.3 bar", "round-reading", "creeps"),
        ("stand-up", "not yet", "round-answer", ""),
    ],
)
def test_a_reading_that_stops(step: str, value: str, code: str, wording: str) -> None:
    now = gone(plan(), **{step: value})
    assert codes(now) == {code}
    assert any(each.finding.text == wording for each in stops(now))
    assert sign_off(now) is None


@pytest.mark.parametrize(
    ("step", "value", "wording"),
    [
        ("open-oxygen", "90 bar", "supply low"),
        ("test-oxygen", "3.0 bar", "test low"),
        ("set-oxygen-cutting", "3.5 bar", "set off"),
        ("set-oxygen-cutting", "3.4 bar", "set"),
        ("shut-oxygen", "4.4 bar", "shut"),
    ],
)
def test_a_reading_that_does_not_stop(step: str, value: str, wording: str) -> None:
    assert text(gone(plan(), **{step: value}), step) == wording


def test_a_test_below_working_is_scaled_up() -> None:
    low = keyed(test_oxygen="3.0 bar", leak_start_low__oxygen="3.0 bar", leak_end_low__oxygen="3.0 bar")
    drop = next(each.drop for each in judged(gone(plan(), **low)) if each.drop and each.drop.line == "oxygen")
    assert drop.reading
    assert drop.reading.low_floor_at_working is not None
    assert drop.reading.low_floor_at_working.value > drop.reading.low_floor.value  # type: ignore[operator]


def test_an_lpg_cylinder_side_is_never_called_proved_by_its_needle() -> None:
    drops = {each.drop.line: each for each in judged(gone(plan("pontoon-lpg-au"))) if each.drop}
    assert drops["fuel"].finding.verdict == "caution"
    assert drops["fuel"].finding.text == "not clear"


def test_a_pipe_without_a_gauge_is_a_caution_and_a_cylinder_without_a_reading_a_stop() -> None:
    unread = {"leak-start-high.oxygen": "no gauge", "leak-end-high.oxygen": "no gauge"}
    assert sign_off(gone(plan("gantry-three-hose"), **unread)) is not None
    assert codes(gone(plan("slip-2"), **unread)) == {"round-drop"}


def test_a_long_break_with_gas_let_in_is_proved_again() -> None:
    now, at = up_to(plan(), "reopen")
    now = take(now, Answer("reopen", "done", at + timedelta(hours=2)))
    assert codes(now) == {"round-break"}
    assert not codes(take(now, Answer("screws-out", "done", at + timedelta(hours=2), again=True)))


def test_a_break_before_gas_is_let_in_is_none() -> None:
    now, at = up_to(plan(), "screws-out")
    assert not codes(take(now, Answer("screws-out", "done", at + timedelta(hours=2))))


def test_looks_of_another_shift_do_not_count() -> None:
    now, at = up_to(plan(), "screws-out")
    assert codes(take(now, Answer("screws-out", "done", at + timedelta(hours=13)))) == {"round-break"}


@pytest.mark.parametrize(
    ("oxygen", "fuel", "wordings"),
    [
        ("20.9 %", "0 %", set()),
        ("19.0 %", "0 %", {"air low"}),
        ("23.6 %", "0 %", {"air high"}),
        ("20.9 %", "10 %", {"air fuel"}),
    ],
)
def test_the_air_of_a_closed_place_stops(oxygen: str, fuel: str, wordings: set[str]) -> None:
    closed = make_plan(changed("slip-2", ("enclosed = false", "enclosed = true")), STATION)
    now = gone(closed, **keyed(air_oxygen=oxygen, air_fuel=fuel))
    assert {each.finding.text for each in stops(now)} == wordings


# --- the file ---------------------------------------------------------------------------


def as_file(**changes: Any) -> AnswersFile:
    table: dict[str, Any] = {"station": STATION, "answers": [answer.out() for answer in answers(plan())]}
    return read_answers(table | changes)


def test_a_file_gives_what_its_answers_give() -> None:
    folded = fold_file(plan(), as_file())
    assert folded.problem is None
    assert folded.round == gone(plan())


def test_a_file_for_another_station_is_refused() -> None:
    with pytest.raises(InputError, match="the answers are for the station"):
        fold_file(plan(), as_file(station="0" * 64))


def test_a_file_begun_with_other_steps_is_refused() -> None:
    with pytest.raises(InputError, match="another list of steps"):
        fold_file(plan(), as_file(plan="0" * 64))


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        ({"step": "ready", "value": 3.3, "at": START.isoformat()}, "not text"),
        ({"step": "ready", "at": START.isoformat()}, "value is missing"),
        ({"step": "ready", "value": "done", "at": "2026-11-25T07:40:00"}, "no zone"),
        ({"step": "ready", "value": "done", "at": "soon"}, "not a time"),
        ({"step": "ready", "value": "done", "at": "0001-01-01T00:00:00+14:00"}, "calendar"),
        ({"step": "ready", "value": "done", "at": START.isoformat(), "by": "x"}, "not a part"),
        ("ready", "not an object"),
    ],
)
def test_an_answer_that_can_not_be_read_keeps_those_before_it(bad: object, says: str) -> None:
    good = [answer.out() for answer in answers(plan())][:4]
    folded = fold_file(plan(), read_answers({"station": STATION, "answers": [*good, bad]}))
    assert len(folded.round.log) == 4
    assert folded.problem is not None
    assert says in str(folded.problem)
    assert "answer 5" in str(folded.problem)


@pytest.mark.parametrize("bad", [None, [], {}, {"station": "x"}, {"station": 1, "answers": []}, {"station": "x", "answers": {}}])
def test_a_file_that_is_none_is_told(bad: object) -> None:
    with pytest.raises(BadFile):
        read_answers(bad)


def test_a_gauge_that_could_not_be_read_at_the_start_stops_the_test_and_nothing_else() -> None:
    found = plan()
    now = gone(found, **{"leak-start-high.oxygen": "not read"})
    assert {"leak-end-high.oxygen", "leak-end-low.oxygen"} <= set(now.given)
    oxygen = next(drop for drop in drops(now) if drop.line == "oxygen")
    assert oxygen.unread == ("leak-start-high.oxygen",)
    assert "stop" in {each.finding.verdict for each in judged(now) if each.drop is oxygen or (each.drop and each.drop.line == "oxygen")}


def test_a_shift_without_an_end_is_not_taken() -> None:
    now, at = up_to(plan(), "shift-end")
    with pytest.raises(InputError, match="time of day"):
        take(now, Answer("shift-end", "not read", at))


def test_one_lock_up_number_on_the_front_in_details_steps_and_the_round() -> None:
    printed = " ".join(text_card(view(card("slip-2"))).split())
    assert printed.count("Valves shut, up to 5.20 bar") == 2
    assert "it may rise to 5.20 bar" in printed
    assert text(gone(plan(), **{"shut-oxygen": "5.2 bar"}), "shut-oxygen") == "shut"
    assert text(gone(plan(), **{"shut-oxygen": "5.3 bar"}), "shut-oxygen") == "creeps"
