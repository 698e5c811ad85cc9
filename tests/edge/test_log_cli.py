"""The log from the command line: shown, verified, proved, exported, put right, backed up and restored."""

import csv
import io
import json
import sqlite3

import pytest
from tests.records_desk import STATION, Desk, desk, empty_desk

__all__ = ["desk", "empty_desk"]


def test_the_log_shows_the_newest_first_and_one_thing_alone(desk: Desk) -> None:
    desk.fill()
    told = desk.json("log", "show")["events"]
    assert [event["sequence"] for event in told] == list(range(len(told), 0, -1))
    assert {event["kind"] for event in desk.json("log", "show", "--mark", "TQ-HOS-207")["events"]} == {
        "gear-added",
        "gear-fitted",
        "quarantined",
    }
    assert "TQ-HOS-207 quarantined at Slip 2, frame bench: flashback inside the hose. M. Reyes" in desk.ok("log", "show", "--last", "1")
    assert "one of them" in desk.refused("log", "show", "--mark", "1", "--station", "2")


def test_a_sound_log_verifies_against_heads_and_codes_kept_elsewhere(desk: Desk) -> None:
    head = desk.ok("log", "head")
    code = json.loads(head)["code"]
    assert code in desk.err
    desk.fill()
    heads = desk.file("heads.txt", head + desk.ok("log", "head"))
    told = desk.ok("log", "verify", "--heads", heads, "--code", code)
    assert told.startswith("[ok]")
    found = desk.json("log", "verify")
    assert (found["sound"], found["problems"]) == (True, [])


def test_a_code_of_another_log_is_told_with_exit_three(desk: Desk) -> None:
    desk.fill()
    assert desk("log", "verify", "--code", "2-0000-0000-0000-0000") == 3
    assert "[STOP]" in desk.out
    assert "code" in desk.refused("log", "verify", "--code", "nonsense")


def test_an_edited_event_is_named(desk: Desk) -> None:
    desk.fill()
    with sqlite3.connect(desk.folder / "yard.sqlite") as database:
        for (name,) in database.execute("select name from sqlite_master where type = 'trigger'").fetchall():
            database.execute(f"drop trigger {name}")
        database.execute(
            "update events set leaf = replace(leaf, 'TQ-TIP-009', 'TQ-TIP-008') where sequence = (select max(sequence) - 1 from events)"
        )
    database.close()
    assert desk("log", "verify", "--json") == 3
    told = json.loads(desk.out)
    assert not told["sound"]
    assert told["problems"]


