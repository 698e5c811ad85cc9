"""A tip chart on a plot: every row there, every doubt marked, nothing written over anything else, whatever the chart."""

import re
import xml.etree.ElementTree as ElementTree
from itertools import combinations
from pathlib import Path

import pytest

from steadycone.files.chart import chart_from_bytes
from steadycone.practice.chart_check import check_chart
from steadycone.practice.finding import Finding
from steadycone.render.chart_plot import chart_plot_svg
from steadycone.render.styles import sheet
from steadycone.render.textwidth import text_width
from steadycone.station.chart import Chart

CHARTS = sorted((Path(__file__).parents[2] / "examples" / "charts").glob("*.csv"))
SVG = "{http://www.w3.org/2000/svg}"
BANDS = "size,thickness from [mm],thickness to [mm],oxygen pressure [bar],fuel pressure [bar]\n"


def read(text: str) -> Chart:
    return chart_from_bytes("quay.csv", text.encode())


def example(path: Path) -> Chart:
    return chart_from_bytes(path.name, path.read_bytes())


def doubts(chart: Chart) -> tuple[Finding, ...]:
    return check_chart(chart, None, 1.5e5 if chart.fuel == "acetylene" else None)


def plot(chart: Chart, region: str = "uk", narrow: bool = False) -> ElementTree.Element:
    return ElementTree.fromstring(chart_plot_svg(chart, region, prefix="p", findings=doubts(chart), narrow=narrow))


