"""The register in a browser: what it shows, and that each form records what the command line records."""

import csv
import io
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest

from steadycone.records import New, events
from steadycone.records.gear_told import HEADINGS, item_row
from tests.web_desk import NOW, PASSWORD, Office, office

STATION = "Slip 2, frame bench"
BEFORE = NOW - timedelta(days=20)
ODD = "R/01 ä"


def dated(day: str) -> events.Dated:
    return events.Dated(date=day, basis="stamp")


def put(o: Office, *bodies: events.Event, who: str = "T. Vance") -> None:
    o.site.append(*(New(body, who, BEFORE) for body in bodies))


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Office]:
    with office(tmp_path) as o:
        put(
            o,
            events.GearAdded(
                mark="TQ-REG-014",
                item="regulator",
                gas="oxygen",
                dates={"made": dated("2023-02"), "tested": dated("2026-10-01")},
                note="shelf B",
            ),
            events.GearAdded(mark="TQ-HOS-208", item="hose", gas="oxygen", dates={"made": dated("2020-12")}),
            events.GearAdded(mark=ODD, item="torch", dates={"tested": dated("2026-05-01")}),
            events.GearAdded(mark="TQ-FBA-031", item="arrestor", gas="acetylene"),
            events.GearAdded(
                mark="TQ-CHV-002", item="check valve", gas="oxygen", dates={"made": dated("2024-10"), "tested": dated("2026-10-01")}
            ),
            events.GearFitted(mark="TQ-REG-014", station=STATION, place="oxygen regulator"),
        )
        yield o


def item_page(mark: str) -> str:
    return f"/gear/item?mark={quote(mark, safe='')}"


def act(o: Office, person: str, mark: str, form: str, **fields: str) -> Any:
    return o.send(person, "/gear/item?mark=" + quote(mark, safe=""), f"/gear/{form}", mark=mark, **fields)


# --- the list -----------------------------------------------------------------------


def order_of(page: str) -> list[str]:
    return [mark for _, mark in sorted((page.index(f">{mark}</a>"), mark) for mark in ("TQ-REG-014", "TQ-HOS-208", ODD, "TQ-FBA-031"))]


def test_the_list_begins_with_the_worst_and_unknown_age_is_the_worst(yard: Office) -> None:
    page = yard.client("A. Stone").get("/gear").text
    assert order_of(page)[:2] == ["TQ-FBA-031", "TQ-HOS-208"]
    assert "age not known" in page
    assert "out of date since 2025-12-01" in page  # hose: 5 years from 2020-12, the uk's interval


def test_the_list_sorts_by_a_column_both_ways(yard: Office) -> None:
    client = yard.client("A. Stone")
    up, down = order_of(client.get("/gear?sort=mark").text), order_of(client.get("/gear?sort=-mark").text)
    assert up == sorted(up, key=str.casefold)
    assert down == up[::-1]


@pytest.mark.parametrize(
    ("asked", "marks"),
    [
        ("q=shelf", {"TQ-REG-014"}),
        ("kind=hose", {"TQ-HOS-208"}),
        ("state=out+of+date", {"TQ-HOS-208", "TQ-FBA-031"}),
        (f"station={quote(STATION)}", {"TQ-REG-014"}),
        ("days=365", {"TQ-HOS-208", "TQ-FBA-031", ODD, "TQ-CHV-002", "TQ-REG-014"}),
        ("state=retired", set()),
    ],
)
def test_the_list_holds_what_is_asked_for(yard: Office, asked: str, marks: set[str]) -> None:
    found = yard.client("A. Stone").get(f"/gear?{asked}&as=csv").content.decode("utf-8-sig")
    assert {row["mark"] for row in csv.DictReader(io.StringIO(found))} == marks


def test_the_sheet_is_the_one_the_command_line_writes(yard: Office) -> None:
    found = yard.client("A. Stone").get("/gear?as=csv&sort=mark&kind=regulator")
    rows = list(csv.reader(io.StringIO(found.content.decode("utf-8-sig"))))
    assert rows == [list(HEADINGS), list(item_row(yard.site.item("TQ-REG-014"), NOW.date()))]
    assert found.headers["content-disposition"].startswith("attachment")


