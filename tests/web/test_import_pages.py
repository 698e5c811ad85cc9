"""A gear list through the browser: shown first, written when asked, long ones with their progress told."""

import csv
import io
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from steadycone.web.guard.body import UPLOAD
from steadycone.web.pages import running
from tests.web_desk import Office, office

GOOD = "mark,kind,gas,made,fitted\nTQ-REG-014,regulator,oxygen,2023-02,\nTQ-HOS-207,hose,acetylene,2024-05,Slip 2\n"
BAD = GOOD + "TQ-REG-015,regulator,,2023-02,\nTQ-HOS-208,hose,oxygen,2031-01,\n"
LONG = "mark,kind,gas,made\n" + "".join(f"TQ-{number:05},hose,oxygen,2025-0{1 + number % 9}\n" for number in range(2000))


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Office]:
    with office(tmp_path) as o:
        yield o


def upload(o: Office, data: str | bytes, name: str = "gear.csv", person: str = "L. Marsh") -> Any:
    return o.send(person, "/gear/import", files={"file": (name, data if isinstance(data, bytes) else data.encode(), "text/csv")})


def finished(o: Office, address: str, person: str = "L. Marsh") -> Any:
    """The page of a list once its work is over."""
    client = o.client(person)
    for _ in range(600):
        if not client.get(f"{address}/progress.json").json()["going"]:
            return client.get(address)
        time.sleep(0.05)
    raise AssertionError("it never ends")


def marks(o: Office) -> set[str]:
    return {item.mark for item in o.site.items()}


def test_a_list_is_shown_before_anything_is_written(yard: Office) -> None:
    sent = upload(yard, BAD)
    assert sent.status_code == 303
    page = finished(yard, sent.headers["location"]).text
    assert "Nothing is written yet." in page
    assert "2 new, 0 changed, 0 as before, 2 bad." in page
    assert "a regulator without its gas" in page
    assert "2031-01 is in the future" in page
    assert marks(yard) == set()


def test_the_good_rows_go_in_and_the_bad_ones_stay_out(yard: Office) -> None:
    address = upload(yard, BAD).headers["location"]
    finished(yard, address)
    done = yard.send("L. Marsh", address, f"{address}/write")
    assert done.headers["location"] == address
    page = finished(yard, address).text
    assert "Written, but for the bad rows." in page
    assert marks(yard) == {"TQ-REG-014", "TQ-HOS-207"}
    assert yard.site.item("TQ-HOS-207").station == "Slip 2"
    event = yard.site.event(yard.site.item("TQ-REG-014").first)
    assert (event.author, event.body.dates["made"].basis) == ("L. Marsh", "gear list gear.csv")  # type: ignore[union-attr]


def test_with_all_or_nothing_one_bad_row_keeps_the_whole_list_out(yard: Office) -> None:
    address = upload(yard, BAD).headers["location"]
    finished(yard, address)
    yard.send("L. Marsh", address, f"{address}/write", whole="yes")
    page = finished(yard, address).text
    assert "Nothing is written." in page
    assert "A bad row keeps the whole list out" in page
    assert marks(yard) == set()
    again = upload(yard, GOOD).headers["location"]
    finished(yard, again)
    yard.send("L. Marsh", again, f"{again}/write", whole="yes")
    assert "Written." in finished(yard, again).text
    assert marks(yard) == {"TQ-REG-014", "TQ-HOS-207"}


def test_pressing_twice_writes_once(yard: Office) -> None:
    address = upload(yard, GOOD).headers["location"]
    finished(yard, address)
    yard.send("L. Marsh", address, f"{address}/write")
    finished(yard, address)
    size = yard.site.size
    second = yard.send("L. Marsh", "/own", f"{address}/write")
    assert second.status_code == 303
    finished(yard, address)
    assert yard.site.size == size


def test_a_list_is_judged_again_when_it_is_written(yard: Office) -> None:
    address = upload(yard, GOOD).headers["location"]
    finished(yard, address)
    other = yard.send("T. Vance", "/gear/add", mark="TQ-REG-014", kind="regulator", gas="acetylene")
    assert other.status_code == 303
    yard.send("L. Marsh", address, f"{address}/write")
    page = finished(yard, address).text
    assert "1 new, 0 changed, 0 as before, 1 bad." in page
    assert yard.site.item("TQ-REG-014").gas == "acetylene"


