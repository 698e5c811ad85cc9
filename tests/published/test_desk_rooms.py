"""Air of a room, against tables of public health and of a university: `calc room`."""

import math

import pytest
from tests.checks import PRINTED, check
from tests.desk import CUBIC_FOOT, calc

TABLE = "Morbidity and Mortality Weekly Report 43 (RR-13), 28 October 1994, p. 72, table S3-1: minutes to remove a share, mixing factor 1"
# air changes an hour; minutes for 90, 99 and 99.9 %
ROWS = [(1, 138, 276, 414), (2, 69, 138, 207), (4, 35, 69, 104), (6, 23, 46, 69), (10, 14, 28, 41), (20, 7, 14, 21)]


@pytest.mark.parametrize(
    ("changes", "share", "printed"), [(row[0], share, row[at]) for row in ROWS for at, share in ((1, 0.9), (2, 0.99), (3, 0.999))]
)
def test_minutes_until_the_air_is_clear(changes: int, share: float, printed: int) -> None:
    """What is left after the printed minutes, by the command, tells how many minutes its own road would give."""
    first, left = (
        float(
            calc("room", gas="nitrogen", release_volume="1 L", room_volume="100 m3", air_changes=changes, minutes=minutes, mixing=1)[
                "percent"
            ]
        )
        for minutes in (0, printed)
    )
    minutes = printed * math.log(1.0 / (1.0 - share)) / math.log(first / left)
    check(
        f"air-clears-{changes}-changes-{100 * share:g}", kind=PRINTED, got=minutes, expected=printed, abs=0.75, unit="min", source=TABLE,
        why="printed to whole minutes, and some of them cut instead of rounded",
    )  # fmt: skip


def test_the_oxygen_that_five_dewars_take() -> None:
    found = calc("room", gas="nitrogen", release_flow="0.044 m3/h", room_volume="36 m3", air_changes=0.4, minutes=60000, mixing=1, reference_state="20 °C, 1.01325 bar", temperature="20 °C")  # fmt: skip
    check(
        "oxygen-taken-by-dewars", kind=PRINTED, got=20.95 - float(found["oxygen_percent"]), expected=0.06, abs=0.006, unit="%",
        source="University of Oxford safety policy S4/03, appendix 1, worked example (a): five dewars in 36 m3 at 0.4 changes an hour",
        why="printed to one figure, from 0.064; the text takes 21 % for the oxygen of air",
    )  # fmt: skip


GUIDE = "Employer guide and model written confined space program, section III, ventilation calculations"


def left_of(room_feet: float, cubic_feet_a_minute: float, minutes: float) -> float:
    """What the air still holds of its first share, by the command."""
    room, air = room_feet * CUBIC_FOOT, cubic_feet_a_minute * CUBIC_FOOT * 60.0
    first, left = (
        float(calc("room", gas="nitrogen", release_volume="1 L", room_volume=f"{room} m3", fresh_air=f"{air} m3/h", minutes=each, mixing=1)["percent"])
        for each in (0, minutes)
    )  # fmt: skip
    return left / first


def test_carbon_monoxide_in_a_space_falls_to_a_fifth() -> None:
    minutes = 9.6 * math.log(0.2) / math.log(left_of(6000.0, 1000.0, 9.6))
    check(
        "space-to-a-fifth", kind=PRINTED, got=minutes, expected=9.6, rel=0.01, unit="min", source=f"{GUIDE}, example 2: 250 to 50 ppm",
        why="two figures",
    )  # fmt: skip


def test_a_tank_after_twenty_minutes_of_air() -> None:
    check(
        "tank-after-20-minutes", kind=PRINTED, got=200.0 * left_of(3140.0, 800.0, 20.0), expected=1.2, abs=0.06, unit="ppm",
        source=f"{GUIDE}, example 3: 200 ppm, 3140 ft3, 800 ft3/min", why="two figures, from an exponent rounded to 5.1",
    )  # fmt: skip
