"""What is wrong in the yard: told worst first, reported by whoever goes round, ended by who may."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from steadycone.procedures.triage import triage
from steadycone.records import New, events
from steadycone.records.incident_record import incident_event
from tests.web_desk import NOW, PASSWORD, Office, office

STATION = "Slip 2, frame bench"


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Office]:
    with office(tmp_path) as o:
        before = NOW - timedelta(days=20)
        o.site.append(
            New(events.GearAdded(mark="TQ-REG-014", item="regulator", gas="oxygen"), "T. Vance", before),
            New(events.GearFitted(mark="TQ-REG-014", station=STATION, place="oxygen regulator"), "T. Vance", before),
        )
        yield o


def report(o: Office, **fields: str) -> Any:
    return o.send("O. Quist", "/defects", **({"says": "gauge glass cracked", "severity": "stop", "mark": "TQ-REG-014"} | fields))


def incident(o: Office) -> str:
    body, documents = incident_event(triage(["whistle", "hot handle"], None, "uk"), STATION, "whistle, then heat", "uk")
    return o.site.append(New(body, "O. Quist", NOW - timedelta(hours=1), documents=documents))[0].id


def test_an_empty_yard_says_so(yard: Office) -> None:
    assert "Nothing is open, nothing is in quarantine." in yard.client("A. Stone").get("/defects").text


def test_an_operator_reports_a_defect_of_an_item(yard: Office) -> None:
    assert report(yard).status_code == 303
    (defect,) = yard.site.defects()
    assert (defect.mark, defect.station, defect.severity, defect.found_by) == ("TQ-REG-014", STATION, "stop", "O. Quist")


def test_a_defect_is_of_an_item_or_a_station_not_of_both_nor_none(yard: Office) -> None:
    both, none = report(yard, station=STATION), report(yard, mark="")
    assert (both.status_code, none.status_code) == (400, 400)
    assert 'value="gauge glass cracked"' in both.text
    assert yard.site.defects() == []


def test_a_mark_that_nobody_knows_comes_back_with_what_was_typed(yard: Office) -> None:
    found = report(yard, mark="TQ-REG-999")
    assert found.status_code == 400
    assert 'value="TQ-REG-999"' in found.text


def test_an_item_goes_into_quarantine_with_its_defect_in_one_piece(yard: Office) -> None:
    report(yard, quarantine="yes")
    item, (defect,) = yard.site.item("TQ-REG-014"), yard.site.defects()
    assert (item.state, item.reason) == ("quarantined", "gauge glass cracked")
    quarantined = yard.site.history(mark="TQ-REG-014", limit=1)[0].body
    assert isinstance(quarantined, events.Quarantined)
    assert quarantined.defect == defect.key


def test_what_is_not_told_to_be_less_stops(yard: Office) -> None:
    report(yard, severity="")
    assert yard.site.defects()[0].severity == "stop"


def test_stops_come_before_cautions(yard: Office) -> None:
    report(yard, severity="caution", mark="", station=STATION, says="wheel runs hard")
    report(yard)
    page = yard.client("A. Stone").get("/defects").text
    assert page.index("STOP: gauge glass cracked") < page.index("CAUTION: wheel runs hard")
    assert "1 stop" in page


def test_who_may_not_release_closes_no_defect(yard: Office) -> None:
    report(yard)
    (defect,) = yard.site.defects()
    assert yard.send("O. Quist", "/defects", "/defects/close", defect=defect.key, how="new glass").status_code == 403
    assert "Close it" not in yard.client("O. Quist").get("/defects").text
    assert yard.send("L. Marsh", "/defects", "/defects/close", defect=defect.key, how=" ").status_code == 400
    assert yard.site.defects() != []
    assert yard.send("L. Marsh", "/defects", "/defects/close", defect=defect.key, how="new glass").status_code == 303
    assert yard.site.defects() == []


def test_an_item_is_quarantined_from_its_defect(yard: Office) -> None:
    report(yard)
    (defect,) = yard.site.defects()
    yard.send("O. Quist", "/defects", "/defects/quarantine", mark="TQ-REG-014", reason="glass", defect=defect.key)
    page = yard.client("O. Quist").get("/defects").text
    assert yard.site.item("TQ-REG-014").reason == "glass"
    assert "In quarantine" in page
    assert "Quarantine TQ-REG-014" not in page


# --- incidents ------------------------------------------------------------------------


def test_an_incident_shows_each_condition_and_who_may_clear_it(yard: Office) -> None:
    id_ = incident(yard)
    page = yard.client("L. Marsh").get(f"/incidents/{id_}").text
    row = yard.site.incidents()[0]
    for condition in row.gate:
        assert f'name="condition" value="{condition.id}"' in page
    # data/triage/gates.toml, in uk words
    assert "The blowpipe has cooled by itself." in page
    assert "Cleared by: authorised technician" in page
    assert f'href="/incidents/{id_}"' in yard.client("A. Stone").get("/defects").text


def clear(o: Office, id_: str, condition: str, name: str, signed_in: str = "L. Marsh", **other: str) -> Any:
    fields = {"condition": condition, "name": name, "password": PASSWORD, "evidence": "cold to the hand at 14:20"}
    return o.send(signed_in, f"/incidents/{id_}", **(fields | other))


def test_each_condition_is_cleared_by_its_own_person_with_the_own_password(yard: Office) -> None:
    id_ = incident(yard)
    gate = {each.id: each for each in yard.site.incidents()[0].gate}
    assert clear(yard, id_, "torch-cold", "O. Quist", "O. Quist").status_code == 303
    row = yard.site.incidents()[0]
    assert (len(row.open), next(each.by for each in row.gate if each.id == "torch-cold")) == (len(gate) - 1, "O. Quist")
    page = yard.client("A. Stone").get(f"/incidents/{id_}").text
    assert f"{len(gate) - 1} of {len(gate)} still open" in page
    assert "Cleared by O. Quist" in page
    wrong = clear(yard, id_, "cause-found", "T. Vance", password="not his own")
    assert wrong.status_code == 400
    assert "fit together" in wrong.text
    assert "not his own" not in wrong.text
    assert "cold to the hand" in wrong.text
    assert clear(yard, id_, "cause-found", "T. Vance", evidence="looks fine").status_code == 400
    assert clear(yard, id_, "cause-found", "T. Vance").status_code == 303
    opened = {"condition": "cause-found", "why": "another torch", "name": "L. Marsh", "password": PASSWORD}
    assert yard.send("L. Marsh", f"/incidents/{id_}", f"/incidents/{id_}/reopen", **opened).status_code == 303
    assert {each.id for each in yard.site.incidents()[0].open} == set(gate) - {"torch-cold"}
    assert yard.site.item("TQ-REG-014").incidents == (id_,)


def test_who_has_not_the_role_clears_no_condition(yard: Office) -> None:
    id_ = incident(yard)
    technical = next(each.id for each in yard.site.incidents()[0].gate if each.who == "authorised technician")
    refused = clear(yard, id_, technical, "O. Quist")
    assert refused.status_code == 409
    assert "O. Quist is not authorised as authorised technician" in refused.text
    assert yard.site.incidents() != []


def test_one_person_clears_nothing_in_absent_peoples_names(yard: Office) -> None:
    """Every name and a password of one's own: each of them is refused, and so is a release (the attack that worked)."""
    yard.site.append(New(events.PolicyChanged(two_persons=True), "A. Stone", NOW))
    id_ = incident(yard)
    gate = yard.site.incidents()[0].gate
    fields = {f"by-{each.id}": "T. Vance" for each in gate} | {f"evidence-{each.id}": "looked fine" for each in gate}
    assert yard.send("L. Marsh", f"/incidents/{id_}", **fields).status_code == 400
    for name in ("T. Vance", "A. Stone"):
        for condition in gate:
            assert clear(yard, id_, condition.id, name, password="the lead hand's own word").status_code in (400, 429)
    assert len(yard.site.incidents()[0].open) == len(gate)


def test_an_incident_without_a_report_has_the_tables_words(yard: Office) -> None:
    (receipt,) = yard.site.append(New(events.Incident(station=STATION, event="cylinder heating"), "L. Marsh", NOW))
    page = yard.client("L. Marsh").get(f"/incidents/{receipt.id}").text
    assert "The fire service has released the place and the cylinder." in page
    assert "The name of somebody from outside." in page
    assert "{service}" not in page


def test_an_incident_that_is_not_there_is_not_found(yard: Office) -> None:
    assert yard.client("A. Stone").get("/incidents/no-such-id").status_code == 404
