"""Planted faults: each shows where its table says, is marked by what was written, and is not given away by the trainee's sheet."""

import json
from datetime import date
from pathlib import Path

import pytest
from tests.edge.render_samples import card
from tests.edge.round_samples import gone, plan

from steadycone.card.make import make_card
from steadycone.cli.app import call
from steadycone.data.reader import sources, toml
from steadycone.errors import InputError
from steadycone.files.read import read_setup
from steadycone.procedures.rounds import make_plan
from steadycone.render.drill_faults import marks_sheet, secret_sheet, trainee_sheet
from steadycone.render.teaching import sheet_pdf, sheet_text
from steadycone.whatif.drills.faults import TABLE, catalogue, held_fit, mark_found, mark_round, names_it, plant

ON = ["--on", "2026-11-25"]
FAULTS = toml(TABLE)["fault"]
STATIONS = ("slip-2", "bay-4-us", "weld-bench-eu", "pontoon-lpg-au", "gantry-three-hose")
# what the file says once the fault hangs on the station: a text of examples/slip-2.toml and what stands in its place
WRITTEN = {
    "arrestor-undated": ('made = "2023-02"\ntested = "2025-12-10"\n', ""),
    "arrestor-overdue": ('made = "2023-02"\ntested = "2025-12-10"', 'made = "2018-02"\ntested = "2019-12-10"'),
    "hose-other-grade": ('grade = "acetylene"', 'grade = "oxygen"'),
    "hose-undated": ('max_pressure = "20 bar"\nmade = "2024-05"\n', 'max_pressure = "20 bar"\n'),
    "regulator-overdue": ('made = "2023-02"\ntested = "2026-03-04"', 'made = "2011-02"\ntested = "2012-03-04"'),
    "regulator-other-gas": ('[oxygen.regulator]\ngas = "oxygen"', '[oxygen.regulator]\ngas = "propane"'),
}


def test_every_fault_that_names_a_finding_is_written_down_here() -> None:
    assert set(WRITTEN) == {name for name, one in FAULTS.items() if "finding" in one}


@pytest.mark.parametrize("name", WRITTEN)
def test_the_card_stops_for_the_fault_once_it_is_written_down(name: str) -> None:
    file = Path("examples/slip-2.toml")
    text = file.read_text(encoding="utf-8")
    before, after = WRITTEN[name]
    assert before in text
    changed = make_card(read_setup(file, text=text.replace(before, after, 1)), date(2026, 11, 25))

    def stops(findings: tuple[object, ...]) -> set[str]:
        return {each.code for each in findings if each.verdict == "stop"}  # type: ignore[attr-defined]

    assert FAULTS[name]["finding"] in stops(changed.findings)
    assert FAULTS[name]["finding"] not in stops(card("slip-2").findings)


def test_every_fault_can_be_set_somewhere_and_rests_on_a_source() -> None:
    shown = {name for station in STATIONS for name in catalogue(plan(station))}
    assert shown == set(FAULTS)
    assert all(set(one["source"]) <= set(sources()) for one in FAULTS.values())


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_s_own_sentence_names_it(name: str) -> None:
    assert names_it(FAULTS[name], FAULTS[name]["says"].replace("{", "").replace("}", ""))


@pytest.mark.parametrize(
    ("said", "named"),
    [("crack behind the end", True), ("it is cracked", True), ("no crack seen", False), ("hose ok, no cracks", False), ("ok", False),
     ("not cracked but taped", False), ("not taped but cracked", True), ("colour faded", False), ("cracks: ok", False), ("not ok, cracked", True)],
)  # fmt: skip
def test_a_word_that_is_denied_names_nothing(said: str, named: bool) -> None:
    assert names_it(FAULTS["hose-cracked"], said) == named