def with_class(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [element for element in root.iter() if name in element.get("class", "").split()]


@pytest.mark.parametrize("path", CHARTS, ids=lambda path: path.stem)
@pytest.mark.parametrize("narrow", [False, True])
def test_a_plot_is_sound_svg_without_inline_style_and_its_ids_are_its_own(path: Path, narrow: bool) -> None:
    svg = chart_plot_svg(example(path), "uk", prefix="tern", findings=doubts(example(path)), narrow=narrow)
    root = ElementTree.fromstring(svg)
    assert not any("style" in element.attrib or element.tag == f"{SVG}style" for element in root.iter())
    assert {element.get("id", "tern-").partition("-")[0] for element in root.iter()} == {"tern"}
    assert root.get("viewBox", "").split()[2] == ("358" if narrow else "720")


@pytest.mark.parametrize("path", CHARTS, ids=lambda path: path.stem)
@pytest.mark.parametrize("region", ["uk", "us", "eu"])
@pytest.mark.parametrize("narrow", [False, True])
def test_no_words_touch_and_none_leave_the_page(path: Path, region: str, narrow: bool) -> None:
    root, wide = plot(example(path), region, narrow), 358 if narrow else 720
    boxes = []
    for element in root.iter(f"{SVG}text"):
        classes, told = element.get("class", "").split(), element.text or ""
        size = 16 if "cp-title" in classes else 14
        width, x, y = text_width(told, size), float(element.get("x", "")), float(element.get("y", ""))
        left = x - width if "cp-end" in classes else x - width / 2 if "cp-mid" in classes else x
        assert left >= -0.5, told
        assert left + width <= wide + 0.5, told
        boxes.append((told, left, left + width, y - 0.75 * size, y))
    for one, other in combinations(boxes, 2):
        apart = one[2] <= other[1] or other[2] <= one[1] or one[4] <= other[3] or other[4] <= one[3]
        assert apart, (one, other)


@pytest.mark.parametrize("path", CHARTS, ids=lambda path: path.stem)
def test_who_does_not_see_it_hears_every_row(path: Path) -> None:
    chart = example(path)
    told = plot(chart).findtext(f"{SVG}desc") or ""
    for row in chart.rows:
        assert f"Nozzle {row.size}" in told


def test_rows_are_told_in_the_units_and_words_of_the_region() -> None:
    chart = read("# fuel: acetylene\n# attachment: cutting\n" + BANDS + "3,20,35,3.0,0.5\n")
    assert "Nozzle 3, 20\xa0mm to 35\xa0mm: oxygen 3.00\xa0bar, acetylene 0.50\xa0bar." in (plot(chart).findtext(f"{SVG}desc") or "")
    # 3.0 bar / 0.0689476 bar a psi = 43.5; 0.5 bar = 7.25, told to one decimal as the tables have it
    assert "oxygen 43.5\xa0psi, acetylene 7.3\xa0psi" in (plot(chart, "us").findtext(f"{SVG}desc") or "")
    assert "oxygen 3,00\xa0bar" in (plot(chart, "eu").findtext(f"{SVG}desc") or "")


def test_a_row_in_doubt_is_hatched_where_it_is_doubted_and_told_with_the_reason() -> None:
    # acetylene at 1.8 bar is over the cap of 1.5 bar; nothing else is wrong
    chart = read("# fuel: acetylene\n# attachment: cutting\n" + BANDS + "2,12,20,2.6,0.5\n3,20,35,3.0,1.8\n")
    root = plot(chart)
    assert len(with_class(root, "cp-hatch")) == 1
    assert len(with_class(root, "m-cau")) == 2  # at the row, and in the key
    assert len(with_class(root, "fu")) == 1  # the row that is believed keeps its notched band
    assert "In doubt: chart row 5 (size 3)." in (root.findtext(f"{SVG}desc") or "")


def test_bands_that_overlap_hatch_both_rows_in_every_lane() -> None:
    chart = read("# fuel: propane\n# attachment: cutting\n" + BANDS + "2,12,25,2.6,0.5\n3,20,35,3.0,0.5\n4,35,60,3.5,0.5\n")
    assert len(with_class(plot(chart), "cp-hatch")) == 4


def test_a_chart_nobody_doubts_has_no_caution_and_says_so() -> None:
    root = plot(example(next(path for path in CHARTS if path.stem == "demo-acetylene-cutting")))
    assert with_class(root, "m-cau") == []
    assert "Nothing in it is in doubt." in (root.findtext(f"{SVG}desc") or "")


def test_fuel_is_notched_and_oxygen_is_plain() -> None:
    root = plot(read("# fuel: propane\n" + BANDS + "2,12,20,2.6,0.5\n"))
    assert [element.get("class") for element in with_class(root, "cp-line")] == ["cp-line ox", "cp-line fu"]
    assert len(with_class(root, "cp-spine")) == 1
    assert re.search(r"\.cp-line\.fu\{[^}]*stroke-dasharray", sheet("chart_plot.css"))
    assert not re.search(r"\.cp-line\.ox\{[^}]*stroke-dasharray", sheet("chart_plot.css"))


@pytest.mark.parametrize(("fuel", "caps"), [("acetylene", 1), ("propane", 0)])
def test_the_cap_stands_beside_acetylene_and_nowhere_else(fuel: str, caps: int) -> None:
    root = plot(read(f"# fuel: {fuel}\n" + BANDS + "2,12,20,2.6,0.5\n"))
    assert len(with_class(root, "cp-wall")) == caps
    assert [element.text for element in root.iter(f"{SVG}text") if "cap" in (element.text or "")] == ["cap 1.5\xa0bar"] * caps


def test_a_stricter_cap_of_the_site_takes_the_place_of_the_regions() -> None:
    chart = read("# fuel: acetylene\n" + BANDS + "2,12,20,2.6,0.5\n")
    assert "cap 0.9\xa0bar" in chart_plot_svg(chart, "uk", prefix="p", findings=(), cap=0.9e5)


def test_rows_without_a_thickness_stand_in_their_order_by_size() -> None:
    root = plot(read("# fuel: lpg\n# attachment: heating\nsize,oxygen pressure [bar],fuel pressure [bar]\nH9,2,0.4\nH1,3,0.5\n"))
    ticks = [(float(element.get("x", "")), element.text) for element in with_class(root, "cp-mid")]
    assert [text for _, text in sorted(ticks)] == ["H9", "H1"]
    assert "This chart gives none." in [element.text for element in root.iter(f"{SVG}text")]


def test_a_mass_of_a_gas_that_is_not_known_is_not_placed_and_the_plot_says_so() -> None:
    root = plot(read("# fuel: lpg\n# attachment: heating\nsize,fuel flow [kg/h]\nH1,1.2\n"))
    assert with_class(root, "cp-line") == []
    assert any("Given by mass" in (element.text or "") for element in root.iter(f"{SVG}text"))
    assert "1.2 kg/h" in (root.findtext(f"{SVG}desc") or "")


def test_a_crowded_chart_drops_sizes_before_it_covers_them_and_never_drops_a_doubt() -> None:
    rows = "".join(f"N{i},{3 + i},{4.5 + i},{2 + i / 40},0.4\n" for i in range(40))  # each band reaches half into the next
    root = plot(read("# fuel: propane\n# attachment: cutting\n" + BANDS + rows), narrow=True)
    assert any("no room here" in (element.text or "") for element in root.iter(f"{SVG}text"))
    assert len(with_class(root, "cp-hatch")) == 80
    assert len(with_class(root, "m-cau")) == 81


def test_a_name_that_looks_like_markup_stays_a_name() -> None:
    svg = chart_plot_svg(read('# title: <b onload="x">\n' + BANDS + "<i>,12,20,2.6,0.5\n"), "uk", prefix="p", findings=())
    assert "<b" not in svg
    assert "<i>" not in svg
