"""The audit pack: what an auditor asks of a yard's records for a period, on numbered pages, with the log's head on each."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from steadycone.data import reader
from steadycone.render import glyphs, styles
from steadycone.render.letters import fonts_for, printable
from steadycone.render.qr import code_svg
from steadycone.render.typeset import typeset

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm


@dataclass(frozen=True, slots=True)
class Row:
    """Cells of one row; a line break in a cell begins a second, smaller line. `verdict`: the mark before it, or empty."""

    cells: tuple[str, ...]
    verdict: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """One table. `columns`: heading and share of the width. `none`: what is said when it has no row."""

    title: str
    columns: tuple[tuple[str, float], ...]
    rows: Sequence[Row]
    none: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Round:
    """One round: its heading, what was said of it, and every reading as (what, value)."""

    heading: str
    about: str
    readings: Sequence[tuple[str, str]]
    verdict: str = ""


@dataclass(frozen=True, slots=True)
class Pack:
    """Everything on the pages, in words already. `counts`: verdict, number, what. `head`: the log's head in short."""

    site: str
    period: str
    made: str
    head: str
    log: tuple[str, ...]
    counts: Sequence[tuple[str, str, str]]
    before: Sequence[Section]
    rounds: Sequence[Round]
    rounds_none: str
    after: Sequence[Section]
    cannot: Sequence[str]
    code: str
    paper: str = "A4"
    rounds_note: str = ""


def pdf_audit(pack: Pack) -> bytes:
    """The PDF's bytes. Raises SolveError."""
    return typeset("audit.typ", _inputs(pack), pdf_standards=["ua-1"])


def _inputs(pack: Pack) -> dict[str, Any]:
    width, height = PAPERS[pack.paper]
    texts = {
        "site": printable(pack.site),
        "period": pack.period,
        "made": printable(pack.made),
        "head": pack.head,
        "log": [printable(line) for line in pack.log],
        "counts": [list(count) for count in pack.counts],
        "before": [_section(section) for section in pack.before],
        "rounds": [_round(each) for each in pack.rounds],
        "rounds_none": pack.rounds_none,
        "rounds_note": pack.rounds_note,
        "after": [_section(section) for section in pack.after],
        "cannot": list(pack.cannot),
        "advice": reader.toml("cautions.toml")["advice"].replace("this card", "this pack"),
        "never": " · ".join(reader.toml("cautions.toml")["never_short"]) + ".",
    }
    style = styles.alone("oxygen-blue fuel-red")
    return texts | {
        "title": f"Audit pack: {texts['site']}, {pack.period}",
        "fonts": list(fonts_for(texts)),
        "colours": styles.light_colours(),
        "page": {"width": width, "height": height},
        "marks": {verdict: _drawing(verdict, style) for verdict in ("go", "caution", "stop")},
        "qr": code_svg(pack.code, "QR code: the log's head"),
    }


def _section(section: Section) -> dict[str, Any]:
    return {
        "title": section.title,
        "note": section.note,
        "none": section.none,
        "columns": [[heading, share] for heading, share in section.columns],
        "rows": [[row.verdict, [[printable(line) for line in cell.split("\n")] for cell in row.cells]] for row in section.rows],
    }


def _round(each: Round) -> dict[str, Any]:
    return {
        "heading": printable(each.heading),
        "about": printable(each.about),
        "verdict": each.verdict,
        "readings": [[printable(what), printable(value)] for what, value in each.readings],
    }


def _drawing(verdict: str, style: str) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-1 -1 26 26"><style>{style}</style>{glyphs.mark(verdict)}</svg>'