NAMED = [
    ("arrestor-undated", "there's no date on it"),
    ("arrestor-undated", "date stamp is missing"),
    ("arrestor-undated", "can not find a date"),
    ("arrestor-undated", "no test date stamped"),
    ("arrestor-undated", "age unknown"),
    ("arrestor-overdue", "test ran out last year"),
    ("arrestor-overdue", "needs testing"),
    ("arrestor-backwards", "mounted the wrong way round"),
    ("arrestor-backwards", "arrow points to regulator"),
    ("arrestor-tripped", "lever is up, sooty"),
    ("hose-cracked", "you can see the braid"),
    ("hose-cracked", "hose perished"),
    ("hose-taped", "somebody wrapped tape round it"),
    ("hose-clip", "hose clip instead of ferrule"),
    ("oil-on-oxygen", "greasy thread"),
    ("screw-in", "adjusting screw not wound out"),
    ("screw-in", "screw still in"),
    ("gauge-stuck", "gauge shows 2 bar with no pressure"),
    ("gauge-stuck", "needle stuck"),
    ("gauge-glass", "cracked glass"),
    ("o-ring-missing", "one o ring gone"),
    ("seat-scratched", "scratch across seat"),
    ("tip-wrong", "size 2 fitted should be 3"),
    ("tip-blocked", "a preheat hole is plugged"),
    ("lever-sticks", "lever held down with a tie"),
    ("cylinder-loose", "chain not done up"),
    ("cylinder-label", "label has been covered up"),
    ("cylinder-lay", "it was lying on the floor"),
    ("clear-place", "rags under bench"),
    ("no-extinguisher", "cannot see extinguisher"),
    ("joint-leaks", "bubbling at the regulator nut"),
    ("joint-leaks", "not tight"),
    ("needle-falls", "went down two marks"),
    ("needle-rises", "pressure went up"),
    ("needle-rises", "crept up"),
]
PRAISED = [
    ("arrestor-undated", "date OK"),
    ("arrestor-overdue", "not overdue"),
    ("arrestor-backwards", "arrow right"),
    ("arrestor-backwards", "arrow to torch as it should"),
    ("arrestor-tripped", "not tripped"),
    ("hose-other-grade", "colour right"),
    ("hose-cracked", "no cuts or cracks"),
    ("oil-on-oxygen", "no oil or grease"),
    ("oil-on-oxygen", "free of oil and grease"),
    ("screw-in", "screw out"),
    ("screw-in", "screw is out and free"),
    ("gauge-stuck", "needle at zero"),
    ("gauge-stuck", "needles on zero"),
    ("gauge-glass", "glass whole"),
    ("o-ring-missing", "rings all there"),
    ("seat-scratched", "seats clean"),
    ("tip-wrong", "right size"),
    ("tip-wrong", "size as on card"),
    ("tip-blocked", "holes clear"),
    ("lever-sticks", "lever springs back"),
    ("cylinder-loose", "chained"),
    ("cylinder-loose", "chain on"),
    ("clear-place", "all clear"),
    ("clear-place", "place is clear"),
    ("no-extinguisher", "extinguisher there"),
    ("joint-leaks", "no bubbles"),
    ("joint-leaks", "tight"),
    ("joint-leaks", "does not leak"),
    ("needle-falls", "did not drop"),
    ("needle-falls", "no drop"),
    ("needle-rises", "no rise"),
    ("needle-rises", "steady"),
]


@pytest.mark.parametrize(("name", "said"), NAMED)
def test_what_a_trainee_writes_of_a_fault_is_read(name: str, said: str) -> None:
    assert names_it(FAULTS[name], said)


@pytest.mark.parametrize(
    ("name", "said"), [*PRAISED, *((name, said) for name in FAULTS for said in ("all fine", "not seen", "nothing wrong here"))]
)
def test_a_line_that_praises_a_thing_or_says_nothing_names_no_fault(name: str, said: str) -> None:
    assert not names_it(FAULTS[name], said)


@pytest.mark.parametrize(("said", "fit"), [("", True), ("OK", True), ("fit.", True), ("not fit", False), ("no date", False), ("?", False)])
def test_what_counts_as_held_fit(said: str, fit: bool) -> None:
    assert held_fit(said) == fit


def right(names: list[str], seed: int = 1) -> tuple[object, dict[int, str]]:
    drill = plant(plan(), names, seed, 5)
    return drill, {each.spot.number: each.table["words"][0] for each in drill.planted}


FIVE = ["hose-cracked@fuel", "arrestor-undated@fuel", "hose-clip@oxygen", "tip-blocked", "screw-in@oxygen"]  # one of them can kill


def test_all_found_and_named_passes_with_every_point() -> None:
    drill, found = right(FIVE)
    marks = mark_found(drill, found)  # type: ignore[arg-type]
    assert (marks.points, marks.of, marks.passed) == (5.0, 5, True)


@pytest.mark.parametrize(("left", "passed"), [(["hose-clip"], True), (["hose-clip", "tip-blocked"], False), (["hose-cracked"], False)])
def test_four_of_five_pass_unless_the_fifth_can_kill(left: list[str], passed: bool) -> None:
    drill, found = right(FIVE)
    kept = {each.spot.number for each in drill.planted if each.fault not in left}  # type: ignore[attr-defined]
    marks = mark_found(drill, {number: said for number, said in found.items() if number in kept})  # type: ignore[arg-type]
    assert marks.passed == passed
    told = sheet_text(marks_sheet(marks))
    assert ("NOT PASSED" in told) != passed
    assert "MISSED" in told
    assert "Why it matters" in told


def test_a_place_called_unfit_for_another_reason_is_half_found_and_does_not_pass_where_it_can_kill() -> None:
    drill, found = right(FIVE)
    number = next(each.spot.number for each in drill.planted if each.kills)  # type: ignore[attr-defined]
    marks = mark_found(drill, found | {number: "do not like it"})  # type: ignore[arg-type]
    assert marks.points == 4.5
    assert not marks.passed


