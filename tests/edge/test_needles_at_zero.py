"""A side that ends at zero lost at least the sum; the codes of a needle test are told in words; a table prints the end that was judged."""

import re

import pytest
from tests.edge.render_samples import card
from tests.edge.round_samples import gone, plan

from steadycone.procedures.rounds import drops
from steadycone.render.numbers import Numbers
from steadycone.render.round_words import RoundWords
from steadycone.render.whatif import whatif_text
from steadycone.render.words import Words
from steadycone.render.worksheet import told_answer
from steadycone.whatif.run import answer as what_if
from steadycone.worksheets.run import answer

BENCH: dict[str, object] = {
    "gas": "oxygen", "low_volume": "0.57 L", "high_start": "140 bar", "high_end": "140 bar", "low_start": "4.3 bar", "low_end": "0 bar",
    "minutes": 5, "high_readability": "2 bar", "low_readability": "0.1 bar",
}  # fmt: skip


def rows(**changes: object) -> dict[str, str]:
    told = told_answer(answer("drop", BENCH | changes), Words.of("uk"))
    return {row.key: row.value for row in told.rows}


@pytest.mark.parametrize(("end", "open_ended"), [("0 bar", True), ("0.1 bar", False), ("3.0 bar", False)])
def test_a_hose_that_ends_at_zero_lost_at_least_the_sum(end: str, open_ended: bool) -> None:
    found = answer("drop", BENCH | {"low_end": end})
    assert (found["low_leak_l_per_h_high"] is None) is open_ended
    assert rows(low_end=end)["low_leak_l_per_h"].startswith("at least") is open_ended


def test_a_hose_that_stands_at_zero_all_along_lost_nothing_that_was_seen() -> None:
    found = answer("drop", BENCH | {"low_start": "0 bar"})
    assert found["low_leak_l_per_h_high"] is not None


def test_the_command_tells_what_the_needles_say_in_words_and_keeps_its_codes() -> None:
    assert answer("drop", BENCH)["reading"] == "leak after regulator"
    told = rows()
    assert told["reading"] == "a leak on the low side"
    assert told["also_possible"] == "the supply valve leaks through, leaks on both sides"


def test_a_round_says_at_least() -> None:
    now = gone(plan(), **{"leak-end-low.oxygen": "0 bar"})
    read = next(each.reading for each in drops(now) if each.line == "oxygen")
    assert read is not None
    assert read.low_leak.high is None
    assert RoundWords(plan()).leak(read.low_leak).startswith("loses at least ")


def test_a_what_if_says_at_least() -> None:
    made = card("weld-bench-eu")
    told = " ".join(whatif_text(what_if("drop-test", made, {}), made.figures).split())
    assert "Loss of the low side as read at least" in told


def test_the_flame_table_prints_the_margin_that_was_judged() -> None:
    outcome = what_if("flame", card("weld-bench-eu"), {})
    back = outcome.numbers["runs_back_at"].value
    assert back is not None
    for point in outcome.series["travel"]:
        valves, least = point["valves"], point["margin_least"]
        assert not isinstance(valves, str)
        assert not isinstance(least, str)
        assert valves.value is not None
        assert least.value is not None
        assert (least.value < 1.0) is (valves.value < back)


@pytest.mark.parametrize(("region", "told"), [("uk", "8,700 m/s per mm"), ("us", "725 ft/s per thou")])
def test_a_gradient_is_told_in_speed_over_a_short_way(region: str, told: str) -> None:
    # by hand: 8.7e6 1/s is 8.7e6 m/s in a metre, 8700 in a mm; a thou is 25.4 um, a foot 0.3048 m: 8.7e6 * 25.4e-6 / 0.3048 = 725
    numbers = Numbers.of(region)
    shown = numbers.joined(numbers.bare(8.7e6, "gradient"), "gradient").replace("\u00a0", " ")
    assert re.sub(r"(?<=\d)[ ,\u202f]?(?=\d{3}\b)", "", shown) == re.sub(",", "", told)
