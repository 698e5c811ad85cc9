"""A class: a sheet each, one table of answers, who passed, a resit with other questions, and the records."""

import csv
import json
from pathlib import Path

import pytest
from tests.records_desk import Desk, desk, empty_desk
from tests.stations import card

from steadycone.errors import InputError
from steadycone.whatif.drills.class_of import again, make_class, mark_class, read_names, seed_of
from steadycone.whatif.drills.make import make_drill

__all__ = ["desk", "empty_desk"]
NAMES = ("Ana Ruiz", "B. Okafor", "C. Lindqvist")
ON = ("--on", "2026-11-25")


def right(seed: int, questions: int = 5, drill: str = "mixed") -> dict[int, str]:
    return {k: " ".join(q.accepted[0].answer) for k, q in enumerate(make_drill(drill, card(), seed, questions).questions, 1)}


def test_each_trainee_has_a_seed_of_their_own_and_another_for_the_resit() -> None:
    seeds = {seed_of(7, name, sitting) for name in NAMES for sitting in (1, 2)}
    assert len(seeds) == 6
    assert all(100_000 <= seed <= 999_999 for seed in seeds)
    assert seed_of(7, "ana  RUIZ", 1) == seed_of(7, "Ana Ruiz", 1)


def test_a_class_is_marked_with_its_pass_mark_on_both_sides() -> None:
    found, _ = make_class(NAMES, "mixed", card(), "s.toml", 7, 5, 80, 1)
    full = {trainee.name: right(trainee.seed) for trainee in found.trainees}
    four = {number: answer for number, answer in full["B. Okafor"].items() if number != 3}
    three = {number: answer for number, answer in full["C. Lindqvist"].items() if number > 2}
    results = mark_class(found, card(), {"ana ruiz": full["Ana Ruiz"], "B. Okafor": four, "C. Lindqvist": three})
    assert [(result.points, result.passed) for result in results] == [(5.0, True), (4.0, True), (3.0, False)]
    assert again(found, results) == ("C. Lindqvist",)


def test_a_row_without_answers_is_no_pass_and_no_result() -> None:
    found, _ = make_class(NAMES, "order", card(), "s.toml", 7, 5, 1, 1)
    results = mark_class(found, card(), {})
    assert all(result.marks is None and not result.passed for result in results)


def test_another_s_answers_are_not_right_on_one_s_own_sheet() -> None:
    found, _ = make_class(NAMES, "order", card(), "s.toml", 7, 6, 80, 1)
    copied = right(found.trainees[0].seed, 6, "order")
    results = mark_class(found, card(), dict.fromkeys(NAMES, copied))
    assert results[0].passed
    assert not any(result.passed for result in results[1:])


def test_a_sheet_of_a_changed_station_is_not_marked() -> None:
    found, _ = make_class(NAMES, "cylinders", card(), "s.toml", 7, 6, 80, 1)
    changed = card(region="us")
    with pytest.raises(InputError, match="can't be made again"):
        mark_class(found, changed, {"Ana Ruiz": {1: "2"}})
    with pytest.raises(InputError, match="not in this class"):
        mark_class(found, card(), {"A. Ruiz": {1: "2"}})


@pytest.mark.parametrize(
    "text", ["", "# nobody\n", "A\n", "Ana Ruiz\nana ruiz\n", "Ruiz, Ana\n", "\n".join(f"Name {k}" for k in range(101))]
)
def test_lists_that_name_no_class_are_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_names(text)


def test_names_are_read_as_people_list_them() -> None:
    assert read_names("name\nAna Ruiz\n\n# left\n  B.   Okafor \n") == ("Ana Ruiz", "B. Okafor")


def fill(folder: Path, wrong: int) -> None:
    """The class's own table: the first trainees all right, the last `wrong` of them all wrong."""
    told = json.loads((folder / "class.json").read_text())
    from datetime import date

    from steadycone.card.make import make_card
    from steadycone.files.read import read_setup

    made = make_card(read_setup(Path(told["station"])), date(2026, 11, 25))
    with (folder / "answers.csv").open(newline="") as file:
        rows = list(csv.reader(file))
    for place, (row, trainee) in enumerate(zip(rows[1:], told["trainees"], strict=True)):
        questions = make_drill(told["drill"], made, trainee["seed"], told["questions"]).questions
        good = place < len(told["trainees"]) - wrong
        row[1:] = [" ".join(question.accepted[0].answer) if good else "Z" for question in questions]
    with (folder / "answers.csv").open("w", newline="") as file:
        csv.writer(file).writerows(rows)


