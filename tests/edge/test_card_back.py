"""The card's back side: orders with valve positions, change points, what to settle; never an order on a stop."""

import io
import re
from dataclasses import replace

import pytest
from tests.edge import render_samples as samples
from tests.edge.test_card_paper import LONG, joined, us_cutting

from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.render.back_fit import back_page
from steadycone.render.html_card import html_card
from steadycone.render.model import View
from steadycone.render.pdf_card import pdf_card, png_card


def pages(view: View) -> list[str]:
    from pypdf import PdfReader

    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf_card(view))).pages]


def more() -> str:
    return str(reader.toml("card.toml")["back"]["more"])


@pytest.mark.parametrize("name", samples.NAMES)
def test_a_card_has_two_sides_and_the_emergency_strip_on_both(name: str) -> None:
    printed = pages(samples.view(samples.card(name)))
    assert len(printed) == 2
    assert all("EMERGENCY" in side for side in printed)


def crowded_gantry() -> Card:
    bad = [finding for finding in samples.card("slip-2").findings if finding.verdict == "caution"]
    made = samples.card("gantry-three-hose")
    return replace(made, findings=(*bad * 30, *made.findings), verdict="caution")


HARD = {
    "crowded stop": lambda: samples.crowded("stop", 40),
    "crowded caution": lambda: samples.crowded("caution", 40, "slip-2"),
    "crowded three hoses": lambda: crowded_gantry(),
    "long name": lambda: samples.changed("slip-2", ("Slip 2, frame bench", LONG)),
    "longest name": lambda: samples.changed("slip-2", ("Slip 2, frame bench", "Q" * 199)),
    "four hoses": lambda: joined(4, 4),
    "half letter": lambda: us_cutting("ca"),
    "nothing known": samples.blind,
    "closed place": lambda: samples.changed("slip-2", ("enclosed = false", "enclosed = true")),
    "odd letters": lambda: samples.changed("slip-2", ("Slip 2, frame bench", "Łódź 2, hala młotów")),
}


@pytest.mark.parametrize("case", HARD)
def test_a_hard_card_has_two_sides(case: str) -> None:
    assert len(pages(samples.view(HARD[case]()))) == 2


@pytest.mark.parametrize("name", ["slip-2", "clean-bench", "gantry-three-hose", "pontoon-lpg-au", "weld-bench-eu"])
def test_the_back_has_every_step_of_purge_light_and_shut_down(name: str) -> None:
    view = samples.view(samples.card(name))
    back, printed, html = view.back, pages(view)[1], html_card(view)
    assert back is not None
    assert [heading for heading, _ in back.orders] == ["PURGE", "LIGHT", "SHUT DOWN"]
    for _, steps in back.orders:
        for do, _ in steps:
            assert " ".join(do.split()) in printed
            assert do.partition("'")[0].partition('"')[0] in html
    told = " ".join(do for _, steps in back.orders for do, _ in steps)
    for position in ("shut", "open"):
        assert re.search(position, told, re.IGNORECASE)


def test_the_order_follows_the_policy() -> None:
    made = samples.changed("slip-2", ("[place]", "[place]"))
    view = samples.view(made)
    assert view.back is not None
    purge = next(steps for heading, steps in view.back.orders if heading == "PURGE")
    front = [do for phase, do, _ in view.steps if phase == "purge"]
    assert [do for do, _ in purge][-2:] == front[-2:]


@pytest.mark.parametrize("name", ["bay-4-us", "rail-depot-us"])
def test_a_stop_has_nothing_to_do_with_gas_and_nothing_to_sign_on_its_back(name: str) -> None:
    view = samples.view(samples.card(name))
    back = view.back
    assert view.verdict == "stop"
    assert back is not None
    assert back.orders == ()
    assert back.changes == ()
    printed = pages(view)[1]
    assert "SETTLE FIRST" in printed
    for word in ("signed", "PURGE", "LIGHT", "SHUT DOWN"):
        assert word not in printed
    assert view.findings[0].remedy[:40] in printed


def test_what_does_not_fit_on_the_back_is_counted() -> None:
    view = samples.view(samples.crowded("stop", 40))
    assert view.back is not None
    page = back_page(view, view.back, more())
    hidden = len(view.findings) - len(page.settle)
    assert hidden > 0
    assert page.more == f"And {hidden} more: see the list."
    assert page.more in pages(view)[1]
    few = samples.view(samples.card("slip-2"))
    assert few.back is not None
    assert back_page(few, few.back, more()).more == ""


@pytest.mark.parametrize("name", samples.NAMES)
def test_the_sources_stand_whole_on_the_back(name: str) -> None:
    view = samples.view(samples.card(name))
    printed = re.sub(r"\s", "", pages(view)[1])
    for source in view.sources:
        assert re.sub(r"\s", "", source.told) in printed


def test_the_change_point_is_told_with_time_and_length_of_cut() -> None:
    view = samples.view(samples.card("slip-2"))
    assert view.back is not None
    oxygen, fuel = view.back.changes
    assert re.fullmatch(
        r"Oxygen: at \d+ bar on the cylinder gauge, after about \d+ min or \d+ m of cut\.", oxygen.told.replace("\u00a0", " ")
    )
    assert "on the scales" in fuel.told
    assert oxygen.told in pages(view)[1].replace(" m of", "\u00a0m of").replace(" bar on", "\u00a0bar on")


def test_a_pipe_has_nothing_to_change() -> None:
    view = samples.view(samples.card("gantry-three-hose"))
    assert view.back is not None
    assert [change.side for change in view.back.changes] == ["ox", "fu"]
    assert view.back.changes[0].told == "Oxygen: from a bulk tank. Nothing to change here."


def test_a_draft_has_no_back() -> None:
    made: Card = replace(samples.card("slip-2"), steps=())
    view = samples.view(made)
    assert view.back is None
    assert len(pages(view)) == 1
    assert "Back of the card" not in html_card(view)


def test_the_picture_is_of_the_front() -> None:
    assert png_card(samples.view(samples.card("slip-2")), 30)[:4] == b"\x89PNG"


def test_a_closed_place_is_told_on_both_sides_with_its_steps() -> None:
    view = samples.view(
        samples.changed(
            "slip-2", ("enclosed = false", 'enclosed = true\nvolume = "4000 m3"\nfresh_air = "9000 m3/h"\nfresh_air_measured = 2026-11-25')
        )
    )
    assert view.verdict != "stop"
    assert view.place_note is not None
    for side in pages(view):
        assert view.place_note[0] in side
    assert view.back is not None
    told = " ".join(do for _, steps in view.back.orders for do, _ in steps)
    assert "outside" in told
    assert "out of the closed place" in told
    page = back_page(view, view.back, more())
    assert len(page.settle) + int((re.findall(r"\d+", page.more) or ["0"])[0]) == len(view.findings)
    assert "SETTLE BEFORE YOU LIGHT" in pages(view)[1]
