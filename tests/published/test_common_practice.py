"""What the trade agrees on and no source settles: common practice, no source. The tool must not contradict it unasked."""

from datetime import date
from pathlib import Path

from tests import factories as bench
from tests.checks import COPIED, check

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text
from steadycone.practice import arrestor
from steadycone.units import GasAmount, Pressure
from steadycone.worksheets.run import answer

PRACTICE = "common practice, no source"
CHARTS = Path(__file__).parents[2] / "examples" / "charts"
STATION = """
format = "steadycone-station/1"
[station]
name = "Tern Quay, visiting crew"
region = "us"
fuel = "acetylene"
[oxygen.supply]
capacity = "244 ft3"
[oxygen.regulator]
gas = "oxygen"
outlet_rating = "100 psi"
[[oxygen.part]]
kind = "hose"
grade = "oxygen"
bore = "1/4 in"
length = "{hose}"
[fuel.supply]
capacity = "225 ft3"
[fuel.regulator]
gas = "acetylene"
outlet_rating = "15 psi"
[[fuel.part]]
kind = "hose"
grade = "R"
bore = "1/4 in"
length = "{hose}"
[torch]
attachment = "cutting"
[tip]
chart = "demo-acetylene-cutting-us.csv"
[job]
kind = "cut"
material = "mild steel"
thickness = "{plate}"
length = "4 ft"
"""


def card(plate: str, hose: str = "25 ft") -> Card:
    setup = setup_from_text(STATION.format(plate=plate, hose=hose), "visiting.toml", lambda name, limit, what: (CHARTS / name).read_bytes())
    return make_card(setup, date(2026, 11, 25))


def test_one_inch_plate_takes_a_number_two_tip() -> None:
    made = card("1 in")
    assert made.figures.tip.size == "2"
    check(
        "practice-tip-1-in",
        kind=COPIED,
        got=float(made.figures.tip.size),
        expected=2,
        abs=0,
        unit="size",
        source=PRACTICE,
        why="a size is a name",
    )


def test_a_small_tip_runs_at_about_25_psi_oxygen_and_5_psi_acetylene() -> None:
    made = card("3/16 in")
    why = "said as round figures; losses of 25 ft of hose and the gauge's marks come on top"
    for line, expected in (("oxygen", 25.0), ("fuel", 5.0)):
        found = made.figures.lines[line].set_pressure.value
        assert found is not None
        check(
            f"practice-small-tip-{line}",
            kind=COPIED,
            got=found / Pressure.units["psi"],
            expected=expected,
            rel=0.1,
            unit="psi",
            source=PRACTICE,
            why=why,
        )


def test_a_seventh_of_an_acetylene_cylinder_an_hour() -> None:
    found = answer("draw", {"fuel": "acetylene", "capacity": "225 ft3", "rule": "1/7"})["limit_m3_per_h"]
    assert isinstance(found, float)
    moles = GasAmount.parse("225 ft3").si / 7
    expected = moles * 22.41397e-3
    check(
        "practice-one-seventh", kind=COPIED, got=found, expected=expected, rel=1e-9, unit="m3/h", source=PRACTICE, why="a fraction is exact"
    )


def test_a_check_valve_does_not_stop_a_flame() -> None:
    figures = bench.clean()
    parts = tuple(bench.check_valve("acetylene") if part.word == "arrestor" else part for part in figures.lines["fuel"].line.part)
    found = bench.found(arrestor.judge(bench.with_noun(figures, "fuel", part=parts)), "arrestor-missing", "fuel line")
    assert found.verdict == "stop"
    check(
        "practice-check-valve",
        kind=COPIED,
        got=float(found.verdict == "stop"),
        expected=1,
        abs=0,
        unit="stop",
        source=PRACTICE,
        why="yes or no",
    )
