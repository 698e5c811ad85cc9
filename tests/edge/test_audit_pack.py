"""The audit pack: what an auditor asks for is on its pages, the same bytes every time, with the log's head on each."""

import io
import json
import subprocess
import time
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from PIL import Image
from tests.records_desk import STATION, Desk, desk, empty_desk

from steadycone.cli import desk as clock
from steadycone.records import New, events, open_store
from steadycone.render.audit import Pack, Row, Section, pdf_audit

__all__ = ["desk", "empty_desk"]

REPORT = {
    "format": "steadycone-round/1",
    "drop": [{"line": "oxygen", "reading": "tight", "verdict": "go", "minutes": 5.0}],
    "steps": [
        {"state": "answered", "kind": "reading", "do": "Read the oxygen's high gauge. Stand aside.", "value": "140 bar"},
        {"state": "answered", "kind": "tick", "do": "Look at the hose.", "value": "yes"},
        {"state": "missing", "kind": "reading", "do": "Never asked", "value": None},
    ],
}


def filled(desk: Desk) -> None:
    desk.fill()
    desk.ok("gear", "test", "TQ-REG-014", "creep", "0.02 bar", "--passed", "--limit", "0.1 bar", "--by", "J. Okafor")
    desk.ok("log", "add", "cylinder-moved", "mark=TQ-CYL-077", "gas=oxygen", "to=Slip 2", "state=full", "contents=200 bar")
    desk.ok("log", "add", "defect-found", "says=gauge glass cracked", "severity=caution", "mark=TQ-REG-014")
    desk.ok(
        "log",
        "add",
        "incident",
        f"station={STATION}",
        "event=flashback",
        "says=bang, hot handle",
        'gate=[{"id": "cause-found", "who": "competent person"}]',
    )
    now = clock.now()
    with open_store(str(desk.folder / "yard.sqlite"), clock=clock.clock) as store:
        done = events.RoundDone(station=STATION, state="stopped", verdict="stop", card="7f3a91c2")
        store.site("Tern Quay").append(New(done, "A. Lindqvist", now, documents={"report": json.dumps(REPORT).encode()}))


def export(desk: Desk, *more: str) -> bytes:
    file = desk.folder / "audit.pdf"
    assert desk("log", "export", "--pdf", str(file), *more) == 0, desk.err
    return file.read_bytes()


def pages(pdf: bytes, desk: Desk) -> list[str]:
    (desk.folder / "seen.pdf").write_bytes(pdf)
    told = subprocess.run(["pdftotext", "-layout", "seen.pdf", "-"], cwd=desk.folder, capture_output=True, text=True, check=True).stdout
    return [page for page in told.split("\f") if page.strip()]


def test_everything_an_auditor_asks_for_is_on_its_pages(desk: Desk) -> None:
    filled(desk)
    told = "\n".join(pages(export(desk), desk))
    for part in (
        "Open now", "flashback inside the hose", "gauge glass cracked", "incident: flashback",
        "Due list", "TQ-FBA-031", "age not known",
        "Rounds with their readings", "Read the oxygen's high gauge", "140 bar", "Leak test, oxygen", "1 looks and steps ticked",
        "Tests with their numbers", "0.02 bar", "limit 0.1 bar", "authorised technician",
        "Authorisations", "course 2024-03", "Cylinders in and out", "TQ-CYL-077", "Rules in force", "Register of gear", "made 2023-02",
        "What this can't show", "each verified on",
    ):  # fmt: skip
        assert part.replace("'", "’") in told.replace("'", "’"), part
    assert "Never asked" not in told


def test_every_page_has_its_number_and_the_heads_code(desk: Desk) -> None:
    filled(desk)
    found = pages(export(desk), desk)
    code = json.loads(desk.ok("log", "head"))["code"]
    assert len(found) >= 3
    for number, page in enumerate(found, 1):
        assert f"Page {number} of {len(found)}" in page
        assert code in page
        assert "Never a flame to find a leak" in page
    assert desk.ok("log", "verify", "--code", code).startswith("[ok]")


