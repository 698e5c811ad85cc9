"""Charts and policies: what the check says before filing, and after it."""

import json
import re
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner

from steadycone.cli.chart import check
from steadycone.records.station_files import file_paper, file_station
from tests.web_desk import NOW, Office, office

DEMO = Path(__file__).parents[2] / "src" / "steadycone" / "data" / "demo"
CHART = "charts/demo-acetylene-cutting.csv"
SOUND = (DEMO / CHART).read_bytes()
# size 0 at 25 bar, and size 5 with four times its flow
DOUBTED = SOUND.replace(b"0,3,6,2.0", b"0,3,6,25").replace(b"5,60,100,4.0,0.55,10.8", b"5,60,100,4.0,0.55,40")


def kept(o: Office) -> None:
    """The demo's chart, policy and station, filed."""
    file_paper(o.site, "L. Marsh", NOW, CHART, "chart", SOUND)
    policy = "policies/harbour-yard.toml"
    file_paper(o.site, "L. Marsh", NOW, policy, "policy", (DEMO / policy).read_bytes())
    file_station(o.site, "L. Marsh", NOW, "slip-2.toml", (DEMO / "slip-2.toml").read_text())


def upload(o: Office, person: str, data: bytes, file: str = "acetylene.csv", page: str = "/charts", **fields: str):  # type: ignore[no-untyped-def]
    return o.send(person, page, "/charts", files={"file": (file, data)}, **fields)


