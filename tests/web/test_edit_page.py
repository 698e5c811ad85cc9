"""A station added and edited in the browser, every button a form sent: the same file, the same checks, the same card as elsewhere."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from steadycone.cli.card import card
from steadycone.files.edit import fields_of
from steadycone.records import events
from steadycone.records.station_files import read_station
from steadycone.web.pages import edit_pool
from steadycone.web.pages.edit_work import Ask, work
from tests.web_desk import Office, office, token_of
from tests.web_edit import CHART, EDIT, EXAMPLES, NAME, POLICY, TEXT, fields, filed, live, press, shown
from tests.web_yard import file_papers

LENGTH = "oxygen__part__2__length"


def now_filed(o: Office, name: str = NAME) -> str:
    return read_station(o.site, name).text


def big(page: str) -> list[str]:
    """The digits of both panels."""
    return re.findall(r'<p class="big"><strong[^>]*>(.*?)</strong>', page)


def test_the_form_holds_what_the_file_says_and_saving_it_untouched_changes_nothing(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        page = client.get(EDIT)
        assert page.status_code == 200
        form = fields(page.text)
        assert {path: form[path] for path in fields_of(TEXT)} == fields_of(TEXT)
        refused = press(client, page.text, EDIT, "save")
        assert (refused.status_code, "nothing changed" in refused.text) == (400, True)
        assert now_filed(o) == TEXT


def test_a_saved_change_changes_its_own_line_and_nothing_else(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        saved = press(client, client.get(EDIT).text, EDIT, "save", **{LENGTH: "35 m"}, why="longer slip")
        assert (saved.status_code, saved.headers["location"]) == (303, "/stations/slip-2-frame-bench?done=filed")
        assert now_filed(o) == TEXT.replace('length = "20 m"', 'length = "35 m"', 1)
        (event, *_) = o.site.history(station=NAME, limit=1)
        assert (event.author, event.body.why) == ("L. Marsh", "longer slip")  # type: ignore[union-attr]


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_the_line_ends_of_the_file_stay(tmp_path: Path, ends: str) -> None:
    with office(tmp_path) as o:
        filed(o, TEXT.replace("\n", ends))
        client = o.client("L. Marsh")
        assert press(client, client.get(EDIT).text, EDIT, "save", **{LENGTH: "35 m"}).status_code == 303
        assert now_filed(o) == TEXT.replace('length = "20 m"', 'length = "35 m"', 1).replace("\n", ends)


def test_the_saved_station_gives_the_bytes_of_the_command_line(tmp_path: Path) -> None:
    with office(tmp_path / "yard") as o:
        filed(o)
        client = o.client("L. Marsh")
        assert press(client, client.get(EDIT).text, EDIT, "save", **{LENGTH: "35 m"}).status_code == 303
        by_page = client.get("/stations/slip-2-frame-bench/card.json").content
        text, day = now_filed(o), o.clock.now.date().isoformat()
    for name in (POLICY, CHART):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes((EXAMPLES / name).read_bytes())
    (tmp_path / "slip-2.toml").write_text(text, encoding="utf-8")
    done = CliRunner().invoke(card, [str(tmp_path / "slip-2.toml"), "--json", "--on", day])
    assert done.stdout_bytes == by_page
    assert json.loads(by_page)["station"]["name"] == NAME


def test_work_it_out_shows_what_the_form_comes_to_and_saves_nothing(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        page = client.get(EDIT).text
        worked = press(client, page, EDIT, "work", **{LENGTH: "120 m"})
        assert worked.status_code == 200
        assert float(big(worked.text)[0]) > float(big(page)[0])
        assert "hose" in shown(worked.text.partition("What is judged")[2].partition("in order")[0]).lower()
        assert now_filed(o) == TEXT


def test_the_scripts_answer_is_the_page_without_script(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        page = client.get(EDIT).text
        for length in ("20 m", "60 m", "60", "400 m"):
            told = live(client, page, **{LENGTH: length}).json()
            plain = press(client, page, EDIT, "work", **{LENGTH: length}).text
            assert told["html"].strip() in plain, length
            assert " ".join(told["strip"].split()) in " ".join(plain.split()), length


def test_the_brief_answer_leaves_out_only_the_list_of_what_is_in_order(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        file_papers(o)
        papers = {(p.what, p.name): o.site.document(p.hash) for p in o.site.papers()}
        for path in sorted(EXAMPLES.glob("*.toml")):
            ask = Ask(path.read_text(encoding="utf-8"), {}, papers, {}, "uk", o.clock.now.date())
            whole, brief = work(ask).view, work(replace(ask, brief=True)).view
            assert whole
            assert brief == replace(whole, go_lines=()), path.name


def test_the_scripts_answer_puts_what_is_wrong_at_its_box_and_gives_no_number(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        told = live(client, client.get(EDIT).text, **{LENGTH: "20"}).json()
    assert list(told["errors"]) == ["oxygen.part.2.length"]
    assert "no unit" in told["errors"]["oxygen.part.2.length"]
    assert (told["verdict"], big(told["html"])) == ("", [])
    assert "NO ANSWER" in told["html"]
    assert "edit-digits" not in told["strip"]


def test_a_longer_hose_costs_more_takes_longer_to_purge_and_is_found(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        page = client.get(EDIT).text
        answers = [live(client, page, **{LENGTH: f"{length} m"}).json()["html"] for length in (10, 40, 80)]
    set_ = [float(big(html)[0]) for html in answers]
    purge = [int(re.search(r"<h3>2 PURGE</h3><strong>.*?(\d+) <small>", html, re.DOTALL)[1]) for html in answers]  # type: ignore[index]
    assert set_ == sorted(set(set_))
    assert purge == sorted(set(purge))
    assert [html.count('class="verdict go"') for html in answers] == [0, 0, 0]  # an arrestor is due within the month
    findings = [re.findall(r"<summary>.*?<b>(.*?)</b>", html, re.DOTALL) for html in answers]
    assert len(findings[0]) < len(findings[2])


def test_a_part_is_added_moved_doubled_and_taken_away_and_a_blank_one_is_asked_for(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")

        def kinds(page: str) -> list[str]:
            form = fields(page)
            return [form[f"oxygen.part.{n}.kind"] for n in range(1, 9) if f"oxygen.part.{n}.kind" in form]

        page = client.get(EDIT).text
        assert kinds(page) == ["arrestor", "hose", "check valve"]
        page = press(client, page, EDIT, "add oxygen", **{"add-oxygen": "hose"}).text
        assert kinds(page) == ["arrestor", "hose", "check valve", "hose"]
        assert "NO ANSWER" in page
        assert [label for label in ("Grade", "Bore", "Length") if f"Oxygen hose 2: {label}" in page] == ["Grade", "Bore", "Length"]
        page = press(
            client, page, EDIT, "up oxygen 4", oxygen__part__4__grade="oxygen", oxygen__part__4__bore="8 mm", oxygen__part__4__length="10 m"
        ).text
        assert kinds(page) == ["arrestor", "hose", "hose", "check valve"]
        assert ("NO ANSWER" in page, "DON’T SET" in page) == (False, True)  # the new hose has no date
        page = press(client, page, EDIT, "same oxygen 3").text
        page = press(client, page, EDIT, "down oxygen 1").text
        page = press(client, page, EDIT, "remove oxygen 1").text
        assert kinds(page) == ["arrestor", "hose", "hose", "check valve"]
        assert [fields(page)[f"oxygen.part.{n}.length"] for n in (2, 3)] == ["10 m", "10 m"]
        assert now_filed(o) == TEXT
        assert press(client, page, EDIT, "save").status_code == 303
        assert [part.word for part in read_station(o.site, NAME).setup.station.oxygen.part] == ["arrestor", "hose", "hose", "check valve"]


def test_a_line_for_preheat_oxygen_comes_and_goes_and_oil_is_declared(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        page = press(client, client.get(EDIT).text, EDIT, "add-line preheat_oxygen").text
        assert "preheat_oxygen.part.2.length" in fields(page)
        page = press(client, page, EDIT, "remove-line preheat_oxygen").text
        assert "preheat_oxygen.part.2.length" not in fields(page)
        page = press(client, page, EDIT, "declare", **{"add-declared": "oil"}).text
        assert "DON’T SET" in page
        assert "DON’T SET" not in press(client, page, EDIT, "undeclare 1").text


@pytest.mark.parametrize(
    ("op", "says"),
    [
        ("remove oxygen 9", "no number 9"),
        ("add shore", "not a line"),
        ("add oxygen", "not a kind"),
        ("up oxygen x", "not the number"),
        ("burn", "no such button"),
    ],
)
def test_a_button_the_form_has_not_changes_nothing(tmp_path: Path, op: str, says: str) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        refused = press(client, client.get(EDIT).text, EDIT, op, **{"add-oxygen": "kettle"})
        assert (refused.status_code // 100, says in shown(refused.text)) == (4, True), shown(refused.text)
        assert now_filed(o) == TEXT


@pytest.mark.parametrize(
    ("box", "value", "says"),
    [
        ("oxygen.part.2.length", "20", "no unit"),
        ("oxygen.part.2.length", "", "Fill this in."),
        ("oxygen.part.1.flow_points", "5 bar", "is not name=value"),
        ("tip.chart", "none.csv", "No such chart is kept"),
        ("station.policy", "none.toml", "No such policy is kept"),
        ("station.region", "xx", "is not allowed"),
        ("station.name", "Slip 9", "A station keeps its name"),
    ],
)
def test_what_the_file_could_not_say_is_refused_at_its_box(tmp_path: Path, box: str, value: str, says: str) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        refused = press(client, client.get(EDIT).text, EDIT, "save", **{box: value})
        assert refused.status_code == 400
        assert "NOT SAVED" in refused.text
        wrong = re.search(rf'id="e-{box.replace(".", "-")}">.*?</p>', refused.text, re.DOTALL)
        assert wrong, shown(refused.text)
        assert says in shown(wrong[0])
        assert fields(refused.text)[box] == value
        assert now_filed(o) == TEXT


def test_a_size_the_chart_has_not_gives_no_card_and_is_not_saved(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        refused = press(client, client.get(EDIT).text, EDIT, "save", tip__size="99")
        assert (refused.status_code, now_filed(o)) == (400, TEXT)
        assert "NOT SAVED" in refused.text


def test_saving_tells_beforehand_that_a_sign_off_ends(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        assert "sign-off" not in shown(client.get(EDIT).text)
        papers = dict(read_station(o.site, NAME).papers)
        signed(o, papers)
        page = client.get(EDIT).text
        assert "Saving a change ends I. Bell’s sign-off" in shown(page)
        assert "Save and end the sign-off" in page
        assert press(client, page, EDIT, "save", **{LENGTH: "35 m"}).status_code == 303
        assert not o.site.sign_off(NAME, o.clock.now).holds
        assert "end the sign-off" not in client.get(EDIT).text  # there is none to end; the card says why


def signed(o: Office, papers: dict[str, bytes]) -> None:
    from steadycone.records import New

    done = New(events.RoundDone(station=NAME, state="signed", verdict="go"), "I. Bell", o.clock.now, documents=papers)
    (receipt,) = o.site.append(done)
    until = o.clock.now.replace(hour=17).isoformat()
    o.site.append(New(events.SignOff(station=NAME, round=receipt.event.id, valid_until=until, longest_break=1800), "I. Bell", o.clock.now))


# --- two people ----------------------------------------------------------------------


def test_the_second_to_save_sees_who_was_first_and_lays_theirs_over(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        first, second = o.client("L. Marsh"), o.client("T. Vance")
        page, other = first.get(EDIT).text, second.get(EDIT).text
        assert press(first, page, EDIT, "save", oxygen__supply__pressure="90 bar", **{LENGTH: "30 m"}).status_code == 303
        late = press(second, other, EDIT, "save", fuel__part__2__length="25 m", **{LENGTH: "40 m"}, why="my reason")
        assert late.status_code == 409
        told = shown(late.text)
        assert "L. Marsh saved it on 2026-11-25" in told
        assert [line for line in ("− theirs pressure = \"90 bar\"", "+ yours , as it was pressure = \"140 bar\"", "+ yours length = \"40 m\"") if line in told] == [
            "− theirs pressure = \"90 bar\"", "+ yours , as it was pressure = \"140 bar\"", "+ yours length = \"40 m\"",
        ]  # fmt: skip
        laid = press(second, late.text, EDIT, "lay")
        assert laid.status_code == 200
        assert "Oxygen hose: Length They changed it too. Theirs: 30 m. Now yours: 40 m." in shown(laid.text)
        assert "Acetylene hose: Length 20 m becomes 25 m." in shown(laid.text)
        form = fields(laid.text)
        assert (form["oxygen.supply.pressure"], form["oxygen.part.2.length"], form["fuel.part.2.length"], form["why"]) == (
            "90 bar",
            "40 m",
            "25 m",
            "my reason",
        )
        assert press(second, laid.text, EDIT, "save").status_code == 303
        text = now_filed(o)
        wanted = (
            TEXT.replace('"140 bar"', '"90 bar"', 1)
            .replace('length = "20 m"', 'length = "40 m"', 1)
            .replace('length = "20 m"', 'length = "25 m"', 1)
        )
        assert text == wanted


def test_a_form_sent_twice_is_filed_once_and_one_sent_again_with_other_values_is_not_lost(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        page, size = client.get(EDIT).text, o.site.size
        assert [press(client, page, EDIT, "save", **{LENGTH: "35 m"}).status_code for _ in range(2)] == [303, 303]
        assert o.site.size == size + 1
        again = press(client, page, EDIT, "save", **{LENGTH: "45 m"})  # back in the browser, and on from the old page
        assert again.status_code == 409
        assert "length = &#34;45 m&#34;" in again.text
        assert 'length = "35 m"' in now_filed(o)


# --- as text -------------------------------------------------------------------------


def test_the_text_is_edited_with_the_same_checks_and_the_wrong_line_is_shown(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        page = press(client, client.get(EDIT).text, EDIT, "text", **{LENGTH: "35 m"}).text
        wanted = TEXT.replace('length = "20 m"', 'length = "35 m"', 1)
        assert fields(page)["text"].replace("\r\n", "\n") == wanted
        broken = press(client, page, EDIT, "save", text=wanted.replace('ambient = "12 °C"', "ambient = 12 °C"))
        assert broken.status_code == 400
        here = re.search(r'<li class="here">.*?</li>', broken.text, re.DOTALL)
        assert here
        assert "ambient = 12 °C" in shown(here[0])
        unknown = press(client, page, EDIT, "save", text=wanted.replace("ambient", "ambience"))
        assert (unknown.status_code, "ambience" in shown(unknown.text)) == (400, True)
        assert now_filed(o) == TEXT
        commented = wanted.replace("[place]", "# by the slip\n[place]")
        form = press(client, page, EDIT, "form", text=commented).text
        assert fields(form)["oxygen.part.2.length"] == "35 m"
        assert press(client, form, EDIT, "save").status_code == 303
        assert now_filed(o) == commented


# --- a new one -----------------------------------------------------------------------


def begin(o: Office, name: str = "Bay 9, plate edge", **more: str) -> str:
    client = o.client("L. Marsh")
    page = client.get("/stations/new")
    assert page.status_code == 200
    told = {"token": token_of(page.text), "op": "begin", "name": name, "fuel": "acetylene", "attachment": "cutting", "file": "", **more}
    found: str = client.post("/stations/new", data=told).text
    return found


def test_a_new_station_is_begun_filled_in_and_saved(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        page = begin(o)
        assert "NO ANSWER" in page
        assert "Oxygen hose: Length" in page
        refused = press(client, page, "/stations/new", "save")
        assert (refused.status_code, len(o.site.stations())) == (400, 1)
        boxes = {
            path: value
            for path, value in fields_of(TEXT).items()
            if path in fields(page) and path != "station.name" and not path.endswith(".kind")
        }
        page = press(client, refused.text, "/stations/new", "remove oxygen 3").text
        page = press(client, page, "/stations/new", "remove fuel 3").text
        known = {path: value for path, value in boxes.items() if path in fields(page)}
        saved = press(client, page, "/stations/new", "save", **known)
        assert saved.headers.get("location") == "/stations/bay-9-plate-edge?done=filed", shown(saved.text)
        found = read_station(o.site, "Bay 9, plate edge")
        assert found.file == "bay-9-plate-edge.toml"
        assert client.get("/stations/bay-9-plate-edge").status_code == 200


def test_a_new_station_of_a_name_that_is_kept_is_refused_at_its_name(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        page = press(o.client("L. Marsh"), begin(o, NAME), "/stations/new", "text").text
        refused = press(o.client("L. Marsh"), page, "/stations/new", "save", text=TEXT.replace("20 m", "30 m"))
        assert refused.status_code == 409
        assert "a station of this name is kept" in shown(refused.text)
        assert now_filed(o) == TEXT


@pytest.mark.parametrize(
    "more", [{"name": ""}, {"name": "New"}, {"fuel": "coal"}, {"attachment": "kettle"}, {"file": "../x"}, {"name": "a\u0007b"}]
)
def test_what_no_station_can_begin_with_is_asked_again(tmp_path: Path, more: dict[str, str]) -> None:
    with office(tmp_path) as o:
        page = begin(o, **more)
        assert 'role="alert"' in page
        assert 'id="start-name"' in page
        assert o.site.stations() == []


# --- who ----------------------------------------------------------------------------


def test_only_those_who_look_after_stations_edit_them(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        page = o.client("L. Marsh").get(EDIT).text
        for person in ("O. Quist", "A. Stone"):
            client = o.client(person)
            assert client.get(EDIT).status_code == 403
            assert client.get("/stations/new").status_code == 403
            assert press(client, page, EDIT, "save", **{LENGTH: "35 m"}).status_code == 403
            assert live(client, page).status_code == 403
        assert live(o.client("I. Bell"), page).status_code == 403  # somebody else's token
        assert now_filed(o) == TEXT


@pytest.mark.parametrize("told", [[], {"text": 3}, {"text": "x", "values": {"a": 1}}, {"text": "x" * 200_000}, {"values": {}}])
def test_json_that_is_no_draft_is_refused(tmp_path: Path, told: object) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        headers = {"x-form-token": token_of(client.get(EDIT).text)}
        answer = client.post("/stations/live.json", json=told, headers=headers)
        assert answer.status_code == 400
        assert set(answer.json()["error"]) == {"code", "where", "says", "try"}


def test_a_draft_that_is_no_station_at_all_gives_no_answer_and_no_fault(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        headers = {"x-form-token": token_of(client.get(EDIT).text)}
        for text in ("", "x =", 'format = "steadycone-policy/1"', 'format = "steadycone-station/1"\noxygen = 3'):
            for values in ({}, {"oxygen.part.2.length": "3 m"}, {"no.such": "x"}):
                told = client.post("/stations/live.json", json={"text": text, "values": values}, headers=headers)
                assert told.status_code == 200, text
                assert (told.json()["verdict"], "NO ANSWER" in told.json()["html"]) == ("", True)


def test_another_process_gives_the_same_answer_and_when_it_is_killed_the_server_does_it_itself(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        filed(o)
        client = o.client("L. Marsh")
        page = client.get(EDIT).text

        def answers() -> list[dict[str, object]]:
            found = [live(client, page, **{LENGTH: length}).json() for length in ("33 m", "20")]
            return [{name: value for name, value in each.items() if name != "took_ms"} for each in found]

        here = answers()
        edit_pool.begin(o.yard, 1)
        try:
            pool = o.yard.kept["live pool"]
            assert answers() == here
            assert o.yard.kept["live pool"] is pool
            for process in list(pool._processes.values()):
                process.kill()
                process.join()
            assert answers() == here
            assert "live pool" not in o.yard.kept
        finally:
            edit_pool.end(o.yard)
