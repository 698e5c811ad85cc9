"""The what-ifs of gas that runs back, is purged, creeps or is squeezed: from the command line, as data, as picture and page."""

import json
import re
import xml.etree.ElementTree as ET
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from tests.stations import card as law_card

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.cli.app import call
from steadycone.data.reader import sources, toml
from steadycone.errors import InputError, OutOfRange, UnknownName
from steadycone.files.read import read_setup
from steadycone.render.whatif import Told, whatif_dict, whatif_text
from steadycone.render.whatif_page import whatif_page
from steadycone.render.whatif_svg import moving_svg, strip_svg
from steadycone.whatif.flame import _runs_back_at
from steadycone.whatif.frame import Outcome
from steadycone.whatif.run import answer, describe, names, read

EXAMPLES = Path(__file__).parents[2] / "examples"
OURS = ("blocked-tip", "empty-oxygen", "empty-fuel", "purge", "passing-seat", "fast-valve")
STATIONS = ("slip-2", "bay-4-us", "gantry-three-hose", "pontoon-lpg-au", "plate-shop-natural-gas-eu")
SETTINGS: dict[str, list[dict[str, str]]] = {
    "blocked-tip": [
        {}, {"check_valve": "none"}, {"check_valve": "failed", "far_end": "empty"}, {"check_valve": "none", "far_end": "open", "opening": "40 %"},
        {"check_valve": "leaking"}, {"check_valve": "none", "seconds": "0.5"}, {"check_valve": "none", "dead_volume": "0.2 L"},
    ],
    "empty-oxygen": [{}, {"check_valve": "none"}, {"check_valve": "leaking"}, {"check_valve": "none", "left": "5 bar"}, {"check_valve": "none", "tip": "blocked"}],
    "empty-fuel": [{}, {"check_valve": "none", "seconds": "1"}, {"check_valve": "none", "tip": "blocked"}],
    "purge": [{}, {"line": "oxygen", "seconds": "60"}, {"seconds": "10", "holds": "other gas"}],
    "passing-seat": [{}, {"line": "oxygen", "hours": "1", "leak": "2 L/h"}, {"creep": "1 bar", "dead_volume": "0.05 L"}],
    "fast-valve": [{}, {"seconds": "20", "bore": "4 mm"}],
}  # fmt: skip


@cache
def card(name: str) -> Card:
    return make_card(read_setup(EXAMPLES / f"{name}.toml"), date(2026, 11, 25))


@cache
def outcome(station: str, name: str, at: int) -> Outcome:
    return answer(name, card(station), SETTINGS[name][at])


ALL = [(name, at) for name in OURS for at in range(len(SETTINGS[name]))]


@pytest.mark.parametrize("name", OURS)
def test_every_station_gets_an_answer_with_every_text_of_it(name: str) -> None:
    for station in STATIONS:
        for at in range(len(SETTINGS[name])):
            found = outcome(station, name, at)
            told = whatif_text(found, card(station).figures)
            assert "{" not in told, (station, at)
            assert all(len(line) <= 80 or "  " in line for line in told.splitlines())
            assert found.not_trusted, "every answer says where it must not be trusted"
            assert found.prevented_by
            assert set(found.sources) <= set(sources())


@pytest.mark.parametrize(("name", "at"), ALL)
def test_the_data_holds_value_and_band_and_is_json(name: str, at: int) -> None:
    found = outcome("slip-2", name, at)
    told = json.loads(json.dumps(whatif_dict(found, card("slip-2").figures, SETTINGS[name][at]), allow_nan=False))
    assert told["name"] == name
    for key in found.numbers:
        number = told[key]
        if number is not None:
            assert number["unit"]
            assert number["low"] is None or number["low"] <= number["value"]
            assert number["high"] is None or number["value"] <= number["high"]


def test_the_promised_keys_are_there() -> None:
    blocked = data("blocked-tip", check_valve="none")
    assert {"front", "front_at", "peak_fuel_pressure", "burnable_length", "direction"} <= set(blocked)
    assert set(blocked["front_at"][0]) == {"time", "front"}
    assert blocked["front_at"][-1]["front"]["unit"] == "m"
    assert "hose_filled_after" not in blocked, "a locked hose never fills: a key that cannot apply is left out"
    assert "hose_filled_after" in data("blocked-tip", check_valve="none", far_end="empty")
    assert {"left_at_tip", "cleared_after"} <= set(data("purge"))
    assert {"cap_reached_after", "final_pressure"} <= set(data("passing-seat"))
    assert "end_temperature" in data("fast-valve")


