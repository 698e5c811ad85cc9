"""Charts in every dress people keep them in, and every way they can be wrong."""

import io
import zipfile

import pytest
from tests.files_samples import ABOUT, CHART, CHART_COMMA, CHART_INCH, ROWS, ods, xlsx

from steadycone.errors import BadFile, BadUnit, InputError, UnknownName
from steadycone.files.chart import chart_from_bytes
from steadycone.station.chart import Chart

HEAD = "size,thickness [mm],oxygen pressure [bar],cutting oxygen [L/h]\n"


def read(text: str, name: str = "chart.csv") -> Chart:
    return chart_from_bytes(name, text.encode())


def refused(text: str | bytes, name: str = "chart.csv") -> InputError:
    with pytest.raises(InputError) as caught:
        chart_from_bytes(name, text.encode() if isinstance(text, str) else text)
    assert caught.value.where.startswith(name)
    assert caught.value.try_
    return caught.value


def test_a_plain_chart_is_read_with_its_about_lines() -> None:
    chart = read(CHART)
    assert (chart.title, chart.fuel, chart.attachment, chart.basis) == ("invented for Tern Quay", "acetylene", "cutting", "torch inlet")
    row = chart.rows[2]
    assert (row.size, row.line) == ("3", 8)
    assert row.oxygen_pressure is not None
    assert [end.text for end in row.oxygen_pressure] == ["3.0 bar", "3.5 bar"]
    assert row.speed is not None
    assert row.speed[0].si * 60 == pytest.approx(0.3)
    assert len(chart.text_hash) == 64


def test_decimal_commas_semicolons_and_blank_thousands_are_read() -> None:
    chart = read(CHART_COMMA)
    assert chart.rows[0].oxygen_pressure is not None
    assert chart.rows[0].oxygen_pressure[0].si == 2.5e5
    assert chart.rows[0].cutting_oxygen is not None
    assert chart.rows[0].cutting_oxygen[0].text == "1200 L/h"
    assert chart.rows[1].cutting_oxygen is not None
    assert chart.rows[1].cutting_oxygen[0].text == "2800.5 L/h"
    assert chart.basis_hose is not None
    assert [end.si for end in chart.basis_hose] == [5.0, 0.0063]


def test_inches_fractions_tabs_and_other_words_are_read() -> None:
    chart = read(CHART_INCH, "chart.tsv")
    assert [row.size for row in chart.rows] == ["00", "0", "1", "2"]
    assert chart.rows[3].thickness_to is not None
    assert chart.rows[3].thickness_to.si == pytest.approx(1.5 * 0.0254)
    assert chart.rows[2].cutting_oxygen is not None
    assert chart.rows[2].cutting_oxygen[0].text == "1100.5 CFH"
    assert chart.rows[0].speed is not None
    assert chart.rows[0].speed[0].text == "20 ipm"


@pytest.mark.parametrize(("make", "name"), [(xlsx, "chart.xlsx"), (ods, "chart.ods")])
def test_a_sheet_is_read_like_a_csv(make: object, name: str) -> None:
    chart = chart_from_bytes(name, (xlsx if make is xlsx else ods)(about=ABOUT))
    assert [row.size for row in chart.rows] == ["1", "2"]
    assert (chart.fuel, chart.basis) == ("acetylene", "torch inlet")
    assert chart.rows[1].thickness_to is not None
    assert chart.rows[1].thickness_to.text == "25.5 mm"
    assert chart.rows[1].oxygen_pressure is not None
    assert chart.rows[1].oxygen_pressure[0].si == 2.5e5


def test_a_sheet_that_made_a_date_of_a_fraction_is_refused() -> None:
    import datetime

    error = refused(xlsx([ROWS[0], ["1", datetime.date(2026, 4, 1), 10, 2, 0.5]]), "chart.xlsx")
    assert "date" in error.says


