"""One request answered: who it is, whether they may, what was sent, and what goes wrong told plainly."""

import logging
import secrets
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import quote, urlsplit

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import PlainTextResponse, Response

from steadycone.errors import InputError, Refused, SteadyconeError, StoreError, UnknownName
from steadycone.web.desk import Desk
from steadycone.web.guard import sessions, tokens
from steadycone.web.guard.body import FIELDS, TooLarge, limited
from steadycone.web.guard.rights import roles_with
from steadycone.web.page import Page
from steadycone.web.yard import Yard

log = logging.getLogger("steadycone.web")


@dataclass(frozen=True, slots=True)
class Brought:
    """What came with a POST; `problem` is why it can't be read."""

    form: FormData = field(default_factory=FormData)
    json: Any = None
    problem: InputError | None = None


async def bring_in(request: Request, page: Page) -> Brought | None:
    """The body of a POST, read within its limit; None of a GET."""
    if page.method != "POST":
        return None
    try:
        small = limited(request, page.most)
        if page.takes == "json":
            return Brought(json=await small.json())
        return Brought(form=await small.form(max_files=1, max_fields=FIELDS, max_part_size=page.most))
    except TooLarge as error:
        return Brought(problem=error)
    except (ValueError, RecursionError, HTTPException, ClientDisconnect) as error:
        said = error.detail if isinstance(error, HTTPException) else "it can't be read"
        return Brought(problem=InputError(f"what was sent is damaged: {said}", where="form", try_="Load the page again, then send."))


def answer(yard: Yard, page: Page, request: Request, brought: Brought | None) -> Response:
    """The response, whatever happens. Runs in a thread of its own, so pages may wait for the disk."""
    desk = Desk(
        yard=yard,
        path=dict(request.path_params),
        asked=request.query_params,
        now=yard.clock(),
        url=request.url.path + (f"?{request.url.query}" if request.url.query else ""),
        method=page.method,
        address=_address(request, trusted=yard.settings.proxied),
        theme=request.cookies.get("theme", ""),
        gzip="gzip" in request.headers.get("accept-encoding", ""),
    )
    try:
        try:
            _enter(desk, page, request)
            response = _closed(desk, page) or _checked(desk, page, request, brought) or page.answer(desk)
        except SteadyconeError as error:
            response = _told(desk, page, error)
    except Exception:
        number = secrets.token_hex(4)
        log.exception("fault %s at %s %s", number, page.method, page.path)
        response = PlainTextResponse(
            f"A fault of the program, number {number}. Nothing was half written. It is in the server's log.\n", 500
        )
    sessions.put_cookies(response, desk)
    return response


def _address(request: Request, *, trusted: bool) -> str:
    """Where a request comes from, for the throttle alone."""
    if trusted and (told := request.headers.get("x-forwarded-for", "")):
        return told.rpartition(",")[2].strip()[:60]
    return request.client.host if request.client else ""


def _enter(desk: Desk, page: Page, request: Request) -> None:
    """The session of the cookie, if it has one. The emergency list and what never changes ask for none."""
    if page.needs == "open" and page.path.startswith(("/emergency", "/static", "/worker")):
        return
    sessions.read(desk, request)


def _closed(desk: Desk, page: Page) -> Response | None:
    """Why this person is not let through; None where they are."""
    if page.needs == "open" or desk.may(page.needs):
        return None
    if desk.session is not None and desk.session.starting:
        return _starting(desk, page)
    if desk.person:
        return desk.page("refused.html.j2", "Not yours to do", status=403, roles=roles_with(page.needs))
    if page.takes == "json" or request_is_for_data(desk):
        return desk.told({"error": {"code": "signed-out", "says": "nobody is signed in", "try": "Sign in again."}}, 401)
    if desk.yard.store.accounts.count() == 0:
        return desk.to("/first")
    return desk.to("/sign-in?to=" + quote(desk.url, safe="") if page.method == "GET" else "/sign-in")


def _starting(desk: Desk, page: Page) -> Response:
    """Whoever gave the password knows it too: it is changed before anything else."""
    if page.takes == "json" or request_is_for_data(desk):
        error = {"code": "starting-password", "says": "your password was given to you", "try": "Choose your own first, under your name."}
        return desk.told({"error": error}, 403)
    return desk.to("/own")


def request_is_for_data(desk: Desk) -> bool:
    return desk.url.partition("?")[0].endswith(".json")


def _checked(desk: Desk, page: Page, request: Request, brought: Brought | None) -> Response | None:
    """A POST must come from a page of ours. None where it does."""
    if brought is None:
        return None
    if brought.problem is not None:
        raise brought.problem
    desk.form, desk.json = brought.form, brought.json
    given = request.headers.get("x-form-token") if page.takes == "json" else desk.form.get("token")
    if _is_foreign(desk, request) or not isinstance(given, str) or not tokens.fits(given, desk.secret):
        if page.takes == "json":
            return desk.told({"error": {"code": "form-token", "says": "this page is out of date", "try": "Load it again."}}, 403)
        return desk.page("stale.html.j2", "Send it again", status=403)
    return None


def _is_foreign(desk: Desk, request: Request) -> bool:
    """Sent by a page of another host. Browsers say so; a program that says nothing still needs the token."""
    if request.headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return True
    origin = request.headers.get("origin")
    if origin is None:
        return False
    own = {request.headers.get("host", ""), urlsplit(desk.yard.settings.origin).netloc}
    return urlsplit(origin).netloc not in own - {""}


_STATUS = ((TooLarge, 413), (Refused, 409), (UnknownName, 404), (InputError, 400), (StoreError, 503))


def status_of(error: SteadyconeError) -> int:
    return next((status for kind, status in _STATUS if isinstance(error, kind)), 500)


def _told(desk: Desk, page: Page, error: SteadyconeError) -> Response:
    """What went wrong, where, and what to do: as the command line tells it."""
    status = status_of(error)
    if status == 500:
        raise error
    if page.takes == "json" or request_is_for_data(desk):
        return desk.told({"error": {"code": error.code, "where": error.where, "says": error.says, "try": error.try_}}, status)
    title = {404: "Not found", 409: "Refused", 503: "The records can't be reached"}.get(status, "That can't be used")
    return desk.page("trouble.html.j2", title, status=status, error=error)
