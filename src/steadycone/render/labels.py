"""Labels and tags for gear: *in service until* a date, or *quarantined* with its reason. Many on a sheet, or one on 62 mm tape."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from steadycone.errors import InputError, UnknownName, nearest
from steadycone.render import glyphs, styles
from steadycone.render.letters import fonts_for, printable
from steadycone.render.numbers import region_table
from steadycone.render.qr import code_svg
from steadycone.render.textwidth import fit, text_width, wrap
from steadycone.render.typeset import typeset
from steadycone.render.words import Words, capital
from steadycone.station.marks import orange_hose

State = Literal["in service", "out of date", "quarantined"]
WIDTH, HEIGHT = 62.0, 36.0  # mm of one label: the width of common label tape
PAPERS = {"A4": (210.0, 297.0, 3, 7), "Letter": (215.9, 279.4, 3, 7), "62 mm": (WIDTH, HEIGHT, 1, 1)}  # width, height [mm], across, down
MOST = 2000
_POINT = 25.4 / 72
_TEXT = 38.0  # mm, beside the code


@dataclass(frozen=True, slots=True)
class Label:
    """One label. `until`: last day in service, ISO. `reason`: why quarantined or out of date. `basis`: what the day counts from."""

    mark: str
    kind: str
    gas: str
    state: State
    until: str = ""
    reason: str = ""
    basis: str = ""
    type: str = ""


def payload(label: Label) -> str:
    """What the code holds: enough to find the item, and the state that was printed."""
    state = f"in service until {label.until}" if label.state == "in service" else label.state
    return f"steadycone gear\n{label.mark}\n{state}"


def pdf_labels(labels: Sequence[Label], region: str, paper: str = "A4") -> bytes:
    """The PDF's bytes: sheets of labels with lines to cut along, or one label a page.

    Raises  InputError: none, or very many. UnknownName: no such paper or region. SolveError.
    """
    return typeset("labels.typ", _inputs(labels, region, paper), pdf_standards=["ua-1"])


def png_labels(labels: Sequence[Label], region: str, paper: str = "A4", dots_per_inch: float = 150.0) -> bytes:
    """The first page as a picture. Raises as pdf_labels."""
    return typeset("labels.typ", _inputs(labels, region, paper), format="png", ppi=dots_per_inch)


def _inputs(labels: Sequence[Label], region: str, paper: str) -> dict[str, Any]:
    if paper not in PAPERS:
        raise UnknownName(f'no paper "{paper[:40]}"', where="paper", try_=nearest(paper, PAPERS))
    if not labels:
        raise InputError("no item to label", where="labels", try_="Name marks, or leave them out for every item.")
    if len(labels) > MOST:
        raise InputError(f"{len(labels)} labels in one file; at most {MOST}", where="labels", try_="Name the marks, a shelf at a time.")
    width, height, across, down = PAPERS[paper]
    shown = [_label(label, region) for label in labels]
    return {
        "title": "Gear labels" if len(labels) > 1 else f"Gear label: {printable(labels[0].mark)}",
        "fonts": list(fonts_for([[entry["mark"], entry["lines"], entry["reason"]] for entry in shown])),
        "colours": styles.light_colours(),
        "page": {"width": width, "height": height, "across": across, "down": down, "label_width": WIDTH, "label_height": HEIGHT},
        "stop": _drawing("stop"),
        "labels": shown,
    }


def _label(label: Label, region: str) -> dict[str, Any]:
    mark = printable(label.mark)
    lines = [capital(kind_words(label.kind, label.gas, region)), *([label.type] if label.type else [])]
    size, marks = _fitted_mark(mark)
    return {
        "state": label.state,
        "mark": marks,
        "size": size,
        "lines": [fit(printable(line), 7.5, _TEXT / _POINT) for line in lines][:2],
        "until": label.until,
        "basis": fit(printable(label.basis), 6.8, _TEXT / _POINT),
        "reason": _lines(capital(printable(label.reason)), 8.5, 55.5, 2),
        "band": _band(label.gas, region),
        "notched": label.gas not in ("", "oxygen"),
        "caution": _caution(label),
        "code": code_svg(payload(label), "QR code: mark and state"),
    }


def kind_words(kind: str, gas: str, region: str) -> str:
    """Gas and kind in the region's words: "oxygen non-return valve"."""
    words = Words.of(region)
    kind = words.table["check_valve"] if kind == "check valve" else words.table.get(kind, kind)
    return f"{'fuel' if gas == 'any fuel' else words.gas(gas)} {kind}".strip()


def _fitted_mark(mark: str) -> tuple[float, list[str]]:
    """Type size [pt] and lines of a mark: as large as it goes, never cut short."""
    for size in (15.0, 13.0, 11.0, 9.5):
        if text_width(mark, size) * _POINT <= _TEXT:
            return size, [mark]
    half = next((at for at in range(len(mark) // 2, 0, -1) if mark[at - 1] in "-/. "), len(mark) // 2)
    return 7.5, [mark[:half], mark[half:]]


def _lines(text: str, size: float, width: float, most: int) -> list[str]:
    """At most so many lines; what does not fit ends in an ellipsis, and the register has the whole."""
    lines = [fit(line, size, width / _POINT) for line in wrap(text, size, width / _POINT)]
    if len(lines) > most:
        lines = [*lines[: most - 1], fit(" ".join(lines[most - 1 :]), size, width / _POINT)]
    return lines


def _band(gas: str, region: str) -> str:
    """The colour's name of the hose that carries this gas; empty where the item belongs to none."""
    if not gas:
        return ""
    colours = region_table(region)["hoses"]
    return str(colours["oxygen"] if gas == "oxygen" else colours["fuel"] if gas == "any fuel" or orange_hose(gas) else colours["acetylene"])


def _caution(label: Label) -> str:
    if label.state != "in service":
        return "Do not use. Only authorised people release it."
    return f"Look it over before use. {'Never oil on oxygen.' if label.gas == 'oxygen' else 'The register rules.'}"


def _drawing(verdict: str) -> str:
    """A mark on solid ink: paper with an ink bar."""
    body = glyphs.mark(verdict).replace("m-stop", "gp").replace("m-bar", "m-barinv")
    style = styles.alone("oxygen-blue fuel-red")
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-1 -1 26 26"><style>{style}</style>{body}</svg>'
