"""Triage as a page: the command line's answer, the emergency first, and an event in the log that holds its station."""

import json
import re
from datetime import date
from html import unescape
from pathlib import Path
from urllib.parse import urlencode

import pytest
from click.testing import CliRunner

from steadycone.cli.triage import triage_command
from steadycone.data.reader import toml
from steadycone.procedures.triage.hear import hear
from steadycone.records.station_files import file_paper, file_station
from steadycone.web.pages.triage import phrase
from tests.web_desk import NOW, Office, office

DEMO = Path(__file__).parents[2] / "src" / "steadycone" / "data" / "demo"
PAPERS = (("charts/demo-acetylene-cutting.csv", "chart"), ("policies/harbour-yard.toml", "policy"))
SLUG = "slip-2-frame-bench"


def kept(o: Office) -> None:
    for name, what in PAPERS:
        file_paper(o.site, "L. Marsh", NOW, name, what, (DEMO / name).read_bytes())  # type: ignore[arg-type]
    file_station(o.site, "L. Marsh", NOW, "slip-2.toml", (DEMO / "slip-2.toml").read_text())


def asked(*saw: str, station: str = "") -> str:
    return "/triage?" + urlencode([("station", station), *(("saw", each) for each in saw)])


@pytest.mark.parametrize("sign", toml("triage/signs.toml"))
def test_what_is_ticked_is_heard_as_that_sign(sign: str) -> None:
    assert hear([phrase(sign)]).signs == (sign,)


def test_every_sign_can_be_ticked_once() -> None:
    listed = [sign for group in toml("triage_pages.toml")["group"] for sign in group["signs"]]
    assert sorted(listed) == sorted(toml("triage/signs.toml"))


@pytest.mark.parametrize("station", ["", SLUG])
@pytest.mark.parametrize("saw", [("whistle", "hot handle"), ("pop",), ("soot in hose", "bang"), ("gibberish",)])
def test_a_page_gives_the_answer_of_the_command_line(tmp_path: Path, saw: tuple[str, ...], station: str) -> None:
    arguments = [word for each in saw for word in ("--saw", each)]
    if station:
        arguments += ["--station", str(DEMO / "slip-2.toml"), "--on", str(date(2026, 11, 25))]
    line = CliRunner().invoke(triage_command, [*arguments, "--json"])
    assert line.exit_code == 0, line.output
    told = json.loads(line.stdout)
    with office(tmp_path) as o:
        kept(o)
        client = o.client("A. Stone")
        assert client.get(asked(*saw, station=station) + "&as=json").json() == told
        page = unescape(client.get(asked(*saw, station=station)).text)
    for said in (told["means"], *told["first_actions"], *told["never"], *(each["condition"] for each in told["back_to_service"])):
        assert said in page


def test_what_to_do_first_stands_before_causes_and_gate(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = o.client("O. Quist").get(asked("whistle", "hot handle")).text
    places = [
        page.index(word) for word in ("EMERGENCY: do this first", "First, in this order", "Never</h2>", "Likely causes", "Back to service")
    ]
    assert places == sorted(places)


def test_the_emergency_stands_over_the_questions(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = o.client("O. Quist").get("/triage").text
    assert page.index("EMERGENCY: do this first") < page.index("<h1>")


def test_a_question_is_asked_next_with_the_signs_that_answer_it(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = o.client("O. Quist").get(asked("pop")).text
        form = page[page.index("Ask next") :]
        assert '<input type="hidden" name="saw" value="pop">' in form  # what was said is kept
        ticks = re.findall(r'type="checkbox" name="saw" value="([^"]+)"', form)
        assert ticks
        worse = o.client("O. Quist").get(asked("pop", phrase("soot-in-hose"))).text
    assert "<h1>Flashback</h1>" in worse


def test_recording_holds_the_station_and_keeps_the_report(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        kept(o)
        page = asked("whistle", "hot handle", station=SLUG)
        done = o.client("O. Quist").get(page)
        shown = o.client("O. Quist").get(page + "&as=json").json()  # before the incident is itself a stop of the card
        token = re.search(r'name="token" value="([^"]+)"', done.text)
        assert token
        sent = o.client("O. Quist").post("/triage", data={"token": token[1], "station": SLUG, "saw": ["whistle", "hot handle"]})
        assert sent.status_code == 303, sent.text
        (incident,) = o.site.incidents()
        assert incident.event == "sustained backfire"
        assert incident.station == "Slip 2, frame bench"
        assert incident.told_by == "O. Quist"
        assert sent.headers["location"].startswith(f"/incidents/{incident.key}")
        assert o.site.station("Slip 2, frame bench").incidents  # held
        (event,) = list(o.site.events(kinds=["incident"]))
        report = json.loads(o.site.document(event.documents["triage"]))
        assert report == shown


def test_an_auditor_may_ask_and_not_record(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        kept(o)
        page = o.client("A. Stone").get(asked("bang", station=SLUG))
        assert "Record this" not in page.text
        assert o.send("A. Stone", "/own", "/triage", station=SLUG, saw="bang").status_code == 403
        assert list(o.site.incidents()) == []


def test_nothing_said_and_no_station_are_told(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        assert o.client("O. Quist").get("/triage?saw=").status_code == 400
        assert o.send("O. Quist", "/triage?saw=bang", "/triage", saw="bang", station="").status_code == 400
        assert o.client("O. Quist").get("/triage?saw=bang&station=no-such").status_code == 404
        assert o.client("O. Quist").get("/triage?saw=" + "x" * 400).status_code == 400


def test_markup_in_words_stays_text(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = o.client("O. Quist").get(asked("<script>alert(1)</script>")).text
    assert "<script>alert" not in page
