"""What never changes while the server runs: sheet, fonts, script. Its address has a stamp, so it may be kept for ever."""

from starlette.responses import PlainTextResponse, Response

from steadycone.web.desk import Desk
from steadycone.web.page import get
from steadycone.web.shell import assets, stamp, worker

_FOR_EVER = {"cache-control": "public, max-age=31536000, immutable"}


def _asset(desk: Desk) -> Response:
    found = assets().get(desk.path["name"])
    if found is None or desk.path["stamp"] != stamp():
        return PlainTextResponse("Not there. Load the page again.\n", 404)
    return Response(found[1], media_type=found[0], headers=_FOR_EVER)


def _icon(desk: Desk) -> Response:
    kind, data = assets()["icon.svg"]
    return Response(data, media_type=kind, headers={"cache-control": "public, max-age=86400"})


def _worker(desk: Desk) -> Response:
    return Response(worker(), media_type="text/javascript; charset=utf-8", headers={"cache-control": "no-cache"})


def _manifest(desk: Desk) -> Response:
    """So that the yard can be put on a phone's first screen."""
    told = {
        "name": "steadycone", "short_name": "steadycone", "start_url": "/", "display": "standalone", "background_color": "#F1F2EE",
        "theme_color": "#14181B", "icons": [{"src": "/favicon.ico", "sizes": "any", "type": "image/svg+xml"}],
    }  # fmt: skip
    return desk.told(told)


PAGES = (
    get("/static/{stamp}/{name}", _asset, "open"),
    get("/favicon.ico", _icon, "open"),
    get("/worker.js", _worker, "open"),
    get("/manifest.json", _manifest, "open"),
)
