"""What a round asks of a station."""

from dataclasses import replace

import pytest
from tests.edge.render_samples import NAMES, card, changed
from tests.edge.round_samples import STATION, plan

from steadycone.data.reader import toml
from steadycone.procedures.choose import steps
from steadycone.procedures.rounds import make_plan
from steadycone.render.round_words import RoundWords


@pytest.mark.parametrize("name", NAMES)
def test_the_same_station_gives_the_same_plan(name: str) -> None:
    assert make_plan(card(name), STATION).hash == plan(name).hash


def test_the_plan_is_not_of_the_day() -> None:
    from datetime import date

    from tests.edge.render_samples import EXAMPLES

    from steadycone.card.make import make_card
    from steadycone.files.read import read_setup

    later = make_card(read_setup(EXAMPLES / "slip-2.toml"), date(2027, 3, 1))
    assert make_plan(later, STATION).hash == plan().hash


def test_another_hose_is_another_plan() -> None:
    longer = changed("slip-2", ('length = "20 m"', 'length = "60 m"'))
    assert make_plan(longer, STATION).hash != plan().hash


@pytest.mark.parametrize("name", NAMES)
def test_every_id_is_there_once_and_every_text_fills(name: str) -> None:
    found = plan(name)
    told = RoundWords(found)
    assert len({step.id for step in found.steps}) == len(found.steps)
    for step in found.steps:
        text = told.do(step) + told.why(step) + told.stop(step) + told.label(step)
        assert "{" not in text, step.id


@pytest.mark.parametrize("name", NAMES)
def test_every_step_of_the_set_up_is_asked_or_left_out_for_a_reason(name: str) -> None:
    ask = toml("rounds.toml")["ask"]
    asked = {step.id for step in plan(name).steps} | {step.group for step in plan(name).steps}
    for step in steps(plan(name).judged.figures):
        assert step.id in asked or ask[step.id.removesuffix("-early")].get("not_asked"), step.id


@pytest.mark.parametrize("name", NAMES)
def test_every_thing_the_station_holds_is_looked_at(name: str) -> None:
    subjects = {step.subject for step in plan(name).steps if step.looks}
    for line in plan(name).judged.figures.lines.values():
        assert f"{line.name.replace('_', ' ')} regulator" in subjects
        for part in line.parts:
            assert part.subject in subjects


@pytest.mark.parametrize("name", NAMES)
def test_each_line_is_bled_and_watched_after_the_needles(name: str) -> None:
    ids = [step.id for step in plan(name).steps]
    for line in plan(name).judged.figures.lines:
        assert (
            ids.index(f"leak-end-low.{line}")
            < ids.index(f"leak-valve-wait.{line}")
            < ids.index(f"leak-valve-needle.{line}")
            < ids.index("sign")
        )


def test_the_watch_is_long_enough_for_these_gauges() -> None:
    # slip-2: 5 bar marks on 0.03 L need 8.5 min to show 2 L/h, more than the policy's five
    assert plan().step("leak-watch").seconds == 540.0
    assert plan("weld-bench-eu").step("leak-watch").seconds == 300.0


def test_after_the_bleed_the_needle_that_would_move_sooner_is_watched() -> None:
    # oxygen: 0.1 bar on 0.70 L is 70 mL, 5 bar on 0.03 L is 150 mL; acetylene: 1 bar on 0.03 L is 30 mL, 0.05 bar on 0.70 L is 35 mL
    assert plan().step("leak-valve-needle.oxygen").reading == "low"
    assert plan().step("leak-valve-needle.fuel").reading == "high"


def test_every_reading_of_the_set_up_says_what_is_read() -> None:
    for name in NAMES:
        for step in plan(name).steps:
            if step.kind == "reading":
                assert step.reading, step.id
                assert step.division is not None or step.reading in ("temperature", "share", "time of day"), step.id


def test_a_closed_place_is_asked_for_its_air() -> None:
    closed = make_plan(changed("slip-2", ("enclosed = false", "enclosed = true")), STATION)
    assert {"air-oxygen", "air-fuel"} <= {step.id for step in closed.steps}


def test_a_look_shows_the_dates_of_the_station_file() -> None:
    looks = {look.id: look.stated for look in plan().step("look-oxygen-regulator").looks}
    assert looks["regulator-dates"] == "made 2023-02, tested 2026-03-04"


def test_steps_hold_what_the_hash_is_made_of() -> None:
    from steadycone.procedures.rounds.plan import plan_hash

    found = plan()
    for changes in ({"do": "Other."}, {"seconds": 1.0}, {"judge": "set"}, {"stop": "Other."}):
        other = (*found.steps[:-1], replace(found.steps[-1], **changes))  # type: ignore[arg-type]
        assert plan_hash(other) != found.hash
