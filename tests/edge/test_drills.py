"""Drills on the command line and on paper."""

import json
import math
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from tests.stations import card

from steadycone.card.make import make_card
from steadycone.cli.app import call
from steadycone.data.reader import sources, toml
from steadycone.files.read import read_setup
from steadycone.physics.gas import NORMAL_MOLAR_VOLUME
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
    first = question.accepted[0]
    other = next(one for one in question.accepted if one.sources != first.sources)
    assert first.answer[:2] == tuple(reversed(other.answer[:2]))
    assert first.credit == other.credit == 1.0
    assert set(first.sources) != set(other.sources)


# What must come before what, written down by hand for each set: whatever keeps to all of it is safe, and nothing else is.
SAFE = {
    "squeals": [("oxygen valve", "fuel valve"), ("fuel valve", "both"), ("fuel valve", "alarm")],
    "is empty": [
        ("Shut the", "Bleed"), ("Bleed", "screw out"), ("Bleed", "Take the"), ("Take the", "Fit the"), ("Shut the", "Look at"),
        ("Look at", "Fit the"), ("Fit the", "open the valve"), ("screw out", "open the valve"), ("open the valve", "Leak test"), ("Leak test", "Purge"),
    ],
    "pressure-drop": [
        ("Put the line", "Shut the"), ("Put the line", "screw out"), ("Shut the", "Wait until"), ("screw out", "Wait until"), ("Shut the", "Mark"),
        ("screw out", "Mark"), ("Wait until", "Mark"), ("Mark", "full time"), ("full time", "Tap"),
    ],
}  # fmt: skip


def orders(letters: frozenset[str], before: set[tuple[str, str]]) -> Iterator[tuple[str, ...]]:
    """Every order in which the first of each pair comes before the second: one letter at a time, none before those that it waits for."""
    if not letters:
        yield ()
    for letter in letters:
        if not any(first in letters for first, then in before if then == letter):
            yield from ((letter, *rest) for rest in orders(letters - {letter}, before))


@pytest.mark.parametrize("asked", SAFE)
def test_every_safe_order_counts_and_no_other(asked: str) -> None:
    seen = 0
    for seed in range(12):
        for question in make_drill("order", card(), seed, 6).questions:
            if asked not in question.asks.template:
                continue
            seen += 1
            cards = {option.letter: option.says.template for option in question.options}

            def holds(word: str, cards: dict[str, str] = cards) -> str | None:
                return next((letter for letter, says in cards.items() if word in says), None)

            pairs = [(holds(first), holds(then)) for first, then in SAFE[asked]]
            before = {(first, then) for first, then in pairs if first and then}
            assert {one.answer for one in question.accepted} == set(orders(frozenset(cards), before))
    assert seen > 3


def test_the_valves_of_the_emergency_order_are_not_open_but_a_shout_may_come_with_them() -> None:
    question = next(q for q in make_drill("order", card(), 1, 6).questions if "squeals" in q.asks.template)
    cards = {option.letter: option.says.template for option in question.options}
    alarms = [[cards[letter].startswith("Raise") for letter in one.answer].index(True) for one in question.accepted]
    assert alarms == [3, 2]


def test_the_pressures_may_be_set_before_the_leak_test() -> None:
    questions = [q for seed in range(20) for q in make_drill("order", card(), seed, 6).questions if "Up to the flame" in q.asks.template]
    question = next(q for q in questions if any(option.says.template.startswith("Set") for option in q.options))
    letter = {option.says.template.split()[0]: option.letter for option in question.options}
    both = {answer.index(letter["Set"]) < answer.index(letter["Leak"]) for answer in (one.answer for one in question.accepted)}
    assert both == {True, False}


def test_first_actions_to_sort_hold_no_branch_and_oxygen_before_fuel() -> None:
    seen = 0
    for seed in range(40):
        for question in make_drill("first-valve", card(), seed, 8).questions:
            if question.kind == "order":
                seen += 1
                cards = {option.letter: option.says.template for option in question.options}
                assert not any("If you can't" in says for says in cards.values())
                for one in question.accepted:
                    said = [cards[letter] for letter in one.answer]
                    oxygen, fuel = (next(k for k, says in enumerate(said) if f"{gas} valve" in says) for gas in ("oxygen", "fuel"))
                    assert oxygen < fuel
    assert seen > 10


def test_every_first_action_named_for_sorting_exists() -> None:
    after = toml("drills/first-valve.toml")["after"]
    emergency = {f"{branch['id']} {k}" for branch in toml("emergency.toml")["branch"] for k in range(1, len(branch["do"]) + 1)}
    known = emergency | set(toml("triage/actions.toml"))
    assert set(after) <= known
    assert {name for names in after.values() for name in names} <= set(after)


def test_no_reason_reads_as_the_opposite_of_what_is_right() -> None:
    # Read alone, the reason against "fuel first" must say oxygen first.
    wrong = toml("drills/first-valve.toml")["wrong"]["torch-oxygen"]["torch-fuel"]
    assert wrong.startswith("Oxygen first")
    assert "without fuel first" not in wrong.lower()