def data(name: str, **settings: str) -> dict[str, Any]:
    return whatif_dict(answer(name, card("slip-2"), settings), card("slip-2").figures, settings)


# --- what they say ----------------------------------------------------------------


def test_a_good_valve_holds_and_the_station_s_own_is_taken_for_one() -> None:
    for settings in ({}, {"check_valve": "good"}):
        found = answer("blocked-tip", card("slip-2"), settings)
        assert (found.state, found.words["direction"], found.numbers["front"].value) == ("held", "none", 0.0)
    bare = answer("blocked-tip", law_card(), {})
    assert bare.state == "locked"
    assert [p.standing for p in bare.prevented_by if p.key == "check-valve"] == ["missing"]


def test_the_far_end_decides_whether_it_ever_stops() -> None:
    locked, empty = (answer("blocked-tip", card("slip-2"), {"check_valve": "none", "far_end": end}) for end in ("locked", "empty"))
    assert (locked.state, empty.state) == ("locked", "through-empty")
    assert 10.0 < (locked.numbers["front"].value or 0.0) < 20.0
    assert empty.numbers["front"].value == pytest.approx(20.0)
    assert (empty.numbers["reverse_flow"].low or 0.0) > 0.0


def test_acetylene_is_pushed_over_its_cap_and_the_answer_says_when() -> None:
    found = answer("blocked-tip", card("slip-2"), {"check_valve": "none"})
    assert (found.numbers["peak_fuel_pressure"].value or 0.0) > 1.5e5
    assert 0.0 < (found.numbers["cap_passed_after"].value or 0.0) < 10.0
    assert "cap_passed_after" not in answer("blocked-tip", card("gantry-three-hose"), {"check_valve": "none"}).numbers


def test_fuel_runs_into_oxygen_where_it_stands_higher() -> None:
    low = law_card(settings='[settings]\nwhen = "static"\noxygen = "0.3 bar"\nfuel = "0.7 bar"')
    found = answer("blocked-tip", low, {})
    assert found.words["direction"] == "fuel into oxygen"
    assert found.frames[-1].lines[0].name == "oxygen"
    assert found.frames[-1].lines[0].other == "fuel"


def test_valves_half_open_change_the_time_and_not_where_it_ends() -> None:
    full, half = (answer("blocked-tip", card("slip-2"), {"check_valve": "none", "seconds": "600", "opening": o}) for o in ("full", "50 %"))
    assert half.numbers["front"].value == pytest.approx(full.numbers["front"].value, rel=1e-3)
    assert (half.series["front_at"][8]["front"].value or 0.0) < (full.series["front_at"][8]["front"].value or 0.0)


def test_what_is_left_in_the_cylinder_holds_the_other_gas_back() -> None:
    assert answer("empty-oxygen", card("slip-2"), {"check_valve": "none", "left": "1 bar"}).state == "balanced"
    assert answer("empty-oxygen", card("slip-2"), {"check_valve": "none"}).state == "through"


def test_an_injector_draws_until_its_tip_is_blocked() -> None:
    free, blocked = (
        answer("empty-fuel", card("plate-shop-natural-gas-eu"), {"check_valve": "none", "tip": t}) for t in ("open", "blocked")
    )
    assert (free.state, blocked.state) == ("drawn", "through")
    assert "injector" in free.not_trusted


def test_a_hose_that_stands_over_the_cap_already_is_told_so() -> None:
    over = answer("blocked-tip", card("bay-4-us"), {"check_valve": "none"})
    assert over.numbers["cap_passed_after"].value == 0.0


def test_a_three_hose_torch_meets_its_fuel_in_the_preheat_line() -> None:
    found = answer("empty-oxygen", card("gantry-three-hose"), {"check_valve": "none"})
    filled = [line.name for line in found.frames[-1].lines if line.share]
    assert filled == ["preheat_oxygen"]


def test_five_seconds_do_not_clear_twenty_metres_and_the_card_s_time_does() -> None:
    habit = answer("purge", card("slip-2"), {"seconds": "5"})
    assert habit.state == "early"
    assert (habit.numbers["left_at_tip"].value or 0.0) > 0.99
    needed = habit.numbers["card_purge"].value or 0.0
    assert answer("purge", card("slip-2"), {"seconds": f"{needed} s"}).numbers["left_at_tip"].value == pytest.approx(0.0, abs=0.01)


