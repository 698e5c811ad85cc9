"""A what-if as one HTML file: picture that moves once, numbers, reason, what not to trust, every frame; no script, nothing fetched."""

from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.render import emergency, styles
from steadycone.render.html_card import fonts
from steadycone.render.view import hose_colours
from steadycone.render.whatif import Told
from steadycone.render.whatif_series import lists
from steadycone.render.whatif_svg import moving_svg, strip_svg
from steadycone.whatif.frame import Outcome

_STANDING = {"fitted": "Fitted:", "missing": "Missing:", "always": "Do:"}


def whatif_page(outcome: Outcome, card: Card) -> str:
    """The whole page as text. Markup in names and texts is escaped; only our own SVG goes in as it is."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # here: only pages need it
    from markupsafe import Markup

    told, about = Told(outcome, card.figures), card.figures.setup.station.station
    known = reader.sources()
    style = "\n".join([fonts(), *(styles.sheet(name) for name in ("tokens.css", "train.css", "whatif.css", "whatif_page.css"))])
    moving = moving_svg(outcome, card) if len(outcome.frames) > 1 else ""
    shelf = Environment(loader=FileSystemLoader(styles.FOLDER / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    return shelf.get_template("whatif.html.j2").render(
        told=told,
        hoses=hose_colours(about.region, about.fuel),
        region=about.region,
        fuel=about.fuel,
        style=Markup(style),  # noqa: S704 - our own sheets
        moving=Markup(moving),  # noqa: S704 - names inside are escaped by the drawing
        strip=Markup(strip_svg(outcome, card, alone=False)),  # noqa: S704 - as above
        lists=lists(told),
        preventions=[(_STANDING[p.standing], told.prevention(p)) for p in outcome.prevented_by],
        advice=told.fill(reader.toml("whatif.toml")["advice"]),
        sources=[(known[key]["title"], known[key]["kind"]) for key in outcome.sources],
        floor=emergency.floor(about.region),
    )
