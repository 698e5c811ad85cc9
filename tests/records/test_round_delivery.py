"""A round delivered again, by another connection or another program version, is recorded once, and so is its sign-off."""

import threading
from typing import Any

import pytest

from steadycone.errors import InputError, Refused
from steadycone.records import events as e
from steadycone.records.round_record import record_round
from tests.records.conftest import Yard

ID = "019ab3c4-5e6f-7000-8000-00000000a001"


def _report(station: str = "Slip 2", digest: str = "a", signed: bool = True, by: str = "M. Reyes") -> dict[str, Any]:
    """What a report holds of which a record is made."""
    sign = {"by": by, "at": "2026-11-25T08:50:00+00:00", "valid_until": "2026-11-25T16:00:00+00:00", "longest_break": {"value": 30}}
    return {
        "hash": digest * 64, "state": "signed" if signed else "stopped", "verdict": "go" if signed else "stop", "who": by,
        "ended": "2026-11-25T08:50:00+00:00", "station": {"name": station}, "card": {"hash": "c" * 64}, "plan": {"hash": "p" * 16},
        "sign_off": sign if signed else None,
    }  # fmt: skip


def _kinds(yard: Yard) -> list[str]:
    return [event.kind for event in yard.site.events() if event.kind in ("round-done", "sign-off")]


def test_the_same_round_from_another_program_version_is_recorded_once(any_yard: Yard) -> None:
    first, refused = record_round(_report(), any_yard.site, {"report": b"1"}, id=ID)
    assert refused is None
    assert [receipt.id for receipt in first] == [f"round-{ID}", f"sign-off-{ID}"]
    again, refused = record_round(_report(digest="b"), any_yard.site, {"report": b"2"}, id=ID)
    assert refused is None
    assert [(receipt.sequence, receipt.known) for receipt in again] == [(receipt.sequence, True) for receipt in first]
    assert _kinds(any_yard) == ["round-done", "sign-off"]


def test_without_an_id_another_report_is_another_round(yard: Yard) -> None:
    record_round(_report(), yard.site, {})
    record_round(_report(), yard.site, {})
    record_round(_report(digest="b"), yard.site, {})
    assert _kinds(yard) == ["round-done", "sign-off"] * 2


@pytest.mark.parametrize("id_", [None, ID])
def test_a_refused_sign_off_stays_refused_however_often_the_round_is_delivered(any_yard: Yard, id_: str | None) -> None:
    any_yard.made_up()
    any_yard.says(e.Quarantined(mark="R-1", reason="creeps"))
    for _ in range(2):
        receipts, refused = record_round(_report(), any_yard.site, {}, id=id_)
        assert len(receipts) == 1
        assert refused is not None
        assert "R-1 is quarantined" in refused.says
    any_yard.may("M. Reyes", "competent person")
    any_yard.may("A. Lindqvist", "competent person", "authorised technician")
    cleared = e.Cleared(condition="seat changed", by="A. Lindqvist", evidence="creep test")
    any_yard.says(e.Released(mark="R-1", cleared=(cleared,)), "A. Lindqvist")
    _, refused = record_round(_report(), any_yard.site, {}, id=id_)
    assert refused is not None
    assert "was refused when this round was recorded" in refused.says
    assert _kinds(any_yard) == ["round-done"]


def test_a_stopped_round_again_is_recorded_once(yard: Yard) -> None:
    for _ in range(2):
        receipts, refused = record_round(_report(signed=False), yard.site, {}, id=ID)
        assert (len(receipts), refused) == (1, None)
    assert _kinds(yard) == ["round-done"]


def test_an_id_is_of_one_round(yard: Yard) -> None:
    record_round(_report(), yard.site, {}, id=ID)
    with pytest.raises(InputError, match="of another round"):
        record_round(_report(station="Slip 3"), yard.site, {}, id=ID)
    with pytest.raises(InputError):
        record_round(_report(by="J. Okafor"), yard.site, {}, id=ID)
    for wrong in ("x" * 56, "a b", ""):
        with pytest.raises(InputError):
            record_round(_report(), yard.site, {}, id=wrong)
    assert _kinds(yard) == ["round-done", "sign-off"]


@pytest.mark.parametrize("quarantined", [False, True])
def test_a_round_delivered_by_many_at_once_is_recorded_once(any_yard: Yard, quarantined: bool) -> None:
    any_yard.made_up()
    if quarantined:
        any_yard.says(e.Quarantined(mark="R-1", reason="creeps"))
    outcomes: list[tuple[int, bool] | BaseException] = []
    start = threading.Barrier(8)

    def deliver(number: int) -> None:
        start.wait()
        try:
            receipts, refused = record_round(_report(digest=f"{number}"), any_yard.site, {"report": f"{number}".encode()}, id=ID)
            outcomes.append((len(receipts), isinstance(refused, Refused)))
        except BaseException as error:  # noqa: BLE001 - told below
            outcomes.append(error)

    threads = [threading.Thread(target=deliver, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert outcomes == [(1, True) if quarantined else (2, False)] * 8
    assert _kinds(any_yard) == (["round-done"] if quarantined else ["round-done", "sign-off"])