def test_the_list_comes_in_pages_of_a_hundred(yard: Office) -> None:
    put(yard, *(events.GearAdded(mark=f"TQ-TIP-{number:03}", item="tip") for number in range(230)))
    client = yard.client("A. Stone")
    first, last = client.get("/gear?kind=tip&sort=mark").text, client.get("/gear?kind=tip&sort=mark&page=3").text
    assert first.count('<th scope="row">') == 100
    assert last.count('<th scope="row">') == 30
    assert "201 to 230 of 230" in last
    assert client.get("/gear?kind=tip&page=99").text.count('<th scope="row">') == 30  # past the end: the last page


def test_the_words_follow_the_region(tmp_path: Path) -> None:
    for region, word in (("uk", "Blowpipe"), ("us", "Torch")):
        (tmp_path / region).mkdir()
        with office(tmp_path / region, region=region) as o:
            put(o, events.GearAdded(mark="T-1", item="torch"))
            assert f"<td>{word}</td>" in o.client("A. Stone").get("/gear").text


def test_labels_are_a_pdf_of_what_is_shown(yard: Office) -> None:
    found = yard.client("A. Stone").get("/gear?kind=hose&as=labels&paper=A4")
    assert found.content.startswith(b"%PDF")
    assert found.headers["content-type"] == "application/pdf"
    nothing = yard.client("A. Stone").get("/gear?q=nothing+like+it&as=labels")
    assert nothing.status_code == 400


def test_what_is_due_is_what_the_command_line_says(yard: Office) -> None:
    page = yard.client("A. Stone").get("/gear/due?days=200&as=csv").content.decode("utf-8-sig")
    marks = [row["mark"] for row in csv.DictReader(io.StringIO(page))]
    assert marks == [entry.item.mark for entry in yard.site.due(NOW.date(), days=200)]
    assert marks[:2] == ["TQ-FBA-031", "TQ-HOS-208"]


# --- one item -----------------------------------------------------------------------


def test_an_item_with_a_slash_and_a_letter_of_its_own_has_a_page(yard: Office) -> None:
    client = yard.client("A. Stone")
    found = client.get(item_page(ODD))
    assert found.status_code == 200
    assert f"<h1>{ODD}</h1>" in found.text
    by_path = client.get(f"/gear/{ODD}")
    assert (by_path.status_code, by_path.headers["location"]) == (303, item_page(ODD))
    assert item_page(ODD) in client.get("/gear").text


def test_an_item_that_is_not_there_is_not_found(yard: Office) -> None:
    assert yard.client("A. Stone").get(item_page("TQ-REG-999")).status_code == 404


def test_an_item_with_an_open_stop_never_shows_go(yard: Office) -> None:
    client = yard.client("A. Stone")
    assert "<strong>GO</strong>" in client.get(item_page("TQ-REG-014")).text
    put(yard, events.DefectFound(says="gauge glass cracked", severity="stop", mark="TQ-REG-014"))
    page = client.get(item_page("TQ-REG-014")).text
    assert "<strong>STOP</strong>" in page
    assert "Defect: gauge glass cracked" in page
    assert "defect: gauge glass cracked" in client.get("/gear?kind=regulator").text


def test_an_item_that_an_incident_holds_never_shows_go_nor_gets_a_label_in_service(yard: Office) -> None:
    from steadycone.records.gear_label import label_of

    put(yard, events.Incident(station=STATION, event="flashback", gate=(events.GateCondition(id="recorded", who="lead hand"),)))
    page = yard.client("A. Stone").get(item_page("TQ-REG-014")).text
    assert "<strong>STOP</strong>" in page
    assert "An incident holds it." in page
    assert label_of(yard.site.item("TQ-REG-014"), NOW.date()).state == "quarantined"


def test_an_auditor_sees_no_form_and_may_send_none(yard: Office) -> None:
    page = yard.client("A. Stone").get(item_page("TQ-REG-014")).text
    assert 'action="/gear/retire"' not in page
    size = yard.site.size
    refused = yard.send("A. Stone", "/own", "/gear/retire", mark="TQ-REG-014", why="sold")
    assert refused.status_code == 403
    assert yard.site.size == size


# --- what is done with it -------------------------------------------------------------