def test_a_cylinder_s_valve_may_be_looked_at_any_time_before_it_is_fitted() -> None:
    questions = [q for seed in range(30) for q in make_drill("order", card(), seed, 6).questions if "is empty" in q.asks.template]
    looked = next(q for q in questions if any("Look at the new valve" in option.says.template for option in q.options))
    letters = {option.says.template.split()[0]: option.letter for option in looked.options}
    answers = [one.answer for one in looked.accepted]
    assert len(answers) == len(set(answers)) > 4
    assert all(answer.index(letters["Look"]) < answer.index(letters["Fit"]) for answer in answers)


def test_acetylene_over_its_cap_is_the_answer_and_never_tight() -> None:
    over = 0
    for seed in range(1, 13):
        for question in make_drill("gauges", card(region="us"), seed, 8).questions:
            assert question.dials is not None
            right = {option.letter: option.says.template for option in question.options}[question.accepted[0].answer[0]]
            above = question.dials.line == "fuel" and max(question.dials.low[:2]) + question.dials.low[3] / 2 > 103421.36
            assert ("over its cap" in right) == above, (seed, question.dials)
            over += above
    assert over > 3


def test_the_cylinders_are_counted_by_the_site_s_own_rule() -> None:
    # 2.1 m3/h for three hours from cylinders of 8.5 m3: a tenth an hour of what is left at the end, (21 + 6.3) / 8.5 = 3.2, so four.
    policy = 'draw = { stop = "1/7", caution = "1/10", long = "1 h", long_stop = "1/10", long_caution = "1/15", of = "end of job" }'
    rules = {q.asks.blanks["rule"] for q in make_drill("cylinders", card(policy), 3, 30).questions if "Acetylene" in q.asks.template}
    assert rules <= {"1/7", "1/10"}
    flat = 'draw = { stop = "1 m3/h", caution = "0.8 m3/h", long = "1 h", long_stop = "0.7 m3/h", long_caution = "0.5 m3/h", of = "full" }'
    for question in make_drill("cylinders", card(flat), 3, 30).questions:
        if "Acetylene" in question.asks.template:
            hours, flow = question.asks.blanks["hours"].value, question.asks.blanks["flow"].value * NORMAL_MOLAR_VOLUME * 3600
            assert int(question.accepted[0].answer[0]) == math.ceil(flow / (0.7 if hours > 3600 else 1.0))


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


def test_every_wrong_answer_to_a_situation_has_its_reason_and_the_right_one_a_source() -> None:
    for name, one in toml("drills/situations.toml")["situation"].items():
        assert set(one["wrong"]) == set(one["options"]) - {one["right"]}, name
        assert one["right"] in one["options"], name
        assert set(one["source"]) <= set(sources()), name


def test_a_situation_teaches_the_emergency_list_s_own_order() -> None:
    # clothes burn: down, roll and water come before the oxygen; unlit gas: people out before the supply; somebody down: nobody in, then rescue
    branches = {branch["id"]: branch["do"] for branch in toml("emergency.toml")["branch"]}
    rights = {name: one["options"][one["right"]].lower() for name, one in toml("drills/situations.toml")["situation"].items()}
    for branch, name, first, then in (
        ("clothes-burn", "own-clothes", "roll", "oxygen"),
        ("unlit-gas", "pit", "out", "shut"),
        ("person-down", "man-down", "don't go in", "shut"),
    ):
        for told in (" ".join(branches[branch]).lower(), rights[name]):
            assert told.index(first) < told.index(then), (branch, told)
    assert "blanket" not in rights["sleeve"]


def test_the_situations_ask_of_unlit_gas_rich_air_a_lying_cylinder_burning_clothes_and_somebody_down() -> None:
    asked = " ".join(question.asks.template for question in make_drill("situations", card(), 1, 12).questions)
    for word in ("smells of gas", "pit", "oxygen {hose} has leaked", "lay on the floor", "trouser leg burns", "lies on the bottom", "oil"):
        assert word in asked
    propane_card = make_card(read_setup(Path("examples/pontoon-lpg-au.toml")), date(2026, 11, 25))
    propane = " ".join(question.asks.template for question in make_drill("situations", propane_card, 1, 20).questions)
    assert "acetylene" not in propane


@pytest.mark.parametrize("name", ["situations", "first-valve", "order"])
def test_a_right_answer_is_marked_whole_and_a_wrong_one_told_why(name: str) -> None:
    drill = make_drill(name, card(), 4, 12)
    right = mark(drill, {k: " ".join(q.accepted[0].answer) for k, q in enumerate(drill.questions, 1)})
    assert all(one.points == 1.0 for one in right)
    wrong = {
        k: next(o.letter for o in q.options if (o.letter,) not in {a.answer for a in q.accepted}) for k, q in enumerate(drill.questions, 1)
    }
    assert all(one.points == 0.0 and one.says.template for one in mark(drill, wrong))
