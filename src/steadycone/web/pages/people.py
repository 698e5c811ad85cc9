"""Who may do what, and until when; and who may sign in. Authorisations are events of the log, accounts stand beside it."""

import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.errors import InputError, Refused, UnknownName
from steadycone.records import events
from steadycone.records.names import checked, key
from steadycone.records.policy import roles
from steadycone.web.desk import Desk
from steadycone.web.guard import passwords
from steadycone.web.guard.rights import rights, roles_with
from steadycone.web.page import get, post
from steadycone.web.pages.filled import Filled, back, recorded, status_in_form

if TYPE_CHECKING:
    from steadycone.records.accounts import Account
    from steadycone.records.rows import Grant, Person

HERE = "/people"
_LETTERS = "0123456789abcdefghjkmnpqrstvwxyz"  # no i, l, o, u: read aloud and typed from a screen
_GROUPS, _GROUP = 4, 4  # letters: 80 bits
# Rights of data/rights.toml in few words.
_MAY = {
    "round": "goes round, reports, quarantines",
    "sign": "signs off",
    "station": "files stations and charts",
    "gear": "adds, dates, fits and tests gear",
    "release": "releases, closes defects, clears gates, by role",
    "people": "looks after people and accounts",
}


@dataclass(frozen=True, slots=True)
class Line:
    """One role of a person. `verdict`: what it is worth today."""

    grant: "Grant"
    verdict: str
    word: str

    @property
    def until(self) -> str:
        return self.grant.ended or self.grant.until


@dataclass(frozen=True, slots=True)
class Somebody:
    """A person of the log, of the accounts, or of both."""

    name: str
    lines: tuple[Line, ...]
    old: tuple[Line, ...]
    account: "Account | None"


def _people(desk: Desk) -> Response:
    return _page(desk, Filled())


def _page(desk: Desk, filled: Filled) -> Response:
    known, accounts = desk.site.people(), {key(account.person): account for account in desk.yard.store.accounts.all()}
    everybody = {person.key: _somebody(person, accounts.get(person.key), desk.today) for person in known}
    for name, account in accounts.items():
        everybody.setdefault(name, Somebody(account.person, (), (), account))
    return desk.page(
        "people.html.j2",
        "People",
        people=[everybody[name] for name in sorted(everybody)],
        roles=[(role, "; ".join(says for right, says in _MAY.items() if right in rights([role])) or "reads") for role in roles()],
        names=[each.name for each in everybody.values()],
        without=[each.name for each in everybody.values() if each.account is None],
        filled=filled,
    )


def _somebody(person: "Person", account: "Account | None", on: date) -> Somebody:
    lines = [_line(grant, on) for grant in person.grants]
    return Somebody(
        person.name, tuple(line for line in lines if line.word != "over"), tuple(line for line in lines if line.word == "over"), account
    )


def _line(grant: "Grant", on: date) -> Line:
    day = on.isoformat()
    if (grant.ended and grant.ended <= day) or (grant.until and grant.until < day):
        return Line(grant, "stop", "over")
    return Line(grant, "caution", "not yet") if grant.since > day else Line(grant, "go", "holds")


# --- authorisations --------------------------------------------------------------------


def _authorise(desk: Desk) -> Response:
    def do() -> str:
        body = events.Authorised(
            person=desk.field("person"), role=desk.field("role"), until=desk.field("until", ""), basis=desk.field("basis", "")
        )
        desk.record(body)
        return HERE

    return recorded(desk, "authorise", do, lambda filled: _page(desk, filled))


def _end(desk: Desk) -> Response:
    person, role = desk.field("person"), desk.field("role")

    def do() -> str:
        with desk.yard.lock:  # two who end each other's at the same moment: the second sees what the first did
            check_somebody_left(desk, without=(person, role))
            desk.record(events.AuthorisationEnded(person=person, role=role, why=desk.field("why", "")))
        return HERE

    return recorded(desk, desk.field("form", "end"), do, lambda filled: _page(desk, filled))


