"""Labels and tags: what stands on them, on which paper, and that a phone can read their code."""

import io
import re
import subprocess
from pathlib import Path

import pytest
from PIL import Image

from steadycone.errors import InputError, UnknownName
from steadycone.render.labels import Label, payload, pdf_labels, png_labels
from steadycone.render.letters import OTHER, OWN, fonts_for, printable

IN_SERVICE = Label("TQ-REG-014", "regulator", "oxygen", "in service", until="2028-02-01", basis="made 2023-02", type="single stage, 10 bar")
QUARANTINED = Label("TQ-HOS-207", "hose", "acetylene", "quarantined", reason="flashback inside the hose")
LATE = Label("TQ-FBA-031", "arrestor", "lpg", "out of date", reason="age not known")


def text(pdf: bytes, folder: Path) -> str:
    (folder / "labels.pdf").write_bytes(pdf)
    return subprocess.run(["pdftotext", "-layout", "labels.pdf", "-"], cwd=folder, capture_output=True, text=True, check=True).stdout


def pages(pdf: bytes) -> list[tuple[float, float]]:
    import pypdf

    return [
        (float(page.mediabox.width) / 72 * 25.4, float(page.mediabox.height) / 72 * 25.4) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages
    ]


def test_a_label_says_until_when_and_a_tag_why(tmp_path: Path) -> None:
    told = text(pdf_labels([IN_SERVICE, QUARANTINED, LATE], "uk"), tmp_path)
    for part in (
        "TQ-REG-014",
        "Oxygen regulator",
        "In service until",
        "2028-02-01",
        "QUARANTINED",
        "Flashback inside the hose",
        "OUT OF DATE",
        "Age not known",
    ):
        assert part in told


def test_every_label_carries_its_caution(tmp_path: Path) -> None:
    told = text(pdf_labels([IN_SERVICE, QUARANTINED], "uk"), tmp_path)
    assert "Never oil on oxygen." in told
    assert "Do not use. Only authorised people release it." in told


def test_words_follow_the_region(tmp_path: Path) -> None:
    torch = Label("TQ-TOR-003", "torch", "", "in service", until="2027-03-04")
    assert "Blowpipe" in text(pdf_labels([torch], "uk"), tmp_path)
    assert "Torch" in text(pdf_labels([torch], "us"), tmp_path)


@pytest.mark.parametrize(("paper", "size", "count"), [("A4", (210, 297), 2), ("Letter", (215.9, 279.4), 2), ("62 mm", (62, 36), 22)])
def test_labels_fill_sheets_or_a_tape(paper: str, size: tuple[float, float], count: int) -> None:
    found = pages(pdf_labels([IN_SERVICE] * 22, "uk", paper))  # 21 to a sheet
    assert len(found) == count
    assert found[0] == pytest.approx(size, abs=0.1)


@pytest.mark.parametrize("label", [IN_SERVICE, QUARANTINED, LATE], ids=lambda label: label.state)
def test_the_code_can_be_read_from_the_printed_tape(label: Label) -> None:
    import zxingcpp

    picture = Image.open(io.BytesIO(png_labels([label], "uk", "62 mm", 300)))
    read = zxingcpp.read_barcodes(picture)
    assert [code.text for code in read] == [payload(label)]


def test_every_code_of_a_full_sheet_can_be_read() -> None:
    import zxingcpp

    labels = [Label(f"TQ-HOS-{number:03d}", "hose", "oxygen", "in service", until="2029-05-01") for number in range(21)]
    read = zxingcpp.read_barcodes(Image.open(io.BytesIO(png_labels(labels, "uk", "A4", 300))))
    assert {code.text for code in read} == {payload(label) for label in labels}


def test_the_same_labels_are_the_same_bytes() -> None:
    assert pdf_labels([IN_SERVICE, QUARANTINED], "us", "Letter") == pdf_labels([IN_SERVICE, QUARANTINED], "us", "Letter")


def test_the_longest_mark_is_never_cut_short(tmp_path: Path) -> None:
    mark = "TERN-QUAY/DRY-DOCK/HOSES/ACETYLENE-00231"
    told = text(pdf_labels([Label(mark, "hose", "acetylene", "in service", until="2029-05-01")], "uk", "62 mm"), tmp_path)
    assert mark in re.sub(r"\s", "", told)


def test_a_long_reason_ends_in_dots_and_stays_on_the_tag(tmp_path: Path) -> None:
    long = Label("1", "hose", "oxygen", "quarantined", reason="soot at the torch end " * 20)
    assert "…" in text(pdf_labels([long], "uk", "62 mm"), tmp_path)


def test_the_quarantine_tag_is_solid_ink_and_the_other_is_not() -> None:
    def ink(label: Label) -> float:
        grey = Image.open(io.BytesIO(png_labels([label], "uk", "62 mm", 100))).convert("L")
        return sum(grey.histogram()[:128]) / (grey.width * grey.height)

    assert ink(QUARANTINED) > 0.6
    assert ink(IN_SERVICE) < 0.3


def test_only_the_gases_have_a_hue() -> None:
    def colours(label: Label) -> set[tuple[int, int, int]]:
        picture = Image.open(io.BytesIO(png_labels([label], "uk", "62 mm", 100))).convert("RGB")
        found = picture.getcolors(1_000_000) or []
        return {colour for count, colour in found if count > 50 and max(colour) - min(colour) > 60}  # type: ignore[arg-type, type-var, misc]

    assert colours(QUARANTINED) == set()
    assert (0x0A, 0x4C, 0x96) in colours(IN_SERVICE)  # oxygen blue of the tokens


def test_names_in_other_letters_are_printed_or_told_by_number(tmp_path: Path) -> None:
    label = Label("TQ-1", "hose", "oxygen", "quarantined", reason="Łukasz Żak: měkká hadice 中")
    told = text(pdf_labels([label], "eu"), tmp_path)
    assert "Łukasz Żak: měkká hadice [U+4E2D]" in told


def test_what_can_not_be_printed_is_told() -> None:
    with pytest.raises(UnknownName, match="A3"):
        pdf_labels([IN_SERVICE], "uk", "A3")
    with pytest.raises(InputError, match="no item"):
        pdf_labels([], "uk")
    with pytest.raises(InputError, match="2001 labels"):
        pdf_labels([IN_SERVICE] * 2001, "uk")


def test_our_font_has_the_letters_it_is_trusted_with() -> None:
    from PIL import ImageFont

    from steadycone.render import letters, styles

    font = ImageFont.truetype(str(styles.FOLDER / "fonts" / "B612-Regular.otf"), 40, layout_engine=ImageFont.Layout.BASIC)

    def drawn(letter: str) -> tuple[object, bytes]:
        mask = font.getmask(letter)
        return mask.size, bytes(mask)

    missing = drawn("\U000f1234")
    trusted = letters._OWN_LETTERS - letters._NOTHING
    assert sorted(letter for letter in trusted if drawn(letter) == missing) == []
    assert (fonts_for(["Slip 2"]), fonts_for({"a": [["Łódź"]]})) == (OWN, OTHER)
    assert printable("a\x00b\u202ec\td") == "ab[U+202E]c d"
