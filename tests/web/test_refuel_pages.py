"""A change of fuel as a page gives the command line's own answer."""

import json
from datetime import date
from html import unescape
from pathlib import Path
from urllib.parse import urlencode

import pytest
from click.testing import CliRunner

from steadycone.cli.refuel import refuel_command
from steadycone.records.station_files import file_paper, file_station
from tests.web_desk import NOW, Office, office

DEMO = Path(__file__).parents[2] / "src" / "steadycone" / "data" / "demo"
PROPANE = Path(__file__).parents[2] / "examples" / "charts" / "demo-propane-cutting.csv"
PAPERS = (("charts/demo-acetylene-cutting.csv", "chart"), ("policies/harbour-yard.toml", "policy"))


def kept(o: Office) -> None:
    for name, what in PAPERS:
        file_paper(o.site, "L. Marsh", NOW, name, what, (DEMO / name).read_bytes())  # type: ignore[arg-type]
    file_station(o.site, "L. Marsh", NOW, "slip-2.toml", (DEMO / "slip-2.toml").read_text())
    file_paper(o.site, "L. Marsh", NOW, PROPANE.name, "chart", PROPANE.read_bytes())


@pytest.mark.parametrize("chart", ["", PROPANE.name])
def test_a_page_gives_the_answer_of_the_command_line(tmp_path: Path, chart: str) -> None:
    arguments = [str(DEMO / "slip-2.toml"), "--to", "propane", "--on", str(date(2026, 11, 25)), "--json"]
    line = CliRunner().invoke(refuel_command, [*arguments, *(["--chart", str(PROPANE)] if chart else [])])
    assert line.exit_code == 0, line.output
    told = json.loads(line.stdout)
    asked = "/refuel?" + urlencode({"station": "slip-2-frame-bench", "to": "propane", "chart": chart})
    with office(tmp_path) as o:
        kept(o)
        assert o.client("A. Stone").get(asked + "&as=json").json() == told
        page = unescape(o.client("A. Stone").get(asked).text)
    for item in (*told["items"], *told["rules"]):
        assert item["says"] in page
        assert item["why"] in page
    assert ("No flows or settings after" in page) == (not chart)


@pytest.mark.parametrize(
    ("asked", "status"),
    [
        ({"station": "slip-2-frame-bench", "to": "acetylene"}, 400),
        ({"station": "slip-2-frame-bench", "to": "coal"}, 404),
        ({"station": "no-such", "to": "propane"}, 404),
        ({"station": "demo", "to": "propane", "chart": "no-such.csv"}, 404),
        ({"station": "slip-2-frame-bench", "to": "propane", "chart": PROPANE.name, "size": "99"}, 404),
        ({"station": "demo", "to": "propane", "size": "9" * 90}, 400),
        ({}, 200),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_over_the_form(tmp_path: Path, asked: dict[str, str], status: int) -> None:
    with office(tmp_path) as o:
        kept(o)
        page = o.client("O. Quist").get("/refuel?" + urlencode(asked))
    assert page.status_code == status, page.text
    assert 'action="/refuel#answer"' in page.text
