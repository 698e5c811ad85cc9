"""Card, answers and signature are of one day: the fold, and what nothing but a new round clears."""

from datetime import date, timedelta

import pytest
from tests.edge.render_samples import EXAMPLES
from tests.edge.round_samples import START, STATION, answers

from steadycone.card.anew import anew
from steadycone.card.make import make_card
from steadycone.errors import InputError
from steadycone.files.read import read_setup
from steadycone.procedures.rounds import Answer, Plan, Round, fold, make_plan, sign_off, stops, take

SETUP = read_setup(EXAMPLES / "slip-2.toml")  # its oxygen arrestor is due on 10 December 2026


def of(on: date) -> Plan:
    return make_plan(make_card(SETUP, on), STATION, anew=anew(SETUP))


def gone(on: date, begun: date, *, hours: int = 0) -> Round:
    """A round in order, begun on a day, on the card of another."""
    later = timedelta(days=(begun - START.date()).days, hours=hours)
    given = [
        (each.step, "08:00" if hours and each.step == "shift-end" else each.value, each.at + later) for each in answers(of(START.date()))
    ]
    return fold(of(on), [Answer(*each) for each in given]).round


def texts(now: Round) -> list[tuple[str, str]]:
    return [(each.finding.code, each.finding.text) for each in stops(now)]


def test_a_round_on_its_own_day_is_signed() -> None:
    assert sign_off(gone(date(2026, 12, 9), date(2026, 12, 9))) is not None


def test_a_card_of_yesterday_is_signed_where_it_stops_for_nothing_today() -> None:
    assert sign_off(gone(date(2026, 12, 8), date(2026, 12, 9))) is not None


def test_a_card_of_yesterday_is_not_signed_where_gear_ran_out_overnight() -> None:
    last = next(day for day in (date(2026, 12, 9) + timedelta(days=n) for n in range(5)) if anew(SETUP)(day)) - timedelta(days=1)
    assert sign_off(gone(last, last)) is not None
    now = gone(last, last + timedelta(days=1))
    assert texts(now) == [("round-day", "stops")]
    assert sign_off(now) is None


def test_a_shift_over_midnight_is_judged_by_the_day_it_is_signed_on() -> None:
    last = next(day for day in (date(2026, 12, 9) + timedelta(days=n) for n in range(5)) if anew(SETUP)(day)) - timedelta(days=1)
    assert sign_off(gone(last - timedelta(days=1), last - timedelta(days=1), hours=16)) is not None
    assert ("round-day", "stops") in texts(gone(last, last, hours=16))


@pytest.mark.parametrize("on", [date(2026, 11, 23), date(2026, 6, 1), date(2027, 6, 1)])
def test_a_card_of_another_day_than_the_answers_is_a_stop(on: date) -> None:
    assert texts(gone(on, START.date()))[0][0] in ("round-day",)
    assert sign_off(gone(on, START.date())) is None


def test_without_a_card_of_the_day_the_day_is_a_stop() -> None:
    plan = make_plan(make_card(SETUP, START.date() - timedelta(days=1)), STATION)
    assert texts(fold(plan, answers(of(START.date()))).round)[0] == ("round-day", "stops")


def test_an_old_round_is_not_revived_by_answering_step_1_again() -> None:
    plan = of(START.date())
    given = list(answers(plan))
    now = fold(plan, given[:2]).round
    with pytest.raises(InputError, match="a new round"):
        take(now, Answer("who", "O. Quist", given[1].at, again=True))
    late = [Answer(answer.step, answer.value, answer.at + timedelta(hours=13)) for answer in given[1:]]
    mended = [given[0], Answer("who", "O. Quist", given[0].at + timedelta(hours=13)), *late]
    assert ("round-break", "old") in texts(fold(plan, mended).round)


def test_twelve_hours_from_the_first_answer_is_the_most() -> None:
    plan = of(START.date())
    given = list(answers(plan))[:3]
    for hours, old in ((0, False), (1, True)):
        last = Answer(given[2].step, given[2].value, given[0].at + timedelta(hours=12, seconds=hours))
        assert (("round-break", "old") in texts(fold(plan, [*given[:2], last]).round)) is old
