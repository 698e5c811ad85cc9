"""The printed front: no word over another, no name cut, every hose with its bore, whatever the region's words and letters."""

import io
import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from tests.edge import render_samples as samples

from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.render.html_card import html_card
from steadycone.render.model import View
from steadycone.render.page_fit import SIDE, SIZES, head_of, page_of
from steadycone.render.panel_fit import POINT
from steadycone.render.pdf_card import pdf_card
from steadycone.render.textwidth import text_width, wrap
from steadycone.render.train import train_svg

LONG = "Shed 12, long line to the double bottom tank of hull 214, frames 30 to 42, port side, behind the bulkhead"
_HOSE = (
    '[[{line}.part]]\nkind = "hose"\ngrade = "{grade}"\nbore = "{bore}"\nlength = "{length}"\nmax_pressure = "20 bar"\nmade = "2025-06"\n\n'
)
CUTTING_US = (
    ('attachment = "heating"', 'attachment = "cutting"'),
    ('demo-acetylene-heating-us.csv"\nsize = "40"', 'demo-acetylene-cutting-us.csv"\nsize = "3"'),
    (
        'kind = "heat"\nmaterial = "low-carbon steel"\ntime = "20 min"',
        'kind = "cut"\nmaterial = "low-carbon steel"\nthickness = "1 1/2 in"',
    ),
    ('"3/16 in"', '"1/4 in"'),
)


def us_cutting(region: str = "us", *more: tuple[str, str]) -> Card:
    """A cutting station on half a letter, whose panel is 11 pt narrower than on A5."""
    return samples.changed("bay-4-us", *CUTTING_US, ('region = "us"', f'region = "{region}"'), *more)


def joined(hoses: int, others: int) -> Card:
    """The clean bench with so many joined hoses of different bores on each line, and so many more parts on oxygen."""
    bores = ("8 mm", "10 mm", "12.5 mm", "5 mm")
    made = {
        line: "".join(_HOSE.format(line=line, grade=grade, bore=bores[i % 4], length=f"{20 + 5 * i} m") for i in range(hoses - 1))
        for line, grade in (("oxygen", "oxygen"), ("fuel", "acetylene"))
    }
    parts = "".join(samples._PART.format(kind=kind) for kind in ("valve", "coupling", "check valve", "arrestor")[:others])
    return samples.changed(
        "clean-bench", ("[fuel.supply]", made["oxygen"] + parts + "[fuel.supply]"), ("[torch]", made["fuel"] + "[torch]")
    )


def pages(view: View) -> list[str]:
    from pypdf import PdfReader

    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf_card(view))).pages]


@pytest.mark.parametrize("region", ["us", "ca"])
def test_how_the_torch_stands_fits_its_line_on_half_a_letter(region: str) -> None:
    # It wrapped there, and the big figure was printed over its last word.
    view = samples.view(us_cutting(region))
    width = SIZES["Letter"][0] - 2 * SIDE
    room = ((width - 3) / 2 - 5.4 - 2 * 1.6) / POINT
    page = page_of(view)
    for panel in view.panels:
        assert text_width(panel.how, page.how_size) <= room
        assert text_width(panel.needs, page.how_size) <= room
        for label, value, _ in panel.rows:
            assert text_width(label, page.row_sizes[0]) + text_width(value, page.row_sizes[1]) < room
    assert "Cutting lever down, heating valve open" in pages(view)[0]
    assert page.how_size >= 6.8


def test_a_wide_sheet_keeps_the_larger_size() -> None:
    assert page_of(samples.view(samples.card("slip-2"))).how_size == 8.5


def test_a_row_of_a_stop_in_kilopascals_does_not_run_together() -> None:
    made = samples.card("pontoon-lpg-au")
    stopped = replace(made, verdict="stop")
    view = samples.view(stopped)
    page = page_of(view)
    room = ((SIZES["A5"][0] - 2 * SIDE - 3) / 2 - 5.4 - 2 * 1.6) / POINT
    for panel in view.panels:
        for label, value, _ in panel.rows:
            assert text_width(label, page.row_sizes[0]) + text_width(value, page.row_sizes[1]) + 3 <= room


@pytest.mark.parametrize("name", ["Slip 2", LONG, "Q" * 199, ("Slip 2 " * 28).strip()])
@pytest.mark.parametrize("region", ["uk", "us"])
def test_the_name_of_a_station_is_never_cut(name: str, region: str) -> None:
    made = us_cutting("us", ("Bay 4, bending slab", name)) if region == "us" else samples.changed("slip-2", ("Slip 2, frame bench", name))
    view = samples.view(made)
    head = head_of(view, SIZES[view.paper][0] - 2 * SIDE)
    assert "".join(head.name).replace(" ", "") == name.replace(" ", "")
    assert "…" not in "".join(head.name + head.job)
    room = (SIZES[view.paper][0] - 2 * SIDE - 20) / POINT
    assert all(text_width(line, head.name_size) <= room for line in head.name)
    printed = pages(view)
    assert name.replace(" ", "")[:60] in re.sub(r"\s", "", printed[0])
    assert "EMERGENCY" in printed[0]


