"""The yard's page: worst first, filtered, sorted, exported; and what it says of many stations."""

import csv
import io
from pathlib import Path

import pytest

from steadycone.records import New, events
from steadycone.records.station_files import file_station
from steadycone.web.pages import home
from tests.web_desk import NOW, Office, office
from tests.web_yard import EXAMPLES, SLIP, file_examples, file_papers, filled


@pytest.fixture
def yard(tmp_path: Path):
    with office(tmp_path) as found:
        filled(found)
        yield found


def names(page: str) -> list[str]:
    return [
        piece.partition("</a>")[0] for piece in page.split('<th scope="row"><a href="/stations/')[1:] for piece in [piece.partition(">")[2]]
    ]


def test_the_worst_stand_first_and_a_click_sorts_by_name(yard: Office) -> None:
    client = yard.client("O. Quist")
    page = client.get("/").text
    verdicts = [piece.partition('"')[0] for piece in page.split('<use href="#sign-')[1:]]
    assert verdicts == sorted(verdicts, key=("stop", "caution", "go").index)
    assert "stop" in verdicts
    by_name = names(client.get("/?sort=name").text)
    assert by_name == sorted(by_name, key=str.casefold)
    assert len(by_name) == len(verdicts)


def test_a_filter_and_a_search_leave_what_fits_and_the_export_is_what_is_shown(yard: Office) -> None:
    client = yard.client("O. Quist")
    assert names(client.get("/?q=slip+2+found").text) == ["Slip 2, frame bench, as found"]
    shown = names(client.get("/?verdict=stop").text)
    table = list(csv.DictReader(io.StringIO(client.get("/?verdict=stop&as=csv").content.decode("utf-8-sig"))))
    assert [row["station"] for row in table] == shown
    assert {row["verdict"] for row in table} == {"stop"}


def test_what_is_recorded_shows_at_once(yard: Office) -> None:
    client = yard.client("O. Quist")
    assert "Take H-22 off: quarantined." not in client.get("/").text
    yard.site.append(New(events.Quarantined(mark="H-22", reason="cracked at the ferrule"), "O. Quist", NOW))
    page = client.get("/").text
    assert "Take H-22 off: quarantined." in page
    assert "cracked at the ferrule" in client.get("/stations/slip-2-frame-bench").text


def test_the_day_that_passes_changes_the_row_without_an_event(yard: Office) -> None:
    client = yard.client("O. Quist")
    assert "in 15 days" in client.get("/").text
    yard.clock.later(days=1)
    yard._clients.clear()
    assert "in 14 days" in yard.client("O. Quist").get("/").text


def test_of_many_stations_the_first_are_shown_and_the_rest_are_a_link_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(home, "FIRST", 3)
    with office(tmp_path) as found:
        file_papers(found)
        file_examples(found, "slip-2")
        text = (EXAMPLES / "slip-2.toml").read_text(encoding="utf-8")
        for number in range(4):
            file_station(found.site, "L. Marsh", NOW, f"berth-{number}.toml", text.replace(SLIP, f"Berth {number}"))
        client = found.client("O. Quist")
        page = client.get("/").text
        assert len(names(page)) == 3
        assert "Show all 5: 2 more" in page
        assert len(names(client.get("/?all=1").text)) == 5
        assert len(client.get("/?as=csv").text.splitlines()) == 6


def test_a_station_whose_file_can_no_longer_be_read_is_a_stop(yard: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    from steadycone.errors import InputError
    from steadycone.web import board

    def broken(*args: object) -> None:
        raise InputError("its chart lost a column", where="tip, chart")

    monkeypatch.setattr(board, "make_card", broken)
    page = yard.client("O. Quist").get("/").text
    assert "Mend the station’s file." in page or "Mend the station&#39;s file." in page
    assert "its chart lost a column" in page.lower()
