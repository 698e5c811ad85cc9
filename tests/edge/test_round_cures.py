"""What a failed step says to do about it: hands' next action, never the stop over again."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from tests.edge.render_samples import NAMES, changed
from tests.edge.round_samples import STATION, plan, up_to

from steadycone.data.reader import toml
from steadycone.procedures.rounds import Answer, Plan, judged, make_plan, take
from steadycone.render.round_phone import phone_plan
from steadycone.render.round_words import RoundWords
from steadycone.render.words import Words

PLANS = [*NAMES, "closed"]
SENTENCE = re.compile(r"(?<=[.:]) ")


def made(name: str) -> Plan:
    return make_plan(changed("slip-2", ("enclosed = false", "enclosed = true")), STATION) if name == "closed" else plan(name)


def setup() -> Iterator[dict[str, Any]]:
    """Every step that a round may ask, of any station, as its table has it."""
    rounds = toml("rounds.toml")
    files = [part if isinstance(part, str) else part["steps"] for part in toml("procedures/procedures.toml")["setup"]["order"]]
    steps = [step for file in dict.fromkeys(files) for step in toml(f"procedures/{file}.toml")["step"]]
    for step in steps:
        ask = rounds["ask"].get(step["id"], {})
        if "not_asked" not in ask and "instead" not in ask:
            yield step
    yield from ({"id": name, **step} for name, step in rounds["step"].items())
    yield from rounds["first"]


def test_every_step_that_may_be_asked_has_a_cure_and_no_cure_is_left_over() -> None:
    asked = {step["id"] for step in setup()}
    cures = {name for name, entry in toml("round_cures.toml").items() if isinstance(entry, dict)}
    assert asked == cures


@pytest.mark.parametrize("region", ["uk", "us", "eu"])
def test_every_cure_fills_with_its_steps_own_numbers(region: str) -> None:
    words = Words.of(region)
    for step in setup():
        told = words.fill(toml("round_cures.toml")[step["id"]]["mend"], dict.fromkeys(step.get("numbers", {}), "5 bar"))
        assert "{" not in told, step["id"]


def test_no_cure_repeats_the_stop() -> None:
    words = Words.of("uk")
    for step in setup():
        numbers = dict.fromkeys(step.get("numbers", {}), "5 bar")
        stop, mend = (words.fill(text, numbers) for text in (step.get("stop", ""), toml("round_cures.toml")[step["id"]]["mend"]))
        assert not stop or stop not in mend, step["id"]
        head = SENTENCE.split(stop)[0].rstrip(".:").lower()
        assert not head or not mend.lower().startswith(head) or SENTENCE.split(mend)[1:], step["id"]  # a cause may lead, an action follows


@pytest.mark.parametrize("name", PLANS)
def test_every_fail_on_the_phone_says_what_to_do(name: str) -> None:
    found = made(name)
    told = RoundWords(found)
    for step, phone in zip(found.steps, phone_plan(found)["steps"], strict=True):
        says, mends = phone["fails"]
        assert "@said@" in says
        assert told.mend(step), step.id
        assert mends.startswith(told.mend(step)), step.id
        assert told.stop(step) not in mends or not told.stop(step), step.id


def test_the_report_says_what_to_do_about_a_spark() -> None:
    now, at = up_to(plan(), "purge-fuel")
    later = take(now, Answer("purge-fuel", "fail: somebody grinds beside it", at))
    told = RoundWords(plan())
    found = next(told.finding(each, later) for each in judged(later) if each.finding.code == "round-answer")
    assert "Bring the blowpipe into the open" in told.words.remedy(found)
    assert "confined" not in told.words.remedy(found)


def test_a_hot_cylinder_ends_the_round() -> None:
    now, at = up_to(plan(), "cylinders-cold")
    later = take(now, Answer("cylinders-cold", "fail", at))
    told = RoundWords(plan())
    remedy = told.words.remedy(next(told.finding(each, later) for each in judged(later)))
    assert remedy.startswith("Leave it where it is. Everybody out.")
    assert "this step again" not in remedy
    assert "begin a new round" in remedy


def test_a_closed_place_has_its_air_limits_on_the_phone() -> None:
    # decision 65: the phone stops where the yard's judge does; 19.5 and 22 %, 10 % of the lower limit
    steps = {step["id"]: step for step in phone_plan(made("closed"))["steps"]}
    assert (steps["air-oxygen"]["asked"]["low"], steps["air-oxygen"]["asked"]["high"]) == (19.5, 22.0)
    assert steps["air-fuel"]["asked"]["high"] == pytest.approx(10.0, abs=1e-5)
    assert steps["air-fuel"]["asked"]["high"] < 10.0


@pytest.mark.parametrize(("said", "again"), [("squeal and a hot handle", False), ("it did not take the spark", True)])
def test_no_step_is_gone_again_where_the_station_is_held(said: str, again: bool) -> None:
    now, at = up_to(plan(), "light")
    later = take(now, Answer("light", f"fail: {said}", at))
    told = RoundWords(plan())
    remedies = " ".join(told.words.remedy(told.finding(each, later)) for each in judged(later) if each.finding.verdict == "stop")
    assert ("go round again from step" in remedies) is again
