"""A sheet of a class or of planted faults: a head, rows and a foot, from which text and PDF are made."""

from dataclasses import asdict, dataclass, field
from typing import Any

from steadycone.data import reader
from steadycone.render import emergency, styles
from steadycone.render.letters import fonts_for, printable_tree
from steadycone.render.numbers import region_table
from steadycone.render.text import WIDTH, wrapped
from steadycone.render.typeset import typeset

_SIZES = {"A5": (210.0, 297.0), "Letter": (215.9, 279.4)}  # a class's sheet is twice a card's paper, mm


@dataclass(frozen=True, slots=True)
class Row:
    """One thing of a sheet. mark : a word in capitals beside its head. boxes : to tick by hand. write : lines to write on."""

    number: str
    head: str
    mark: str = ""
    lines: tuple[tuple[str, str], ...] = ()
    boxes: tuple[str, ...] = ()
    write: int = 0


@dataclass(frozen=True, slots=True)
class Sheet:
    """fields : what is filled in by hand at the top. result : one line in large letters. sources : keys."""

    region: str
    title: str
    kind: str
    station: str
    intro: str
    rows: tuple[Row, ...]
    fields: tuple[str, ...] = ()
    result: str = ""
    foot: tuple[str, ...] = ()
    sources: tuple[str, ...] = field(default=())


def sheet_text(sheet: Sheet) -> str:
    """The sheet for a terminal."""
    blocks = [[sheet.title.upper(), sheet.kind, *wrapped(sheet.intro)]]
    if sheet.fields:
        blocks.append(["   ".join(f"{each}: ____________" for each in sheet.fields)])
    if sheet.result:
        blocks.append(wrapped(sheet.result))
    blocks += [_row(row) for row in sheet.rows]
    blocks.append([line for told in sheet.foot for line in wrapped(told)])
    blocks.append(["=" * WIDTH, *wrapped(f"EMERGENCY: steadycone emergency --region {sheet.region}")])
    return "\n\n".join("\n".join(line.replace("\u00a0", " ") for line in block) for block in blocks if block) + "\n"


def _row(row: Row) -> list[str]:
    lead = f"{row.number:>2}. " if row.number else "    "
    lines = wrapped(f"{row.head}   {row.mark}".rstrip(), lead)
    lines += [line for label, told in row.lines for line in wrapped(f"{label}: {told}" if label else told, "    ")]
    if row.boxes:
        lines.append("    " + "   ".join(f"[ ] {box}" for box in row.boxes) + ("   " + "_" * 40 if row.write else ""))
    return lines


def sheet_pdf(sheet: Sheet) -> bytes:
    """The sheet on paper, the emergency floor on each page. Raises SolveError."""
    known = reader.sources()
    shown: dict[str, Any] = printable_tree(asdict(sheet)) | {
        "sources": [f"{key}: {known[key]['title']} ({known[key]['kind']})" for key in sheet.sources],
    }
    width, height = _SIZES[region_table(sheet.region)["paper"]["size"]]
    more = {"width": width, "height": height, "colours": styles.light_colours(), "floor": emergency.floor(sheet.region)}
    return typeset("teaching.typ", shown | {"fonts": fonts_for(shown)} | more, pdf_standards=["ua-1"])
