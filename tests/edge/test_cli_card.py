"""`steadycone card` and `demo`: what comes out, where, and with which exit code."""

import json
import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from tests.edge.render_samples import EXAMPLES

from steadycone.cli import card as command
from steadycone.cli.demo import STATION
from steadycone.cli.entry import run
from steadycone.errors import BadFile

ON = ["--on", "2026-11-25"]


def example(name: str) -> str:
    return str(EXAMPLES / f"{name}.toml")


def process(*arguments: str, **more: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "steadycone", *arguments], capture_output=True, text=True, check=False, **more)  # type: ignore[call-overload,no-any-return]


def test_json_is_alone_on_stdout() -> None:
    done = process("card", example("slip-2"), "--json", *ON)
    assert json.loads(done.stdout)["verdict"] == "caution"
    assert (done.returncode, done.stderr) == (0, "")


def test_a_stop_leaves_with_three() -> None:
    done = process("card", example("bay-4-us"), *ON)
    assert done.returncode == 3
    assert "STOP" in done.stdout
    assert done.stderr == ""


def test_a_cold_card_loads_nothing_it_does_not_need() -> None:
    code = (
        "import sys\nfrom steadycone.cli.entry import run\n"
        f"run(['card', {example('slip-2')!r}, '--json', '--on', '2026-11-25'])\n"
        "heavy = {'numpy', 'scipy', 'jinja2', 'typst', 'segno', 'python_calamine', 'rich', 'CoolProp'} & set(sys.modules)\n"
        "sys.exit(f'loaded {heavy}' if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_the_same_case_through_the_command_and_the_core_agrees(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    from tests.edge import render_samples as samples

    assert run(["card", example("slip-2"), "--json", *ON]) == 0
    assert json.loads(capfdbinary.readouterr().out) == json.loads(json.dumps(samples.told(samples.card("slip-2"))))


def test_pages_are_written_whole_and_the_text_still_shown(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    html, pdf = tmp_path / "card.html", tmp_path / "card.pdf"
    assert run(["card", example("slip-2"), *ON, "--html", str(html), "--pdf", str(pdf)]) == 0
    assert html.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert pdf.read_bytes().startswith(b"%PDF")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["card.html", "card.pdf"]
    assert "SET OXYGEN" in capsys.readouterr().out


def test_a_page_is_written_beside_json_too(tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    assert run(["card", example("slip-2"), *ON, "--json", "--html", str(tmp_path / "card.html")]) == 0
    assert json.loads(capfdbinary.readouterr().out)["format"] == "steadycone-card/1"
    assert (tmp_path / "card.html").exists()


def test_a_folder_that_is_not_there_is_refused_before_any_work(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["card", example("slip-2"), "--html", str(tmp_path / "no" / "card.html"), "--pdf", str(tmp_path / "card.pdf")]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.splitlines()) == 2
    assert "there is no folder" in said.err
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_leaves_the_old_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "card.html"
    target.write_text("old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert run(["card", example("slip-2"), *ON, "--html", str(target)]) == 2
    assert "No space left" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["card.html"]
    assert target.read_text() == "old"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["card", "no-such-file.toml"], "no such station file"),
        (["card", str(EXAMPLES)], "folder"),
        (["card", example("slip-2"), "--on", "25.11.2026"], "is not a date"),
        (["card", example("slip-2"), "--on", "2026-02-30"], "is not a date"),
        (["card"], "Missing argument"),
        (["card", example("slip-2"), "--what"], "--what"),
        (["cart"], "cart"),
        (["chart", "check", "no.csv"], "no such chart file"),
        (["calc", "hoze", "a=1"], "hoze"),
        (["calc", "hose", "bore"], "is not key=value"),
        (["schema", "nothing"], "nothing"),
    ],
)
def test_what_is_wrong_is_told_in_two_lines_on_stderr(arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert says in said.err
    assert len(said.err.splitlines()) == 2
    assert "Traceback" not in said.err


def test_a_bad_station_file_is_told_by_its_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (EXAMPLES / "slip-2.toml").read_text(encoding="utf-8").replace('length = "20 m"', 'length = "20"', 1)
    (tmp_path / "bench.toml").write_text(text, encoding="utf-8")
    assert run(["card", str(tmp_path / "bench.toml")]) == 2
    assert "oxygen.part 2 (hose), length" in capsys.readouterr().err


def test_the_day_is_today_unless_told() -> None:
    assert command.day(None) == date.today()
    assert command.day("2026-11-25") == date(2026, 11, 25)


def test_a_reader_that_goes_away_is_no_error() -> None:
    shell = f"{sys.executable} -m steadycone card {example('slip-2')} --on 2026-11-25 | head -1"
    done = subprocess.run(["bash", "-c", shell], capture_output=True, text=True, check=False)
    assert done.stderr == ""
    assert done.stdout.startswith("Slip 2")


def test_an_interrupt_is_quiet(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def interrupted(*_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(command, "make", interrupted)
    assert run(["card", example("slip-2")]) == 130
    assert capsys.readouterr().err.strip() == ""


@pytest.mark.parametrize(
    "command_line", [["card"], ["calc"], ["demo"], ["chart", "check"], ["chart", "show"], ["schema"], ["sources"], ["emergency"]]
)
def test_every_help_shows_an_example(command_line: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*command_line, "-h"]) == 0
    assert "Example: steadycone" in capsys.readouterr().out.replace("\n  ", " ")


def test_the_demo_is_the_example_and_not_a_stop(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["demo", *ON]) == 0
    assert "Slip 2, frame bench" in capsys.readouterr().out
    for path in STATION.parent.rglob("*"):
        if path.is_file():
            assert path.read_bytes() == (EXAMPLES / path.relative_to(STATION.parent)).read_bytes(), path.name


def test_the_demo_can_be_copied_but_writes_over_nothing(tmp_path: Path) -> None:
    from steadycone.cli.demo import copy_to

    copy_to(tmp_path)
    assert run(["card", str(tmp_path / "slip-2.toml"), *ON]) == 0
    with pytest.raises(BadFile, match="is there already"):
        copy_to(tmp_path)


def test_a_station_comes_from_standard_input_too() -> None:
    text = (EXAMPLES / "weld-bench-eu.toml").read_text(encoding="utf-8")
    done = process("card", "-", "--json", *ON, input=text, cwd=EXAMPLES)
    assert json.loads(done.stdout)["station"]["region"] == "eu", done.stderr


def test_all_prints_every_figure_and_the_json_stays_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["card", example("slip-2"), *ON]) == 0
    short = capsys.readouterr().out
    assert run(["card", example("slip-2"), *ON, "--all"]) == 0
    whole = capsys.readouterr().out
    assert "STEPS" not in short
    assert "STEPS" in whole
    assert "ASSUMED" in whole
    assert short.splitlines()[:12] == whole.splitlines()[:12]