def test_calling_everything_unfit_does_not_pass() -> None:
    drill, found = right(FIVE)
    sound = [spot.number for spot in drill.spots if spot.number not in found]  # type: ignore[attr-defined]
    most = int(len(sound) * 0.25)
    assert mark_found(drill, found | dict.fromkeys(sound[:most], "bad")).passed  # type: ignore[arg-type]
    assert not mark_found(drill, found | dict.fromkeys(sound[: most + 1], "bad")).passed  # type: ignore[arg-type]


def test_the_trainee_s_sheet_does_not_tell_what_is_set() -> None:
    sheets = {sheet_text(trainee_sheet(plant(plan(), names, seed, 5))) for names in ([], FIVE) for seed in (1, 2, 3)}
    assert len(sheets) == 1


def test_half_or_more_of_those_at_random_can_kill_and_each_has_a_place_of_its_own() -> None:
    for seed in range(20):
        drill = plant(plan(), [], seed, 6)
        assert len(drill.planted) == 6
        assert len({each.spot.number for each in drill.planted}) == 6
        assert sum(each.kills for each in drill.planted) >= 3


def test_a_round_s_answers_are_marked_and_what_it_did_not_reach_counts_nothing() -> None:
    drill = plant(plan(), ["hose-cracked@fuel", "arrestor-tripped@oxygen", "joint-leaks"], 1, 3)
    now = gone(plan(), **{"look-fuel-part-2": "fail: cut down to the braid"})
    states = {mark.planted.fault: mark.state for mark in mark_round(drill, now).marks}
    assert states == {"hose-cracked": "found", "arrestor-tripped": "missed", "joint-leaks": "unreached"}
    marks = mark_round(drill, now)
    assert (marks.points, marks.of) == (1.0, 2)
    assert not marks.passed


def test_a_needle_that_was_read_honestly_is_found_by_its_reading() -> None:
    drill = plant(plan(), ["needle-falls@oxygen"], 1, 1)
    now = gone(plan(), **{"leak-end-low.oxygen": "4.0 bar"})
    assert [mark.state for mark in mark_round(drill, now).marks] == ["found"]
    assert [mark.state for mark in mark_round(drill, gone(plan())).marks] == ["missed"]


@pytest.mark.parametrize(
    "names", [["hose-cracked@torch"], ["hose-crackd"], ["hose-cracked@fuel", "hose-taped@fuel"], ["oil-on-oxygen@fuel"], ["screw-in"] * 13]
)
def test_a_fault_that_cannot_be_set_is_told(names: list[str]) -> None:
    with pytest.raises(InputError):
        plant(plan(), names, 1, 5)


def test_sheets_print_the_same_every_time() -> None:
    drill = plant(make_plan(card("bay-4-us"), ""), [], 3, 5)
    for sheet in (trainee_sheet(drill), secret_sheet(drill), marks_sheet(mark_found(drill, {1: "bad"}), "A. Bell")):
        assert sheet_pdf(sheet) == sheet_pdf(sheet)
        assert sheet_pdf(sheet).startswith(b"%PDF")
        assert "{" not in sheet_text(sheet)
        assert max(len(line) for line in sheet_text(sheet).splitlines()) <= 80


def test_letters_that_no_font_has_are_printed_by_their_number() -> None:
    drill = plant(plan(), FIVE, 1, 5)
    number = drill.planted[0].spot.number
    assert sheet_pdf(marks_sheet(mark_found(drill, {number: "\U0001f525 no date \u6f22"}), "\u017baneta \U0001f525")).startswith(b"%PDF")


def test_the_command_marks_a_list_and_keeps_the_secret(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    asked = ["drill", "faults", "examples/slip-2.toml", "--seed", "4", "--json", *ON]
    assert call(asked) == 0
    open_ = json.loads(capsys.readouterr().out)
    assert "planted" not in open_
    assert call([*asked, "--secret"]) == 0
    planted = json.loads(capsys.readouterr().out)["planted"]
    file = tmp_path / "found.txt"
    file.write_text("".join(f"{one['place']}: {FAULTS[one['fault']]['words'][0]}\n" for one in planted), encoding="utf-8")
    assert call([*asked, "--found", str(file), "--marks-pdf", str(tmp_path / "marks.pdf")]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["passed"], told["points"]) == (True, 5.0)
    assert (tmp_path / "marks.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    "arguments", [["--found", "none.txt"], ["--marks-pdf", "x.pdf"], ["--plant", "nonsense"], ["--count", "0"], ["--answers", "none.json"]]
)
def test_a_slip_is_told_in_two_lines(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert call(["drill", "faults", "examples/slip-2.toml", *arguments, *ON]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.splitlines()) == 2
