"""The register from the command line: what a lead hand types, and what is refused in two lines."""

import csv
import io
import json
import os
from datetime import timedelta
from pathlib import Path

import pytest
from tests.records_desk import NOON, STATION, Desk, desk, empty_desk

__all__ = ["desk", "empty_desk"]
TOMORROW = (NOON + timedelta(days=2)).date().isoformat()


def states(desk: Desk, *more: str) -> dict[str, str]:
    return {item["mark"]: item["state"] for item in desk.json("gear", "list", *more)["items"]}


def test_records_are_begun_before_anything_else(empty_desk: Desk) -> None:
    assert "log open" in empty_desk.refused("gear", "add", "1", "hose", "--gas", "oxygen", code=empty_desk("gear", "list"))
    empty_desk.ok("log", "open", "Tern Quay", "--region", "uk")
    assert empty_desk.ok("gear", "list") == "No gear.\n"


def test_nothing_is_written_in_nobodys_name(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("STEADYCONE_BY")
    assert "--by" in desk.refused("gear", "add", "1", "hose", "--gas", "oxygen")
    assert desk.json("gear", "list")["items"] == []


def test_an_item_is_added_listed_and_shown_with_its_history(desk: Desk) -> None:
    desk.fill()
    assert set(states(desk)) == {"TQ-REG-014", "TQ-HOS-207", "TQ-FBA-031", "TQ-TIP-009"}
    shown = desk.json("gear", "show", "tq-reg-014")
    assert (shown["station"], shown["place"], shown["dates"]["made"]) == (
        STATION,
        "oxygen regulator",
        {"date": "2023-02", "basis": "stamp"},
    )
    assert [event["kind"] for event in shown["history"]] == ["gear-fitted", "gear-added"]
    text = desk.ok("gear", "show", "TQ-REG-014")
    assert "TQ-REG-014 fitted at Slip 2, frame bench, oxygen regulator. M. Reyes" in text


def test_the_list_can_be_narrowed(desk: Desk) -> None:
    desk.fill()
    assert set(states(desk, "--kind", "flashback arrestor")) == {"TQ-FBA-031"}
    assert set(states(desk, "--station", STATION)) == {"TQ-REG-014", "TQ-HOS-207"}
    assert set(states(desk, "--state", "quarantined")) == {"TQ-HOS-207"}
    assert set(states(desk, "--search", "tip")) == {"TQ-TIP-009"}


def test_states_are_told_worst_and_unknown_age_is_out_of_date(desk: Desk) -> None:
    desk.fill()
    told = {item["mark"]: (item["verdict"], item["says"]) for item in desk.json("gear", "list", "--on", "2026-11-25")["items"]}
    assert told["TQ-REG-014"] == ("go", "in service")
    assert told["TQ-HOS-207"] == ("stop", "quarantined: flashback inside the hose")
    assert told["TQ-FBA-031"] == ("stop", "age not known")
    assert told["TQ-TIP-009"] == ("go", "in service, no set date")


def test_the_due_list_is_worst_first_and_three_says_that_something_is_late(desk: Desk) -> None:
    desk.fill()
    assert desk("gear", "due", "--on", "2026-11-25", "--days", "500", "--json") == 3
    assert [item["mark"] for item in json.loads(desk.out)["items"]] == ["TQ-FBA-031", "TQ-REG-014"]
    desk.ok("gear", "date", "TQ-FBA-031", "made", "2024-03")
    desk.ok("gear", "date", "TQ-FBA-031", "tested", "2026-03-04", "--basis", "certificate 4711, R. Holt")
    assert "by its paper, not tested here" in desk.ok("gear", "show", "TQ-FBA-031")
    desk("gear", "due", "--on", "2026-11-25", "--days", "500")
    assert "examined by its paper alone" in desk.out
    assert desk.json("gear", "due", "--on", "2026-11-25")["items"] == []
    soon = desk.json("gear", "due", "--on", "2027-02-10")["items"]
    assert [(item["mark"], item["says"], item["until"]) for item in soon] == [("TQ-FBA-031", "due in 22 days", "2027-03-04")]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (["gear", "add", "TQ-REG-014", "hose", "--gas", "oxygen"], "TQ-REG-014"),
        (["gear", "add", "tq-reg-014", "hose", "--gas", "oxygen"], "TQ-REG-014"),
        (["gear", "add", "N1", "hose", "--gas", "oxygen", "--made", TOMORROW], "future"),
        (["gear", "date", "TQ-REG-014", "tested", TOMORROW], "future"),
        (["gear", "date", "TQ-REG-014", "tested", "2022-01"], "made 2023-02"),
        (["gear", "add", "N1", "hoes", "--gas", "oxygen"], 'Did you mean "hose"?'),
        (["gear", "add", "N1", "hose"], "without its gas"),
        (["gear", "add", "=N1", "hose", "--gas", "oxygen"], "can't be a mark"),
        (["gear", "test", "TQ-REG-014", "creep", "0.1", "--passed"], "has no unit"),
        (["gear", "test", "TQ-REG-014", "creep", "0.1 kg", "--passed"], "creep"),
        (["gear", "test", "TQ-REG-014", "creep", "0.1 bar"], "--passed or --failed"),
        (["gear", "test", "TQ-REG-014", "creeps", "0.1 bar", "--passed"], 'Did you mean "creep"?'),
        (["gear", "fit", "TQ-REG-014", "Slip 1"], "is fitted to Slip 2, frame bench"),
        (["gear", "fit", "TQ-REG-999", "Slip 1"], "TQ-REG-999"),
        (["gear", "remove", "TQ-FBA-031"], "not fitted"),
        (["gear", "show", "TQ-REG-015"], "TQ-REG-015"),
        (["gear", "quarantine", "TQ-REG-014", "--reason", " "], "reason"),
        (["gear", "add", "N1", "hose", "--gas", "oxygen", "--at", "yesterday"], "--at"),
        (["gear", "list", "--kind", "nozle"], 'Did you mean "nozzle"?'),
    ],
)
def test_what_can_not_be_is_one_clear_message(desk: Desk, line: list[str], says: str) -> None:
    desk.fill()
    size = desk.json("log", "show", "--last", "1")["events"][0]["sequence"]
    assert says in desk.refused(*line)
    assert desk.json("log", "show", "--last", "1")["events"][0]["sequence"] == size  # and nothing was written


