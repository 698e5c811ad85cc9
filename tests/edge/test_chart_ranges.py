"""A chart's ranges are ranges: a point is set, a flame pairs like ends, speed follows the plate. And a duty counts."""

import pytest
from tests.stations import ON, card, station_text

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text

HEAD = "# fuel: acetylene\n# attachment: cutting\n# basis: torch inlet\n"
COLUMNS = (
    "size,thickness from [mm],thickness to [mm],oxygen pressure [bar],fuel pressure [bar],cutting oxygen [m3/h],preheat oxygen [m3/h],"
    "fuel flow [m3/h],speed from [mm/min],speed to [mm/min]\n"
)


def ranged(row: str, **knobs: str) -> Card:
    text = (HEAD + COLUMNS + row + "\n").encode()
    return make_card(setup_from_text(station_text(**knobs), "law.toml", lambda name, limit, what: text), ON)


def verdicts(made: Card, code: str) -> list[str]:
    return [finding.verdict for finding in made.findings if finding.code == code]


def test_a_flame_pairs_like_ends() -> None:
    """0.22 with 0.20 and 0.44 with 0.40 are one flame of 1.1; crosswise they would be 0.55 and 2.2."""
    made = ranged("3,20,35,3.0,0.5,3.70,0.22-0.44,0.20-0.40,300,400")
    ratio = made.figures.flame_ratio
    assert ratio is not None
    assert ratio.low is not None
    assert ratio.high is not None
    assert 1.04 < ratio.low < 1.1 < ratio.high < 1.16
    assert verdicts(made, "flame-ratio") == ["go"]


@pytest.mark.parametrize("row", ["3,20,35,3.0,0.5,3.70,0.22-0.80,0.20-0.40,300,400", "3,20,35,3.0,0.5,3.70,0.36-0.44,0.20-0.40,300,400"])
def test_a_flame_that_is_wrong_at_either_end_is_still_seen(row: str) -> None:
    assert verdicts(ranged(row), "flame-ratio") == ["caution"]


def test_a_range_of_pressure_is_set_at_the_plates_point_and_judged_there() -> None:
    """3 to 9 bar for 20 to 35 mm: 25 mm is a third of the way. Nobody sets 9, so nobody locks up from 9."""
    made = ranged("3,20,35,3.0-9.0,0.5,3.70,0.33,0.30,300,400", regulator="stages = 2")
    line = made.figures.lines["oxygen"]
    assert line.torch_inlet.value == pytest.approx(5e5)
    assert line.torch_inlet.high == pytest.approx(5.05e5, rel=0.01)
    assert line.set_pressure.value == pytest.approx(5.2e5, abs=0.1e5)
    assert line.static.high is not None
    assert line.static.high < 8e5
    assert verdicts(made, "regulator-range") == ["go", "go"]


@pytest.mark.parametrize(
    ("thickness", "slow", "fast"), [("13 mm", 342, 360), ("15 mm", 300, 360), ("44 mm", 155, 255), ("75 mm", 120, 130)]
)
def test_speed_follows_the_plate(thickness: str, slow: float, fast: float) -> None:
    """A nozzle for 13 to 75 mm at 120 to 360 mm/min: a thin plate is not cut at the speed of the thick one."""
    speed = ranged("3,13,75,3.0,0.5,3.70,0.33,0.30,120,360", thickness=thickness).figures.job.speed
    assert speed is not None
    assert speed.low is not None
    assert speed.high is not None
    assert slow <= speed.low * 6e4 <= speed.high * 6e4 <= fast


def test_forty_metres_of_thin_plate_take_two_hours_not_five() -> None:
    time = ranged("3,13,75,3.0,0.5,3.70,0.33,0.30,120,360", thickness="15 mm", cut="40 m").figures.job.time
    assert time is not None
    assert time.high is not None
    assert time.low is not None
    assert 111 < time.low / 60 < 118 < time.high / 60 < 135


def test_a_speed_without_a_plate_keeps_its_range() -> None:
    row = "3,,,3.0,0.5,3.70,0.33,0.30,300,400"
    speed = ranged(row, thickness="25 mm", settings="").figures.job.speed
    assert speed is None or (speed.low, speed.high) == (pytest.approx(300 / 6e4), pytest.approx(400 / 6e4))


def of_duty(share: str, **knobs: str) -> Card:
    return card(settings=f'duty = "{share}"', **knobs)


def test_a_duty_makes_the_gas_and_the_job_last() -> None:
    whole, tenth = card().figures, of_duty("10 %").figures
    for name in ("oxygen", "fuel"):
        before, after = whole.lines[name].supply, tenth.lines[name].supply
        assert before.duration.value is not None
        assert after.duration.value == pytest.approx(10 * before.duration.value)
        assert after.at_end.value == pytest.approx(before.at_end.value), "the same length is cut"
        assert after.drawn == before.drawn, "while it burns"
    assert whole.job.time is not None
    assert whole.job.time.value is not None
    assert tenth.job.time is not None
    assert tenth.job.time.value == pytest.approx(10 * whole.job.time.value)


@pytest.mark.parametrize(("duty", "expected"), [("100 %", "stop"), ("70 %", "stop"), ("60 %", "caution"), ("40 %", "go"), ("10 %", "go")])
def test_a_duty_counts_in_the_draw(duty: str, expected: str) -> None:
    """The draw is half as much again as the stop while the flame burns; what counts is its average over the job."""
    assert verdicts(of_duty(duty, gross="64.2 kg", cut="2 m"), "fuel-draw") == [expected]


def test_bursts_far_over_the_rule_are_not_mended_by_pauses() -> None:
    """Over twice the rule to be settled, over three times a stop: acetone comes over however short they are."""
    for gross, told in (("63.75 kg", ("caution", "bursts")), ("63.4 kg", ("stop", "stop bursts"))):
        made = of_duty("2 %", gross=gross, cut="0.5 m")
        assert [(finding.verdict, finding.text) for finding in made.findings if finding.code == "fuel-draw"] == [told]
