"""The round report as one HTML file: fonts inside, no script, nothing fetched from anywhere."""

from steadycone.render import glyphs, html_card, styles
from steadycone.render.round_view import RoundView


def html_round(view: RoundView, *, sheet: str = "") -> str:
    """The whole page as text. What people wrote is escaped; only our own drawings go in as they are. `sheet`: as for the card's page."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # here: only pages need it
    from markupsafe import Markup

    shelf = Environment(loader=FileSystemLoader(styles.FOLDER / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    return shelf.get_template("round.html.j2").render(
        view=view,
        card=view.card,
        style="" if sheet else Markup(_style(view)),  # noqa: S704 - our own sheets
        sheet=sheet,
        mark=lambda verdict: Markup(glyphs.mark(verdict)),  # noqa: S704 - a drawing
        nut_shape=lambda side: Markup(glyphs.nut_shape(side)),  # noqa: S704 - a drawing
    )


def _style(view: RoundView) -> str:
    """The card's sheet, with what a report of many lines adds."""
    return "\n".join([html_card.fonts(), html_card.linked_sheet(view.card.paper, "card.css", "round.css")])