def test_a_purge_is_called_clear_only_at_the_slow_end_of_its_band() -> None:
    cleared = answer("purge", card("slip-2"), {}).numbers["cleared_after"]
    assert answer("purge", card("slip-2"), {"seconds": f"{cleared.value:.1f} s"}).state == "smeared"
    assert answer("purge", card("slip-2"), {"seconds": f"{(cleared.high or 0.0) + 0.1:.1f} s"}).state == "cleared"


def test_a_passing_seat_ends_at_the_cylinder_s_pressure_when_nobody_looks() -> None:
    found = answer("passing-seat", card("slip-2"), {"line": "oxygen"})
    assert found.numbers["final_pressure"].value == pytest.approx(140e5)
    assert found.state == "over"
    short = answer("passing-seat", card("slip-2"), {"line": "oxygen", "hours": "0.01"})
    assert short.state == "below-yet"
    assert (short.numbers["final_pressure"].value or 0.0) < 5e5


# --- settings ---------------------------------------------------------------------


def test_a_seed_gives_the_same_band_again_and_another_seed_another() -> None:
    runs = [answer("blocked-tip", card("slip-2"), {"check_valve": "none", "runs": "60", "seed": s}) for s in ("7", "7", "8")]
    bands = [run.numbers["front"] for run in runs]
    assert bands[0] == bands[1] != bands[2]
    assert runs[0].band == "runs"
    ends = answer("blocked-tip", card("slip-2"), {"check_valve": "none"}).numbers["front"]
    assert (ends.low or 0.0) <= (bands[0].low or 0.0)
    assert (bands[0].high or 0.0) <= (ends.high or 0.0)


@pytest.mark.parametrize(
    ("name", "settings", "kind"),
    [
        ("blocked-tap", {}, UnknownName),
        ("blocked-tip", {"far_and": "empty"}, UnknownName),
        ("blocked-tip", {"far_end": "emty"}, UnknownName),
        ("blocked-tip", {"opening": "wide"}, InputError),
        ("blocked-tip", {"opening": "140 %"}, OutOfRange),
        ("blocked-tip", {"seconds": "0"}, OutOfRange),
        ("blocked-tip", {"runs": "-1"}, OutOfRange),
        ("blocked-tip", {"runs": "many"}, InputError),
        ("purge", {"line": "preheat oxygen"}, InputError),
        ("passing-seat", {"creep": "0 bar"}, OutOfRange),
    ],
)
def test_a_slip_is_named_and_the_nearest_word_is_told(name: str, settings: dict[str, str], kind: type[Exception]) -> None:
    with pytest.raises(kind) as caught:
        answer(name, card("slip-2"), settings)
    assert str(caught.value)


def test_a_wrong_word_is_told_the_nearest() -> None:
    with pytest.raises(UnknownName) as caught:
        read("blocked-tip", {"far_end": "emty"})
    assert 'Did you mean "empty"?' in str(caught.value)


def test_every_name_is_listed_with_its_settings() -> None:
    assert set(OURS) <= set(names())
    for name in OURS:
        assert {"runs", "seed"} <= {setting.name for setting in describe(name)}
        assert toml(f"whatif/{name}.toml")["title"]


# --- command line -----------------------------------------------------------------


