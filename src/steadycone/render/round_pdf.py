"""The printed round report: A5 or half Letter, as many sides as it takes, the emergency floor on each."""

from dataclasses import asdict
from typing import Any

from steadycone.render import glyphs, pdf_card, styles
from steadycone.render.letters import fonts_for, printable_tree
from steadycone.render.page_fit import SIZES
from steadycone.render.round_view import RoundView
from steadycone.render.typeset import typeset


def pdf_round(view: RoundView) -> bytes:
    """The PDF's bytes. Raises SolveError."""
    return typeset("round.typ", _inputs(view), pdf_standards=["ua-1"])


def _inputs(view: RoundView) -> dict[str, Any]:
    style = styles.alone(view.card.hoses)
    width, height = SIZES[view.card.paper]
    plain = asdict(view)
    card = plain.pop("card")
    told: dict[str, Any] = printable_tree(
        plain | {"job": card["job"]}
    )  # names are people's own: every letter of them must be set, or be seen to be missing
    return told | {
        "fonts": fonts_for(told),
        "title": f"Round: {told['name']}",
        "width": width,
        "height": height,
        "colours": styles.light_colours(),
        "marks": {name: pdf_card.drawing(glyphs.mark(name), 24, style) for name in ("go", "caution", "stop")}
        | {"stop-reversed": pdf_card.reversed_stop(style)},
        "nuts": {side: pdf_card.drawing(glyphs.nut_shape(side), 20, style) for side in ("ox", "fu")},
        "tape": pdf_card.tape(style),
        "floor": {"heading": card["floor_heading"], "plates": card["floor_plates"], "lines": card["floor_lines"]},
        "plate_size": 12.5 if view.card.paper == "A5" else 11.5,
        "never": ", ".join(card["never"]) + ".",
        "source_lines": [(source.letter, source.told) for source in view.sources],
    }