def hidden(page: str) -> dict[str, str]:
    """The fields of the page that files what was checked."""
    return {name: unescape(value) for name, value in re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', page)}


def test_nothing_is_filed_before_the_check_was_seen(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = upload(o, "L. Marsh", SOUND)
        assert page.status_code == 200
        assert "Not filed yet" in page.text
        assert "Nothing in it contradicts itself" in page.text
        assert o.site.papers() == []
        done = o.client("L. Marsh").post("/charts/file", data=hidden(page.text))
        assert done.status_code == 303
        assert o.site.files.document(o.site.paper("acetylene.csv").hash) == SOUND
        assert o.client("O. Quist").get("/charts/acetylene.csv?as=file").content == SOUND  # the very bytes


@pytest.mark.parametrize("region", ["uk", "us"])
def test_the_page_doubts_what_the_command_line_doubts(tmp_path: Path, region: str) -> None:
    file = tmp_path / "acetylene.csv"
    file.write_bytes(DOUBTED)
    told = json.loads(CliRunner().invoke(check, [str(file), "--region", region, "--json"]).stdout)["findings"]
    assert len(told) == 3
    with office(tmp_path, region=region) as o:
        page = upload(o, "L. Marsh", DOUBTED).text
    for finding in told:
        assert finding["says"] in unescape(page)
        assert finding["remedy"] in unescape(page)
    assert page.count('class="charts-doubted"') == 2  # sizes 0 and 5
    assert "3 figures" in page


def test_a_chart_in_doubt_is_filed_only_once_somebody_compared_it(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        fields = hidden(upload(o, "L. Marsh", DOUBTED).text)
        refused = o.client("L. Marsh").post("/charts/file", data=fields)
        assert refused.status_code == 400
        assert "Compare each with the maker" in refused.text
        assert o.site.papers() == []
        assert o.client("L. Marsh").post("/charts/file", data=fields | {"compared": "yes"}).status_code == 303
        page = o.client("O. Quist").get("/charts/acetylene.csv").text
        assert page.count('class="charts-doubted"') == 2  # still marked
        assert "Compared with the maker&#39;s paper: row 8, 13 in doubt." in page  # in the log, and seen
        assert "IN DOUBT" in page


@pytest.mark.parametrize(
    ("data", "file", "told"),
    [
        (b"", "a.csv", "this chart is empty"),
        (b"PK\x03\x04junk", "a.xlsx", "a.xlsx"),
        (SOUND, "a.pdf", "a chart file ends in .csv, .xlsx or .ods"),
        (SOUND.replace(b"thickness from [mm]", b"thickness from"), "a.csv", "thickness from"),
        (SOUND.replace(b"12,20,2.6", b"12,20,2;6"), "a.csv", "row"),
    ],
)
def test_what_cannot_be_read_is_refused_with_the_readers_place(tmp_path: Path, data: bytes, file: str, told: str) -> None:
    with office(tmp_path) as o:
        page = upload(o, "L. Marsh", data, file)
        assert page.status_code == 400
        assert told in unescape(page.text)
        assert "Nothing was filed" in page.text
        assert o.site.papers() == []


def test_no_file_and_one_too_large_are_refused(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        assert o.send("L. Marsh", "/charts", "/charts").status_code == 400
        assert upload(o, "L. Marsh", b"x" * 5_200_000).status_code == 413


@pytest.mark.parametrize("person", ["O. Quist", "A. Stone"])
def test_operator_and_auditor_may_look_and_not_file(tmp_path: Path, person: str) -> None:
    with office(tmp_path) as o:
        kept(o)
        page = o.client(person).get("/charts")
        assert page.status_code == 200
        assert "Add a chart" not in page.text
        token = hidden(o.client(person).get("/own").text)["token"]
        assert o.client(person).post("/charts", data={"token": token}, files={"file": ("a.csv", SOUND)}).status_code == 403
        assert o.client(person).post("/charts/file", data={"token": token, "name": "a.csv", "data": ""}).status_code == 403
        assert o.client(person).post("/policies/file", data={"token": token, "name": "a.toml", "text": ""}).status_code == 403


def test_a_kept_chart_is_shown_with_rows_plot_stations_and_history(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        kept(o)
        listed = o.client("A. Stone").get("/charts").text
        assert f'href="/charts/{CHART}"' in listed
        assert "7 rows, nothing contradicts itself" in listed
        page = o.client("A. Stone").get(f"/charts/{CHART}").text
    assert page.count("<svg") > 3
    assert 'class="chart-plot' in page
    assert "Slip 2, frame bench" in page
    assert "100 to 150" in page
    assert "chart charts/demo-acetylene-cutting.csv filed" in page
    assert "style=" not in page


def test_replacing_a_chart_names_the_stations_it_is_read_with_and_keeps_the_name(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        kept(o)
        base = o.site.paper(CHART).hash
        new = SOUND.replace(b"# source: invented for the demo", b"# source: invented, second print")
        page = upload(o, "L. Marsh", new, "other name.csv", f"/charts/{CHART}", name=CHART, base=base)
        assert "It replaces the one that L. Marsh filed on 2026-11-25" in page.text
        assert "Slip 2, frame bench" in page.text
        assert o.client("L. Marsh").post("/charts/file", data=hidden(page.text)).status_code == 303
        assert o.site.files.document(o.site.paper(CHART).hash) == new


def test_two_people_at_once_and_the_second_is_told(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        kept(o)
        base = o.site.paper(CHART).hash
        first, second = (SOUND.replace(b"for the demo", word) for word in (b"by one", b"by two"))
        seen = [hidden(upload(o, who, data, "a.csv", f"/charts/{CHART}", name=CHART, base=base).text)
                for who, data in (("T. Vance", first), ("L. Marsh", second))]  # fmt: skip
        assert o.client("T. Vance").post("/charts/file", data=seen[0]).status_code == 303
        late = o.client("L. Marsh").post("/charts/file", data=seen[1])
        assert late.status_code == 409
        assert "T. Vance changed it on 2026-11-25" in late.text
        assert o.site.files.document(o.site.paper(CHART).hash) == first
        assert o.client("L. Marsh").post("/charts/file", data=hidden(late.text)).status_code == 303  # knowing it, all the same
        assert o.site.files.document(o.site.paper(CHART).hash) == second


def test_a_name_that_a_policy_has_is_refused(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        kept(o)
        file_paper(o.site, "L. Marsh", NOW, "yard.csv", "policy", (DEMO / "policies/harbour-yard.toml").read_bytes())
        page = upload(o, "L. Marsh", SOUND, "yard.csv")
        assert page.status_code == 400
        assert "is the name of a policy" in page.text


def test_a_spreadsheet_is_read_as_the_command_line_reads_it(tmp_path: Path) -> None:
    from openpyxl import Workbook

    book = Workbook()
    rows = [line.split(",") for line in SOUND.decode().splitlines() if not line.startswith("#")]
    for row in rows:
        book.active.append([float(cell) if cell.replace(".", "").isdigit() else cell for cell in row])
    about = book.create_sheet("about")
    for line in SOUND.decode().splitlines():
        if line.startswith("# "):
            about.append(line[2:].split(": ", 1))
    book.save(tmp_path / "a.xlsx")
    with office(tmp_path) as o:
        page = upload(o, "L. Marsh", (tmp_path / "a.xlsx").read_bytes(), "a.xlsx")
        assert page.status_code == 200, page.text
        assert "Nothing in it contradicts itself" in page.text
        assert o.client("L. Marsh").post("/charts/file", data=hidden(page.text)).status_code == 303
        assert "7 rows" in o.client("A. Stone").get("/charts").text


def test_names_that_lead_elsewhere_are_refused(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        for name in ("../a.csv", "/etc/a.csv", ".a.csv", "a\\b.csv", "c:a.csv"):
            assert upload(o, "L. Marsh", SOUND, "a.csv", name=name).status_code == 400, name
        assert o.client("L. Marsh").get("/charts/no-such.csv").status_code == 404


def test_markup_in_a_chart_stays_text(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = upload(o, "L. Marsh", SOUND.replace(b"Demo acetylene cutting tips", b"<script>alert(1)</script>")).text
    assert "<script>alert" not in page
    assert "&lt;script&gt;" in page


def test_a_chart_sent_back_damaged_is_refused(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        fields = hidden(upload(o, "L. Marsh", SOUND).text)
        assert o.client("L. Marsh").post("/charts/file", data=fields | {"data": "!!"}).status_code == 400
        assert o.site.papers() == []


# --- policies -----------------------------------------------------------------------


def test_a_policy_is_read_before_it_is_filed(tmp_path: Path) -> None:
    with office(tmp_path, region="us") as o:
        text = 'format = "steadycone-policy/1"\nacetylene_cap = "20 psi"\n'
        loose = o.send("L. Marsh", "/policies/new", "/policies/file", name="yard.toml", base="", text=text, why="")
        assert loose.status_code == 400  # 15 psi is the law: 29 CFR 1910.253(a)(2)
        assert "20 psi" in unescape(loose.text)
        assert o.site.papers() == []
        stricter = text.replace("20 psi", "12 psi")
        assert o.send("L. Marsh", "/policies/new", "/policies/file", name="yard.toml", base="", text=stricter, why="").status_code == 303
        page = o.client("A. Stone").get("/policies/yard.toml")
        assert "12 psi" in page.text
        assert "<textarea" not in page.text  # an auditor reads
        assert o.client("A. Stone").get("/policies/yard.toml?as=file").content.decode() == stricter
        assert o.client("A. Stone").get("/charts/yard.toml").status_code == 404


def test_a_changed_policy_keeps_what_another_did_first(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        kept(o)
        name = "policies/harbour-yard.toml"
        base, text = o.site.paper(name).hash, (DEMO / name).read_text()
        fields = {"name": name, "base": base, "why": ""}
        assert o.send("T. Vance", f"/policies/{name}", "/policies/file", text=text + "\n# one\n", **fields).status_code == 303
        late = o.send("L. Marsh", f"/policies/{name}", "/policies/file", text=text + "\n# two\n", **fields)
        assert late.status_code == 409
        assert "# two" in late.text  # what was typed is not lost
        assert b"# one" in o.site.files.document(o.site.paper(name).hash)
