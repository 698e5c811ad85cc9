"""The what-ifs as pages give the command line's own answer, and may not tie the server up."""

import json
import re
import time
from datetime import date
from html import unescape
from pathlib import Path
from urllib.parse import urlencode

import pytest
from click.testing import CliRunner

from steadycone.cli.whatif import whatif_command
from steadycone.records.station_files import file_paper, file_station
from steadycone.web.pages import whatif
from steadycone.whatif.run import names
from tests.web_desk import NOW, Office, office

DEMO = Path(__file__).parents[2] / "src" / "steadycone" / "data" / "demo"
PAPERS = (("charts/demo-acetylene-cutting.csv", "chart"), ("policies/harbour-yard.toml", "policy"))
ASKED = {"blocked-tip": {"far_end": "empty", "check_valve": "none"}, "purge": {"seconds": "5"}, "overdraw": {"hours": "4"}}


def kept(o: Office) -> None:
    for name, what in PAPERS:
        file_paper(o.site, "L. Marsh", NOW, name, what, (DEMO / name).read_bytes())  # type: ignore[arg-type]
    file_station(o.site, "L. Marsh", NOW, "slip-2.toml", (DEMO / "slip-2.toml").read_text())


@pytest.mark.parametrize("name", ASKED)
def test_a_page_gives_the_answer_of_the_command_line(tmp_path: Path, name: str) -> None:
    pairs = [f"{key}={value}" for key, value in ASKED[name].items()]
    line = CliRunner().invoke(whatif_command, [name, str(DEMO / "slip-2.toml"), *pairs, "--on", str(date(2026, 11, 25)), "--json"])
    assert line.exit_code == 0, line.output
    with office(tmp_path) as o:
        kept(o)
        address = f"/whatif/{name}?" + urlencode({"station": "slip-2-frame-bench", **ASKED[name]})
        assert o.client("O. Quist").get(address + "&as=json").json() == json.loads(line.stdout)
        page = o.client("O. Quist").get(address)
    assert page.status_code == 200
    told = json.loads(line.stdout)
    for said in (told["says"], told["reason"], told["advice"], *told["not_trusted"]):
        assert said in unescape(page.text).replace("\u00a0", "\u00a0")


@pytest.mark.parametrize("name", names())
def test_every_whatif_is_listed_opens_and_is_worked_out_for_the_demo(tmp_path: Path, name: str) -> None:
    with office(tmp_path) as o:
        client = o.client("A. Stone")
        assert f'href="/whatif/{name}"' in client.get("/whatif").text
        asked = client.get(f"/whatif/{name}").text
        assert "never tried" in asked  # before it is worked out, too
        page = client.get(f"/whatif/{name}?station=demo").text
    assert "Worked out, never tried" in page
    assert "Do not trust this" in page
    assert 'class="train"' in page
    assert " style=" not in page
    assert "<style" not in page
    assert not re.search(r"\son\w+=", re.sub(r'content="[^"]*"', "", page))
    assert len(re.findall(r'id="burns"', page)) <= 1  # one id, one thing


def test_a_yard_with_stations_offers_them_first(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        kept(o)
        page = o.client("O. Quist").get("/whatif/purge").text
    options = re.findall(r'<option value="([^"]*)"( selected)?>', page[page.index('id="f-station"') :])
    assert options[:2] == [("slip-2-frame-bench", " selected"), ("demo", "")]


def test_more_draws_than_a_page_may_ask_for_are_refused_at_the_field(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        began = time.monotonic()
        page = o.client("O. Quist").get("/whatif/purge?station=demo&runs=100000")
        assert time.monotonic() - began < 2.0
    assert page.status_code == 400
    field = page.text[page.text.index('id="f-runs"') :]
    assert "40 at most here" in field[:800]


def test_the_same_question_again_is_not_worked_out_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from steadycone.whatif import run

    asked: list[str] = []
    plain = run.answer
    monkeypatch.setattr(run, "answer", lambda name, card, pairs: asked.append(name) or plain(name, card, pairs))
    with office(tmp_path) as o:
        pages = [o.client("O. Quist").get("/whatif/restriction?station=demo").text for _ in range(3)]
    assert asked == ["restriction"]
    assert pages[0] == pages[1] == pages[2]


def test_somebody_who_waits_too_long_is_told_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(whatif, "_PATIENCE", 0.01)
    with office(tmp_path) as o:
        with whatif._one_at_a_time:
            late = o.client("O. Quist").get("/whatif/restriction?station=demo")
        assert late.status_code == 409
        assert "Ask again in a minute" in late.text
        assert o.client("O. Quist").get("/whatif/restriction?station=demo").status_code == 200


@pytest.mark.parametrize(
    ("asked", "status"),
    [
        ("station=no-such", 404),
        ("station=demo&seconds=x", 400),
        ("station=demo&nonsense=1", 404),
        ("station=demo&seconds=1e999", 400),
        ("station=demo&line=up", 404),
    ],
)
def test_what_cannot_be_is_told_and_never_a_fault(tmp_path: Path, asked: str, status: int) -> None:
    with office(tmp_path) as o:
        assert o.client("O. Quist").get("/whatif/purge?" + asked).status_code == status


def test_an_unknown_whatif_is_not_found(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        assert o.client("O. Quist").get("/whatif/horoscope").status_code == 404
