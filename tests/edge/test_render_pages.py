"""The page and the printed card: one sheet, everything inside, both verdicts, the same numbers."""

import io
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from tests.edge import render_samples as samples

from steadycone.render.html_card import html_card
from steadycone.render.page_fit import SIZES, page_of
from steadycone.render.pdf_card import pdf_card
from steadycone.render.qr import payload
from steadycone.render.text import text_card

HARD = {
    "crowded stop": lambda: samples.crowded("stop", 14),
    "crowded stop on A5": lambda: samples.crowded("stop", 9, "as-set"),
    "crowded caution": lambda: samples.crowded("caution", 12, "slip-2"),
    "long name": samples.long_names,
    "many parts": lambda: samples.many_parts(14),
    "nothing known": samples.blind,
    "estimate": samples.estimated,
    "choked": samples.choked,
}


def pdf_pages(pdf: bytes) -> list[str]:
    from pypdf import PdfReader

    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


@pytest.mark.parametrize("name", samples.NAMES)
def test_a_page_fetches_nothing_and_runs_nothing(name: str) -> None:
    html = html_card(samples.view(samples.card(name)))
    plain = html.replace("http://www.w3.org/2000/svg", "")
    assert "http:" not in plain
    assert "https:" not in plain
    assert "<script" not in html
    assert not re.search(r"\son\w+=", plain)
    assert not re.search(r"<[^>]+\sstyle=", plain)
    assert "default-src 'none'" in html
    assert not re.search(r"url\((?!data:|#)", plain.replace("url(&#35;", "url(#"))


@pytest.mark.parametrize("name", samples.NAMES)
def test_a_printed_card_is_two_sides_and_the_same_every_time(name: str) -> None:
    view = samples.view(samples.card(name))
    pdf = pdf_card(view)
    assert len(pdf_pages(pdf)) == 2
    assert pdf == pdf_card(view)


@pytest.mark.parametrize("case", HARD)
def test_a_hard_card_is_still_one_sheet(case: str) -> None:
    view = samples.view(HARD[case]())
    pages = pdf_pages(pdf_card(view))
    assert len(pages) == (2 if view.back else 1)
    assert "EMERGENCY" in pages[0]
    assert "tighten under pressure" in pages[0]
    assert html_card(view)


def test_the_sheet_is_a5_or_half_a_letter() -> None:
    from pypdf import PdfReader

    for name, paper in (("slip-2", "A5"), ("bay-4-us", "Letter")):
        box = PdfReader(io.BytesIO(pdf_card(samples.view(samples.card(name))))).pages[0].mediabox
        assert (float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72) == pytest.approx(SIZES[paper], abs=0.1)


def test_the_pdf_says_nothing_of_when_it_was_made_and_has_a_title() -> None:
    from pypdf import PdfReader

    about = PdfReader(io.BytesIO(pdf_card(samples.view(samples.card("slip-2"))))).metadata
    assert about is not None
    assert about.title == "Set-up card: Slip 2, frame bench"
    assert about.creation_date is None


@pytest.mark.parametrize("name", samples.NAMES)
def test_text_page_and_print_give_the_numbers_of_the_json(name: str) -> None:
    made = samples.card(name)
    view, told = samples.view(made), samples.told(made)
    text, html, pdf = text_card(view), html_card(view), pdf_pages(pdf_card(view))[0]
    lines = ["oxygen", "preheat_oxygen", "fuel"] if "preheat_oxygen" in told else ["oxygen", "fuel"]
    for panel, key in zip(view.panels, lines, strict=True):
        number = told[key]["set_pressure"]
        shown = float(panel.digits.text.replace(",", "."))
        size = {"bar": 1.0, "psi": 14.5038, "kPa": 100.0}[panel.unit]
        assert shown == pytest.approx(
            number["value"] * size, abs=0.6 * 10.0 ** -len(panel.digits.text.partition(",")[2] or panel.digits.text.partition(".")[2])
        )
        if view.signs:
            assert f"{panel.digits.text} {panel.unit}" in text
            assert re.search(rf">{re.escape(panel.digits.text)}</strong><small>{panel.unit}<", html)
            assert panel.digits.text in pdf
    assert view.verdict_word in text
    assert view.verdict_word in html
    assert view.verdict_word in pdf
    for finding in page_of(view).rows:
        assert finding.do.rstrip("…") in pdf.replace("\n", " ")


