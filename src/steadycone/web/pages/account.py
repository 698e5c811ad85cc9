"""Signing in and out, the first account, the own password, and light or dark."""

from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.data.reader import toml
from steadycone.errors import InputError, Refused
from steadycone.web.desk import Desk
from steadycone.web.guard import passwords, sessions, throttle
from steadycone.web.page import get, post

if TYPE_CHECKING:
    from steadycone.records.accounts import Account


# --- in and out ---------------------------------------------------------------------


def _sign_in_form(desk: Desk) -> Response:
    if desk.yard.store.accounts.count() == 0:
        return desk.to("/first")
    return _ask(desk, desk.asked.get("to", "/"))


def _ask(desk: Desk, to: str, name: str = "", problem: str = "", status: int = 200) -> Response:
    return desk.page("sign-in.html.j2", "Sign in", status=status, to=to, name=name, problem=problem, notice=desk.yard.settings.notice)


def _sign_in(desk: Desk) -> Response:
    name, to = desk.field("name"), desk.text("to", "/")
    account = known(desk, name, desk.text("password"))
    if account is None:
        return _ask(desk, to, name, "Name and password don’t fit together.", 403)
    if desk.cookie:
        desk.yard.store.accounts.end(desk.cookie)  # a session is never carried over into another person's
    sessions.begin_cookie(desk, desk.yard.store.accounts.begin(account.person, desk.now, hours=sessions.HOURS))
    return desk.to(to)


def person_of(desk: Desk, name: str, password: str) -> "Account | None":
    """Whose name and password these are, for anything that is done in that name; None where they don't fit together.

    Raises  throttle.TooMany. Refused: the password was given by somebody else, who knows it too.
    """
    account = known(desk, name, password)
    if account is not None and account.starting:
        raise Refused(
            f"the password of {account.person} was given by somebody else",
            where="password",
            try_="Sign in with it and choose your own. Then it counts as you.",
        )
    return account


def known(desk: Desk, name: str, password: str) -> "Account | None":
    """The account of a name and a password, for signing in; None where they don't fit together. Tries are counted, and slowed down.

    Raises  throttle.TooMany.
    """
    accounts = desk.yard.store.accounts
    with throttle.tried(accounts, name, desk.address, desk.now) as attempt:
        account = accounts.get(name)
        fits = passwords.matches(password, account.password if account and not account.disabled else None)
        if account is None or not fits:
            attempt.failed = True
            return None
    if passwords.is_old(account.password):
        accounts.rehash(account.person, passwords.hashed(password))
    return account


def _sign_out(desk: Desk) -> Response:
    if desk.cookie:
        desk.yard.store.accounts.end(desk.cookie)
        sessions.end_cookie(desk)
    return desk.to("/sign-in", "signed-out")


# --- the first account ----------------------------------------------------------------


def _first_form(desk: Desk) -> Response:
    if desk.yard.store.accounts.count():
        return desk.to("/sign-in")
    regions = sorted(toml("emergency.toml")["words"])
    return desk.page("first.html.j2", "The first account", has_site=desk.yard.site is not None, regions=regions)


def _first(desk: Desk) -> Response:
    """Whoever holds the code that the server printed opens the yard."""
    from steadycone.records import New, events

    accounts = desk.yard.store.accounts
    if accounts.count():
        return desk.to("/sign-in")
    person, hashed = desk.field("name"), passwords.hashed(desk.text("password"))
    if not person:
        raise InputError("no name", where="name", try_="Write the name that will stand in the log.")
    with throttle.tried(accounts, "first", desk.address, desk.now) as attempt:
        if not accounts.use_first_code(desk.field("code"), desk.now):
            attempt.failed = True
            raise InputError(
                "this is not the code", where="code", try_="It stands where the server was started. Start it again for another."
            )
    site = desk.yard.site
    if site is None:
        site = desk.yard.store.open_site(desk.field("yard"), region=desk.field("region"), author=person, at=desk.now)
    site.append(
        *(
            New(events.Authorised(person=person, role=role, basis="first account"), person, desk.now)
            for role in toml("rights.toml")["first"]["roles"]
        )
    )
    account = accounts.add(person, hashed, desk.now)
    site.record_own(events.AccountChanged(person=account.person, what="opened"), account.person, desk.now)
    sessions.begin_cookie(desk, accounts.begin(account.person, desk.now, hours=sessions.HOURS))
    return desk.to("/", "opened")


# --- one's own ----------------------------------------------------------------------


def _own(desk: Desk) -> Response:
    return desk.page("own.html.j2", desk.person)


def _password(desk: Desk) -> Response:
    account = known(desk, desk.person, desk.text("password"))
    if account is None:
        raise InputError("this is not your password", where="password", try_="Type the one you signed in with.")
    from steadycone.records import events

    if desk.text("new") == desk.text("password"):
        raise InputError("the new password is the old one", where="new", try_="Choose another: a few words in a row are good.")
    accounts = desk.yard.store.accounts
    desk.site.check_key()  # what can't be recorded is not done
    accounts.set_password(desk.person, passwords.hashed(desk.text("new")), desk.now)  # whoever else was signed in with the old one is out
    desk.site.record_own(events.AccountChanged(person=desk.person, what="own password changed"), desk.person, desk.now)
    sessions.begin_cookie(desk, accounts.begin(desk.person, desk.now, hours=sessions.HOURS))
    return desk.to("/" if account.starting else "/own", "password")


def _theme(desk: Desk) -> Response:
    chosen = desk.field("theme")
    desk.set_cookies.append(("theme", chosen if chosen in ("light", "dark") else "", 31536000))
    return desk.to(desk.text("to", "/"))


PAGES = (
    get("/sign-in", _sign_in_form, "open"),
    post("/sign-in", _sign_in, "open"),
    post("/sign-out", _sign_out, "open"),
    get("/first", _first_form, "open"),
    post("/first", _first, "open"),
    get("/own", _own, "own"),
    post("/own/password", _password, "own"),
    post("/theme", _theme, "open"),
)