def test_a_date_is_recorded_with_its_basis(yard: Office) -> None:
    assert act(yard, "L. Marsh", "TQ-FBA-031", "date", which="made", date="2026-03", basis="stamp").status_code == 303
    item = yard.site.item("TQ-FBA-031")
    assert item.dates["made"] == events.Dated(date="2026-03", basis="stamp")
    assert item.due_on is not None


def test_a_date_to_come_is_refused_and_the_form_keeps_what_was_typed(yard: Office) -> None:
    found = act(yard, "L. Marsh", "TQ-FBA-031", "date", which="made", date="2027-03", basis="the invoice")
    assert found.status_code == 400
    assert 'value="the invoice"' in found.text
    assert "2027-03 is in the future" in found.text
    assert yard.site.item("TQ-FBA-031").dates == {}


def test_an_item_is_fitted_at_its_usual_place_and_taken_off(yard: Office) -> None:
    act(yard, "L. Marsh", "TQ-HOS-208", "fit", station=STATION, place="")
    assert (yard.site.item("TQ-HOS-208").station, yard.site.item("TQ-HOS-208").place) == (STATION, "oxygen hose")
    act(yard, "L. Marsh", "TQ-HOS-208", "remove", why="to the bench")
    assert yard.site.item("TQ-HOS-208").station == ""


def test_a_test_is_recorded_with_readings_and_completes_the_examination(yard: Office) -> None:
    for test, value, limit in (("flow", "16 m3/h", "15 m3/h"), ("tightness", "2 cm3/h", "")):
        act(yard, "T. Vance", "TQ-FBA-031", "test", test=test, value=value, limit=limit, passed="yes", when="2026-11-20T09:10")
    act(
        yard, "T. Vance", "TQ-FBA-031", "test", test="reverse flow", value="12 cm3/h", limit="50 cm3/h", passed="yes", gas="nitrogen",
        readings="inlet = 3.0 bar\noutlet = 0 bar", completes="yes", when="2026-11-20T09:30",
    )  # fmt: skip
    item = yard.site.item("TQ-FBA-031")
    assert item.tests["reverse flow"]["value"] == "12 cm3/h"
    assert item.dates["tested"].date == "2026-11-20"
    body = next(iter(yard.site.history(mark="TQ-FBA-031", limit=1))).body
    assert isinstance(body, events.TestResult)
    assert body.readings == {"inlet": "3.0 bar", "outlet": "0 bar"}


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"value": "12"}, "has no unit"),
        ({"value": "12 kg"}, "no figure of a reverse flow test"),
        ({"passed": ""}, "a number without what it came to"),
        ({"test": "colour"}, "is not a test"),
        ({"readings": "3.0 bar"}, "is not name = value"),
        ({"when": "2026-12-24T09:30"}, "in the future"),
    ],
)
def test_a_test_that_nobody_could_use_later_is_refused(yard: Office, change: dict[str, str], says: str) -> None:
    size = yard.site.size
    found = act(yard, "T. Vance", "TQ-FBA-031", "test", **({"test": "reverse flow", "value": "12 cm3/h", "passed": "yes"} | change))
    assert found.status_code == 400
    assert says in found.text.replace("&#34;", '"')
    assert yard.site.size == size


def test_a_failed_test_puts_the_item_in_quarantine(yard: Office) -> None:
    act(yard, "T. Vance", "TQ-REG-014", "test", test="creep", value="0.4 bar", passed="no")
    assert yard.site.item("TQ-REG-014").state == "quarantined"


def test_anybody_who_goes_round_quarantines_but_only_who_is_authorised_clears(yard: Office) -> None:
    act(yard, "O. Quist", "TQ-REG-014", "quarantine", reason="creeps")
    assert yard.site.item("TQ-REG-014").reason == "creeps"
    told = {"did": "seat changed", "evidence": "creep 4 cm3/h in 5 min", "password": PASSWORD}
    by_operator = act(yard, "O. Quist", "TQ-REG-014", "release", **told)
    assert by_operator.status_code == 403
    # data/records.toml: a regulator's quarantine is cleared by an authorised technician; a lead hand stands in for none
    alone = act(yard, "L. Marsh", "TQ-REG-014", "release", **told)
    assert alone.status_code == 409
    assert "not authorised as authorised technician" in alone.text
    assert yard.site.item("TQ-REG-014").state == "quarantined"
    typed = act(yard, "L. Marsh", "TQ-REG-014", "release", **(told | {"name": "T. Vance", "password": "the lead hand's own"}))
    assert typed.status_code == 400
    assert yard.site.item("TQ-REG-014").state == "quarantined"
    act(yard, "L. Marsh", "TQ-REG-014", "release", **told, name="T. Vance")
    assert yard.site.item("TQ-REG-014").state == "in service"


