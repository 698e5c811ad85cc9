"""`steadycone round` from the command line, with a person, a file, and a clock that does as it is told."""

import io
import json
import re
import shutil
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest
from tests.edge.render_samples import EXAMPLES
from tests.edge.round_samples import START, FakeClock, answers, keyed, plan

from steadycone.cli import round as command
from steadycone.cli.entry import run
from steadycone.data.reader import FOLDER
from steadycone.procedures.rounds import Answer
from steadycone.render import round_contract
from steadycone.render.json_card import card_hash

DAY = ("--on", "2026-11-25")


@pytest.fixture
def station(tmp_path: Path) -> Path:
    """The demo station in a folder of its own."""
    for name in ("slip-2.toml", "bay-4-us.toml", "weld-bench-eu.toml"):
        shutil.copy(EXAMPLES / name, tmp_path / name)
    for name in ("charts", "policies"):
        shutil.copytree(EXAMPLES / name, tmp_path / name)
    return tmp_path / "slip-2.toml"


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> FakeClock:
    found = FakeClock()
    monkeypatch.setattr(command, "clock", found)
    return found


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(line + "\n" for line in lines)))


def hash_of(station: Path, capsys: pytest.CaptureFixture[str]) -> str:
    assert run(["round", str(station), "--plan", *DAY]) == 0
    return str(json.loads(capsys.readouterr().out)["station"])


def number_of(step: str) -> int:
    return [each.id for each in plan().steps].index(step) + 1


def write(path: Path, station: str, given: Iterator[Answer] | list[Answer], **more: Any) -> Path:
    path.write_text(json.dumps({"station": station, "answers": [answer.out() for answer in given]} | more), encoding="utf-8")
    return path


def person(**changes: str) -> list[str]:
    """What somebody types for the demo station, each wait begun with s."""
    lines: list[str] = []
    for answer in answers(plan(), **changes):
        step = plan().step(answer.step)
        if step.kind == "wait" and not step.runs_on and not str(answer.value).startswith("fail"):
            lines.append("s")
        value = str(answer.value)
        options = [option.value for option in step.options]
        lines.append("y" if value == "done" else str(options.index(value) + 1) if options else value)
    return lines


# --- a file ------------------------------------------------------------------------------


