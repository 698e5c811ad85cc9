"""Drafts of rounds: answers that come late, twice, out of order or from two sides are kept once, and nothing of them is lost."""

import threading
from datetime import date, timedelta
from itertools import pairwise
from random import Random
from typing import Any

import pytest

from steadycone.errors import InputError, Refused, UnknownName
from steadycone.records.drafts import Draft
from tests.records.conftest import Yard

ID = "019ab3c4-5e6f-7000-8000-00000000a001"
HASHES = {"station": "sha256:" + "a" * 64, "chart": "sha256:" + "b" * 64}


def _answers(count: int) -> list[dict[str, Any]]:
    return [{"step": f"step-{number}", "value": f"{number} bar", "at": f"2026-11-25T09:{number:02}:00+00:00"} for number in range(count)]


def _extend(yard: Yard, count: int, id: str = ID, **more: Any) -> Draft:
    given = {
        "station": "Slip 2", "file": "slip-2.toml", "hashes": HASHES, "on": date(2026, 11, 25), "digest": "d" * 64, "plan": "plan-1",
        "answers": _answers(count), "author": "M. Reyes",
    }  # fmt: skip
    return yard.site.drafts.extend(id, **(given | more))


def test_a_draft_is_kept_as_it_was_given(any_yard: Yard) -> None:
    wait = ("leak-wait", "2026-11-25T09:03:00+00:00")
    made = _extend(any_yard, 3, waiting=wait)
    kept = any_yard.site.drafts.get(ID)
    assert kept == made
    assert (kept.answers, kept.waiting, kept.hashes, kept.on) == (_answers(3), wait, HASHES, date(2026, 11, 25))
    assert (kept.state, kept.event, kept.problem, kept.author) == ("open", "", "", "M. Reyes")
    assert kept.created_at == kept.updated_at <= any_yard.clock.now


def test_the_same_or_an_earlier_delivery_again_takes_nothing_back(any_yard: Yard) -> None:
    _extend(any_yard, 2)
    longest = _extend(any_yard, 5)
    for count in (5, 0, 3, 5):
        assert _extend(any_yard, count) == longest
    assert any_yard.site.drafts.get(ID) == longest
    assert _extend(any_yard, 6, author=" m. REYES ").answers == _answers(6)


def test_answers_that_contradict_what_is_kept_are_refused(any_yard: Yard) -> None:
    kept = _extend(any_yard, 4)
    other = _answers(6)
    other[2] = other[2] | {"value": "7 bar"}
    with pytest.raises(Refused, match="answer 3 is not the one"):
        _extend(any_yard, 0, answers=other)
    with pytest.raises(Refused, match="answer 3 is not the one"):
        _extend(any_yard, 0, answers=other[:3])
    assert any_yard.site.drafts.get(ID) == kept


@pytest.mark.parametrize(
    "other", [{"station": "Slip 3"}, {"hashes": {"station": "sha256:" + "c" * 64}}, {"on": date(2026, 11, 26)}, {"digest": "e" * 64}]
)
def test_an_id_is_of_one_round_on_one_stations_files(yard: Yard, other: dict[str, Any]) -> None:
    _extend(yard, 2)
    with pytest.raises(Refused, match="another station, day or files"):
        _extend(yard, 3, **other)


def test_nobody_goes_on_with_another_persons_round(any_yard: Yard) -> None:
    _extend(any_yard, 2)
    with pytest.raises(Refused, match=r"this round is M\. Reyes's"):
        _extend(any_yard, 3, author="J. Okafor")
    assert len(any_yard.site.drafts.get(ID).answers) == 2


def test_a_round_goes_on_after_the_program_was_brought_up_to_date(yard: Yard) -> None:
    _extend(yard, 2)
    assert _extend(yard, 3, plan="plan-2").plan == "plan-1"


def test_the_later_of_two_beginnings_of_a_wait_counts(yard: Yard) -> None:
    early, late = ("wait", "2026-11-25T09:03:00+00:00"), ("wait", "2026-11-25T10:04:00+01:00")
    _extend(yard, 3, waiting=early)
    assert _extend(yard, 3).waiting == early
    assert _extend(yard, 3, waiting=late).waiting == late
    assert _extend(yard, 3, waiting=early).waiting == late
    assert _extend(yard, 2, waiting=("other", "2026-11-25T12:00:00+00:00")).waiting == late
    assert _extend(yard, 4).waiting is None
    for wrong in (("wait", "soon"), ("wait", "2026-11-25T09:03:00"), ("", early[1])):
        with pytest.raises(InputError):
            _extend(yard, 4, waiting=wrong)


