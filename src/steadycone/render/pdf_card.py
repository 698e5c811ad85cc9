"""The printed card: one side, from the same view, set by typst. Bytes out, the same every time."""

from dataclasses import asdict, replace
from typing import Any

from steadycone.data import reader
from steadycone.render import glyphs, styles
from steadycone.render.back_fit import back_page
from steadycone.render.bar import bar_svg
from steadycone.render.letters import OTHER, OWN, fonts_for, printable_tree
from steadycone.render.model import Back, Panel, View
from steadycone.render.page_fit import Page, page_of
from steadycone.render.qr import qr_svg
from steadycone.render.train import train_svg
from steadycone.render.typeset import typeset


def pdf_card(view: View) -> bytes:
    """The PDF's bytes: the card, and on a second page its back.

    Raises  SolveError: the page could not be set, or only with a warning (a font or letter that is missing).
    """
    return typeset("card.typ", _inputs(view), pdf_standards=["ua-1"])


def png_card(view: View, dots_per_inch: float = 150.0) -> bytes:
    """The front as a picture. Raises SolveError."""
    return typeset("card.typ", _inputs(replace(view, back=None)), format="png", ppi=dots_per_inch)


def _inputs(view: View) -> dict[str, Any]:
    """The view and its drawings, as the template reads them.

    Names are people's own: every letter of them is set, in another font where ours lacks it, or is seen to be missing.
    """
    page, style = page_of(view), styles.alone(view.hoses)
    told: dict[str, Any] = printable_tree(_told(view, page, style))
    return told | {"fonts": [*OWN, *OTHER], "name_fonts": fonts_for(told["head"]["name"]), "job_fonts": fonts_for(told["head"]["job"])}


def _told(view: View, page: Page, style: str) -> dict[str, Any]:
    return {
        "title": f"Set-up card: {view.name}",
        "colours": styles.light_colours(),
        "page": _page(page),
        "head": asdict(page.head) | {"name_step": page.head.name_step, "job_step": page.head.job_step},
        "made": view.made,
        "verdict": view.verdict,
        "verdict_word": view.verdict_word,
        "verdict_says": view.verdict_says,
        "place_note": view.place_note,
        "marks": {name: drawing(glyphs.mark(name), 24, style) for name in ("go", "caution", "stop")}
        | {"stop-reversed": reversed_stop(style)},
        "nuts": {side: drawing(glyphs.nut_shape(side), 20, style) for side in ("ox", "fu")},
        "bands": {side: _band(side, style) for side in ("ox", "fu")},
        "tape": tape(style),
        "qr": qr_svg(view.name, view.hash),
        "panels": [_panel(panel, style) for panel in view.panels],
        "train": train_svg(view.train, style=style, size=""),
        "train_told": f"{view.train.title}. {view.train.description}",
        "boxes": [{"heading": box.heading, "numbers": box.numbers, "note": box.note} for box in view.boxes],
        "as_set_heading": view.as_set.heading if view.as_set else "",
        "never": " · ".join(view.never) + ".",
        "signs": view.signs,
        "sign": reader.toml("card.toml")["sign"],
        "advice": view.advice,
        "chart_note": view.chart_note,
        "floor": {"heading": view.floor_heading, "plates": view.floor_plates, "lines": view.floor_lines},
        "back": _back(view, view.back) if view.back else None,
        "plate_size": 12.5 if view.paper == "A5" else 11.5,
    }


def _back(view: View, back: Back) -> dict[str, Any]:
    said = reader.toml("card.toml")["back"]
    page = back_page(view, back, said["more"])
    return {
        "size": page.size,
        "name": page.name,
        "title": said["title"],
        "change": said["change"],
        "changes": [asdict(change) for change in back.changes],
        "orders": back.orders,
        "stop_if": said["stop_if"],
        "note": back.note,
        "settle_heading": said["settle" if view.verdict == "stop" else "settle_cautions"],
        "settle": [[finding.verdict, finding.do, finding.subject, finding.says, finding.remedy] for finding in page.settle],
        "more": page.more,
        "sources_heading": said["letters"],
        "sources": page.sources,
    }


def _page(page: Page) -> dict[str, Any]:
    return {
        "width": page.width,
        "height": page.height,
        "place": page.place,
        "density": asdict(page.density),
        "short_times": page.short_times,
        "how_size": page.how_size,
        "row_sizes": page.row_sizes,
        "says_size": page.says_size,
        "digits": page.digits,
        "note_size": page.note_size,
        "box_widths": page.box_widths,
        "rows": [{"verdict": row.verdict, "do": row.do, "detail": row.detail, "letters": row.letters} for row in page.rows],
        "more": page.more,
        "go": page.go,
        "never_size": page.never_size,
        "as_set": page.as_set,
        "source_letters": page.source_letters,
        "source_note": page.source_note,
    }


def _panel(panel: Panel, style: str) -> dict[str, Any]:
    return {
        "side": panel.side,
        "heading": panel.heading,
        "how": panel.how,
        "needs": panel.needs,
        "digits": panel.digits.text,
        "style": panel.digits.style,
        "unit": panel.unit,
        "also": panel.also,
        "rows": panel.rows,
        "sets": panel.sets,
        "bar": bar_svg(panel, style=style),
    }


def drawing(body: str, size: int, style: str) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-1 -1 {size + 2} {size + 2}"><style>{style}</style>{body}</svg>'


def reversed_stop(style: str) -> str:
    """The octagon on solid ink: paper with an ink bar."""
    return drawing(glyphs.mark("stop").replace("m-stop", "gp").replace("m-bar", "m-barinv"), 24, style)


def _band(side: str, style: str) -> str:
    """The gas's band beside a panel: solid, or notched on a spine."""
    body = f'<rect class="{side}f" width="34" height="420"/>'
    if side == "fu":
        body = '<rect class="fuf" x="11" width="12" height="420"/>' + "".join(
            f'<rect class="fuf" y="{45 * i}" width="34" height="32"/>' for i in range(10)
        )
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 34 420" preserveAspectRatio="none"><style>{style}</style>{body}</svg>'


def tape(style: str) -> str:
    stripes = '<path class="onc" d="M2 36L19 0h9L11 36ZM22 36L39 0h9L31 36ZM42 36L59 0h1v16L51 36Z"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 36"><style>{style}</style>{stripes}</svg>'
