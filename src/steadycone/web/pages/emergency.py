"""The emergency list: no signing in, no arithmetic, kept on the phone for when nothing answers."""

import logging

from starlette.responses import PlainTextResponse, Response

from steadycone.data.reader import toml
from steadycone.render import emergency
from steadycone.web.desk import Desk
from steadycone.web.page import get


def _list(desk: Desk) -> Response:
    """The page; where anything at all keeps it from being made, the same list as plain text."""
    try:
        return _page(desk)
    except Exception:
        logging.getLogger("steadycone.web").exception("the emergency page could not be made")
        asked = desk.asked.get("region", "")
        region = asked if asked in toml("emergency.toml")["words"] else "uk"
        return PlainTextResponse(emergency.text(region) + "\n" + emergency.after_text(region))


def _page(desk: Desk) -> Response:
    region = _region(desk)
    table = toml("emergency.toml")
    response = desk.page(
        "emergency.html.j2", "Emergency", region=region, ask=table["ask"], site=table["site"], branches=emergency.branches(region),
        plates=emergency.floor(region)["plates"], words=emergency.words(region),
    )  # fmt: skip
    # the same for everybody, so the phone may keep it
    response.headers["cache-control"] = "no-cache"
    return response


def _region(desk: Desk) -> str:
    """The one asked for, else the yard's; whatever is wrong with either, there is a list."""
    asked = desk.asked.get("region", "")
    if asked in toml("emergency.toml")["words"]:
        return asked
    return desk.region


PAGES = (get("/emergency", _list, "open"),)
