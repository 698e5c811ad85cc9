"""A station that its records hold is a stop on every page and paper of it: settings withheld, the reason first, nothing to sign."""

import json
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest

from steadycone.records import New, events
from tests.web_desk import NOW, Office, office, token_of
from tests.web_yard import add_gear, file_examples, file_papers

HERE = "/stations/slip-2-frame-bench"
SLIP = "Slip 2, frame bench"
GATE = (events.GateCondition(id="recorded", who="lead hand"),)
HELD: dict[str, tuple[events.Event, str, str]] = {
    "quarantine": (events.Quarantined(mark="H-22", reason="cracked at the ferrule"), "record-quarantined", "Take H-22 off: quarantined."),
    "incident": (events.Incident(station=SLIP, event="flashback", gate=GATE), "record-incident", "Keep it shut. Clear the incident."),
    "gear defect": (events.DefectFound(mark="H-22", says="cut to the cord", severity="stop"), "record-defect", "Mend H-22, or take it off."),
    "station defect": (events.DefectFound(station=SLIP, says="wheel off", severity="stop"), "record-defect", "Mend the defect, then close it."),
}  # fmt: skip


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Office]:
    with office(tmp_path) as o:
        file_papers(o)
        file_examples(o, "slip-2")
        add_gear(o)
        yield o


@pytest.mark.parametrize("what", HELD)
def test_a_stop_of_the_records_is_on_every_page_and_paper(yard: Office, what: str) -> None:
    event, code, do = HELD[what]
    client = yard.client("L. Marsh")
    before = json.loads(client.get(f"{HERE}/card.json").text)
    assert before["verdict"] != "stop"
    yard.site.append(New(event, "L. Marsh", NOW))
    page, card, told = client.get(HERE).text, client.get(f"{HERE}/card").text, json.loads(client.get(f"{HERE}/card.json").text)
    assert (told["verdict"], told["findings"][0]["code"]) == ("stop", code)
    assert told["hash"] != before["hash"]
    for text in (page, card):
        assert do in text
        assert "SET OXYGEN" not in text
        assert re.search("DON’T(<br>| )SET", text)
    assert "No signature on a stop card." in card
    assert page.index("See what holds it") < page.index("Go round it")
    assert '<a class="act" href="/stations/slip-2-frame-bench/round">' not in page
    assert client.get(f"{HERE}/card.pdf").content.startswith(b"%PDF")
    assert do in client.get("/").text
    assert "Nobody signs or lights it while this stands." in client.get(f"{HERE}/round").text


def test_the_live_result_of_a_held_station_is_a_stop_too(yard: Office) -> None:
    yard.site.append(New(HELD["quarantine"][0], "L. Marsh", NOW))
    text = yard.site.files.document(yard.site.station(SLIP).text).decode()
    client = yard.client("L. Marsh")
    headers = {"x-form-token": token_of(client.get(f"{HERE}/edit").text)}
    answer = client.post("/stations/live.json", json={"text": text, "values": {}}, headers=headers)
    assert answer.json()["verdict"] == "STOP"
    assert "Take H-22 off: quarantined." in answer.json()["html"]


def test_a_station_that_nothing_holds_has_its_files_own_card(yard: Office) -> None:
    page = yard.client("L. Marsh").get(HERE).text
    assert '<a class="act" href="/stations/slip-2-frame-bench/round">Go round it</a>' in page
    assert "See what holds it" not in page
    assert "On your gauge:" in page
    assert f'<a href="{HERE}">' in yard.client("L. Marsh").get(f"{HERE}/card").text


@pytest.mark.parametrize("what", HELD)
def test_a_change_of_fuel_and_a_what_if_say_first_what_holds_the_station(yard: Office, what: str) -> None:
    event, _, _ = HELD[what]
    client = yard.client("L. Marsh")
    asked = "/refuel?station=slip-2-frame-bench&to=propane"
    assert json.loads(client.get(f"{asked}&as=json").text)["before"]["lines"]["oxygen"]["set_pressure"]["value"]
    yard.site.append(New(event, "L. Marsh", NOW))
    told = json.loads(client.get(f"{asked}&as=json").text)
    for side in ("before", "after"):
        assert told[side]["withheld"]
        assert all(line["set_pressure"]["value"] is None for line in told[side].get("lines", {}).values())
    against = json.loads(client.get(f"{HERE}/card.json").text)["findings"][0]
    for address in (asked, "/whatif/purge?station=slip-2-frame-bench"):
        page = unescape(client.get(address).text)
        assert against["says"] in page
        assert against["remedy"] in page
    assert "the records hold this station" in client.get(asked).text
