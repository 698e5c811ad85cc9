"""What a person or a program reads of a triage: JSON, text, and the command."""

import json
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from steadycone.card.make import make_card
from steadycone.cli.triage import triage_command
from steadycone.data.reader import toml
from steadycone.files.read import read_setup
from steadycone.procedures.triage import triage
from steadycone.render.emergency import branches
from steadycone.render.triage import triage_dict, triage_text

EXAMPLES = Path(__file__).parents[2] / "examples"
ON = date(2026, 11, 25)
REGIONS = ["uk", "eu", "us", "ca", "au", "nz"]
SIGNS = toml("triage/signs.toml")
STATIONS = sorted(path.stem for path in EXAMPLES.glob("*.toml"))


def one_of(event: str) -> str:
    """A deciding sign of an event, said in one of the ways listed."""
    deciding = toml("triage/events.toml")[event]["deciding"]
    return SIGNS[deciding[0]]["also"][0] if deciding else "good morning"


@pytest.mark.parametrize("region", REGIONS)
@pytest.mark.parametrize("event", list(toml("triage/events.toml")))
def test_every_event_is_told_in_every_regions_words(event: str, region: str) -> None:
    found = triage(one_of(event), None, region)
    assert found.event == event
    json.dumps(triage_dict(found, region), ensure_ascii=False)
    text = triage_text(found, region)
    assert event.upper() in text
    assert "{" not in text
    assert "torch" not in text or region in ("us", "ca")
    assert max(len(line) for line in text.splitlines()) <= 80


@pytest.mark.parametrize("name", STATIONS)
def test_every_event_is_told_with_every_example_stations_numbers(name: str) -> None:
    made = make_card(read_setup(EXAMPLES / f"{name}.toml"), ON)
    region = made.figures.setup.station.station.region
    for event in toml("triage/events.toml"):
        found = triage(one_of(event), made, region)
        assert "{" not in triage_text(found, region)
        json.dumps(triage_dict(found, region), allow_nan=False)


@pytest.mark.parametrize("region", REGIONS)
def test_the_first_actions_read_as_the_emergency_list_reads(region: str) -> None:
    lists = {branch["id"]: branch["do"] for branch in branches(region)}
    told = triage_dict(triage("whistle, hot handle"), region)["first_actions"]
    assert told[: len(lists["inside-torch"])] == lists["inside-torch"]
    hot = triage_dict(triage("hot cylinder"), region)["first_actions"]
    assert hot == lists["hot-cylinder"]


def test_the_json_has_what_was_promised() -> None:
    told = triage_dict(triage("whistle, hot handle"), "uk")
    assert {"event", "certainty", "first_actions", "causes", "never", "back_to_service"} <= set(told)
    assert told["event"] == "sustained backfire"
    assert "oxygen" in told["first_actions"][0]
    assert all({"condition", "who", "evidence", "source"} <= set(one) for one in told["back_to_service"])
    assert all(one["source"] for one in told["causes"])


def test_it_says_that_another_event_fits_too() -> None:
    assert "the worst first" in triage_dict(triage("pop, squeal"), "uk")["note"]


def test_it_says_what_was_not_understood() -> None:
    told = triage_dict(triage("pop, gurgle"), "uk")
    assert '"gurgle"' in told["note"]
    assert told["heard"]["unknown"] == [{"said": "gurgle", "nearest": None}]


# --- the command ------------------------------------------------------------------


def run(*arguments: str, said: str = "") -> tuple[int, str]:
    done = CliRunner().invoke(triage_command, arguments, input=said)
    return done.exit_code, done.stdout


def test_the_command_writes_json_and_nothing_else() -> None:
    code, out = run("--saw", "whistle, hot handle", "--json")
    assert code == 0
    assert json.loads(out)["event"] == "sustained backfire"


def test_the_command_takes_a_station_and_its_region() -> None:
    code, out = run("--saw", "roar dies", "--station", str(EXAMPLES / "slip-2.toml"), "--on", "2026-11-25")
    assert code == 0
    assert "nozzle" in out
    assert "arrestor" in out


def test_the_command_asks_a_person_and_adds_the_answers_up() -> None:
    code, out = run(said="pop\nwhistle\n\n")
    assert code == 0
    assert out.index("BACKFIRE   (likely)") < out.index("SUSTAINED BACKFIRE")


def test_the_command_may_be_given_saw_twice() -> None:
    assert json.loads(run("--saw", "pop", "--saw", "hot handle", "--json")[1])["event"] == "sustained backfire"