@pytest.mark.parametrize(
    ("cell", "low", "high"),
    [
        ("5", 5, 5), ("2.5-3.0", 2.5, 3), ("2.5 – 3", 2.5, 3), ("2.5 to 3.0", 2.5, 3), ("1 1/2", 1.5, 1.5), ("3/4", 0.75, 0.75), ("1/2-3/4", 0.5, 0.75),
        ("1-1/4", 1.25, 1.25), ("1 - 1 1/4", 1, 1.25), (".5", 0.5, 0.5), ("5 mm", 5, 5), ("3…5", 3, 5),
    ],
)  # fmt: skip
def test_figures_and_ranges_are_read(cell: str, low: float, high: float) -> None:
    row = read(HEAD + f"1,{cell},3.5,900\n").rows[0]
    assert row.thickness_from is not None
    assert row.thickness_to is not None
    assert row.thickness_from.si * 1000 == pytest.approx(low)
    assert row.thickness_to.si * 1000 == pytest.approx(high)


def test_a_band_from_nothing_has_no_lower_end() -> None:
    row = read(HEAD + "1,0-5,3.5,900\n").rows[0]
    assert row.thickness_from is None
    assert row.thickness_to is not None


@pytest.mark.parametrize(
    ("body", "row"),
    [
        ("1,5,3.5,900\n2,10,\"4,2\",900\n", "row 3"),
        ("1,5,\"3,5\",900\n2,10,4,\"1,200.5\"\n", "row 3"),
        ("1,5,\"3,5\",900\n\n2,10,4.2,900\n", "row 4"),
    ],
)  # fmt: skip
def test_two_decimal_marks_in_one_file_are_refused_with_the_row(body: str, row: str) -> None:
    error = refused(HEAD + body)
    assert "decimal" in error.says
    assert row in error.where


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ('1,5,3,"1,200"\n', "may be 1200 or 1.200"),
        ('1,"1,125",3.5,900\n', "may be 1125 or 1.125"),
        ('1,5,3.5,"1,20,0"\n', "no number"),
        ('1,5,3.5,"1.2.3"\n', "decimal"),
        ("1,5,-3.5,900\n", "not a number"),
        ("1,5,inf,900\n", "not a number"),
        ("1,5,nan,900\n", "not a number"),
        ("1,5,3.5 psi,900\n", "unit beside the heading"),
        ("1,5,about 3,900\n", "not a number"),
        ("1,10-5,3.5,900\n", "backwards"),
        ("1,5/0,3.5,900\n", "divides by zero"),
        ("1,5,9999,900\n", "1000 bar"),
        ("1,0-0,3.5,900\n", "above 0"),
        (",5,3.5,900\n", "empty"),
        ("1,5,3.5\n", "3 cells"),
        ("1,5,3,5,900\n", "5 cells"),
        ("1,5,3.5,900\n1,5,3.5,900\n", "rows 2 and 3"),
        (f"1,5,3.5,{'9' * 81}\n", "81 characters"),
        (f"1,5,3.5,{'9' * 60}\n", "size a torch could use"),
        ('1,5,"3.5,900\n', "not CSV"),
        ("", "no row below"),
    ],
)
def test_a_wrong_cell_is_told_with_its_place(body: str, says: str) -> None:
    assert says in refused(HEAD + body).says


def test_a_thousands_mark_is_read_once_the_decimal_mark_is_proven() -> None:
    row = read(HEAD + '1,5,3.5,"1,200"\n').rows[0]
    assert row.cutting_oxygen is not None
    assert row.cutting_oxygen[0].text == "1200 L/h"


@pytest.mark.parametrize(
    ("heading", "kind", "says"),
    [
        ("oxygen pressure", BadUnit, "no unit"),
        ("oxygen pressure [mm]", BadUnit, "unit of length, not of pressure"),
        ("oxygen presure [bar]", UnknownName, "not a column"),
        ("oxygen flow [L/h]", UnknownName, "cutting or preheat"),
        ("kerf from [mm]", UnknownName, "no from"),
        ("cutting oxygen [m3/h]", BadFile, "say the same"),
        ("size [mm]", BadUnit, "no unit"),
        ("thickness to [mm]", BadFile, "say the same"),
        ("propane pressure [bar]", BadFile, "is for propane"),
    ],
)
def test_a_wrong_heading_is_told(heading: str, kind: type[InputError], says: str) -> None:
    error = refused("# fuel: acetylene\n" + HEAD.strip() + f",{heading}\n1,5,3.5,900,1\n")
    assert isinstance(error, kind)
    assert says in error.says