def test_the_same_records_on_the_same_day_are_the_same_bytes(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    filled(desk)
    noon = clock.now()
    monkeypatch.setattr(clock, "now", lambda: noon)
    assert export(desk) == export(desk)


def test_what_lies_outside_the_period_is_left_out_and_what_is_open_stays(desk: Desk) -> None:
    filled(desk)
    told = "\n".join(pages(export(desk, "--from", "2020-01-01", "--to", "2020-12-31"), desk))
    assert "No round was recorded in this period." in told
    assert "No movement was recorded in this period." in told
    assert "gauge glass cracked" in told


def test_a_log_that_does_not_hold_says_so_on_the_first_page_and_exits_three(desk: Desk) -> None:
    import sqlite3

    filled(desk)
    with sqlite3.connect(desk.folder / "yard.sqlite") as database:
        for (name,) in database.execute("select name from sqlite_master where type = 'trigger'").fetchall():
            database.execute(f"drop trigger {name}")
        database.execute("update events set leaf = replace(leaf, 'course 2024-03', 'course 2026-03')")
    database.close()
    file = desk.folder / "audit.pdf"
    assert desk("log", "export", "--pdf", str(file)) == 3
    assert "THE LOG DOES NOT HOLD" in pages(file.read_bytes(), desk)[0]


def test_the_code_on_the_first_page_is_the_heads(desk: Desk) -> None:
    import zxingcpp

    filled(desk)
    (desk.folder / "audit.pdf").write_bytes(export(desk))
    subprocess.run(["pdftoppm", "-r", "200", "-png", "-l", "1", "audit.pdf", "page"], cwd=desk.folder, check=True)
    picture = Image.open(next(desk.folder.glob("page*.png")))
    (code,) = zxingcpp.read_barcodes(picture)
    assert code.text == f"steadycone log\nTern Quay\n{json.loads(desk.ok('log', 'head'))['code']}"


def test_an_empty_yard_still_gives_a_pack_that_says_so(desk: Desk) -> None:
    told = "\n".join(pages(export(desk), desk))
    assert "Nothing is open." in told
    assert "No gear is in the register." in told


@pytest.mark.parametrize(("paper", "width"), [("A4", 595.3), ("Letter", 612.0)])
def test_the_paper_is_the_one_asked_for(desk: Desk, paper: str, width: float) -> None:
    import pypdf

    page = pypdf.PdfReader(io.BytesIO(export(desk, "--paper", paper))).pages[0]
    assert float(page.mediabox.width) == pytest.approx(width, abs=0.1)


# --- the page alone -----------------------------------------------------------------------


def pack(**changed: Any) -> Pack:
    given: dict[str, Any] = {
        "site": "Tern Quay", "period": "2026-09-01 to 2026-11-25", "made": "Made today.", "head": "3-AAAA-BBBB-CCCC-DDDD", "log": ("3 events.",),
        "counts": [("stop", "1", "quarantined"), ("", "0", "open defects")], "before": (), "rounds": (), "rounds_none": "None.", "after": (),
        "cannot": ("Much.",), "code": "steadycone log",
    }  # fmt: skip
    return Pack(**{**given, **changed})


def test_a_register_of_three_thousand_is_set_in_seconds() -> None:
    rows = [Row((f"TQ-{number:05d}", "oxygen hose\ntwin line", "2024-05"), "go") for number in range(3000)]
    begun = time.perf_counter()
    pdf_audit(pack(after=[Section("Register", (("Mark", 1.0), ("What", 2.0), ("Made", 1.0)), rows, "None.")]))
    assert time.perf_counter() - begun < 20  # measured: 1.5 s


def test_names_in_other_letters_are_on_the_page(desk: Desk) -> None:
    told = "\n".join(pages(pdf_audit(pack(site="Stocznia Łódź 中")), desk))
    assert "Stocznia Łódź [U+4E2D]" in told


def test_markup_in_a_text_is_only_text(desk: Desk) -> None:
    told = "\n".join(pages(pdf_audit(pack(site="#panic() *bold* <script> $x$")), desk))
    assert "#panic() *bold* <script> $x$" in told


def test_a_day_is_the_day_at_the_place() -> None:
    from datetime import date

    from steadycone.records.audit_pack import Period

    class Event:
        happened_at = (datetime.now(UTC).astimezone().replace(hour=0, minute=30) - timedelta(0)).astimezone(UTC).isoformat()

    today = datetime.now().astimezone().date()
    assert Period(today, today).holds(Event())  # type: ignore[arg-type]
    assert not Period(date(2020, 1, 1), today - timedelta(1)).holds(Event())  # type: ignore[arg-type]
