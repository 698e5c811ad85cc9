"""Three ways in which an old card was signed: a draft of yesterday, a delivery dated in the past, a command with an earlier day."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from steadycone.procedures.rounds import Answer
from tests.edge.round_samples import START
from tests.web.round_desk import SLUG, deliver, delivery, fields_of, file_it, given, made, press, signature
from tests.web_desk import office

LAST_GOOD = datetime(2026, 12, 10, 7, 40, tzinfo=UTC)  # the oxygen arrestor is due that day


def signed(found: object) -> list[str]:
    return [event.kind for event in found.site.events() if event.kind == "sign-off"]  # type: ignore[attr-defined]


def test_a_draft_of_another_day_can_not_be_revived_by_answering_step_1_again(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        begun = found.send("O. Quist", f"/stations/{SLUG}/round", f"/stations/{SLUG}/rounds").headers["location"]
        assert press(found, "O. Quist", begun, step="who", text="O. Quist", do="save").status_code == 303
        found.clock.later(days=3)
        found._clients.clear()  # the session is over: signed in again
        second = given(made(found))[1]
        step = made(found).plan.step(second.step)
        press(found, "O. Quist", begun, step=step.id, **fields_of(step, second.value))
        page = found.client("O. Quist").get(begun).text
        assert "Begin a new round" in page
        again = press(found, "O. Quist", begun, step="who", text="O. Quist", again="yes", do="save")
        assert again.status_code == 400
        assert "again from step 1 is a new round" in again.text


def test_a_delivery_dated_in_the_past_is_never_signed(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        old = [Answer(answer.step, answer.value, answer.at) for answer in given(of)]
        found.clock.now = START.replace(year=2027, month=6, day=1)
        revived = [old[0], *(Answer(a.step, a.value, a.at + (found.clock.now - START), n == 0) for n, a in enumerate(old))]
        found.clock.later(hours=2)
        told = deliver(found, "O. Quist", "round-of-0001", delivery(of, revived, sign=signature())).json()
        assert told["draft"] == "open"
        assert told["taken"] == 1
        assert signed(found) == []
        # all of it in the past: kept as evidence, never signed fit
        told = deliver(found, "O. Quist", "round-of-0002", delivery(of, old, sign=signature())).json()
        assert told["draft"] == "recorded"
        assert "the shift was over" in told["problem"]
        assert signed(found) == []


def test_a_phone_that_held_a_round_overnight_is_refused_where_gear_ran_out(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        found.clock.now = LAST_GOOD
        of = made(found)
        assert of.card.card.verdict != "stop"
        days = timedelta(days=(LAST_GOOD.date() - START.date()).days, hours=16)
        late = [Answer(a.step, "08:00" if a.step == "shift-end" else a.value, a.at + days) for a in given_on(found)]
        found.clock.now = late[-1].at
        told = deliver(found, "O. Quist", "round-of-0003", delivery(of, late, sign=signature())).json()
        assert (told["draft"], told["state"]) == ("open", "stopped")
        assert "has stops that it had not" in told["stops"][0][1]
        assert signed(found) == []


def given_on(found: object) -> list[Answer]:
    """Answers in order on the samples' own day, whatever day it is."""
    from tests.edge.round_samples import answers, plan

    return list(answers(plan(), who="O. Quist", sign="L. Marsh"))