@pytest.mark.parametrize("name", ["Łódź 2", "Šéf Žilina", "Πειραιάς 3", "Док 3", "Gdańsk, hala 4"])
def test_a_name_in_letters_our_font_lacks_is_printed(name: str) -> None:
    view = samples.view(samples.changed("slip-2", ("Slip 2, frame bench", name)))
    assert name in pages(view)[0]
    assert name in html_card(view)


def test_a_letter_no_font_has_is_printed_as_its_number() -> None:
    assert "Dock [U+4E2D] 3" in pages(samples.view(samples.changed("slip-2", ("Slip 2, frame bench", "Dock 中 3"))))[0]


@pytest.mark.parametrize("hoses", [1, 2, 3, 4])
@pytest.mark.parametrize("others", [0, 2, 4])
def test_every_hose_keeps_its_length_and_its_bore(hoses: int, others: int) -> None:
    view = samples.view(joined(hoses, others))
    root = ElementTree.fromstring(train_svg(view.train))
    shown = [element.text or "" for element in root.iter() if element.tag.endswith("text")]
    for line in view.train.lines:
        for part in line.parts:
            length, _, bore = part.note.partition(" × ")
            assert not part.note or part.note in shown or (length in shown and bore in shown), part.note


def test_the_second_hose_of_a_us_line_keeps_its_bore() -> None:
    second = '[[fuel.part]]\nkind = "hose"\ngrade = "R"\nbore = "3/8 in"\nlength = "25 ft"\nmax_pressure = "200 psi"\nmade = "2024-03"\n\n'
    view = samples.view(us_cutting("us", ("[torch]", second + "[torch]")))
    svg = train_svg(view.train)
    assert "3/8\u00a0in" in svg
    assert "25\u00a0ft" in svg


@pytest.mark.parametrize("name", samples.NAMES)
def test_a_source_stands_whole_on_the_front_or_not_at_all(name: str) -> None:
    view = samples.view(samples.card(name))
    page = page_of(view)
    if page.source_letters:
        assert page.source_letters == tuple((line.letter, line.told) for line in view.sources)
        assert page.source_note == ""
    elif view.sources:
        assert page.source_note.startswith("Sources by letter: on the back")
        for line in view.sources:
            assert not line.kind or line.kind in page.source_note
    assert not any("…" in told for _, told in page.source_letters)


def test_two_numbers_for_one_knob_have_each_its_name() -> None:
    view = samples.view(samples.card("slip-2"))
    fuel = view.panels[1]
    assert fuel.digits.text == "0.55"
    assert fuel.needs == "Needs 0.51. On your gauge:"
    assert view.train.lines[1].setting.text == "0.51"
    assert ">needs</text>" in train_svg(view.train)
    assert fuel.needs in pages(view)[0]
    assert fuel.needs in html_card(view)


def test_one_number_is_not_said_twice() -> None:
    made = samples.card("slip-2")
    line = made.figures.lines["fuel"]
    same = replace(line, flowing=line.set_pressure)
    lines = made.figures.lines | {"fuel": same}
    assert samples.view(replace(made, figures=replace(made.figures, lines=lines))).panels[1].needs == ""


def test_what_a_stop_would_need_is_one_number() -> None:
    view = samples.view(samples.card("bay-4-us"))
    for panel, details in zip(view.panels, view.details, strict=True):
        assert panel.needs == ""
        rows = dict(details.rows)
        assert rows["Would need, don't set"].startswith(panel.rows[0][1].partition("\u00a0")[0])
        assert "Set on the gauge" not in rows


def test_a_line_is_broken_only_at_its_spaces_unless_a_word_is_longer() -> None:
    assert wrap("one two three", 10, text_width("one two", 10)) == ["one two", "three"]
    assert "".join(wrap("abcdefghij", 10, text_width("abcd", 10))) == "abcdefghij"


def test_every_short_order_of_the_findings_fits_the_narrowest_sheet() -> None:
    # The bold part of a finding's line. Blanks are filled with long ones; the closest setting of the page is 8.8 pt.
    room = (SIZES["Letter"][0] - 2 * SIDE - 7.6) / POINT
    long = re.compile(r"\{\w+\}")
    for code, entry in reader.toml("findings.toml").items():
        texts = [entry.get("do", "")] + [part.get("do", "") for part in entry.values() if isinstance(part, dict)]
        for told in texts:
            assert text_width(long.sub("2026-11-25 x", told), 8.8) <= room, (code, told)


def test_a_card_on_a_server_leads_back_to_its_station_and_prints_no_link() -> None:
    view = samples.view(samples.card("slip-2"))
    served = html_card(view, home="/stations/slip-2")
    assert '<a href="/stations/slip-2">' in served
    assert ".list,.out{display:none}" in served
    assert "<a href" not in html_card(view)
