"""What a page is given, and what it may answer with. The clock is read here."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property
from typing import TYPE_CHECKING, Any

from starlette.datastructures import FormData, QueryParams, UploadFile
from starlette.responses import JSONResponse, RedirectResponse, Response

from steadycone.errors import InputError
from steadycone.records.times import clock_behind
from steadycone.render.words import Words
from steadycone.web.guard import tokens
from steadycone.web.guard.rights import STARTING, rights
from steadycone.web.shell import render
from steadycone.web.yard import Yard

if TYPE_CHECKING:
    from steadycone.records import Receipt
    from steadycone.records.events import Event
    from steadycone.records.rows import Station
    from steadycone.records.sessions import Session
    from steadycone.records.store import Site

LONGEST = 20_000  # characters of one field


@dataclass(frozen=True, slots=True)
class Upload:
    """A file that was sent, already known to be small enough."""

    name: str
    data: bytes


@dataclass
class Desk:
    """One request, looked at: who asks, of which site, with what, and when.

    path : parts of the address, by name. asked : what follows the question mark. form : the fields of a POST. json : its JSON
    secret : what form tokens are made of: the session's, or a cookie's of somebody not signed in
    """

    yard: Yard
    path: Mapping[str, str]
    asked: QueryParams
    now: datetime
    url: str = "/"
    method: str = "GET"
    form: FormData = field(default_factory=FormData)
    json: Any = None
    session: "Session | None" = None
    cookie: str = ""
    secret: bytes = bytes(32)
    address: str = ""
    theme: str = ""
    gzip: bool = False
    set_cookies: list[tuple[str, str, int | None]] = field(default_factory=list)  # name, value, seconds (None: until the browser closes)

    # --- who and where ---

    @property
    def site(self) -> "Site":
        """Raises  InputError: no site yet."""
        if self.yard.site is None:
            raise InputError("no yard is open yet", where="yard", try_="Open it with the first account.")
        return self.yard.site

    @property
    def person(self) -> str:
        """Who is signed in; empty for nobody."""
        return self.session.person if self.session else ""

    @cached_property
    def roles(self) -> frozenset[str]:
        """What the log gives this person today."""
        if not self.person or self.yard.site is None:
            return frozenset()
        return self.yard.roles(self.site, self.size, self.person, self.today)

    @cached_property
    def rights(self) -> frozenset[str]:
        if self.session is None:
            return frozenset({"open"})
        return STARTING if self.session.starting else rights(self.roles)

    def may(self, right: str) -> bool:
        return right in self.rights

    @property
    def today(self) -> date:
        return self.now.date()

    @property
    def region(self) -> str:
        return self.yard.region

    @cached_property
    def words(self) -> Words:
        return Words.of(self.region)

    def station(self) -> "Station":
        """The station that the address names. Raises UnknownName."""
        return self.yard.station(self.site, self.path["station"])

    @cached_property
    def size(self) -> int:
        """Events in the log as the request came in: what is kept while the log does not grow is kept by it."""
        return self.site.size

    @property
    def clock_says(self) -> str:
        """What whoever reads the records is told where the clock stands before the log's last event; empty where it does not."""
        if not self.may("read") or self.yard.site is None:
            return ""
        return clock_behind(self.yard.last_at(self.site, self.size), self.now, "the server")

    # --- what was sent ---

    def field(self, name: str, default: str | None = None) -> str:
        """One field of the form, as one line of text.

        Raises  InputError: missing without a default, or too long.
        """
        return " ".join(self.text(name, default).split())

    def text(self, name: str, default: str | None = None) -> str:
        """One field as it was typed."""
        found = self.form.get(name)
        if not isinstance(found, str):
            if default is None:
                raise InputError("it is missing", where=name, try_="Fill it in.")
            return default
        if len(found) > LONGEST:
            raise InputError(f"{len(found)} characters", where=name, try_=f"{LONGEST} at most.")
        return found

    def upload(self, name: str = "file") -> Upload:
        """Raises  InputError: no file was chosen."""
        found = self.form.get(name)
        if not isinstance(found, UploadFile) or not found.filename:
            raise InputError("no file was chosen", where=name, try_="Choose one, then send.")
        return Upload(found.filename[:200], found.file.read())

    # --- answers ---

    def page(self, template: str, title: str, *, status: int = 200, **data: Any) -> Response:
        """A page of templates/. `data` is what it shows."""
        return Response(render(self, template, title, data), status, media_type="text/html; charset=utf-8")

    def to(self, url: str, done: str = "") -> Response:
        """See another page; `done` names a line of data/web.toml that it opens with."""
        if not url.startswith("/") or url.startswith("//") or "\\" in url:  # never to another host, whatever was asked
            url = "/"
        return RedirectResponse(url + (("&" if "?" in url else "?") + f"done={done}" if done else ""), 303)

    def file(self, data: bytes, name: str, kind: str, *, show: bool = False) -> Response:
        """A file to keep, or to show. The name is ours or was checked."""
        quoted = "".join(letter if letter.isascii() and (letter.isalnum() or letter in "-_. ") else "-" for letter in name)
        way = "inline" if show else "attachment"
        return Response(data, media_type=kind, headers={"content-disposition": f'{way}; filename="{quoted}"'})

    def told(self, found: Any, status: int = 200) -> Response:
        return JSONResponse(found, status)

    def token(self) -> str:
        return tokens.make(self.secret)

    # --- the log ---

    def record(self, *bodies: "Event") -> "tuple[Receipt, ...]":
        """Put events in together, in the name of who is signed in, now.

        Raises  InputError, Refused, StoreError.
        """
        from steadycone.records import New

        return self.site.append(*(New(body, self.person, self.now, known_by="session") for body in bodies))


def roles_of(site: "Site", person: str, on: date) -> frozenset[str]:
    """Roles that the log gives a person on a day; none for somebody it does not know."""
    from steadycone.errors import UnknownName

    try:
        return frozenset(site.person(person).roles(on))
    except UnknownName:
        return frozenset()