def test_the_nearest_column_is_offered() -> None:
    assert '"oxygen pressure"' in refused(HEAD.replace("oxygen pressure", "oxygen presure") + "1,5,3.5,900\n").try_


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("basis: gauge", "one of: regulator, torch inlet"),
        ("attachment: sawing", "one of: cutting"),
        ("basis hose: 5 m", "not a hose"),
        ("basis hose: 6.3 mm x 5 m", "length comes first"),
        ("basis hose: 5 m x 6.3 bar", "not of length"),
        ("reference state: cold", "not a reference state"),
        ("bassis: torch inlet", "not an about-line"),
        ("fuel: acetylene\n# fuel: propane", "twice"),
    ],
)
def test_a_wrong_about_line_is_told(line: str, says: str) -> None:
    assert says in refused(f"# {line}\n{HEAD}1,5,3.5,900\n").says


def test_a_reference_state_changes_the_flows() -> None:
    plain = read(HEAD + "1,5,3.5,900\n").rows[0].cutting_oxygen
    stated = read("# reference state: 15 °C, 1.01325 bar\n" + HEAD + "1,5,3.5,900\n").rows[0].cutting_oxygen
    assert plain is not None
    assert stated is not None
    assert stated[0].si / plain[0].si == pytest.approx(273.15 / 288.15, rel=1e-6)


@pytest.mark.parametrize("text", ["", "\n\n", "# fuel: acetylene\n", " ,, \n"])
def test_an_empty_chart_is_refused(text: str) -> None:
    assert "empty" in refused(text).says


@pytest.mark.parametrize("name", ["chart.xlsx", "chart.ods"])
@pytest.mark.parametrize("data", [b"", b"rubbish", CHART.encode(), b"PK\x03\x04" + b"\x00" * 200])
def test_a_damaged_sheet_is_refused(name: str, data: bytes) -> None:
    assert "damaged" in refused(data, name).says


@pytest.mark.parametrize(("data", "name"), [(xlsx([]), "chart.xlsx"), (ods([], ABOUT), "chart.ods")])
def test_an_empty_sheet_is_refused(data: bytes, name: str) -> None:
    assert "empty" in refused(data, name).says


def test_a_sheet_cut_short_inside_is_refused() -> None:
    # The sheet library never comes back from an ODS whose XML ends early.
    whole = ods()
    kept = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(whole)) as old, zipfile.ZipFile(kept, "w") as new:
        for member in old.infolist():
            content = old.read(member)
            new.writestr(member.filename, content[: len(content) - 60] if member.filename == "content.xml" else content)
    assert "damaged" in refused(kept.getvalue(), "chart.ods").says


def test_a_sheet_with_one_cell_in_the_last_corner_is_refused() -> None:
    import openpyxl

    book = openpyxl.Workbook()
    book.active["A1"] = "size"
    book.active.cell(row=1048576, column=16384, value=1)
    kept = io.BytesIO()
    book.save(kept)
    assert "far outside" in refused(kept.getvalue(), "chart.xlsx").says


def test_a_sheet_that_unpacks_without_end_is_refused() -> None:
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", b" " * 40_000_000)
    assert len(kept.getvalue()) < 100_000
    assert "unpacks" in refused(kept.getvalue(), "chart.xlsx").says


def test_too_many_rows_or_columns_are_refused() -> None:
    assert "2000 rows" in refused(HEAD + "".join(f"{n},{n},3.5,900\n" for n in range(1, 2002))).says
    assert "columns" in refused(",".join(["size"] * 61) + "\n").says


def test_another_kind_of_file_is_refused_by_its_name() -> None:
    assert ".xlsx" in refused(b"%PDF-1.7", "chart.pdf").says
    assert ".csv" in refused(b"1", "chart").says


def test_a_size_that_begins_with_a_number_sign_is_a_size() -> None:
    assert read(HEAD + "#1,5,3.5,900\n").rows[0].size == "#1"


def test_about_lines_that_a_sheet_program_filled_up_are_read() -> None:
    chart = read('# fuel: propane,,,\n"# basis: torch inlet",,,\n' + HEAD + "1,5,3.5,900\n")
    assert (chart.fuel, chart.basis) == ("propane", "torch inlet")