def test_where_two_are_asked_for_the_one_who_repaired_it_does_not_release_it(yard: Office) -> None:
    yard.site.append(New(events.PolicyChanged(two_persons=True), "A. Stone", NOW))
    act(yard, "O. Quist", "TQ-REG-014", "quarantine", reason="creeps")
    told = {"did": "seat changed", "evidence": "creep 4 cm3/h in 5 min", "password": PASSWORD, "name": "T. Vance"}
    assert "nobody has told what was put right" in act(yard, "L. Marsh", "TQ-REG-014", "release", **told).text
    act(yard, "T. Vance", "TQ-REG-014", "repair", did="seat changed")
    assert "would release it" in act(yard, "L. Marsh", "TQ-REG-014", "release", **told).text
    act(yard, "L. Marsh", "TQ-REG-014", "repair", did="seat changed with T. Vance looking on")
    assert act(yard, "L. Marsh", "TQ-REG-014", "release", **told).status_code == 303


def test_a_hose_with_a_flashback_inside_is_only_retired(yard: Office) -> None:
    act(yard, "O. Quist", "TQ-HOS-208", "quarantine", why="flashback-inside", reason="soot at the blowpipe end")
    page = yard.client("T. Vance").get(item_page("TQ-HOS-208")).text
    assert "It is never released." in page
    assert 'action="/gear/release"' not in page
    told = {"did": "cleaned, cut shorter", "evidence": "cleaned, cut shorter", "password": PASSWORD}
    refused = act(yard, "T. Vance", "TQ-HOS-208", "release", **told)
    assert refused.status_code == 409
    assert "never released: flashback inside" in refused.text
    act(yard, "L. Marsh", "TQ-HOS-208", "retire", why="cut through")
    assert yard.site.item("TQ-HOS-208").state == "retired"


def test_a_retired_item_is_only_read(yard: Office) -> None:
    act(yard, "L. Marsh", ODD, "retire", why="sold")
    page = yard.client("L. Marsh").get(item_page(ODD)).text
    assert "retired: sold" in page.lower()
    assert 'action="/gear/test"' not in page
    assert ODD not in yard.client("L. Marsh").get("/gear").text


def test_a_note_stands_in_the_history(yard: Office) -> None:
    act(yard, "O. Quist", ODD, "note", says="handle wrapped <b>")
    assert "handle wrapped &lt;b&gt;" in yard.client("A. Stone").get(item_page(ODD)).text


# --- a new one ------------------------------------------------------------------------


def test_an_item_is_added_and_fitted_in_one_piece(yard: Office) -> None:
    found = yard.send(
        "L. Marsh", "/gear/add", mark="TQ-REG-020", kind="regulator", gas="o2", made="2026-01", basis="stamp", ratings="outlet = 10 bar",
        fitted="Quay 3", place="",
    )  # fmt: skip
    assert found.headers["location"] == "/gear/item?mark=TQ-REG-020&done=added"
    item = yard.site.item("TQ-REG-020")
    assert (item.gas, item.ratings, item.station, item.place) == ("oxygen", {"outlet": "10 bar"}, "Quay 3", "oxygen regulator")


def test_a_regulator_without_its_gas_comes_back_filled_in(yard: Office) -> None:
    found = yard.send("L. Marsh", "/gear/add", mark="TQ-REG-021", kind="regulator", type="two stage")
    assert found.status_code == 400
    assert "a regulator without its gas" in found.text
    assert 'value="two stage"' in found.text
    assert '<option value="regulator" selected>' in found.text


def test_a_mark_that_is_taken_is_refused(yard: Office) -> None:
    found = yard.send("L. Marsh", "/gear/add", mark="tq-reg-014", kind="regulator", gas="oxygen")
    assert found.status_code == 400
    assert "is taken" in found.text