def test_the_report_has_every_row(yard: Office) -> None:
    address = upload(yard, BAD).headers["location"]
    finished(yard, address)
    found = yard.client("L. Marsh").get(f"{address}/report.csv")
    rows = list(csv.DictReader(io.StringIO(found.content.decode("utf-8-sig"))))
    assert [(row["row"], row["outcome"]) for row in rows] == [("2", "add"), ("3", "add"), ("4", "bad"), ("5", "bad")]


def test_two_thousand_rows_go_in_and_their_progress_is_told(yard: Office) -> None:
    address = upload(yard, LONG).headers["location"]
    assert "2,000 new" in finished(yard, address).text
    yard.send("L. Marsh", address, f"{address}/write")
    assert "Written." in finished(yard, address).text
    assert len(marks(yard)) == 2000
    told = yard.client("L. Marsh").get(f"{address}/progress.json").json()
    assert (told["done"], told["of"]) == (2000, 2000)


def test_while_it_goes_on_the_page_tells_the_row_and_works_without_script(yard: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    go, real = threading.Event(), running.Running.telling

    def halting(work: running.Running, says: str) -> Any:
        told = real(work, says)

        def slow(done: int, of: int) -> None:
            told(done, of)
            if done and says.startswith("Rows tried"):
                go.wait(10)

        return slow

    monkeypatch.setattr(running.Running, "telling", halting)
    monkeypatch.setattr(running, "SOON", 0.0)
    address = upload(yard, LONG).headers["location"]
    client = yard.client("L. Marsh")
    for _ in range(400):
        now = client.get(f"{address}/progress.json").json()
        if now["done"] == 1000 and now["line"].startswith("Rows tried"):
            break
        time.sleep(0.02)
    page = client.get(address).text
    assert "Rows tried against the rules: 1,000 of 2,000" in page
    assert '<progress aria-label="How far it is" value="1000" max="2000">' in page
    assert f'<a class="quiet" href="{address}">Look again</a>' in page
    second = upload(yard, GOOD)
    assert second.status_code == 409  # one at a time for each person
    go.set()
    assert "2,000 new" in finished(yard, address).text


def test_a_list_belongs_to_who_sent_it(yard: Office) -> None:
    address = upload(yard, GOOD).headers["location"]
    finished(yard, address)
    assert yard.client("T. Vance").get(address).status_code == 404
    assert yard.client("T. Vance").get(f"{address}/progress.json").status_code == 404
    assert yard.send("T. Vance", "/own", f"{address}/write").status_code == 404
    assert marks(yard) == set()


def test_only_so_many_lists_are_kept(yard: Office) -> None:
    addresses = []
    for person in ("L. Marsh", "T. Vance", "M. Reyes"):
        for _ in range(5):
            addresses.append(upload(yard, GOOD, person=person).headers["location"])
            finished(yard, addresses[-1], person)
    assert len(yard.yard.kept["running"]) <= running.MOST
    assert yard.client("L. Marsh").get(addresses[0]).status_code == 404


@pytest.mark.parametrize(
    ("data", "name", "says"),
    [
        (b"mark,kind\n", "gear.pdf", "ends in .csv, .xlsx or .ods"),
        (b"", "gear.csv", "empty"),
        (b"\xff\xfe", "gear.csv", "UTF-16"),
        (b"PK\x03\x04 not a sheet", "gear.xlsx", ""),
        (b"mark,gas\nA,oxygen\n", "gear.csv", "no column"),
        (b"mark,kind,tesstd\nA,hose,2024\n", "gear.csv", "Did you mean"),
    ],
)
def test_a_file_that_is_no_gear_list_is_told_and_writes_nothing(yard: Office, data: bytes, name: str, says: str) -> None:
    found = finished(yard, upload(yard, data, name).headers["location"])
    assert found.status_code == 400
    assert says in found.text.replace("&#34;", '"')
    assert "Nothing is written." in found.text


def test_no_file_and_a_file_that_is_too_large_are_told(yard: Office) -> None:
    assert yard.send("L. Marsh", "/gear/import", files={"file": ("", b"", "text/csv")}).status_code == 400
    assert upload(yard, b"x" * (UPLOAD + 1)).status_code == 413


def test_somebody_without_the_right_sends_no_list(yard: Office) -> None:
    assert yard.client("O. Quist").get("/gear/import").status_code == 403
