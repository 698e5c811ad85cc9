"""The card on a terminal: 80 columns, worst first, nothing left out."""

import re

import pytest
from tests.edge import render_samples as samples

from steadycone.render.text import short_card, text_card, wrapped


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


@pytest.mark.parametrize("name", samples.NAMES)
def test_the_screen_shows_in_short_what_matters(name: str) -> None:
    view = samples.view(samples.card(name))
    short = short_card(view)
    assert [line for line in short.splitlines() if len(line) > 80] == []
    assert view.verdict_word in short
    for panel in view.panels:
        assert f"{panel.digits.text} {panel.unit}" in short if panel.sets else "DO NOT SET" in short
    plain = " ".join(short.split())
    for finding in view.findings:
        assert finding.says in plain.replace("\u00a0", " ") or finding.says.replace("\u00a0", " ") in plain
    for heading in ("1 LEAK TEST", "2 PURGE", "GAS LASTS", "EMERGENCY"):
        assert heading in short
    assert "--all" in short
    assert "STEPS" not in short
    assert "[a" not in short


def test_a_card_with_one_thing_to_settle_fits_a_screen() -> None:
    assert len(short_card(samples.view(samples.card("slip-2"))).splitlines()) <= 40
    assert len(text_card(samples.view(samples.card("slip-2"))).splitlines()) > 100


def test_every_stop_is_on_the_short_screen_too() -> None:
    assert short_card(samples.view(samples.crowded(count=30))).count("[STOP]") == 30