def test_a_proof_is_checked_without_the_records(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    desk.fill()
    out = str(desk.folder / "proof.json")
    code = desk.json("log", "prove", "3", "--out", out)["head"]
    head = desk.file("head.txt", desk.ok("log", "head"))
    monkeypatch.setenv("STEADYCONE_STORE", str(desk.folder / "nothing" / "here.sqlite"))
    assert "[ok] This event stands in the log" in desk.ok("log", "check-proof", out, "--code", code)
    assert desk.json("log", "check-proof", out, "--head", head)["holds"]
    changed = desk.file("changed.json", (desk.folder / "proof.json").read_text(encoding="utf-8").replace("Okafor", "Okafar"))
    assert desk("log", "check-proof", changed, "--code", code) == 3
    assert "changed" in desk.out
    assert "one head" in desk.refused("log", "check-proof", out)
    assert "not JSON" in desk.refused("log", "check-proof", desk.file("p.json", "{"), "--code", code)
    assert "not a proof" in desk.refused("log", "check-proof", desk.file("p.json", "[]"), "--code", code)


def test_a_proof_goes_to_stdout_where_no_file_is_named(desk: Desk) -> None:
    assert json.loads(desk.ok("log", "prove", "1"))["format"] == "steadycone-proof/1"
    assert "no event" in desk.refused("log", "prove", "999")


def test_any_event_can_be_put_in_and_its_fields_are_told(desk: Desk) -> None:
    desk.ok("log", "add", "cylinder-moved", "mark=TQ-CYL-077", "gas=oxygen", "to=Slip 2", "state=full", "contents=200 bar")
    desk.ok("log", "add", "policy-changed", 'classes={"hose": {"replace": "4 years"}}', "why=insurer")
    assert "oxygen cylinder TQ-CYL-077, full, to Slip 2, 200 bar" in desk.ok("log", "show")
    assert "Its fields: mark, gas" in desk.refused("log", "add", "cylinder-moved", "mark=1")
    assert "cylinder-moved" in desk.refused("log", "add", "cylinder-move", "mark=1")
    assert "field=value" in desk.refused("log", "add", "noted", "says")
    assert "not JSON" in desk.refused("log", "add", "policy-changed", "classes={")


def test_a_correction_names_the_old_event_and_what_is_true_follows(desk: Desk) -> None:
    desk.fill()
    desk.ok("log", "show", "--mark", "TQ-REG-014")
    added = desk.json("log", "show", "--mark", "TQ-REG-014")["events"][-1]
    dates = json.dumps({"made": {"date": "2022-02", "basis": "stamp"}, "tested": {"date": "2026-11", "basis": "certificate 4711, R. Holt"}})
    desk.ok("log", "correct", str(added["sequence"]), f"dates={dates}", "--why", "misread the stamp")
    assert desk.json("gear", "show", "TQ-REG-014")["until"] == "2027-02-01"
    assert f"event {added['id']} corrected: misread the stamp" in desk.ok("log", "show", "--last", "1")
    assert "--annul" in desk.refused("log", "correct", "3", "--why", "x")


def test_a_period_is_exported_as_csv_and_json(desk: Desk) -> None:
    desk.fill()
    desk.ok("gear", "add", "TQ-REG-030", "regulator", "--gas", "oxygen", "--note", "x", "--type", "@SUM(1)")
    files = [desk.folder / "events.csv", desk.folder / "events.json"]
    desk.ok("log", "export", "--csv", str(files[0]), "--json", str(files[1]))
    rows = list(csv.DictReader(io.StringIO(files[0].read_bytes().decode("utf-8-sig"))))
    told = json.loads(files[1].read_bytes())
    assert len(rows) == len(told["events"]) == told["head"]["size"]
    assert not any(cell.startswith(("=", "+", "-", "@")) for row in rows for cell in row.values())
    assert told["events"][0]["kind"] == "site-opened"
    desk.ok("log", "export", "--from", "2020-01-01", "--to", "2020-12-31", "--json", "-")
    assert json.loads(desk.out)["events"] == []


def test_an_export_of_nothing_or_backwards_is_refused(desk: Desk) -> None:
    assert "nothing to write" in desk.refused("log", "export")
    assert "is after" in desk.refused("log", "export", "--from", "2026-12-01", "--to", "2026-11-01", "--json", "-")
    assert "not a date" in desk.refused("log", "export", "--from", "December", "--json", "-")


def test_a_backup_is_restored_into_an_empty_place_and_verified(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    desk.fill()
    before = desk.json("gear", "list")["items"]
    for name in ("backup.sqlite", "backup.jsonl"):
        told = desk.json("backup", str(desk.folder / name))
        assert (told["sound"], told["sites"][0]["size"]) == (True, 11)
        new = str(desk.folder / f"new-{name}.sqlite")
        assert desk.json("restore", str(desk.folder / name), "--store", new)["sound"]
        assert desk.json("gear", "list", "--store", new)["items"] == before


def test_a_backup_is_never_restored_over_records(desk: Desk) -> None:
    desk.fill()
    desk.ok("backup", str(desk.folder / "backup.sqlite"))
    assert desk("restore", str(desk.folder / "backup.sqlite")) != 0
    assert desk.err.count("\n") == 2
    assert len(desk.json("gear", "list")["items"]) == 4


def test_a_place_without_records_is_told(empty_desk: Desk) -> None:
    for line in (["gear", "list"], ["log", "verify"], ["backup", str(empty_desk.folder / "b.sqlite")]):
        assert empty_desk(*line) != 0
        assert empty_desk.err.count("\n") == 2


def test_a_store_of_two_sites_asks_which(desk: Desk) -> None:
    desk.ok("log", "open", "North Dock", "--region", "us")
    assert "North Dock" in desk.refused("gear", "list")
    desk.ok("gear", "add", "ND-1", "hose", "--gas", "oxygen", "--site", "North Dock")
    assert desk.ok("gear", "list", "--site", "Tern Quay") == "No gear.\n"
    assert STATION not in desk.ok("gear", "list", "--site", "North Dock")


def test_the_same_commands_serve_a_postgresql_address(empty_desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    from tests.records.server import running

    runtime = empty_desk.folder / "runtime"
    runtime.mkdir(mode=0o700)
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(runtime))
    with running() as server:
        monkeypatch.setenv("STEADYCONE_STORE", server.database())
        empty_desk.ok("log", "open", "Tern Quay", "--region", "uk")
        empty_desk.fill()
        before = empty_desk.json("gear", "list")["items"]
        listed = empty_desk.file("gear.csv", "mark,kind,gas,made\nTQ-HOS-300,hose,oxygen,2024-05\nTQ-HOS-301,hose,oxygen,2099-01\n")
        assert empty_desk("gear", "import", listed, "--preview") == 2
        assert empty_desk.json("gear", "list")["items"] == before
        empty_desk.ok("backup", str(empty_desk.folder / "backup.jsonl"))
        new = server.database()
        assert empty_desk.json("restore", str(empty_desk.folder / "backup.jsonl"), "--store", new)["sound"]
        assert empty_desk.json("gear", "list", "--store", new)["items"] == before
        empty_desk.ok("log", "export", "--pdf", str(empty_desk.folder / "audit.pdf"))
        assert empty_desk.ok("log", "verify").startswith("[ok]")


# --- what somebody did to the records themselves ---------------------------------------


def _written_into(desk: Desk, statement: str) -> None:
    connection = sqlite3.connect(desk.folder / "yard.sqlite")
    connection.execute(statement)
    connection.commit()
    connection.close()


def test_a_register_written_into_is_a_stop_and_is_rebuilt_on_record(desk: Desk) -> None:
    desk.fill()
    assert "says what the events give" in desk.refused("log", "rebuild", "--why", "x", code=3)
    _written_into(desk, "UPDATE items SET state = 'in service', reason = '' WHERE state = 'quarantined'")
    assert desk("log", "verify") == 3
    assert (
        '[STOP] the register does not say what the events give: item tq-hos-207: state "in service", by the events "quarantined"'
        in desk.out
    )
    assert "log rebuild" in desk.out
    desk.ok("log", "export", "--json", str(desk.folder / "all.json"))
    assert desk("log", "export", "--pdf", str(desk.folder / "audit.pdf")) == 3
    assert "no reason" in desk.refused("log", "rebuild", "--why", " ")
    assert "put right: item tq-hos-207" in desk.ok("log", "rebuild", "--why", "edited by hand")
    desk.ok("log", "verify")
    assert "register made again from the events, 1 place differed: edited by hand. M. Reyes" in desk.ok("log", "show", "--last", "1")
    assert desk.json("gear", "show", "TQ-HOS-207")["state"] == "quarantined"


def test_a_lost_key_is_replaced_with_a_reason(desk: Desk) -> None:
    desk.fill()
    assert "there" in desk.refused("log", "change-key", "--why", "x", code=3)
    old = desk.json("log", "head")["key"]
    (desk.folder / "yard.key").unlink()
    assert desk("log", "add", "noted", "says=before") != 0
    assert "no reason" in desk.refused("log", "change-key", "--why", "")
    assert not (desk.folder / "yard.key").exists()
    told = desk.ok("log", "change-key", "--why", "the office disk died")
    assert old not in told
    desk.ok("log", "add", "noted", "says=after")
    assert "another key signs" in desk.ok("log", "verify")
    assert "heads are signed with another key" in desk.ok("log", "show", "--last", "2")


def test_a_key_changes_for_every_site_of_the_store(desk: Desk) -> None:
    desk.ok("log", "open", "Second Quay", "--region", "eu")
    (desk.folder / "yard.key").unlink()
    desk.ok("log", "change-key", "--why", "lost")
    for site in ("Tern Quay", "Second Quay"):
        desk.ok("log", "add", "noted", "says=after", "--site", site)
        desk.ok("log", "verify", "--site", site)


@pytest.mark.parametrize("event", ["²", "9" * 30, "-1", "x"])
def test_a_number_that_no_event_has_is_told(desk: Desk, event: str) -> None:
    assert "no event" in desk.refused("log", "prove", "--", event)
    assert "no event" in desk.refused("log", "correct", "--why", "x", "--annul", "--", event)


@pytest.mark.parametrize("when", ["0001-01-01", "9999-12-31T23:59:59-12:00"])
def test_a_time_at_the_ends_of_the_calendar_is_told(desk: Desk, when: str) -> None:
    desk.refused("log", "add", "noted", "says=a", "--at", when)


@pytest.mark.parametrize("origin", ["https://[::1", "https://a:99999", "https://a:x"])
def test_half_an_address_is_told(desk: Desk, origin: str) -> None:
    assert "not an address" in desk.refused("serve", "--origin", origin)


@pytest.mark.parametrize("field", ["index", "size"])
@pytest.mark.parametrize("number", ["1e999", "9" * 6000, "-1", "1.5", "true", '"1"', str(1 << 70)])
def test_a_proof_with_a_number_that_is_none_is_told(desk: Desk, field: str, number: str) -> None:
    proof = json.loads(desk.ok("log", "prove", "1"))
    code = proof["head"]["code"]
    proof[field] = "HERE"
    file = desk.file("proof.json", json.dumps(proof).replace('"HERE"', number))
    desk.refused("log", "check-proof", file, "--code", code)
    proof = json.loads(desk.ok("log", "prove", "1"))
    proof["head"]["size"] = "HERE"
    file = desk.file("proof.json", json.dumps(proof).replace('"HERE"', number))
    desk.refused("log", "check-proof", file, "--code", code)


@pytest.mark.parametrize(("field", "value"), [("at", "2020-01-01T00:00:00.000000Z"), ("key", "00" * 32), ("signature", "00" * 64)])
def test_a_proofs_head_is_checked_whole_with_a_code_too(desk: Desk, field: str, value: str) -> None:
    head = desk.json("log", "head")
    proof = json.loads(desk.ok("log", "prove", "1"))
    desk.ok("log", "check-proof", desk.file("proof.json", json.dumps(proof)), "--code", head["code"], "--key", head["key"])
    assert desk("log", "check-proof", desk.file("proof.json", json.dumps(proof)), "--code", head["code"], "--key", "11" * 32) == 3
    proof["head"][field] = value
    file = desk.file("proof.json", json.dumps(proof))
    assert desk("log", "check-proof", file, "--code", head["code"]) == 3
    assert desk("log", "check-proof", file, "--head", desk.file("head.txt", json.dumps(head))) == 3
    assert "not signed" in desk.out


def test_a_clock_that_stands_before_the_log_is_told_by_every_reading_command(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    from datetime import timedelta

    from tests.records_desk import NOON

    desk.fill()
    for line in (("gear", "list"), ("gear", "due"), ("log", "show"), ("log", "verify")):
        desk(*line)
        assert "clock" not in desk.err
    monkeypatch.setattr("steadycone.cli.desk.now", lambda: (NOON - timedelta(days=300)).astimezone())
    for line in (("gear", "list"), ("gear", "due"), ("log", "show"), ("log", "verify")):
        desk(*line)
        assert "before the last event of the log, 2026-11-25 12:00 UTC" in desk.err
    desk("card", "examples/clean-bench.toml", "--store", str(desk.folder / "yard.sqlite"))
    assert "before the last event of the log, 2026-11-25 12:00 UTC" in desk.err
