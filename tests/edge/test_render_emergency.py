"""The emergency list: every branch, at once, whatever else is broken."""

import subprocess
import sys

import pytest
from tests.edge import render_samples as samples

from steadycone.cli.entry import run
from steadycone.render import emergency
from steadycone.render.numbers import region_table
from steadycone.render.page_fit import SIDE, SIZES
from steadycone.render.panel_fit import POINT
from steadycone.render.text import text_card
from steadycone.render.textwidth import text_width

REGIONS = ("uk", "eu", "us", "ca", "au", "nz")


@pytest.mark.parametrize("region", REGIONS)
def test_the_list_is_whole_and_fits_a_terminal(region: str) -> None:
    text = emergency.text(region)
    assert [line for line in text.splitlines() if len(line) > 80] == []
    assert "{" not in text
    order = ["INSIDE THE", "LEAK BURNING", "CYLINDER HOT", "CLOSED SPACE", "CLOTHES BURN", "NOTHING BURNS"]
    assert [text.index(words) for words in order] == sorted(text.index(words) for words in order)


@pytest.mark.parametrize("region", REGIONS)
def test_the_list_is_one_screen_of_24_lines_with_the_prompt_under_it(region: str) -> None:
    assert len(emergency.text(region).splitlines()) <= 23


@pytest.mark.parametrize("region", REGIONS)
def test_what_comes_after_is_asked_for_by_itself(region: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["emergency", "--region", region, "--after"]) == 0
    told = capsys.readouterr().out
    assert "can burst hours after" in told
    assert "hours after" not in emergency.text(region)
    assert [line for line in told.splitlines() if len(line) > 80] == []


def test_nobody_goes_in_after_a_person_who_lies_in_a_closed_space() -> None:
    do = next(branch["do"] for branch in emergency.branches("uk") if branch["id"] == "person-down")
    assert do[0].startswith("Don't go in")
    assert "999" in do[0]
    assert "never oxygen" in do[1]


def test_burning_clothes_get_water_and_lose_the_oxygen() -> None:
    do = " ".join(next(branch["do"] for branch in emergency.branches("uk") if branch["id"] == "clothes-burn"))
    assert all(word in do for word in ("Stop, drop, roll", "water", "Shut the oxygen", "999"))


def test_unlit_gas_sends_everybody_out_and_no_one_in() -> None:
    do = " ".join(next(branch["do"] for branch in emergency.branches("uk") if branch["id"] == "unlit-gas"))
    assert all(word in do for word in ("No flame, no spark, no switch", "Everybody out, nobody in", "from outside"))


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


@pytest.mark.parametrize(
    ("name", "plate", "burning"),
    [
        ("slip-2", ("both", "Cylinders shut"), "Cylinder valves, if safe to reach. Else leave."),
        ("plate-shop-natural-gas-eu", ("both outlet", "Valves shut"), "Outlet valves, if safe to reach. Else leave."),
        ("gantry-three-hose", ("cylinder and outlet", "Valves shut"), "Cylinder and outlet valves, if safe. Else leave."),
        ("rail-depot-us", ("cylinder and outlet", "Valves shut"), "Cylinder and outlet valves, if safe. Else leave."),
    ],
)
def test_the_strip_of_a_card_speaks_of_what_the_station_has(name: str, plate: tuple[str, str], burning: str) -> None:
    # "Cylinders shut" stood on a card of two pipelines, where there is no cylinder.
    view = samples.view(samples.card(name))
    assert view.floor_plates[2] == plate
    assert view.floor_lines[0][1] == burning
    if plate[0] == "both outlet":
        assert "Any cylinder near it hot?" in text_card(view)
        assert "ylinders shut" not in text_card(view)


@pytest.mark.parametrize("region", REGIONS)
@pytest.mark.parametrize("supplies", ["cylinders", "outlets", "mixed"])
def test_the_strip_fits_its_sheet(region: str, supplies: str) -> None:
    paper = region_table(region)["paper"]["size"]
    room = (SIZES[paper][0] - 2 * SIDE) / POINT
    floor = emergency.floor(region, supplies, 3)
    plate = 12.5 if paper == "A5" else 11.5
    assert sum(25 + max(text_width(small, 8.5), text_width(large, plate)) for small, large in floor["plates"]) <= room
    for question, do in floor["lines"]:
        assert text_width(question + do, 10) + 3.5 <= room


def test_the_list_itself_stays_general() -> None:
    assert "Shut both cylinder valves." in emergency.text("uk")
    assert emergency.floor("uk")["plates"][2] == ("both", "Cylinders shut")
