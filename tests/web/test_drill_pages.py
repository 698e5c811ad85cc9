"""The drills as pages: the questions, marks and sheets of the command line."""

import json
import re
from datetime import date
from html import unescape
from pathlib import Path
from urllib.parse import urlencode

import pytest
from click.testing import CliRunner

from steadycone.cli.drill import drill_command
from steadycone.whatif.drills.make import names
from tests.web_desk import office

ON = str(date(2026, 11, 25))


def sheet(name: str, seed: int = 7, questions: int = 4) -> dict[str, object]:
    """What the command line makes of the demo's station."""
    line = CliRunner().invoke(drill_command, [name, "--seed", str(seed), "--questions", str(questions), "--on", ON, "--json"])
    assert line.exit_code == 0, line.output
    found: dict[str, object] = json.loads(line.stdout)
    return found


def asked(name: str, **more: str) -> str:
    return f"/drills/{name}?" + urlencode({"station": "demo", "seed": "7", "questions": "4", **more})


@pytest.mark.parametrize("name", names())
def test_the_questions_are_those_of_the_command_line(tmp_path: Path, name: str) -> None:
    told = sheet(name)
    with office(tmp_path) as o:
        client = o.client("I. Bell")
        for question in told["questions"]:  # type: ignore[attr-defined]
            page = unescape(client.get(asked(name, n=str(question["number"]))).text)
            assert question["asks"] in page
            assert all(says in page for says in question.get("options", {}).values())
            assert question["accepted"][0]["reason"] not in page  # no answer before it was given
            right = " ".join(question["accepted"][0]["answer"])
            seen = unescape(client.get(asked(name, n=str(question["number"]), seen="1", **{f"a{question['number']}": right})).text)
            assert "RIGHT" in seen
            assert question["accepted"][0]["reason"] in seen


def test_marks_are_those_of_the_command_line(tmp_path: Path) -> None:
    told = sheet("mixed")
    given = {q["number"]: " ".join(q["accepted"][0]["answer"]) for q in told["questions"] if q["number"] != 2}  # type: ignore[attr-defined]
    file = tmp_path / "answers.txt"
    file.write_text("".join(f"{number}: {answer}\n" for number, answer in given.items()))
    line = CliRunner().invoke(drill_command, ["mixed", "--seed", "7", "--questions", "4", "--on", ON, "--mark", str(file), "--json"])
    marks = json.loads(line.stdout)
    assert marks["points"] == 3.0
    with office(tmp_path) as o:
        page = unescape(
            o.client("I. Bell").get(asked("mixed", marks="1", **{f"a{number}": answer for number, answer in given.items()})).text
        )
    assert "3 of 4" in page
    assert all(one["says"] in page for one in marks["marks"])


def test_steps_in_order_are_given_place_by_place(tmp_path: Path) -> None:
    question = sheet("order")["questions"][0]  # type: ignore[index]
    places = "&".join(f"a1={letter}" for letter in question["accepted"][0]["answer"])
    with office(tmp_path) as o:
        page = o.client("I. Bell").get(asked("order", n="1", seen="1") + "&" + places).text
    assert "<strong>RIGHT</strong>" in page


def test_answers_are_carried_to_the_next_question(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = o.client("I. Bell").get(asked("gauges", n="2", seen="1", a1="B", a2="A")).text
        following = unescape(re.findall(r'drill-next" href="([^"]+)"', page)[0])
        assert "a1=B" in following
        assert "a2=A" in following
        assert "n=3" in following
        assert 'name="a1" value="B"' in o.client("I. Bell").get(following).text


@pytest.mark.parametrize("kind", ["questions", "answers"])
def test_a_sheet_prints(tmp_path: Path, kind: str) -> None:
    with office(tmp_path) as o:
        found = o.client("I. Bell").get(asked("gauges", **{"as": kind}))
    assert found.headers["content-type"] == "application/pdf"
    assert found.content.startswith(b"%PDF-")


def test_gauges_are_drawn_in_the_pages_own_ink(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = o.client("I. Bell").get(asked("gauges")).text
    assert 'stroke="currentColor"' in page
    assert "#14181B" not in page


def test_the_list_leads_to_the_first_question(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        client = o.client("O. Quist")
        assert all(f'value="{name}"' in client.get("/drills").text for name in names())
        done = client.get("/drills/begin?name=order&station=demo&seed=3&questions=")
        assert done.headers["location"] == "/drills/order?station=demo&seed=3"
        assert client.get(done.headers["location"]).status_code == 200


@pytest.mark.parametrize("more", [{"questions": "999"}, {"seed": "-1"}, {"seed": "x"}, {"n": "0"}, {"n": "9"}, {"seed": "9" * 30}])
def test_numbers_out_of_bounds_are_told(tmp_path: Path, more: dict[str, str]) -> None:
    with office(tmp_path) as o:
        assert o.client("O. Quist").get(asked("gauges", **more)).status_code == 400
        assert o.client("O. Quist").get("/drills/horoscope").status_code == 404
        assert o.client("O. Quist").get("/drills/begin?name=//elsewhere.example").status_code == 404
