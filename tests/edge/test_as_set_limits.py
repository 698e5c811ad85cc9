"""As set: what the gauges may hide counts against every limit, and what the supply and a droop give back counts shut."""

import pytest
from tests.stations import card

from steadycone.card.card import Card

SETTINGS = '[settings]\nwhen = "{}"\noxygen = "{} bar"\nfuel = "0.6 bar"'


def made(oxygen: str, when: str = "flowing", **knobs: str) -> Card:
    return card(settings=SETTINGS.format(when, oxygen), rating="16 bar", **knobs)


def verdict(of: Card, code: str, subject: str) -> str:
    return next(finding.verdict for finding in of.findings if (finding.code, finding.subject) == (code, subject))


@pytest.mark.parametrize(("shut", "expected"), [("19.3", "go"), ("19.4", "stop")])
def test_a_parts_rating_bears_the_gauge_error(shut: str, expected: str) -> None:
    """A 20 bar hose; the 25 bar gauge of a 16 bar regulator is of class 2.5, so 0.625 bar may hide."""
    assert verdict(made(shut, "static", regulator="stages = 2"), "part-pressure", "oxygen part 2 (hose), as set") == expected


@pytest.mark.parametrize(("stages", "rises"), [("stages = 2", False), ("stages = 1", True)])
def test_a_single_stage_regulator_rises_as_set_too(stages: str, rises: bool) -> None:
    of = made("3.3", regulator=stages)
    line, now = of.figures.lines["oxygen"], of.figures.as_set
    assert now is not None
    here = now.lines["oxygen"].regulator_static
    assert here.high is not None
    assert line.rise.high is not None
    assert (line.rise.high > 0) == rises
    assert here.high == pytest.approx((3.3e5 + 0.625e5) * 1.3 + line.rise.high)


def test_a_droop_comes_back_as_set_too() -> None:
    plain, drooping = (made("3.3", regulator=f'stages = 2\nlockup = "1 %"\n{droop}') for droop in ("", 'droop = "5 bar"'))
    highs = []
    for of in (plain, drooping):
        assert of.figures.as_set is not None
        highs.append(of.figures.as_set.lines["oxygen"].regulator_static.high or 0.0)
    flow, rated = drooping.figures.as_set.lines["oxygen"].flow.high or 0.0, 30 / 3600 / 22.41397e-3  # type: ignore[union-attr]
    assert highs[0] == pytest.approx((3.3e5 + 0.625e5) * 1.01)
    assert highs[1] == pytest.approx(3.3e5 + 0.625e5 + 5e5 * flow / rated, rel=1e-3)


def test_a_reading_with_the_valves_shut_is_not_locked_up_twice() -> None:
    of = made("4.29", "static", regulator="stages = 2")
    assert of.figures.as_set is not None
    line = of.figures.as_set.lines["oxygen"]
    assert line.regulator.value == pytest.approx(3.3e5)
    assert line.regulator_static.high == pytest.approx(4.29e5 + 0.625e5)
