"""Laws of a round, whatever is answered."""

from datetime import timedelta
from typing import Any

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from tests.edge.round_samples import START, STATION, answers, begin, plan

from steadycone.errors import InputError
from steadycone.procedures.rounds import Answer, Folded, Round, fold, fold_file, read_answers, sign_off, stops, take, upcoming
from steadycone.procedures.rounds.sign import verdict

FEW = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
GOOD = tuple(answers(plan()))
IDS = [step.id for step in plan().steps]
TICKS = [step.id for step in plan().steps if step.kind in ("tick", "wait")]
VALUES = st.one_of(
    st.sampled_from(
        [
            "done",
            "fail: seen",
            "fail",
            "not read",
            "4.3 bar",
            "0 bar",
            "3.3 bar",
            "140 bar",
            "16:30",
            "now",
            "later",
            "12 °C",
            "-1 bar",
            "0.7 psi",
        ]
    ),
    st.text(max_size=20),
    st.booleans(),
)


@FEW
@given(st.integers(0, len(GOOD)))
def test_the_fold_gives_the_same_every_time(count: int) -> None:
    assert fold(plan(), GOOD[:count]) == fold(plan(), GOOD[:count])


@FEW
@given(st.integers(1, len(GOOD)))
def test_without_its_last_answer_a_round_is_what_it_was_before(count: int) -> None:
    before = fold(plan(), GOOD[: count - 1]).round
    after = fold(plan(), GOOD[:count]).round
    assert take(before, GOOD[count - 1]) == after
    assert fold(plan(), after.log[:-1]).round == before


@FEW
@given(st.sampled_from(TICKS))
def test_a_stop_answer_never_ends_in_a_sign_off(step: str) -> None:
    given_ = [Answer(answer.step, "fail: seen", answer.at) if answer.step == step else answer for answer in GOOD]
    now = fold(plan(), given_).round
    assert stops(now)
    assert sign_off(now) is None
    assert verdict(now) == "stop"


@FEW
@given(st.data())
def test_a_fail_put_in_anywhere_never_ends_in_a_sign_off(data: st.DataObject) -> None:
    """Also as a correction of an earlier step, at any later place."""
    place = data.draw(st.integers(1, len(GOOD)))
    earlier = [answer.step for answer in GOOD[:place] if answer.step in TICKS]
    assume(earlier)
    step = data.draw(st.sampled_from(earlier))
    given_ = [*GOOD[:place], Answer(step, "fail: seen later", GOOD[place - 1].at), *GOOD[place:]]
    assert sign_off(fold(plan(), given_).round) is None


@FEW
@given(
    st.lists(st.tuples(st.one_of(st.sampled_from(IDS), st.text(max_size=12)), VALUES, st.integers(-50, 900), st.booleans()), max_size=30)
)
def test_garbage_gives_an_input_error_and_nothing_else(found: list[tuple[str, str | bool, int, bool]]) -> None:
    now, at = begin(plan()), START
    for step, value, seconds, again in found:
        at += timedelta(seconds=seconds)
        now = _taken(now, Answer(step, value, at, again))
    assert len(now.log) <= len(found)


@FEW
@given(st.integers(0, len(GOOD) - 1), st.lists(VALUES, min_size=1, max_size=6), st.integers(0, 4000))
def test_garbage_at_a_steps_own_turn_too(count: int, values: list[str | bool], seconds: int) -> None:
    now = fold(plan(), GOOD[:count]).round
    at = (now.last_at or START) + timedelta(seconds=seconds)
    for value in values:
        step = upcoming(now)
        if step is not None:
            now = _taken(now, Answer(step.id, value, at))


def _taken(now: Round, answer: Answer) -> Round:
    try:
        return take(now, answer)
    except InputError:
        return now


JSON = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False) | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(["station", "answers", "step", "value", "at", "since", "again", "plan", "waiting"]), inner, max_size=5),
    max_leaves=12,
)  # fmt: skip


@FEW
@given(JSON, st.lists(JSON, max_size=4))
def test_any_json_is_an_answers_file_or_an_input_error(whole: Any, answers_: list[Any]) -> None:
    for found in (whole, {"station": STATION, "answers": answers_}):
        try:
            folded = fold_file(plan(), read_answers(found))
        except InputError:
            continue
        assert isinstance(folded, Folded)


@FEW
@given(st.integers(0, len(GOOD) - 1))
def test_only_a_whole_round_is_signed(count: int) -> None:
    assert sign_off(fold(plan(), GOOD[:count]).round) is None
