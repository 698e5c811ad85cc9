"""The cookies: a session's, and of somebody not signed in one that form tokens are made of."""

import secrets
from datetime import timedelta
from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import Response

from steadycone.web.guard import tokens

if TYPE_CHECKING:
    from steadycone.web.desk import Desk

HOURS = 12  # a shift; then the password is asked for again
IDLE = timedelta(hours=4)
ROTATE = timedelta(hours=1)  # what a stolen token is worth
SIGNED_IN, FORM = "steadycone", "steadycone-form"


def name(desk: "Desk", plain: str) -> str:
    """Over TLS the name itself makes browsers insist: this host alone, encrypted alone."""
    return f"__Host-{plain}" if desk.yard.settings.secure else plain


def read(desk: "Desk", request: Request) -> None:
    """Put the session at the desk, if there is one. A long-lived one gets a new token with the next page."""
    accounts = desk.yard.store.accounts
    cookie = request.cookies.get(name(desk, SIGNED_IN), "")
    found = accounts.read(cookie, desk.now, idle=IDLE) if cookie else None
    if found is not None:
        desk.session, desk.cookie, desk.secret = found, cookie, tokens.of_text(found.secret)
        if desk.method == "GET" and desk.now - found.token_at > ROTATE and request.headers.get("sec-fetch-dest") == "document":
            begin_cookie(desk, accounts.rotate(cookie, desk.now))
        return
    form = request.cookies.get(name(desk, FORM), "")
    if not form:
        form = secrets.token_urlsafe(24)
        if desk.method == "GET":
            desk.set_cookies.append((FORM, form, None))
    desk.secret = tokens.of_text(form)


def begin_cookie(desk: "Desk", token: str) -> None:
    desk.set_cookies.append((SIGNED_IN, token, HOURS * 3600))


def end_cookie(desk: "Desk") -> None:
    desk.set_cookies.append((SIGNED_IN, "", 0))


def put_cookies(response: Response, desk: "Desk") -> None:
    """What was decided on the way goes out with the answer."""
    secure = desk.yard.settings.secure
    for plain, value, seconds in desk.set_cookies:
        response.set_cookie(name(desk, plain), value, max_age=seconds, path="/", httponly=True, samesite="lax", secure=secure)
