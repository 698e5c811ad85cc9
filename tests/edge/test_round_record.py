"""A round into the records: with its papers, once, and never signed off over what the records know."""

import json
from pathlib import Path

import pytest
from tests.edge.render_samples import EXAMPLES
from tests.edge.round_samples import answers, keyed, plan
from tests.records_desk import STATION, Desk, desk, empty_desk

__all__ = ["desk", "empty_desk"]
FILE = EXAMPLES / "slip-2.toml"


@pytest.fixture
def line(desk: Desk) -> list[str]:
    """`round --record` with answers that are all in order."""
    return said(desk)


def said(desk: Desk, **changes: str) -> list[str]:
    station = json.loads(desk.ok("round", str(FILE), "--plan", "--on", "2026-11-25"))["station"]
    told = {"station": station, "answers": [answer.out() for answer in answers(plan(), **changes)]}
    return ["round", str(FILE), "--answers", desk.file("answers.json", json.dumps(told)), "--record", "--json"]


def kinds(desk: Desk) -> list[str]:
    return [event["kind"] for event in desk.json("log", "show")["events"]]


def test_a_signed_round_goes_in_with_its_sign_off_and_its_papers(desk: Desk, line: list[str]) -> None:
    report = json.loads(desk.ok(*line))
    assert "Recorded as event 3 and 4." in desk.err
    signed, done = desk.json("log", "show", "--last", "2")["events"]
    assert (done["kind"], signed["kind"]) == ("round-done", "sign-off")
    assert done["body"]["card"] == report["card"]["hash"]
    assert set(done["documents"]) >= {"report", "card", "answers", "station", "chart"}
    assert signed["author"] == report["sign_off"]["by"]
    assert "signed fit until" in desk.ok("log", "show", "--last", "1")


def test_the_same_round_again_is_recorded_once(desk: Desk, line: list[str]) -> None:
    desk.ok(*line)
    desk.ok(*line)
    assert kinds(desk)[:2] == ["sign-off", "round-done"]
    assert len(kinds(desk)) == 4


def test_quarantined_gear_keeps_the_sign_off_out_and_the_round_is_kept(desk: Desk, line: list[str]) -> None:
    desk.fill()
    assert desk(*line) == 3
    assert "the sign-off is not recorded" in desk.err
    assert "TQ-HOS-207 is quarantined" in desk.err
    assert kinds(desk)[0] == "round-done"
    assert "sign-off" not in kinds(desk)


def test_a_stopped_round_is_evidence_and_goes_in_unsigned(desk: Desk) -> None:
    assert desk(*said(desk, **keyed(leak_end_low__oxygen="3.9 bar"))) == 3
    assert kinds(desk)[0] == "round-done"
    assert desk.json("log", "show", "--last", "1")["events"][0]["body"]["state"] == "stopped"


def test_the_round_stands_in_the_audit_pack_with_its_readings(desk: Desk, line: list[str], tmp_path: Path) -> None:
    import subprocess

    desk.ok(*line)
    desk.ok("log", "export", "--pdf", str(tmp_path / "audit.pdf"))
    told = subprocess.run(["pdftotext", "-layout", "audit.pdf", "-"], cwd=tmp_path, capture_output=True, text=True, check=True).stdout
    assert f"· {STATION}" in told
    assert "Signed fit by M. Okoro" in told
    assert "Leak test, oxygen" in told
    assert "140 bar" in told


def test_without_records_the_round_is_still_told_and_kept(empty_desk: Desk) -> None:
    line = said(empty_desk)
    assert empty_desk(*line) not in (0, 2)
    assert json.loads(empty_desk.out)["state"] == "signed"
    assert "log open" in empty_desk.err


@pytest.mark.parametrize("on", ["2026-06-01", "2026-11-23"])
def test_the_day_of_a_card_can_not_be_chosen(desk: Desk, on: str) -> None:
    line = [*said(desk), "--on", on]
    assert desk(*line) == 3
    assert json.loads(desk.out)["state"] == "stopped"
    assert "sign-off" not in kinds(desk)


def test_what_happened_opens_an_incident_that_holds_the_station(desk: Desk) -> None:
    line = said(desk, light="fail: squeal and hot handle")
    assert desk(*line) == 3
    assert kinds(desk)[:2] == ["incident", "round-done"]
    assert desk.json("log", "show", "--last", "1")["events"][0]["body"]["event"] == "sustained backfire"
    assert desk(*line) == 3
    assert kinds(desk).count("incident") == 1
