"""A chart's rows against the trade and against each other: slips of unit, column and decimal point."""

import random
from pathlib import Path

import pytest

from steadycone.files.chart import chart_from_bytes
from steadycone.files.chart_doubts import chart_doubts
from steadycone.physics.cutting import TO_FEO, TO_MAGNETITE, kerf_oxygen

CHARTS = sorted((Path(__file__).parents[2] / "examples" / "charts").glob("demo-*.csv"))
CUT = """# fuel: acetylene
# attachment: cutting
# basis: torch inlet
size,thickness from [mm],thickness to [mm],oxygen pressure [bar],fuel pressure [bar],cutting oxygen [m3/h],preheat oxygen [m3/h],fuel flow [m3/h],speed from [mm/min],speed to [mm/min],kerf [mm]
1,6,12,2.2,0.4,1.43,0.24,0.22,440,560,1.5
2,12,20,2.6,0.45,2.30,0.28,0.25,370,470,1.7
3,20,35,3.0,0.5,3.70,0.33,0.30,300,400,2.0
4,35,60,3.5,0.5,6.50,0.42,0.38,220,300,2.5
"""
HEAT = """# fuel: propane
# attachment: heating
# basis: torch inlet
size,oxygen pressure [bar],fuel pressure [bar],preheat oxygen [m3/h],fuel flow [m3/h]
L1,2.0,0.5,3.0,0.75
L2,2.8,0.7,6.0,1.50
L3,3.5,0.8,9.6,2.40
"""
PLAIN = "# fuel: acetylene\n# attachment: cutting\n# basis: torch inlet\nsize,thickness from [mm],thickness to [mm],cutting oxygen [m3/h]\n"


def texts(text: str) -> set[tuple[str, str]]:
    return {(found.text, str(found.blanks.get("size", ""))) for found in chart_doubts(chart_from_bytes("c.csv", text.encode()), "uk")}


def test_sound_charts_raise_no_doubt() -> None:
    assert texts(CUT) == texts(HEAT) == set()


@pytest.mark.parametrize("path", CHARTS, ids=lambda path: path.stem)
def test_the_demo_charts_raise_no_doubt(path: Path) -> None:
    assert chart_doubts(chart_from_bytes(path.name, path.read_bytes()), "us" if path.stem.endswith("-us") else "uk") == ()


@pytest.mark.parametrize(
    ("chart", "old", "new", "told"),
    [
        (HEAT, "2.8,0.7", "2.8,300", ("fuel-high", "L2")),  # mbar typed as bar
        (HEAT, "2.8,0.7", "0.5,2.5", ("swapped", "L2")),
        (HEAT, "2.8,0.7", "28,0.7", ("oxygen-high", "L2")),
        (CUT, "300,400", "4.4,5.9", ("speed-low", "3")),
        (CUT, "300,400", "3000,4700", ("speed-high", "3")),
        (CUT, "3.70,0.33", "0.62,0.33", ("kerf-short", "3")),
        (CUT, "3.70,0.33", "61.7,0.33", ("kerf-over", "3")),  # L/min under m3/h
        (CUT, "3.70,0.33,0.30", "3.70,3.3,3.0", ("neighbours", "3")),  # both tenfold: no ratio shows it
        (CUT, "3,20,35,3.0", "3,20,35,14.5", ("neighbours", "3")),
    ],
)
def test_a_slip_in_one_row_is_told_with_its_size(chart: str, old: str, new: str, told: tuple[str, str]) -> None:
    assert old in chart
    assert told in texts(chart.replace(old, new))


def test_without_speed_and_bore_the_thickness_judges_the_flow() -> None:
    assert texts(PLAIN + "1,6,12,1.4\n2,12,25,3.5\n") == set()
    assert ("flow-over", "1") in texts(PLAIN + "1,6,12,24\n2,12,25,60\n")
    assert ("flow-short", "1") in texts(PLAIN + "1,6,12,0.08\n2,12,25,0.2\n")


def test_the_limits_stand_where_they_are_said_to_stand() -> None:
    assert texts(PLAIN + "1,6,12,8.19\n") == set()  # 1 + 0.6 x 12 = 8.2
    assert texts(PLAIN + "1,6,12,8.21\n") == {("flow-over", "1")}
    assert texts(HEAT.replace("L3,3.5,0.8", "L3,6.0,4.7")) == set()
    assert texts(HEAT.replace("L3,3.5,0.8", "L3,6.0,5.1")) == {("fuel-high", "L3")}
    assert texts(HEAT.replace("2.8,0.7", "0.8,1.0")) == set()
    assert texts(HEAT.replace("2.8,0.7", "0.8,1.1")) == {("swapped", "L2")}


def test_a_chart_without_a_basis_is_in_doubt() -> None:
    assert texts(CUT.replace("# basis: torch inlet\n", "")) == {("", "")}
    assert texts(CUT.replace("basis: torch inlet", "basis: regulator")) == {("hose", "")}


COLUMNS = {"oxygen pressure": 3, "fuel pressure": 4, "cutting oxygen": 5, "preheat oxygen": 6, "fuel flow": 7}


def test_every_tenfold_slip_of_one_figure_is_seen() -> None:
    rng = random.Random(11)
    rows = CUT.splitlines()
    for number in range(4, len(rows)):
        for column in COLUMNS.values():
            for times in (10, 0.1, rng.uniform(10, 40)):
                cells = rows[number].split(",")
                cells[column] = f"{float(cells[column]) * times:.4g}"
                spoilt = "\n".join([*rows[:number], ",".join(cells), *rows[number + 1 :]]) + "\n"
                assert texts(spoilt), (rows[number], column, times)


def test_oxygen_for_a_kerf_is_the_stoichiometry() -> None:
    # kerf-stoichiometry: 0.2676 and 0.2007 m3 of oxygen for a kilogram of iron; 2 mm of kerf in 25 mm plate is 0.3925 kg a metre.
    litres = [kerf_oxygen(1.0, 0.025, 0.002, oxide) * 22.41397 for oxide in (TO_MAGNETITE, TO_FEO)]
    assert litres == pytest.approx([0.3925 * 267.6, 0.3925 * 200.7], rel=5e-4)  # printed to four figures
