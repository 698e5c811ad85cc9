"""What happens in a round: triage is asked, the station is held, and no step of the round clears it."""

from datetime import timedelta

import pytest
from tests.edge.round_samples import answers, plan, up_to

from steadycone.errors import InputError
from steadycone.procedures.rounds import Answer, Round, StopFirst, fold, happened, judged, sign_off, stops, take
from steadycone.render.round_phone import phone_plan
from steadycone.render.round_words import RoundWords


def failed(step: str, said: str) -> Round:
    now, at = up_to(plan(), step)
    return take(now, Answer(step, said, at))


def test_a_squeal_while_lighting_is_not_cleared_by_going_round_again() -> None:
    now = failed("light", "fail: squeal and hot handle, black smoke")
    assert [each.triage.event for each in happened(now)] == ["sustained backfire"]
    assert now.last_at is not None
    with pytest.raises(StopFirst):
        take(now, Answer("screws-out", "done", now.last_at + timedelta(seconds=20), again=True))
    assert sign_off(now) is None
    with pytest.raises(InputError, match="light failed, and gas was let in"):
        take(now, Answer("light", "done", now.last_at + timedelta(seconds=30)))
    assert any(each.finding.code == "round-happened" for each in stops(now))


def test_the_first_actions_stand_in_the_stop() -> None:
    now = failed("light", "fail: squeal")
    words = RoundWords(plan())
    found = next(each for each in judged(now) if each.finding.code == "round-happened")
    remedy = words.words.remedy(words.finding(found, now))
    assert "{" not in remedy
    assert remedy.lower().index("oxygen") < remedy.index("held")


@pytest.mark.parametrize(
    ("said", "held"), [("fail: pop", False), ("fail: squeal", True), ("fail", False), ("fail: the flame lifts", False)]
)
def test_a_pop_costs_less_than_a_squeal(said: str, held: bool) -> None:
    now = failed("light", said)
    assert bool(happened(now)) is held
    assert stops(now)


def test_soot_in_an_arrestor_found_by_looking_is_a_flashback() -> None:
    step = next(each.id for each in plan().steps if each.looks and "part-1" in each.id)
    assert [each.triage.event for each in happened(failed(step, "fail: arrestor tripped, soot"))] == ["flashback"]
    assert happened(failed(step, "fail: label gone")) == ()


def test_a_flame_at_a_cylinder_valve_found_by_looking_holds_and_a_stuck_valve_does_not() -> None:
    step = next(each.id for each in plan().steps if each.looks and "part-1" in each.id)
    assert [each.triage.event for each in happened(failed(step, "fail: small flame at the cylinder valve"))] == ["cylinder valve fire"]
    assert happened(failed(step, "fail: the torch valve does not shut")) == ()


@pytest.mark.parametrize(
    ("step", "said", "event"),
    [
        ("look-oxygen-part-1", "fail: soot in it", "flashback"),
        ("look-fuel-part-1", "fail: tripped", "flashback"),
        ("look-fuel-supply", "fail: photo of the label missing", None),
        ("look-fuel-part-1", "fail: hot", "flashback"),
        ("look-fuel-supply", "fail: hot", "cylinder heating"),
        ("look-fuel-part-1", "fail: not tripped, no date", None),
        ("look-fuel-part-1", "fail: dirty", None),
        ("look-fuel-part-1", "fail: bent", None),
        ("look-fuel-part-2", "fail: hot slag burnt its cover", None),
        ("look-fuel-supply", "fail: no label", None),
        ("look-torch-tip", "fail: spatter on it", None),
    ],
)
def test_a_mark_of_a_flame_is_said_of_the_part_that_was_looked_at(step: str, said: str, event: str | None) -> None:
    assert [each.triage.event for each in happened(failed(step, said))] == ([event] if event else [])


def test_the_phone_has_the_first_actions_before_it_needs_them() -> None:
    first = phone_plan(plan())["held"]["first"]
    assert first
    assert not [text for text in first if "{" in text]


def test_a_round_in_order_has_nothing_of_it() -> None:
    assert happened(fold(plan(), answers(plan())).round) == ()