def test_from_names_to_the_records_and_a_resit(desk: Desk, tmp_path: Path) -> None:
    names = desk.file("names.txt", "\n".join(NAMES))
    first, second = tmp_path / "first", tmp_path / "second"
    told = desk.ok("drill", "class", names, "order", "examples/slip-2.toml", "--questions", "3", "--to", str(first), *ON)
    assert "3 sheets" in told
    assert (first / "sheet-02-b-okafor.pdf").read_bytes().startswith(b"%PDF")
    fill(first, wrong=1)
    desk.ok("people", "authorise", "M. Reyes", "instructor")
    told = desk.ok("drill", "mark", str(first), "--resit", str(second), "--csv", str(tmp_path / "r.csv"), "--record")
    assert "2 of 3 passed." in told
    assert "C. Lindqvist   NOT PASSED" in told
    assert "Recorded as events" in desk.err
    training = desk.json("people", "training")["training"]
    assert [(one["person"], one["passed"], one["by"]) for one in training] == [
        ("Ana Ruiz", True, "M. Reyes"), ("B. Okafor", True, "M. Reyes"), ("C. Lindqvist", False, "M. Reyes"),
    ]  # fmt: skip
    assert desk("drill", "mark", str(first), "--record") == 2
    assert "recorded already" in desk.err
    again_ = json.loads((second / "class.json").read_text())
    assert (again_["sitting"], [one["name"] for one in again_["trainees"]]) == (2, ["C. Lindqvist"])
    assert again_["trainees"][0]["seed"] not in {one["seed"] for one in json.loads((first / "class.json").read_text())["trainees"]}
    assert len((tmp_path / "r.csv").read_text().splitlines()) == 4


def test_results_without_a_right_to_mark_are_not_recorded(desk: Desk, tmp_path: Path) -> None:
    names = desk.file("names.txt", "Ana Ruiz")
    desk.ok("drill", "class", names, "order", "--questions", "2", "--to", str(tmp_path / "c"), *ON)
    assert desk("drill", "mark", str(tmp_path / "c"), "--record") == 2
    assert "no answers came in" in desk.err
    fill(tmp_path / "c", wrong=0)
    assert desk("drill", "mark", str(tmp_path / "c"), "--record") == 3
    assert "not authorised" in desk.err
    assert desk.json("people", "training")["training"] == []


def test_planted_faults_are_recorded_under_the_trainee_s_name(desk: Desk) -> None:
    desk.ok("people", "authorise", "M. Reyes", "lead hand")
    asked = ("drill", "faults", "examples/slip-2.toml", "--plant", "hose-cracked@fuel", "--plant", "tip-wrong", *ON)
    found = desk.file("found.txt", "12: cut to the braid\n16: wrong size\n")
    assert desk(*asked, "--found", found, "--record") == 2
    assert "without a name" in desk.err
    assert "PASSED" in desk.ok(*asked, "--found", found, "--name", "Ana Ruiz", "--record")
    told = desk.json("people", "training", "--person", "ana ruiz")["training"]
    assert [(one["drill"], one["points"], one["of"], one["passed"]) for one in told] == [("planted faults", "2", 2, True)]


@pytest.mark.parametrize("data", [b"", b"{}", b'{"format": "steadycone-class/1"}', b"\xff\xfe", b"[" * 9000])
def test_a_folder_that_holds_no_class_is_told(data: bytes, desk: Desk, tmp_path: Path) -> None:
    (tmp_path / "class.json").write_bytes(data)
    assert desk("drill", "mark", str(tmp_path)) == 2
    assert len(desk.err.splitlines()) == 2


def test_no_class_is_written_over_another(desk: Desk, tmp_path: Path) -> None:
    (tmp_path / "old").mkdir()
    (tmp_path / "old" / "class.json").write_text("kept")
    assert desk("drill", "class", desk.file("n.txt", "Ana Ruiz"), "order", "--to", str(tmp_path / "old"), *ON) == 2
    assert (tmp_path / "old" / "class.json").read_text() == "kept"


@pytest.mark.parametrize(
    "table", ["", "name,1\nAna Ruiz,A\n", "name,1,2\nAna Ruiz,A,B,C\n", "name,1,2\nAna Ruiz,A,B\nana ruiz,A,B\n", "x,1,2\n"]
)
def test_a_table_of_answers_that_is_none_is_told(table: str, desk: Desk, tmp_path: Path) -> None:
    desk.ok("drill", "class", desk.file("n.txt", "Ana Ruiz"), "order", "--questions", "2", "--to", str(tmp_path / "c"), *ON)
    assert desk("drill", "mark", str(tmp_path / "c"), "--answers", desk.file("a.csv", table)) == 2
    assert desk.out == ""
