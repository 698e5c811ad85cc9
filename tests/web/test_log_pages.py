"""The log in a browser: newest first, in words, provable; and what cannot be proved stands beside it."""

import csv
import io
import json
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from steadycone.records import New, events, verify_proof
from steadycone.records.telling import event_dict, says
from tests.web_desk import NOW, Office, office

STATION = "Slip 2, frame bench"


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Office]:
    with office(tmp_path) as o:
        before = NOW - timedelta(days=20)
        o.site.append(
            New(events.GearAdded(mark="TQ-REG-014", item="regulator", gas="oxygen"), "T. Vance", before),
            New(events.GearFitted(mark="TQ-REG-014", station=STATION, place="oxygen regulator"), "T. Vance", before),
            New(events.GearDated(mark="TQ-REG-014", which="made", date="2023-01", basis="stamp"), "T. Vance", before),
            New(events.Noted(says="<b>swept</b>", station=STATION), "O. Quist", NOW - timedelta(hours=2)),
        )
        yield o


def numbers(page: str) -> list[int]:
    return [int(part.partition('"')[0]) for part in page.split('<p class="rec-when"><a href="/log/')[1:]]


def finished(o: Office, address: str) -> Any:
    client = o.client("A. Stone")
    for _ in range(200):
        if not client.get(f"{address}/progress.json").json()["going"]:
            return client.get(address)
        time.sleep(0.05)
    raise AssertionError("it never ends")


# --- reading it -----------------------------------------------------------------------


def test_the_log_is_told_newest_first_in_words(yard: Office) -> None:
    page = yard.client("A. Stone").get("/log").text
    assert numbers(page) == list(range(yard.site.size, 0, -1))
    assert "TQ-REG-014 fitted at Slip 2, frame bench, oxygen regulator" in page
    assert "&lt;b&gt;swept&lt;/b&gt;" in page
    assert yard.site.head().code in page


def test_the_log_comes_in_pages_by_number(yard: Office) -> None:
    yard.site.append(*(New(events.Noted(says=f"note {number}"), "O. Quist", NOW) for number in range(150)))
    size = yard.site.size
    page = yard.client("A. Stone").get("/log").text
    assert numbers(page) == list(range(size, size - 100, -1))
    assert f'href="/log?before={size - 99}"' in page
    assert numbers(yard.client("A. Stone").get(f"/log?before={size - 99}").text) == list(range(size - 100, 0, -1))


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("kind=gear-dated", {"gear-dated"}),
        ("mark=tq-reg-014", {"gear-added", "gear-fitted", "gear-dated"}),
        ("station=Slip+2,+frame+bench", {"gear-fitted", "noted"}),
        ("person=O.+Quist", {"authorised", "noted"}),  # whom it is about, and who wrote it
        ("person=T.+Vance&kind=gear-added", {"gear-added"}),
        ("mark=TQ-REG-999", set()),
    ],
)
def test_the_log_is_narrowed(yard: Office, asked: str, found: set[str]) -> None:
    page = yard.client("A. Stone").get(f"/log?{asked}").text
    assert {yard.site.event(number).kind for number in numbers(page)} == found


def test_a_kind_that_is_none_is_told(yard: Office) -> None:
    assert yard.client("A. Stone").get("/log?kind=gossip").status_code == 400
    assert yard.client("A. Stone").get("/log?before=-3").status_code == 400


def test_one_event_has_its_json_and_its_time_in_words(yard: Office) -> None:
    event = yard.site.event(yard.site.size)
    page = yard.client("A. Stone").get(f"/log/{event.sequence}").text
    inside = page.partition("<pre")[2].partition(">")[2].partition("</pre>")[0]
    import html

    assert json.loads(html.unescape(inside)) == event_dict(event)
    assert yard.client("A. Stone").get(f"/log/{event.id}").status_code == 200
    assert yard.client("A. Stone").get("/log/99999").status_code == 404
    assert yard.client("A. Stone").get("/log/" + "9" * 400).status_code == 404


def test_a_document_is_always_kept_never_shown(yard: Office) -> None:
    (receipt,) = yard.site.append(New(events.Noted(says="with a paper"), "O. Quist", NOW, documents={"scan": b"<script>alert(1)</script>"}))
    found = yard.client("A. Stone").get(f"/log/{receipt.sequence}/document/scan")
    assert found.content == b"<script>alert(1)</script>"
    assert found.headers["content-type"] == "application/octet-stream"
    assert found.headers["content-disposition"] == f'attachment; filename="event-{receipt.sequence}-scan.txt"'
    assert found.headers["x-content-type-options"] == "nosniff"
    assert yard.client("A. Stone").get(f"/log/{receipt.sequence}/document/other").status_code == 404


def test_a_proof_holds_against_the_head(yard: Office) -> None:
    proof = yard.client("A. Stone").get("/log/9/proof.json").json()
    assert verify_proof(proof, yard.site.head().code).holds
    other = json.loads(json.dumps(proof).replace("TQ-REG-014", "TQ-REG-015"))
    assert not verify_proof(other, yard.site.head().code).holds


# --- verifying ------------------------------------------------------------------------