def check_somebody_left(desk: Desk, *, without: tuple[str, str] = ("", ""), closed: str = "") -> None:
    """Somebody with an account can still look after people once this is done.

    Parameters
    ----------
    without : a person and the role that ends. closed : a person whose account closes

    Raises  Refused.
    """
    if without[1] and without[1] not in roles_with("people"):
        return
    open_accounts = {key(account.person) for account in desk.yard.store.accounts.all() if not account.disabled} - {key(closed)}
    for person in desk.site.people():
        held: Iterable[str] = person.roles(desk.today)
        if person.key == key(without[0]):
            held = set(held) - {without[1]}
        if person.key in open_accounts and "people" in rights(held):
            return
    raise Refused(
        "then nobody could look after people and accounts any more",
        where="people",
        try_="Make somebody else manager first, with an account.",
    )


# --- accounts --------------------------------------------------------------------------


def _open(desk: Desk) -> Response:
    try:
        name = checked(desk.field("person"), "person")
        known = next((person.name for person in desk.site.people() if person.key == key(name)), name)
        password = starting_password()
        desk.site.check_key()  # what can't be recorded is not done
        desk.yard.store.accounts.add(known, passwords.hashed(password), desk.now, starting=True)
        _recorded(desk, known, "opened")
    except InputError as error:
        found = _page(desk, back(desk, "open", error))
        found.status_code = status_in_form(error)
        return found
    return _once(desk, known, password, new=True)


def _reset(desk: Desk) -> Response:
    name = _other(desk, "password")
    password = starting_password()
    desk.site.check_key()
    desk.yard.store.accounts.set_password(name, passwords.hashed(password), desk.now, starting=True)
    _recorded(desk, name, "starting password given")
    return _once(desk, name, password, new=False)


def _once(desk: Desk, name: str, password: str, *, new: bool) -> Response:
    """The only page that ever shows it: its hash alone is kept."""
    return desk.page("people-password.html.j2", "Starting password", name=name, password=password, new=new)


def _disable(desk: Desk) -> Response:
    name = _other(desk, "account")
    with desk.yard.lock:
        check_somebody_left(desk, closed=name)
        desk.site.check_key()
        desk.yard.store.accounts.disable(name)
        _recorded(desk, name, "closed")
    return desk.to(HERE, "account-closed")


def _enable(desk: Desk) -> Response:
    name = desk.field("person")
    desk.site.check_key()
    desk.yard.store.accounts.enable(name)
    _recorded(desk, name, "opened again")
    return desk.to(HERE, "account-open")


def _recorded(desk: Desk, person: str, what: events.AccountChange) -> None:
    """The log says who did it: never a password, nor its hash."""
    account = desk.yard.store.accounts.get(person)
    desk.site.record_own(events.AccountChanged(person=account.person if account else person, what=what), desk.person, desk.now)


def _other(desk: Desk, what: str) -> str:
    """The account of somebody else.

    Raises  Refused: it is one's own. UnknownName.
    """
    name = desk.field("person")
    if key(name) == key(desk.person):
        own = "Change it under your own name." if what == "password" else "Let another manager close it."
        raise Refused(f"this is your own {what}", where="people", try_=own)
    if desk.yard.store.accounts.get(name) is None:
        raise UnknownName(f'no account of "{name[:60]}"', where="person", try_="Open one first.")
    return name


def starting_password() -> str:
    """Such as "k7qm-2rzd-0xhf-9wnb": easy to read aloud, and nobody's own."""
    return "-".join("".join(secrets.choice(_LETTERS) for _ in range(_GROUP)) for _ in range(_GROUPS))


PAGES = (
    get(HERE, _people),
    post("/people/authorise", _authorise, "people"),
    post("/people/end", _end, "people"),
    post("/people/open", _open, "people"),
    post("/people/password", _reset, "people"),
    post("/people/disable", _disable, "people"),
    post("/people/enable", _enable, "people"),
)