def test_two_items_in_one_place_are_refused_with_the_one_that_is_there(desk: Desk) -> None:
    desk.fill()
    desk.ok("gear", "add", "TQ-REG-015", "regulator", "--gas", "oxygen", "--made", "2024-01")
    assert "TQ-REG-014 is fitted there" in desk.refused("gear", "fit", "TQ-REG-015", STATION)
    desk.ok("gear", "fit", "TQ-REG-015", STATION, "--place", "oxygen regulator 2")


def test_quarantined_gear_is_not_fitted(desk: Desk) -> None:
    desk.fill()
    desk.ok("gear", "remove", "TQ-HOS-207", "--why", "to the cage")
    assert "quarantined" in desk.refused("gear", "fit", "TQ-HOS-207", "Slip 1", code=3)


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    """What comes at the prompts."""
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(line + "\n" for line in lines)))


def test_a_hose_with_a_flashback_inside_is_never_released(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    desk.fill()
    typed(monkeypatch, "five words in a row", "five words in a row", "five words in a row")
    desk.ok("people", "account", "A. Lindqvist", "--by", "A. Lindqvist")
    line = ["gear", "release", "TQ-HOS-207", "--did", "cleaned, blown out", "--evidence", "clean white cloth", "--by", "A. Lindqvist"]
    assert "never released: flashback inside the hose" in desk.refused(*line, code=3)
    assert states(desk)["TQ-HOS-207"] == "quarantined"


def test_a_release_needs_somebody_authorised_with_the_own_password(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    desk.fill()
    desk.ok("gear", "quarantine", "TQ-REG-014", "--why", "does-not-work", "--reason", "creeps")
    line = ["gear", "release", "TQ-REG-014", "--did", "seat changed", "--evidence", "creep 4 cm3/h, sheet 12", "--by"]
    assert "J. Okafor has no account" in desk.refused(*line, "J. Okafor", code=3)
    password = "five words in a row"
    typed(monkeypatch, password, password)
    desk.ok("people", "account", "M. Reyes")
    desk.ok("log", "show")
    typed(monkeypatch, "wrong", password)
    assert "fit together" in desk.refused(*line, "M. Reyes")
    assert "M. Reyes is not authorised as authorised technician" in desk.refused(*line, "M. Reyes", code=3)
    typed(monkeypatch, password)
    assert "no right to open accounts" in desk.refused("people", "account", "J. Okafor", code=3)
    typed(monkeypatch, password)
    desk.ok("people", "authorise", "M. Reyes", "manager")
    typed(monkeypatch, password, "four more words here", "four more words here")
    desk.ok("people", "account", "J. Okafor")
    typed(monkeypatch, password)
    assert "fit together" in desk.refused(*line, "J. Okafor")
    typed(monkeypatch, "four more words here")
    assert "was given by somebody else" in desk.refused(*line, "J. Okafor", code=3)
    typed(monkeypatch, "four more words here", "his own words now", "his own words now")
    desk.ok("people", "password", "J. Okafor")
    typed(monkeypatch, "his own words now")
    desk.ok(*line, "J. Okafor")
    assert states(desk)["TQ-REG-014"] == "in service"


def test_an_account_opened_by_command_is_an_event_and_so_is_its_new_password(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    desk.fill()
    old, new = "five words in a row", "quite another lot of words"
    typed(monkeypatch, old, old)
    assert "changed" not in desk.ok("people", "account", "J. Okafor", "--by", "J. Okafor")
    for given, says in (
        ((old, new, "something else"), "two different"),
        ((old, old, old), "is the old one"),
        ((new, new, new), "fit together"),
    ):
        typed(monkeypatch, *given)
        assert says in desk.refused("people", "password", "J. Okafor")
    assert "no account" in desk.refused("people", "password", "Nobody", code=3)
    typed(monkeypatch, old, new, new)
    desk.ok("people", "password", "j. okafor")
    told = [event for event in desk.json("log", "show", "--last", "20")["events"] if event["kind"] == "account-changed"]
    assert [(each["author"], each["body"]["person"], each["body"]["what"]) for each in told] == [
        ("J. Okafor", "J. Okafor", "own password changed"),
        ("J. Okafor", "J. Okafor", "opened"),
    ]
    assert "is not a kind of event" in desk.refused("log", "add", "account-changed", "person=E. Eve", "what=opened")


def test_once_there_are_accounts_nobody_gives_roles_by_a_typed_name(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    desk.fill()
    typed(monkeypatch, "five words in a row", "five words in a row")
    desk.ok("people", "account", "M. Reyes")
    assert "has no account" in desk.refused("people", "authorise", "E. Eve", "lead hand", "--by", "E. Eve", code=3)
    typed(monkeypatch, "a guess at it")
    assert "fit together" in desk.refused("log", "add", "policy-changed", "two_persons=false")


def test_a_gate_is_shown_and_cleared_one_by_one(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    desk.fill()
    assert "is no condition of a gate" in desk.refused("log", "add", "incident", f"station={STATION}", "event=flashback", 'gate=[{"id":"whatever","who":"operator"}]')  # fmt: skip
    desk.ok("log", "add", "incident", f"station={STATION}", "event=dirty tip")
    (shown,) = desk.json("gate", "show")["incidents"]
    assert {each["id"] for each in shown["gate"]} >= {"tip-square", "joint-broken", "flame-test"}
    password = "five words in a row"
    desk.ok("people", "authorise", "M. Reyes", "lead hand")
    typed(monkeypatch, password, password)
    desk.ok("people", "account", "M. Reyes")
    first, *others = [each["id"] for each in shown["gate"]]
    typed(monkeypatch, password)
    assert "is no evidence" in desk.refused("gate", "clear", shown["incident"], first, "--evidence", "x")
    for left, condition in zip((2, 1, 0), (first, *others), strict=True):
        typed(monkeypatch, password)
        told = desk.ok("gate", "clear", shown["incident"], condition, "--evidence", "steady, seen at 14:20")
        assert ("Still open" in told) == (left > 0)
    assert desk.ok("gate", "show") == "No incident is open.\n"


def test_a_failed_test_puts_the_item_in_quarantine_by_itself(desk: Desk) -> None:
    desk.fill()
    desk.ok("gear", "test", "TQ-REG-014", "creep", "0.3 bar", "--failed", "--limit", "0.1 bar", "--reading", "start=3.0 bar")
    shown = desk.json("gear", "show", "TQ-REG-014")
    assert shown["state"] == "quarantined"
    assert shown["tests"]["creep"]["value"] == "0.3 bar"


def test_a_test_that_completes_the_examination_moves_the_day_it_is_due(desk: Desk) -> None:
    desk.fill()
    desk.ok("people", "authorise", "M. Reyes", "competent person", "--at", "2026-03-01")
    desk.ok("gear", "test", "TQ-FBA-031", "flow", "16 m3/h", "--limit", "15 m3/h", "--passed", "--at", "2026-03-03")
    desk.ok("gear", "test", "TQ-FBA-031", "tightness", "3 cm3/h", "--passed", "--at", "2026-03-03")
    desk.ok("gear", "test", "TQ-FBA-031", "reverse flow", "12 cm3/h", "--passed", "--completes", "--at", "2026-03-04")
    assert desk.json("gear", "show", "TQ-FBA-031")["until"] == "2027-03-04"


def test_a_number_over_its_limit_is_a_failed_test_whoever_says_passed(desk: Desk) -> None:
    desk.fill()
    desk.ok("people", "authorise", "M. Reyes", "competent person")
    assert desk("gear", "test", "TQ-FBA-031", "reverse flow", "9000 cm3/h", "--passed", "--completes") == 3
    assert "[STOP] TQ-FBA-031: 9000 cm3/h is outside its limit" in desk.out
    assert desk.json("gear", "show", "TQ-FBA-031")["state"] == "quarantined"


def test_a_retired_item_leaves_the_list_and_its_mark_is_never_given_again(desk: Desk) -> None:
    desk.fill()
    desk.ok("gear", "retire", "TQ-HOS-207", "--why", "cut up")
    assert "TQ-HOS-207" not in states(desk)
    assert "TQ-HOS-207" in states(desk, "--state", "retired")
    assert "TQ-HOS-207" in desk.refused("gear", "add", "TQ-HOS-207", "hose", "--gas", "oxygen")


def test_a_terminal_obeys_nothing_that_was_written_into_the_register(desk: Desk) -> None:
    desk.ok(
        "gear",
        "add",
        "E-1",
        "hose",
        "--gas",
        "oxygen",
        "--made",
        "2024-05",
        "--type",
        "\x1b[31mred",
        "--basis",
        "\x1b]0;title\x07",
        "--note",
        "\x1b[2J",
    )
    desk.ok("gear", "retire", "E-1", "--why", "\x1b[5mgone")
    for line in (["gear", "show", "E-1"], ["gear", "list", "--state", "retired"], ["log", "show"]):
        assert "\x1b" not in desk.ok(*line)


# --- import ----------------------------------------------------------------------------

GOOD = "mark,kind,gas,made,tested,fitted,creep [bar],passed,Price\nTQ-REG-020,regulator,oxygen,2024-01,2026-03-04,Slip 3,0.02,yes,12\nTQ-HOS-020,hose,oxygen,2024-05,,Slip 3,,,3\n"
BAD = GOOD + "TQ-HOS-021,hose,oxygen,2099-05,,,,,3\nTQ-HOS-022,hos,oxygen,,,,,,\nTQ-REG-020,regulator,oxygen,,,,,,\n"


def test_a_preview_shows_everything_and_writes_nothing(desk: Desk) -> None:
    file = desk.file("gear.csv", BAD)
    assert desk("gear", "import", file, "--preview") == 2
    assert "2 new, 0 changed, 0 as before, 3 bad. Nothing is written: this is a preview." in desk.out
    assert 'The column "Price" is not taken.' in desk.out
    assert "row 4  TQ-HOS-021: made: 2099-05 is in the future" in desk.out
    assert 'row 5  TQ-HOS-022: kind: "hos" is not a kind of gear. Did you mean "hose"?' in desk.out
    assert "row 6  TQ-REG-020: the mark TQ-REG-020 stands in row 2 already" in desk.out
    assert states(desk) == {}


def test_everything_good_goes_in_and_every_bad_row_is_reported(desk: Desk) -> None:
    report = desk.folder / "report.csv"
    assert desk("gear", "import", desk.file("gear.csv", BAD), "--report", str(report), "--json") == 2
    told = json.loads(desk.out)
    assert (told["written"], told["counts"]) == (True, {"add": 2, "change": 0, "same": 0, "bad": 3})
    assert set(states(desk)) == {"TQ-REG-020", "TQ-HOS-020"}
    rows = list(csv.DictReader(io.StringIO(report.read_bytes().decode("utf-8-sig"))))
    assert [row["outcome"] for row in rows] == ["add", "add", "bad", "bad", "bad"]
    assert all(row["problem"] and row["what to do"] for row in rows if row["outcome"] == "bad")
    shown = desk.json("gear", "show", "TQ-REG-020")
    assert (shown["station"], shown["tests"]["creep"]["value"], shown["dates"]["tested"]["date"]) == ("Slip 3", "0.02 bar", "2026-03-04")


def test_all_or_nothing_keeps_the_whole_list_out(desk: Desk) -> None:
    assert desk("gear", "import", desk.file("gear.csv", BAD), "--all-or-nothing") == 2
    assert "Nothing is written." in desk.out
    assert states(desk) == {}
    desk.ok("gear", "import", desk.file("gear.csv", GOOD), "--all-or-nothing")
    assert set(states(desk)) == {"TQ-REG-020", "TQ-HOS-020"}


def test_the_same_list_again_changes_nothing_and_a_newer_one_what_is_new(desk: Desk) -> None:
    desk.ok("gear", "import", desk.file("gear.csv", GOOD))
    size = desk.json("log", "show", "--last", "1")["events"][0]["sequence"]
    assert "0 new, 0 changed, 2 as before, 0 bad. Written." in desk.ok("gear", "import", desk.file("gear.csv", GOOD))
    assert desk.json("log", "show", "--last", "1")["events"][0]["sequence"] == size
    newer = "mark,kind,made,tested,type,note\nTQ-HOS-020,hose,2024-05,2026-11-20,10 m twin,\n"
    assert "0 new, 1 changed" in desk.ok("gear", "import", desk.file("gear.csv", newer))
    shown = desk.json("gear", "show", "TQ-HOS-020")
    assert (shown["type"], shown["dates"]["tested"]["date"], shown["gas"]) == ("10 m twin", "2026-11-20", "oxygen")


def test_what_the_records_refuse_is_a_bad_row_too(desk: Desk) -> None:
    desk.fill()
    desk.ok("gear", "remove", "TQ-HOS-207")
    file = desk.file("gear.csv", "mark,kind,fitted\nTQ-HOS-207,hose,Slip 9\nTQ-TIP-010,tip,\n")
    for more in (["--preview"], []):
        assert desk("gear", "import", file, *more) == 2
        assert "row 2  TQ-HOS-207: " in desk.out
        assert "quarantined" in desk.out
    assert "TQ-TIP-010" in states(desk)
    assert desk.json("gear", "show", "TQ-HOS-207")["station"] is None


def test_a_listed_item_that_failed_goes_into_quarantine(desk: Desk) -> None:
    desk.ok("gear", "import", desk.file("gear.csv", GOOD.replace("0.02,yes", "0.4,no")))
    assert states(desk)["TQ-REG-020"] == "quarantined"


def test_the_register_as_csv_comes_in_again_and_runs_nothing(desk: Desk) -> None:
    desk.ok("gear", "add", "TQ-REG-030", "regulator", "--gas", "oxygen", "--made", "2024-01", "--type", "=HYPERLINK(1)", "--note", "+41 22")
    file = desk.folder / "out.csv"
    desk.ok("gear", "list", "--csv", str(file))
    rows = list(csv.reader(io.StringIO(file.read_bytes().decode("utf-8-sig"))))
    assert not any(cell.startswith(("=", "+", "-", "@")) for row in rows for cell in row)
    assert "0 new, 0 changed, 1 as before, 0 bad" in desk.ok("gear", "import", str(file))


def test_a_missing_list_and_one_that_is_none_are_told(desk: Desk) -> None:
    assert "no such gear list file" in desk.refused("gear", "import", str(desk.folder / "nothing.csv"))
    assert "damaged" in desk.refused("gear", "import", desk.file("gear.xlsx", b"nothing"))
    assert desk("gear", "import", desk.file("empty.csv", "mark,kind\n")) == 0


# --- labels ----------------------------------------------------------------------------


def test_labels_say_what_the_register_says(desk: Desk) -> None:
    desk.fill()
    pdf = desk.folder / "labels.pdf"
    told = desk.json("gear", "label", "--pdf", str(pdf), "--on", "2026-11-25")["labels"]
    assert {label["mark"]: label["state"] for label in told} == {
        "TQ-REG-014": "in service", "TQ-HOS-207": "quarantined", "TQ-FBA-031": "out of date", "TQ-TIP-009": "in service",
    }  # fmt: skip
    assert pdf.read_bytes().startswith(b"%PDF")


def test_a_retired_item_gets_no_label(desk: Desk) -> None:
    desk.fill()
    desk.ok("gear", "retire", "TQ-HOS-207", "--why", "cut up")
    assert "is retired" in desk.refused("gear", "label", "TQ-HOS-207", "--pdf", str(desk.folder / "x.pdf"))
    assert not (desk.folder / "x.pdf").exists()


def test_a_label_into_no_folder_is_told_before_any_work(desk: Desk, tmp_path: Path) -> None:
    assert "folder" in desk.refused("gear", "label", "--pdf", str(tmp_path / "no" / "labels.pdf"))


# --- people ------------------------------------------------------------------------------


def test_authorisations_are_listed_and_end(desk: Desk) -> None:
    desk.fill()
    told = {person["name"]: person["roles"] for person in desk.json("people", "list")["people"]}
    assert told == {"A. Lindqvist": ["competent person"], "J. Okafor": ["authorised technician"]}
    assert "J. Okafor" in desk.ok("people", "list")
    desk.ok("people", "end", "J. Okafor", "authorised technician", "--why", "left the yard")
    told = {person["name"]: person["roles"] for person in desk.json("people", "list")["people"]}
    assert told["J. Okafor"] == []
    assert 'Did you mean "lead hand"?' in desk.refused("people", "authorise", "X", "led hand")


# --- the card with the records -------------------------------------------------------------


def test_a_card_made_with_the_records_holds_what_they_hold(desk: Desk) -> None:
    path, store = str(Path(__file__).parents[2] / "examples" / "slip-2.toml"), os.environ["STEADYCONE_STORE"]
    desk.ok("gear", "add", "X-1", "trolley", "--fit", STATION)
    alone = desk.json("card", path, "--on", "2026-11-25")
    assert desk.json("card", path, "--on", "2026-11-25", "--store", store) == alone
    desk.ok("gear", "quarantine", "X-1", "--reason", "wheel off")
    assert desk("card", path, "--on", "2026-11-25", "--store", store, "--json") == 3
    told = json.loads(desk.out)
    assert (told["verdict"], told["findings"][0]["says"]) == ("stop", "X-1 is quarantined: wheel off.")
    assert desk("card", path, "--on", "2026-11-25", "--json") == 0  # without the records it is the file's own, whatever is set
    other = str(Path(path).with_name("bay-4-us.toml"))
    assert "no station" in desk.refused("card", other, "--store", store)