def test_a_sound_log_is_verified_with_a_code_that_somebody_holds(yard: Office) -> None:
    code = yard.site.head().code
    yard.site.append(New(events.Noted(says="later"), "O. Quist", NOW))
    started = yard.send("A. Stone", "/log/verify", held=f"{code}\n{yard.site.head().text}")
    page = finished(yard, started.headers["location"]).text
    assert f"{yard.site.size} events, each as it was written." in page
    assert "2 codes or heads that you hold fit." in page
    assert "What this cannot prove" in page


def test_a_code_that_is_not_of_this_log_does_not_fit(yard: Office) -> None:
    size, first, rest = yard.site.head().code.split("-", 2)
    wrong = f"{size}-{'0000' if first != '0000' else '1111'}-{rest}"
    page = finished(yard, yard.send("A. Stone", "/log/verify", held=wrong).headers["location"]).text
    assert "The log does not hold." in page


@pytest.mark.parametrize("held", ["not a code", "{", "9" * 5000 + "-AAAA-AAAA-AAAA-AAAA", "²-AAAA-AAAA-AAAA-AAAA"])
def test_what_is_no_code_is_told_and_comes_back(yard: Office, held: str) -> None:
    found = yard.send("A. Stone", "/log/verify", held=held)
    assert found.status_code == 400
    assert held[:50] in found.text


def test_a_log_that_was_tampered_with_names_the_event(yard: Office, tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "yard.db")) as connection, connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'events'").fetchall():
            connection.execute(f'DROP TRIGGER "{name}"')
        connection.execute("UPDATE events SET leaf = replace(leaf, '2023-01', '2025-01') WHERE sequence = 11")
    page = finished(yard, yard.send("A. Stone", "/log/verify").headers["location"]).text
    assert "The log does not hold." in page
    assert 'href="/log/11"' in page


# --- writing --------------------------------------------------------------------------


def test_a_note_is_written_by_who_goes_round(yard: Office) -> None:
    yard.send("O. Quist", "/log", "/log/note", says="wind from the north", mark="", station=STATION)
    assert says(yard.site.event(yard.site.size).body) == f"{STATION}: wind from the north"
    assert yard.send("A. Stone", "/own", "/log/note", says="me too").status_code == 403
    assert yard.send("O. Quist", "/log", "/log/note", says=" ").status_code == 400


def correct(o: Office, number: int, person: str = "L. Marsh", **fields: str) -> Any:
    return o.send(person, f"/log/{number}", f"/log/{number}/correct", **fields)


def test_a_correction_changes_what_was_typed_otherwise_and_marks_the_old_one(yard: Office) -> None:
    done = correct(yard, 11, **{"field-date": "2023-03", "field-which": "made", "field-basis": "stamp", "why": "misread"})
    assert done.status_code == 303
    assert yard.site.item("TQ-REG-014").dates["made"] == events.Dated(date="2023-03", basis="stamp")
    page = yard.client("A. Stone").get("/log").text
    assert f"Put right by event {yard.site.size}" in page
    assert "Event 11 corrected: misread" in page
    assert "This was put right." in yard.client("A. Stone").get("/log/11").text


def test_an_event_is_annulled(yard: Office) -> None:
    correct(yard, 11, annul="yes", why="another regulator")
    assert yard.site.item("TQ-REG-014").dates == {}


def test_a_correction_that_changes_nothing_or_is_no_date_comes_back(yard: Office) -> None:
    size = yard.site.size
    assert correct(yard, 11, why="hm").status_code == 400
    found = correct(yard, 11, **{"field-date": "last spring", "why": "misread"})
    assert found.status_code == 400
    assert 'value="last spring"' in found.text
    assert yard.site.size == size


def test_a_correction_opens_no_gate(yard: Office) -> None:
    yard.site.append(New(events.Quarantined(mark="TQ-REG-014", reason="creeps"), "O. Quist", NOW))
    refused = correct(yard, yard.site.size, annul="yes", why="never mind")
    assert refused.status_code == 409
    assert yard.site.item("TQ-REG-014").state == "quarantined"


def test_who_may_not_release_corrects_nothing(yard: Office) -> None:
    assert yard.send("O. Quist", "/own", "/log/11/correct", annul="yes", why="x").status_code == 403
    assert "Put it right" not in yard.client("O. Quist").get("/log/11").text


# --- a period to take along -------------------------------------------------------------


def test_a_period_as_csv_and_json_is_what_the_command_line_writes(yard: Office) -> None:
    client = yard.client("A. Stone")
    found = client.get("/log/export?as=csv&from=2026-11-25")
    rows = list(csv.DictReader(io.StringIO(found.content.decode("utf-8-sig"))))
    assert [row["kind"] for row in rows] == ["noted"]
    told = client.get("/log/export?as=json").json()
    assert told["format"] == "steadycone-export/1"
    assert [event["sequence"] for event in told["events"]] == list(range(1, yard.site.size + 1))


def test_the_audit_pack_is_a_pdf(yard: Office) -> None:
    found = yard.client("A. Stone").get("/log/export?as=pack&from=2026-11-01&to=2026-11-25")
    assert found.content.startswith(b"%PDF")
    assert found.headers["content-disposition"] == 'attachment; filename="audit-2026-11-01-to-2026-11-25.pdf"'


@pytest.mark.parametrize("asked", ["as=csv&from=tomorrow", "as=csv&from=2026-11-25&to=2026-11-01", "as=poem", ""])
def test_a_period_that_is_none_is_told(yard: Office, asked: str) -> None:
    assert yard.client("A. Stone").get(f"/log/export?{asked}").status_code == 400
