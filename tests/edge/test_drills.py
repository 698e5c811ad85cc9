"""Drills on the command line and on paper."""

import json
from pathlib import Path

import pytest
from tests.stations import card

from steadycone.cli.app import call
from steadycone.render.drill import answers_text, drill_text, marks_text
from steadycone.render.drill_pdf import pdf_answers, pdf_drill
from steadycone.whatif.drills.make import make_drill, names
from steadycone.whatif.drills.mark import mark, read_answers

ON = ["--on", "2026-11-25"]


def ran(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = call(["drill", *arguments])
    out, err = capsys.readouterr()
    return code, out, err


@pytest.mark.parametrize("region", ["uk", "us", "au"])
@pytest.mark.parametrize("name", names())
def test_every_drill_has_its_words_in_every_region(name: str, region: str) -> None:
    for seed in (1, 2, 3):
        drill = make_drill(name, card(region=region), seed, 6)
        for text in (drill_text(drill), answers_text(drill), marks_text(drill, mark(drill, {1: "A", 2: "B A", 3: "4"}))):
            assert "{" not in text
            assert max(len(line) for line in text.splitlines()) <= 80


def test_without_a_name_it_lists_the_drills(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = ran(capsys)
    assert code == 0
    assert [line.split()[0] for line in out.splitlines()] == list(names())


def test_without_a_station_it_asks_on_the_demo_s(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = ran(capsys, "order", "--seed", "4", "--questions", "2", *ON)
    assert code == 0
    assert "Slip 2, frame bench" in out


def test_json_holds_questions_with_their_accepted_answers(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = ran(capsys, "mixed", "--seed", "7", "--questions", "4", "--json", *ON)
    told = json.loads(out)
    assert code == 0
    assert told["format"] == "steadycone-drill/1"
    assert [question["number"] for question in told["questions"]] == [1, 2, 3, 4]
    assert all(question["accepted"][0]["answer"] for question in told["questions"])


def test_an_answer_file_is_marked_with_reasons(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    _, out, _ = ran(capsys, "mixed", "--seed", "7", "--questions", "4", "--json", *ON)
    questions = json.loads(out)["questions"]
    file = tmp_path / "answers.txt"
    file.write_text(
        "# Ana\n" + "".join(f"{q['number']}: {' '.join(q['accepted'][-1]['answer'])}\n" for q in questions[:3]), encoding="utf-8"
    )
    code, out, _ = ran(capsys, "mixed", "--seed", "7", "--questions", "4", "--mark", str(file), "--json", *ON)
    told = json.loads(out)
    assert code == 0
    assert [one["points"] for one in told["marks"]] == [q["accepted"][-1]["points"] for q in questions[:3]] + [0.0]
    assert all(one["says"] and one["source"] for one in told["marks"])


def test_the_other_shut_down_order_is_accepted_with_who_says_so() -> None:
    drill = make_drill("order", card(), 1, 6)
    question = next(q for q in drill.questions if "Work is done" in q.asks.template)
    assert len(question.accepted) == 2
    first, other = question.accepted
    assert first.answer[:2] == tuple(reversed(other.answer[:2]))
    assert first.credit == other.credit == 1.0
    assert set(first.sources) != set(other.sources)


def test_the_emergency_order_is_not_open() -> None:
    drill = make_drill("order", card(), 1, 6)
    question = next(q for q in drill.questions if "squeals" in q.asks.template)
    assert len(question.accepted) == 1


@pytest.mark.parametrize(("text", "place"), [("1 B\n1: C", "line 2"), ("what?", "line 1"), ("A: 1", "line 1")])
def test_an_answer_sheet_that_cannot_be_read_names_the_line(
    text: str, place: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "answers.txt"
    file.write_text(text, encoding="utf-8")
    code, out, err = ran(capsys, "order", "--mark", str(file), *ON)
    assert (code, out) == (2, "")
    assert place in err


@pytest.mark.parametrize(
    "arguments", [["gages"], ["order", "--questions", "0"], ["order", "--mark", "nowhere.txt"], ["order", "none.toml"]]
)
def test_a_slip_is_told_and_nothing_is_written(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = ran(capsys, *arguments, *ON)
    assert code == 2
    assert out == ""
    assert err
    assert "Traceback" not in err


def test_answers_are_read_in_the_ways_people_write_them() -> None:
    assert read_answers("1: b\n\n2) C A-B\n3 = 4\n# note\n4. ") == {1: "b", 2: "C A-B", 3: "4", 4: ""}


def test_question_and_answer_sheets_are_printed_the_same_every_time(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    questions, answers = tmp_path / "q.pdf", tmp_path / "a.pdf"
    code, _, _ = ran(capsys, "mixed", "--seed", "5", "--questions", "4", "--pdf", str(questions), "--answers-pdf", str(answers), *ON)
    assert code == 0
    assert questions.read_bytes().startswith(b"%PDF")
    drill = make_drill("mixed", card(region="us"), 5, 4)
    assert pdf_drill(drill) == pdf_drill(drill)
    assert pdf_answers(drill).startswith(b"%PDF")