def test_what_is_recorded_stays_recorded(any_yard: Yard) -> None:
    drafts = any_yard.site.drafts
    _extend(any_yard, 3)
    done = drafts.mark(ID, "recorded", event="round-1", problem="the sign-off was refused")
    assert (done.state, done.event, done.problem) == ("recorded", "round-1", "the sign-off was refused")
    assert drafts.mark(ID, "recorded", event="round-1").state == "recorded"
    assert _extend(any_yard, 3).state == "recorded"
    assert _extend(any_yard, 1).answers == _answers(3)
    with pytest.raises(Refused, match="it is recorded already"):
        _extend(any_yard, 4)
    with pytest.raises(Refused, match="it is recorded"):
        drafts.mark(ID, "recorded", event="round-2")
    with pytest.raises(Refused, match="it is recorded"):
        drafts.mark(ID, "open")
    for state, event in (("recorded", ""), ("refused", "round-1")):
        with pytest.raises(InputError):
            drafts.mark(ID, state, event=event)  # type: ignore[arg-type]


def test_open_ones_come_with_the_one_touched_last_first(any_yard: Yard) -> None:
    ids = [f"draft-{number:04}" for number in range(4)]
    for id_ in ids:
        _extend(any_yard, 1, id=id_, station="Slip 3" if id_ == ids[1] else "Slip 2")
    _extend(any_yard, 2, id=ids[0])
    any_yard.site.drafts.mark(ids[3], "refused", problem="no file")
    assert [draft.id for draft in any_yard.site.drafts.open_ones()] == [ids[0], ids[2], ids[1]]
    assert [draft.id for draft in any_yard.site.drafts.open_ones("SLIP 3")] == [ids[1]]
    for unknown in ("draft-9999", "", "\0", "\ud800"):
        with pytest.raises(UnknownName):
            any_yard.site.drafts.get(unknown)
    with pytest.raises(UnknownName):
        any_yard.site.drafts.mark("draft-9999", "refused")
    other = any_yard.store.open_site("dry dock", region="uk", author="J. Marsh")
    assert other.drafts.open_ones() == []
    with pytest.raises(UnknownName):
        other.drafts.get(ids[0])


@pytest.mark.parametrize(
    "wrong",
    [
        {"id": "a b"},
        {"id": "x" * 56},
        {"answers": [{"at": object()}]},
        {"answers": ["\0"]},
        {"station": ""},
        {"plan": ""},
        {"digest": "d" * 65},
    ],
)
def test_what_is_no_draft_is_refused(yard: Yard, wrong: dict[str, Any]) -> None:
    with pytest.raises(InputError):
        _extend(yard, 1, **wrong)
    with pytest.raises(InputError, match="bytes"):
        _extend(yard, 1, answers=["x" * 2_000_001])


def test_deliveries_in_any_order_by_many_at_once_leave_the_longest(any_yard: Yard) -> None:
    # Eight connections deliver what they have, in any order, each of them several times; what is told never gets shorter for one of them.
    failures: list[BaseException] = []

    def deliver(seed: int) -> None:
        random, told = Random(seed), []
        try:
            for _ in range(12):
                told.append(len(_extend(any_yard, random.randint(0, 30)).answers))
            assert all(before <= after for before, after in pairwise(told))
        except BaseException as error:  # noqa: BLE001 - told below
            failures.append(error)

    threads = [threading.Thread(target=deliver, args=(seed,)) for seed in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    most = max(Random(seed).randint(0, 30) for seed in range(8))
    assert len(any_yard.site.drafts.get(ID).answers) >= most
    assert _extend(any_yard, 31).answers == _answers(31)


def test_drafts_are_no_part_of_the_log(yard: Yard) -> None:
    head = yard.site.head()
    _extend(yard, 3)
    assert yard.site.head() == head
    yard.site.rebuild()
    assert len(yard.site.drafts.get(ID).answers) == 3
    assert "step-1" not in "".join(yard.site.lines())
    assert yard.site.drafts.get(ID).updated_at < yard.clock.now + timedelta(seconds=1)
