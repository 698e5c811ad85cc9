"""The card as one HTML file: fonts inside, no script, nothing fetched from anywhere."""

import base64
from functools import cache

from steadycone.data import reader
from steadycone.render import glyphs, styles
from steadycone.render.back_fit import back_page
from steadycone.render.bar import bar_svg
from steadycone.render.model import View
from steadycone.render.page_fit import SIZES, page_of
from steadycone.render.qr import code_svg, qr_svg
from steadycone.render.train import train_svg


def html_card(view: View, *, sheet: str = "", address: str = "", home: str = "") -> str:
    """The whole page as text. Markup in names and texts is escaped; only our own SVG goes in as it is.

    sheet : address of the style sheet (see `linked_sheet`), for a page whose server allows no style inside; empty: all of it inside
    home : where a link out of the page goes, on the screen only; empty: none
    address : what the QR code opens; empty: it names the station and the card's hash
    """
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # here: only pages need it
    from markupsafe import Markup

    said = reader.toml("card.toml")["back"]
    shelf = Environment(loader=FileSystemLoader(styles.FOLDER / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    return shelf.get_template("card.html.j2").render(
        view=view,
        page=page_of(view),
        back=back_page(view, view.back, said["more"]) if view.back else None,
        said=said,
        style="" if sheet else Markup(_style(view)),  # noqa: S704 - our own sheets
        sheet=sheet,
        home=home,
        train=Markup(train_svg(view.train)),  # noqa: S704 - names inside are escaped by train_svg
        qr=Markup(code_svg(address, f"QR code: {address}") if address else qr_svg(view.name, view.hash)),  # noqa: S704 - a drawing
        mark=lambda verdict: Markup(glyphs.mark(verdict)),  # noqa: S704 - a drawing
        nut_shape=lambda side: Markup(glyphs.nut_shape(side)),  # noqa: S704 - a drawing
        bar=lambda panel: Markup(bar_svg(panel)),  # noqa: S704 - a drawing
        sign=reader.toml("card.toml")["sign"],
    )


def _style(view: View) -> str:
    return "\n".join([fonts(), *_sheets(view.paper, "card.css")])


def linked_sheet(paper: str, *names: str) -> str:
    """The same sheet without the fonts, for a page that links it."""
    return "\n".join(_sheets(paper, *names))


def _sheets(paper: str, *names: str) -> list[str]:
    width, height = SIZES[paper]
    page = f"@page{{size:{width:g}mm {height:g}mm;margin:0}}"
    return [styles.sheet("tokens.css"), page, styles.sheet("train.css"), *(styles.sheet(name) for name in names)]


@cache
def fonts() -> str:
    """The two fonts as data addresses."""
    faces = []
    for name, weight in (("Regular", 400), ("Bold", 700)):
        data = base64.b64encode(styles.font_bytes(name)).decode()
        faces.append(
            f'@font-face{{font-family:"B612";font-weight:{weight};font-style:normal;src:url(data:font/otf;base64,{data}) format("opentype")}}'
        )
    return "\n".join(faces)
