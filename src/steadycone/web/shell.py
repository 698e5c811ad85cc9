"""Templates to pages: one environment, and what every page has around it."""

import hashlib
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from steadycone.data.reader import toml
from steadycone.render import emergency, glyphs, styles
from steadycone.render.bar import bar_svg
from steadycone.render.html_card import linked_sheet
from steadycone.render.labels import kind_words
from steadycone.render.page_fit import SIZES
from steadycone.render.view import hose_colours

if TYPE_CHECKING:
    from steadycone.web.desk import Desk

FOLDER = Path(__file__).parent
SHEETS = ("tokens.css", "train.css", "chart_plot.css", "whatif.css")  # of render/; then those of static/


@cache
def environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader(FOLDER / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    made.globals.update(
        mark=lambda verdict: Markup(glyphs.mark(verdict)),  # noqa: S704 - a drawing of ours
        nut_shape=lambda side: Markup(glyphs.nut_shape(side)),  # noqa: S704 - a drawing of ours
        asset=asset,
        bar=bar_svg,
        kind_words=kind_words,
    )
    made.filters["svg"] = lambda drawing: Markup(drawing)  # noqa: S704 - drawings escape the names in them
    return made


def render(desk: "Desk", template: str, title: str, data: dict[str, Any]) -> bytes:
    """One whole page."""
    done = toml("web.toml")["done"].get(desk.asked.get("done", ""), "")
    shown = {
        "desk": desk,
        "title": title,
        "done": done,
        "floor": emergency.floor(desk.region),
        "hoses": hose_colours(desk.region, "acetylene"),
        "nav": nav(desk),
    }
    return environment().get_template(template).render(shown | data).encode("utf-8", "replace")


def part(template: str, **data: Any) -> str:
    """A piece of a page, for a page that is already open."""
    return environment().get_template(template).render(data)


def nav(desk: "Desk") -> list[dict[str, str]]:
    """The pages of the first line that this person may see."""
    if not desk.person:
        return []
    return [entry for entry in toml("web.toml")["nav"] if desk.may(entry.get("needs", "read"))]


# --- what does not change while the server runs ---------------------------------------


@cache
def sheet() -> bytes:
    """The one style sheet of all pages."""
    own = sorted((FOLDER / "static").glob("*.css"), key=lambda path: (path.name != "page.css", path.name))
    parts = [styles.sheet(name) for name in SHEETS] + [styles.plain(path.read_text(encoding="utf-8")) for path in own]
    return "\n".join(parts).encode()


@cache
def assets() -> dict[str, tuple[str, bytes]]:
    """Name to content type and bytes."""
    fonts = styles.FOLDER / "fonts"
    found = {"app.css": ("text/css; charset=utf-8", sheet())}
    for name in ("B612-Regular.woff2", "B612-Bold.woff2"):
        found[name] = ("font/woff2", (fonts / name).read_bytes())
    faces = styles.plain((FOLDER / "static" / "page.css").read_text(encoding="utf-8")).partition("*{")[0]
    for paper in SIZES:
        for name, sheets in (("card", ("card.css",)), ("report", ("card.css", "round.css"))):
            found[f"{name}-{paper.lower()}.css"] = ("text/css; charset=utf-8", (faces + linked_sheet(paper, *sheets)).encode())
    for path in sorted((FOLDER / "static").glob("*.js")):
        found[path.name] = ("text/javascript; charset=utf-8", path.read_bytes())
    for path in sorted((FOLDER / "static").glob("*.svg")):
        found[path.name] = ("image/svg+xml", path.read_bytes())
    return found


@cache
def stamp() -> str:
    """Changes when any of them does: part of their address, so that they may be kept for ever."""
    digest = hashlib.sha256()
    for name, (_, data) in sorted(assets().items()):
        digest.update(name.encode() + len(data).to_bytes(8) + data)
    return digest.hexdigest()[:12]


def asset(name: str) -> str:
    assert name in assets(), name
    return f"/static/{stamp()}/{name}"


@cache
def worker() -> bytes:
    """The service worker, told which files belong to this version. It stands at the root, so that it may answer for every page."""
    text = (FOLDER / "worker.js").read_text(encoding="utf-8")
    kept = [asset(name) for name in sorted(assets())]
    return text.replace('"@VERSION@"', f'"{stamp()}"').replace('["@KEPT@"]', str(kept).replace("'", '"')).encode()