def test_a_file_of_good_answers_is_signed(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = write(tmp_path / "a.json", hash_of(station, capsys), answers(plan()))
    assert run(["round", str(station), "--answers", str(found), "--json"]) == 0
    told = msgspec.json.decode(capsys.readouterr().out, type=round_contract.Round)
    assert told.state == "signed"
    assert told.card.on == "2026-11-25"
    assert told.who == "M. Okoro"


def test_the_cards_hash_names_the_station_too(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(["card", str(station), "--json", *DAY])
    named = json.loads(capsys.readouterr().out)["hash"]
    assert run(["round", str(station), "--answers", str(write(tmp_path / "a.json", named, answers(plan())))]) == 0


def test_the_hash_of_the_report_is_over_all_but_itself(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = write(tmp_path / "a.json", hash_of(station, capsys), answers(plan()))
    run(["round", str(station), "--answers", str(found), "--json"])
    told = json.loads(capsys.readouterr().out)
    assert told["hash"] == card_hash(told)


def test_the_published_schema_is_the_one_made_from_the_types(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["schema", "round"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads((FOLDER / "schema" / "round.schema.json").read_text(encoding="utf-8"))


def test_another_stations_file_is_two_and_one_clear_message(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = write(tmp_path / "a.json", "0" * 64, answers(plan()))
    assert run(["round", str(station), "--answers", str(found)]) == 2
    out, err = capsys.readouterr()
    assert "are for the station" in err
    assert len(err.splitlines()) == 2
    assert not out


def test_a_changed_station_file_is_another_station(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = write(tmp_path / "a.json", hash_of(station, capsys), answers(plan()))
    station.write_text(station.read_text(encoding="utf-8").replace('length = "20 m"', 'length = "25 m"'), encoding="utf-8")
    assert run(["round", str(station), "--answers", str(found)]) == 2


def test_a_changed_policy_is_another_station(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = hash_of(station, capsys)
    policy = tmp_path / "policies" / "harbour-yard.toml"
    policy.write_text(policy.read_text(encoding="utf-8") + "\nloss = '12 %'\n", encoding="utf-8")
    assert hash_of(station, capsys) != before


def test_a_bad_answer_is_two_and_what_came_before_it_is_reported_and_goes_on(
    station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], clock: FakeClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = list(answers(plan()))
    bad = next(place for place, one in enumerate(given) if one.step == "test-oxygen")
    given[bad] = Answer(given[bad].step, "4.35 bar", given[bad].at)
    found, state = write(tmp_path / "a.json", hash_of(station, capsys), given), tmp_path / "kept.json"
    assert run(["round", str(station), "--answers", str(found), "--state", str(state), "--json"]) == 2
    out, err = capsys.readouterr()
    assert json.loads(out)["next"] == given[bad].step
    assert "finer than the gauge" in err
    assert f"answer {bad + 1}," in err
    clock.at = given[bad - 1].at
    typed(monkeypatch, "4.3", "q")
    assert run(["round", str(station), "--state", str(state), *DAY]) == 3
    assert len(json.loads(state.read_text(encoding="utf-8"))["answers"]) == bad + 1


def test_a_stop_is_three_and_says_what_would_clear_it(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = write(tmp_path / "a.json", hash_of(station, capsys), answers(plan(), **keyed(leak_end_low__oxygen="3.9 bar")))
    assert run(["round", str(station), "--answers", str(found)]) == 3
    out = capsys.readouterr().out
    assert "NOT SIGNED" in out
    assert f"go round again from step {number_of('screws-out')}, screws-out" in " ".join(out.split())


def test_answers_after_a_stop_are_not_taken(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    given = list(answers(plan()))
    given[1] = Answer("authority", "fail", given[1].at)
    found = write(tmp_path / "a.json", hash_of(station, capsys), given)
    assert run(["round", str(station), "--answers", str(found), "--json"]) == 3
    out, err = capsys.readouterr()
    assert json.loads(out)["sign_off"] is None
    assert f"{len(given) - 2} answers were not taken" in err


def test_a_card_that_stops_never_signs(station: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    bay = station.with_name("bay-4-us.toml")
    found = write(tmp_path / "a.json", hash_of(bay, capsys), answers(plan("bay-4-us")))
    assert run(["round", str(bay), "--answers", str(found), "--json", *DAY]) == 3
    told = json.loads(capsys.readouterr().out)
    assert told["sign_off"] is None
    assert all("begin a new round" in block["clears"] for block in told["blocks"])


@pytest.mark.parametrize("text", ["", "{", "[]", '{"station": 3}', '{"station": "x", "answers": [' + "[" * 60 + "]" * 60 + "]}", "\udcff"])
def test_a_file_that_is_no_answers_file_is_two(text: str, station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.json").write_bytes(text.encode("utf-8", "surrogateescape"))
    assert run(["round", str(station), "--answers", str(tmp_path / "a.json")]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 2


def test_a_refused_variant_in_the_policy_is_two(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    policy = tmp_path / "policies" / "harbour-yard.toml"
    policy.write_text(policy.read_text(encoding="utf-8").replace('lighting = "fuel-first"', 'lighting = "with a match"'), encoding="utf-8")
    assert run(["round", str(station), "--plan"]) == 2


def test_page_and_paper_are_written(station: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = write(tmp_path / "a.json", hash_of(station, capsys), answers(plan()))
    page, paper = tmp_path / "r.html", tmp_path / "r.pdf"
    assert run(["round", str(station), "--answers", str(found), "--html", str(page), "--pdf", str(paper)]) == 0
    assert "Holds until 2026-11-25 16:30" in page.read_text(encoding="utf-8")
    assert paper.read_bytes().startswith(b"%PDF")


# --- a person ------------------------------------------------------------------------------


def test_a_person_and_a_file_give_the_same_report(
    station: Path, capsys: pytest.CaptureFixture[str], clock: FakeClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, *person())
    assert run(["round", str(station), "--json", *DAY]) == 0
    asked = json.loads(capsys.readouterr().out)
    kept = station.with_name("slip-2.round.json")
    assert run(["round", str(station), "--answers", str(kept), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == asked


def test_waits_are_slept_through_and_not_counted_by_a_loop(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, *person())
    run(["round", str(station), *DAY])
    waited = sum(step.seconds or 0 for step in plan().steps if step.kind == "wait")
    assert clock.slept == pytest.approx(waited, abs=200)  # looks at the clock in between pass some of each wait
    assert "until " in capsys.readouterr().out


def test_the_emergency_line_stands_under_every_step(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, *person())
    run(["round", str(station), *DAY])
    out = capsys.readouterr().out
    assert out.count("EMERGENCY: steadycone emergency") >= len(plan().steps)


def test_enter_alone_is_never_a_yes(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, "", "M. Okoro", "", "", "q")
    assert run(["round", str(station), *DAY]) == 3
    assert capsys.readouterr().out.count("Enter alone is never a yes") == 3
    kept = json.loads(station.with_name("slip-2.round.json").read_text(encoding="utf-8"))
    assert [answer["step"] for answer in kept["answers"]] == ["who"]


def test_it_goes_on_where_it_was_left(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = person()
    typed(monkeypatch, *lines[:20], "q")
    assert run(["round", str(station), *DAY]) == 3
    typed(monkeypatch, *lines[20:])
    assert run(["round", str(station), "--json", *DAY]) == 0
    assert len(json.loads(capsys.readouterr().out.partition("\n{")[2].join(["{", ""]))["steps"]) == len(plan().steps)


def test_the_end_of_the_input_keeps_everything(station: Path, clock: FakeClock, monkeypatch: pytest.MonkeyPatch) -> None:
    typed(monkeypatch, *person()[:5])
    assert run(["round", str(station), *DAY]) == 3
    assert len(json.loads(station.with_name("slip-2.round.json").read_text(encoding="utf-8"))["answers"]) == 5


def test_an_interrupt_in_a_wait_keeps_the_wait(station: Path, clock: FakeClock, monkeypatch: pytest.MonkeyPatch) -> None:
    lines = person()
    place = lines.index("s")  # the settling minute

    def interrupted(seconds: float) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(clock, "sleep", interrupted)
    typed(monkeypatch, *lines[: place + 1])
    assert run(["round", str(station), *DAY]) == 130
    kept = json.loads(station.with_name("slip-2.round.json").read_text(encoding="utf-8"))
    assert kept["waiting"]["step"] == "leak-settle"
    monkeypatch.setattr(clock, "sleep", lambda seconds: pytest.fail("the minute has passed"))
    clock.at += timedelta(seconds=60)
    typed(monkeypatch, "y", "q")
    assert run(["round", str(station), *DAY]) == 3
    kept = json.loads(station.with_name("slip-2.round.json").read_text(encoding="utf-8"))
    assert kept["answers"][-1]["step"] == "leak-settle"
    assert "waiting" not in kept


def test_a_stop_is_cleared_by_going_round_again(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    bad, right = person(**keyed(leak_end_low__oxygen="3.9 bar")), person()
    from_screws = [step.id for step in plan().steps].index("screws-out")
    waits = sum(step.kind == "wait" and not step.runs_on for step in plan().steps[:from_screws])
    typed(monkeypatch, *bad, f"again {number_of('screws-out')}", *right[from_screws + waits :])
    assert run(["round", str(station), *DAY]) == 0
    out = capsys.readouterr().out
    assert "The round goes no further" in out
    assert "NO LONGER COUNTS" in out


def test_a_correction_is_shown_as_one(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = person()
    typed(monkeypatch, *lines[:3], "fix 1", "T. Vale", *lines[3:])
    assert run(["round", str(station), *DAY]) == 0
    assert "was 07:40 M. Okoro" in " ".join(capsys.readouterr().out.split())


def test_a_finished_round_is_shown_again_and_new_begins_another(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, *person())
    run(["round", str(station), *DAY])
    typed(monkeypatch)
    assert run(["round", str(station), *DAY]) == 0
    assert "finished" in capsys.readouterr().err
    typed(monkeypatch, "T. Vale", "q")
    assert run(["round", str(station), "--new", *DAY]) == 3
    assert len(json.loads((station.with_name("slip-2.round.1.json")).read_text(encoding="utf-8"))["answers"]) == len(plan().steps)
    assert len(json.loads((station.with_name("slip-2.round.json")).read_text(encoding="utf-8"))["answers"]) == 1


def test_a_kept_file_that_was_spoilt_is_put_aside_and_its_good_part_goes_on(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = station.with_name("slip-2.round.json")
    given = [answer.out() for answer in answers(plan())][:6]
    given[5]["value"] = 7
    kept.write_text(json.dumps({"station": hash_of(station, capsys), "answers": given}), encoding="utf-8")
    clock.at = START + timedelta(hours=1)
    typed(monkeypatch, "1", "q")
    assert run(["round", str(station), *DAY]) == 3
    assert len(json.loads(kept.read_text(encoding="utf-8"))["answers"]) == 6
    assert kept.with_name("slip-2.round.1.json").exists()


def test_decimal_commas_are_typed_where_the_region_writes_them(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from steadycone.cli.round_talk import value_of
    from steadycone.render.round_words import RoundWords

    bench = plan("weld-bench-eu")
    assert value_of(bench.step("test-oxygen"), "2,5", RoundWords(bench)) == "2.5 bar"


def test_what_was_typed_wrong_is_said_and_asked_again(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, "M. Okoro", "perhaps", "why", "y", "fix 40", "again x", "q")
    assert run(["round", str(station), *DAY]) == 3
    out = capsys.readouterr().out
    assert 'Not taken: "perhaps" is not an answer here.' in out
    assert "Why: " in out
    assert "Step 40 has no answer yet." in out


def test_done_is_never_said_instead_of_a_count(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = person()
    place = lines.index("s")
    typed(monkeypatch, *lines[:place], "y", "", "n one keeps falling", "q")
    assert run(["round", str(station), *DAY]) == 3
    assert capsys.readouterr().out.count("s starts the count.") == 2
    kept = json.loads(station.with_name("slip-2.round.json").read_text(encoding="utf-8"))
    assert kept["answers"][-1]["value"] == "fail: one keeps falling"


def test_a_signature_after_too_long_a_break_does_not_count(
    station: Path, clock: FakeClock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = person()
    typed(monkeypatch, *lines[:-1], "q")
    run(["round", str(station), *DAY])
    clock.at += timedelta(hours=2)
    typed(monkeypatch, lines[-1], "q")
    assert run(["round", str(station), "--text", *DAY]) == 3
    out = " ".join(capsys.readouterr().out.split())
    assert "there was a break of" in out
    assert "NOT SIGNED" in out


def test_a_station_from_standard_input_needs_an_answers_file(station: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    typed(monkeypatch, station.read_text(encoding="utf-8"))
    assert run(["round", "-"]) == 2


def test_a_person_who_looks_on_sees_the_seconds_go(clock: FakeClock) -> None:
    from steadycone.cli.round_talk import Talk

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    screen = Terminal()
    clock.step = 0.0
    Talk(clock, lambda now, begun: None, io.StringIO(), screen)._count(clock.now(), 3.0)
    assert re.findall(r"\r  (\d:\d\d)", screen.getvalue()) == ["0:03", "0:02", "0:01"]
    assert clock.slept == 3.0


def test_a_bare_number_is_in_the_unit_that_the_step_is_told_in() -> None:
    from steadycone.cli.round_talk import value_of
    from steadycone.render.round_ask import prompt
    from steadycone.render.round_words import RoundWords

    pontoon = plan("pontoon-lpg-au")  # its gauges are marked in bar, its region reads kPa
    told, step = RoundWords(pontoon), pontoon.step("test-oxygen")
    assert "580\u00a0kPa" in told.do(step)
    assert value_of(step, "580", told) == "580 kPa"
    assert value_of(step, "5.8 bar", told) == "5.8 bar"
    assert prompt(step, told) == "In kPa, or written out in bar, to the nearest 10 kPa: "
