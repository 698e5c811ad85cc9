"""The card on a terminal: 80 columns, worst first, nothing left out."""

import re

import pytest
from tests.edge import render_samples as samples

from steadycone.render.text import text_card, wrapped


@pytest.mark.parametrize("name", samples.NAMES)
def test_no_line_is_wider_than_a_terminal(name: str) -> None:
    text = text_card(samples.view(samples.card(name)))
    assert [line for line in text.splitlines() if len(line) > 80] == []
    assert "\t" not in text
    assert "\x1b" not in text


def test_a_stop_card_gives_nothing_to_set_and_no_steps() -> None:
    text = text_card(samples.view(samples.card("bay-4-us")))
    assert "STOP. Don't light." in text
    assert text.count("DO NOT SET") == 2
    assert "\nSTEPS" not in text
    assert not re.search(r"^SET ", text, re.MULTILINE)


def test_every_stop_and_caution_is_told_whole_however_many() -> None:
    made = samples.crowded(count=30)
    assert text_card(samples.view(made)).count("[STOP]") == 30


def test_the_cap_stands_beside_acetylene() -> None:
    assert "Cap, never above        1.2 bar" in text_card(samples.view(samples.card("slip-2")))


def test_the_emergency_list_ends_the_page() -> None:
    text = text_card(samples.view(samples.card("slip-2")))
    assert text.rindex("EMERGENCY") > text.rindex("CAUTIONS")


def test_wrapping_keeps_every_word() -> None:
    told = "one two three four five six seven eight nine ten"
    assert " ".join(" ".join(wrapped(told, "- ", 20)).replace("- ", "").split()) == told
