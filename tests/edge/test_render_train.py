"""The gas train: whole, legible, and sound SVG, however many parts a line has."""

import itertools
import re
import xml.etree.ElementTree as ElementTree

import pytest
from tests.edge import render_samples as samples

from steadycone.render.model import TrainLine
from steadycone.render.styles import FOLDER, alone
from steadycone.render.textwidth import fit, text_width, wrap
from steadycone.render.train import train_svg
from steadycone.render.train_layout import LEFT, RIGHT, lay_out

SVG = "{http://www.w3.org/2000/svg}"


def drawn(made: object) -> ElementTree.Element:
    return ElementTree.fromstring(train_svg(samples.view(made).train))  # type: ignore[arg-type]


@pytest.mark.parametrize("name", samples.NAMES)
def test_a_train_is_sound_svg_without_inline_style(name: str) -> None:
    svg = train_svg(samples.view(samples.card(name)).train)
    root = ElementTree.fromstring(svg)
    assert not any("style" in element.attrib for element in root.iter())
    assert root.find(f"{SVG}title") is not None
    assert root.find(f"{SVG}desc") is not None
    assert "http" not in svg.replace("http://www.w3.org/2000/svg", "")


def test_a_train_tells_its_pressures_to_those_who_do_not_see_it() -> None:
    view = samples.view(samples.card("slip-2"))
    told = view.train.description
    for line in view.train.lines:
        assert line.setting.text in told
        for part in line.parts:
            assert part.outlet.text in told


@pytest.mark.parametrize("count", range(0, 22, 3))
def test_no_words_collide_however_many_parts(count: int) -> None:
    for line in samples.view(samples.many_parts(count)).train.lines:
        _check_apart(line)


@pytest.mark.parametrize("name", samples.NAMES)
def test_no_words_collide_on_the_examples(name: str) -> None:
    for line in samples.view(samples.card(name)).train.lines:
        _check_apart(line)


def _check_apart(line: TrainLine) -> None:
    layout = lay_out(line)
    half = text_width(line.setting.text, layout.size) / 2
    above = [(layout.pressures[0] - half, layout.pressures[0] + half)]
    below = []
    for i, part in enumerate(line.parts):
        for text, size, x in (
            (layout.notes[i], 13, layout.centres[i]),
            (part.outlet.text if layout.shown[i] else "", layout.size, layout.pressures[i + 1]),
        ):
            if text:
                above.append((x - text_width(text, size) / 2, x + text_width(text, size) / 2))
        label = " ".join(word for word in layout.labels[i] if word)
        if label:
            below.append((layout.centres[i] - text_width(label, 13) / 2, layout.centres[i] + text_width(label, 13) / 2))
    for row in (above, below):
        assert all(one[1] < other[0] for one, other in itertools.pairwise(row)), row
    assert all(LEFT <= start < end <= RIGHT + 1e-6 for start, end in layout.spans)


def test_a_choked_line_says_so_and_gives_no_pressure_beyond() -> None:
    view = samples.view(samples.choked())
    fuel = view.train.lines[-1]
    assert [part.outlet.text for part in fuel.parts] == ["0.51", "—", "—"]
    assert "CHOKED" in train_svg(view.train)


def test_an_unknown_pressure_is_a_question_mark_and_an_estimate_is_dashed() -> None:
    unknown, guess = samples.view(samples.blind()).train, samples.view(samples.estimated()).train
    assert {part.outlet.text for line in unknown.lines for part in line.parts} == {"?"}
    assert all(part.outlet.text.startswith("≈") for line in guess.lines for part in line.parts)
    assert "dashbox" in train_svg(guess)


def test_a_loss_beyond_the_limit_is_hatched_and_one_within_is_not() -> None:
    assert "clipPath" in train_svg(samples.view(samples.card("bay-4-us")).train)
    assert "clipPath" not in train_svg(samples.view(samples.card("slip-2")).train)


def test_each_gas_has_its_own_band_and_the_region_its_colours() -> None:
    root = drawn(samples.card("slip-2"))
    classes = [element.get("class", "") for element in root.iter()]
    assert "line ox" in classes
    assert "line fu" in classes
    assert "spine" in classes
    assert alone("oxygen-blue fuel-red") != alone("oxygen-green fuel-red")
    assert "var(" not in alone("oxygen-blue fuel-orange")


def test_three_hoses_are_three_lines() -> None:
    assert len(samples.view(samples.card("gantry-three-hose")).train.lines) == 3


def test_a_name_with_markup_stays_text() -> None:
    view = samples.view(samples.changed("slip-2", ("Slip 2, frame bench", "Slip <b>2</b> & co")))
    root = ElementTree.fromstring(train_svg(view.train))
    assert "<b>2</b> & co" in (root.findtext(f"{SVG}title") or "")


def test_the_width_table_is_that_of_the_committed_font() -> None:
    from PIL import ImageFont

    letters = [chr(code) for code in range(32, 127)] + list("°³·×≈−—–’é²µ…ü¼½¾£")
    for weight in ("Regular", "Bold"):
        font = ImageFont.truetype(str(FOLDER / "fonts" / f"B612-{weight}.otf"), 1000)
        assert {
            letter: (font.getlength(letter), text_width(letter, 1000))
            for letter in letters
            if abs(font.getlength(letter) - text_width(letter, 1000)) > 2
        } == {}


def test_texts_are_cut_and_broken_to_measure() -> None:
    assert fit("arrestor", 10, 1000) == "arrestor"
    assert fit("a very long name of a bench", 10, 60).endswith("…")
    assert all(text_width(line, 10) <= 80 for line in wrap("words that go on and on until they must break", 10, 80))


def test_ids_do_not_clash_when_two_trains_share_a_page() -> None:
    train = samples.view(samples.card("bay-4-us")).train
    ids = re.findall(r' id="([^"]+)"', train_svg(train, prefix="a") + train_svg(train, prefix="b"))
    assert len(ids) == len(set(ids))
