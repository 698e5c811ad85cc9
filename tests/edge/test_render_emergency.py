"""The emergency list: three branches, at once, whatever else is broken."""

import subprocess
import sys

import pytest

from steadycone.cli.entry import run
from steadycone.render import emergency

REGIONS = ("uk", "eu", "us", "ca", "au", "nz")


@pytest.mark.parametrize("region", REGIONS)
def test_the_list_is_whole_and_fits_a_terminal(region: str) -> None:
    text = emergency.text(region)
    assert [line for line in text.splitlines() if len(line) > 80] == []
    assert "{" not in text
    assert text.index("INSIDE THE") < text.index("LEAK BURNING") < text.index("CYLINDER HOT")


def test_inside_the_torch_oxygen_is_shut_first_then_fuel_then_cylinders_then_alarm() -> None:
    steps = emergency.branches("us")[0]["do"]
    assert [next(word for word in ("oxygen", "fuel", "cylinder", "alarm") if word in step) for step in steps] == [
        "oxygen",
        "fuel",
        "cylinder",
        "alarm",
    ]


def test_nobody_moves_a_hot_cylinder() -> None:
    assert "Nobody moves it" in emergency.branches("uk")[2]["do"][0]


@pytest.mark.parametrize("region", REGIONS)
def test_the_floor_of_a_page_tells_the_three_apart_in_its_first_words(region: str) -> None:
    floor = emergency.floor(region)
    assert len(floor["plates"]) == 4
    assert floor["heading"].startswith("Inside the")
    assert [question.split()[0] for question, _ in floor["lines"]] == ["Hose", "Cylinder"]


def test_it_is_answered_without_the_command_line_library() -> None:
    code = (
        "import sys\nfrom steadycone.cli.entry import run\nassert run(['emergency']) == 0\n"
        "heavy = {'typer', 'click', 'msgspec', 'jinja2', 'numpy', 'rich', 'typst', 'segno', 'pydantic'} & set(sys.modules)\n"
        "sys.exit(f'loaded {heavy}' if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("EMERGENCY")


@pytest.mark.parametrize("arguments", [[], ["--region", "us"], ["--region=nz"], ["--region", "nowhere"], ["--region"], ["please"]])
def test_whatever_is_typed_the_list_comes(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["emergency", *arguments]) == 0
    assert "EMERGENCY" in capsys.readouterr().out


def test_its_help_shows_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["emergency", "-h"]) == 0
    assert "Example: steadycone emergency" in capsys.readouterr().out