def test_a_stop_card_sets_nothing_and_takes_no_signature() -> None:
    view = samples.view(samples.card("bay-4-us"))
    html, pdf = html_card(view), pdf_pages(pdf_card(view))[0]
    card = html.partition("<main")[2].partition("</main>")[0]
    assert card.count("DON’T<br>SET") == 2
    assert "SET ACETYLENE" not in card
    assert "Proved and signed" not in card
    assert "No signature on a stop card." in card
    assert "No signature on a stop card." in pdf
    assert "Would need" in pdf


def test_a_card_that_may_be_lit_can_be_signed() -> None:
    pdf = pdf_pages(pdf_card(samples.view(samples.card("slip-2"))))[0]
    assert "Proved and signed" in pdf
    assert "SET OXYGEN" in pdf


def test_stops_that_do_not_fit_are_counted_on_the_page() -> None:
    view = samples.view(samples.crowded("stop", 20))
    page = page_of(view)
    hidden = len(view.findings) - len(page.rows)
    assert hidden > 0
    assert len(page.rows) >= 6
    assert page.more == f"And {hidden} more stops: see the back."
    assert page.more in pdf_pages(pdf_card(view))[0]
    assert html_card(view).count(page.more) == 1


def test_six_findings_fit_on_the_smallest_sheet() -> None:
    for verdict in ("stop", "caution"):
        page = page_of(samples.view(samples.crowded(verdict, 6, "slip-2")))
        assert len(page.rows) == 6
        assert page.more == ""


def test_the_page_escapes_what_a_file_says() -> None:
    html = html_card(samples.view(samples.changed("slip-2", ("Slip 2, frame bench", "<img src=x onerror=1> & co"))))
    assert "<img" not in html
    assert "&lt;img src=x onerror=1&gt; &amp; co" in html


def test_a_region_writes_its_own_marks_and_words() -> None:
    eu, us = (html_card(samples.view(samples.card(name))) for name in ("weld-bench-eu", "rail-depot-us"))
    assert "0,35" in eu
    assert "nozzle W3" in eu
    assert "tip L30" in us
    assert "psi" in us
    assert "fire department" in us


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler-utils is not installed")
@pytest.mark.parametrize("name", ["slip-2", "bay-4-us", "gantry-three-hose"])
def test_the_qr_code_reads_from_the_printed_page(name: str, tmp_path: Path) -> None:
    import zxingcpp
    from PIL import Image

    view = samples.view(samples.card(name))
    (tmp_path / "card.pdf").write_bytes(pdf_card(view))
    subprocess.run(["pdftoppm", "-r", "150", "-png", "-singlefile", "card.pdf", "card"], cwd=tmp_path, check=True)
    with Image.open(tmp_path / "card.png") as image:
        codes = zxingcpp.read_barcodes(image.convert("L"))
    assert [code.text for code in codes] == [payload(view.name, view.hash)]


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler-utils is not installed")
@pytest.mark.parametrize("case", ["crowded stop", "crowded stop on A5", "crowded caution", "nothing known"])
def test_nothing_is_printed_into_the_floor(case: str, tmp_path: Path) -> None:
    # The strip just above the emergency floor stays white: a page too full would run into it.
    from PIL import Image

    (tmp_path / "card.pdf").write_bytes(pdf_card(samples.view(HARD[case]())))
    subprocess.run(["pdftoppm", "-r", "72", "-gray", "-png", "-singlefile", "card.pdf", "card"], cwd=tmp_path, check=True)
    with Image.open(tmp_path / "card.png") as image:
        grey = image.convert("L")
    top = grey.height - round(28.4 / 25.4 * 72) - 2
    strip = grey.crop((0, top - 2, grey.width, top))
    assert min(strip.tobytes()) > 200


def test_colours_on_paper_meet_the_contrast_they_are_listed_with() -> None:
    # WCAG 2.2, 1.4.3: 4.5 for text, 1.4.11: 3 for shapes.
    from steadycone.render.styles import light_colours

    colours = light_colours()
    for name, least in (("ink", 7.0), ("ink-2", 4.5), ("blue", 4.5), ("green", 4.5), ("red", 3.0), ("orange", 3.0), ("control", 3.0)):
        assert _contrast(colours[name], colours["paper"]) >= least, name
    assert _contrast(colours["on-caution"], colours["caution"]) >= 7.0


def _contrast(one: str, other: str) -> float:
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