def test_the_command_writes_text_json_drawing_and_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    station = str(EXAMPLES / "slip-2.toml")
    svg, page = tmp_path / "a.svg", tmp_path / "a.html"
    line = ["whatif", "blocked-tip", station, "check_valve=none", "--on", "2026-11-25"]
    assert call([*line, "--svg", str(svg), "--html", str(page)]) == 0
    assert "DO NOT TRUST THIS" in capsys.readouterr().out
    assert svg.read_text(encoding="utf-8").startswith("<svg")
    assert "EMERGENCY" in page.read_text(encoding="utf-8")
    assert call([*line, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["direction"] == "oxygen into fuel"


def test_the_command_lists_names_and_settings_and_tells_slips_in_two_lines(capsys: pytest.CaptureFixture[str]) -> None:
    assert call(["whatif"]) == 0
    assert "blocked-tip" in capsys.readouterr().out
    assert call(["whatif", "purge"]) == 0
    assert "seconds" in capsys.readouterr().out
    assert call(["whatif", "blocked-tip", str(EXAMPLES / "slip-2.toml"), "far_end"]) == 2
    assert capsys.readouterr().err.count("\n") == 2


# --- picture and page -------------------------------------------------------------


@pytest.mark.parametrize(("name", "at"), ALL)
def test_each_drawing_is_one_whole_svg_with_title_and_description_and_no_script(name: str, at: int) -> None:
    for station in ("slip-2", "gantry-three-hose"):
        found = outcome(station, name, at)
        drawn = strip_svg(found, card(station))
        root = ET.fromstring(drawn)
        tags = [child.tag.partition("}")[2] for child in root.iter()]
        assert {"title", "desc"} <= set(tags)
        assert "script" not in tags
        assert "var(--" not in drawn, "a file by itself has its colours written out"
        assert "style=" not in drawn
        assert "nan" not in drawn.lower().replace("finance", "")
        for frame in found.frames:
            told = Told(found, card(station).figures)
            assert frame.caption == "" or told.text("caption", frame.caption)


def test_the_moving_picture_plays_once_by_itself_and_snaps_its_words() -> None:
    drawn = moving_svg(outcome("slip-2", "blocked-tip", 1), card("slip-2"))
    ET.fromstring(drawn)
    assert "<script" not in drawn
    assert "repeatCount" not in drawn
    assert drawn.count("<set ") == 2 * len(outcome("slip-2", "blocked-tip", 1).frames) - 1
    animated = re.findall(r'<animate attributeName="(\w+)"', drawn)
    assert set(animated) == {"d"}, "only the front slides"
    values = re.search(r'values="([^"]*)"', drawn)
    assert values is not None
    assert len({len(re.findall("[ML]", shape)) for shape in values[1].split(";")}) == 1


def test_the_page_moves_only_for_those_who_want_it_and_fetches_nothing() -> None:
    page = whatif_page(outcome("slip-2", "blocked-tip", 1), card("slip-2"))
    assert "prefers-reduced-motion:reduce){.moves{display:none}" in page
    assert "<script" not in page
    assert not re.search(r'(?:src|href)="http', page)
    assert "Do not trust this" in page
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len([i for i in ids if not i.startswith(("notch", "burns"))]) == len({i for i in ids if not i.startswith(("notch", "burns"))})


def test_a_name_with_markup_stays_text() -> None:
    evil = law_card(about="")
    text = strip_svg(answer("blocked-tip", evil, {}), evil)
    assert "<script" not in text


@pytest.mark.parametrize("name", ["weld-bench-eu", "gantry-three-hose", "structural-eu", "slip-2", "clean-bench"])
def test_the_cards_purge_is_never_shorter_than_the_slow_end_of_the_what_if(name: str) -> None:
    for line in ("fuel", "oxygen"):
        found = answer("purge", card(name), {"line": line}).numbers
        assert (found["cleared_after"].high or 1e9) <= (found["card_purge"].value or 0.0)
        assert (found["card_purge"].value or 0.0) >= 5.0


@pytest.mark.parametrize("name", ["blocked-tip", "empty-oxygen", "empty-fuel"])
@pytest.mark.parametrize("valve", ["none", "failed", "leaking"])
def test_a_valve_that_the_question_takes_as_failed_is_not_said_to_have_shut(name: str, valve: str) -> None:
    def told(asked: str) -> str:
        return " ".join(whatif_text(answer(name, card("slip-2"), {"check_valve": asked}), card("slip-2").figures).split())

    assert "ask this again with check_valve" not in told(valve)
    assert "ask this again with check_valve" in told("good")


@pytest.mark.parametrize(
    ("travel", "opening"),
    [
        ([(0.1, 0.5), (0.4, 0.9), (0.5, 1.01)], 0.5),  # 0.4909 straight between, whole per cent up
        ([(0.1, 0.5), (0.4, 0.5), (0.5, 1.5)], 0.45),
        ([(0.5, 1.5), (0.4, 1.0)], None),
        ([(1.0, 0.9), (0.5, 0.4)], 1.0),
    ],
)
def test_the_opening_at_which_a_flame_runs_back_is_where_the_margin_crosses_one(
    travel: list[tuple[float, float]], opening: float | None
) -> None:
    assert _runs_back_at(travel) == opening
