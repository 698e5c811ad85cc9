"""Who is logged in, and who tried to. A token itself is never kept: whoever reads the store can't log in with what is there."""

import hashlib
import secrets
from contextlib import suppress
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import msgspec
from sqlalchemy import ColumnElement, Connection, bindparam, delete, func, insert, select, update

from steadycone.errors import Refused, StoreError, UnknownName
from steadycone.records.names import key
from steadycone.records.tables import accounts, attempts
from steadycone.records.tables import sessions as table

if TYPE_CHECKING:
    from steadycone.records.store import Store

IDLE = timedelta(hours=2)
SEEN_EVERY = timedelta(minutes=1)
GRACE = timedelta(minutes=1)  # that requests on their way still carry the token of before
ATTEMPTS_KEPT = timedelta(days=1)


class Session(msgspec.Struct, frozen=True, kw_only=True):
    """secret : of this session, for its forms. seen_at : to the minute. token_at : when its token was made. starting : as Account has it"""

    person: str
    secret: str
    began_at: datetime
    seen_at: datetime
    token_at: datetime
    ends_at: datetime
    starting: bool = False


class Sessions:
    """Sessions and failed attempts of a store."""

    def __init__(self, store: "Store") -> None:
        self._store = store

    def begin(self, person: str, now: datetime, hours: float = 12) -> str:
        """The token of a new session.

        Raises  UnknownName: no such account. Refused: it is disabled.
        """
        token = secrets.token_urlsafe(32)
        with self._store.changing() as connection:
            disabled = connection.execute(select(accounts.c.disabled).where(accounts.c.key == key(person)).with_for_update()).scalar()
            if disabled is None:
                raise UnknownName(f'no account of "{person[:60]}"', where="person", try_="Look at the list of accounts.")
            if disabled:
                raise Refused("this account is disabled", where="person", try_="Ask whoever looks after the accounts.")
            values = {"token": _hidden(token), "before": "", "account": key(person), "secret": secrets.token_urlsafe(32)}
            times = {"began_at": now, "seen_at": now, "token_at": now, "ends_at": now + timedelta(hours=hours)}
            connection.execute(insert(table), values | times)
        return token

    def read(self, token: str, now: datetime, idle: timedelta = IDLE) -> Session | None:
        """The session of a token; None where it is unknown, over, idle for too long, or its account disabled."""
        hidden = _hidden(token)
        with self._store.reading() as connection:
            row = connection.execute(_READ, {"hidden": hidden}).mappings().first()
        if row is None:
            return None
        found = Session(**{name: row[name] for name in Session.__struct_fields__})
        if now >= found.ends_at or now - found.seen_at > idle:
            return None
        settled = row["before"] not in ("", hidden) and now - found.token_at >= GRACE
        if settled or now - found.seen_at >= SEEN_EVERY:
            with suppress(StoreError):  # a full disk must not keep people from reading; the session is only idle sooner
                self._see(hidden, now, settled)
        return found

    def _see(self, hidden: str, now: datetime, settled: bool) -> None:
        """settled : the browser has its new token, so that the one before counts no more."""
        with self._store.changing() as connection:
            connection.execute(update(table).where(_of(hidden), table.c.seen_at < now).values(seen_at=now))
            if settled:
                connection.execute(update(table).where(table.c.token == hidden).values(before=""))

    def rotate(self, token: str, now: datetime) -> str:
        """Another token for the same session. The old one counts until a request brings the new one, and a minute at least: an answer may be lost.

        Raises  UnknownName: there is no such session, or it is over.
        """
        new, hidden = secrets.token_urlsafe(32), _hidden(token)
        with self._store.changing() as connection:
            live = update(table).where(_of(hidden), table.c.ends_at > now)
            if connection.execute(live.values(token=_hidden(new), before=hidden, seen_at=now, token_at=now)).rowcount == 0:
                raise UnknownName("this session is over", where="session", try_="Log in again.")
        return new

    def end(self, token: str) -> None:
        """Nothing happens where it is over already."""
        with self._store.changing() as connection:
            connection.execute(delete(table).where(_of(_hidden(token))))

    def end_all(self, person: str, *, keep: str = "") -> None:
        """Every session of a person, but for the one whose token is `keep`."""
        with self._store.changing() as connection:
            self._end_all(connection, person, keep)

    def _end_all(self, connection: Connection, person: str, keep: str) -> None:
        connection.execute(delete(table).where(table.c.account == key(person), ~_of(_hidden(keep))))

    def sweep(self, now: datetime) -> None:
        """Forget sessions that are over and attempts older than a day."""
        with self._store.changing() as connection:
            connection.execute(delete(table).where(table.c.ends_at <= now))
            connection.execute(delete(attempts).where(attempts.c.at < now - ATTEMPTS_KEPT))

    # --- failed attempts ---

    def failed(self, key: str, now: datetime) -> None:
        """key : whatever is throttled, such as a person's name or an address; only its hash is kept."""
        with self._store.changing() as connection:
            connection.execute(insert(attempts), {"key": _hidden(key), "at": now})

    def recent(self, key: str, since: datetime) -> int:
        """How often it failed from `since` on."""
        asked = select(func.count()).select_from(attempts).where(attempts.c.key == _hidden(key), attempts.c.at >= since)
        with self._store.reading() as connection:
            return connection.execute(asked).scalar_one()

    def clear(self, key: str) -> None:
        """It worked: what failed before counts no more."""
        with self._store.changing() as connection:
            connection.execute(delete(attempts).where(attempts.c.key == _hidden(key)))


def _of(hidden: str) -> ColumnElement[bool]:
    """The session that a token is of, now or before it was changed."""
    return (table.c.token == hidden) | (table.c.before == hidden)


_COLUMNS = [table.c[name] for name in Session.__struct_fields__ if name not in ("person", "starting")]
# Asked at every request, so it is put together once.
_READ = (
    select(accounts.c.person, accounts.c.starting, *_COLUMNS, table.c.before)
    .join(accounts, accounts.c.key == table.c.account)
    .where((table.c.token == bindparam("hidden")) | (table.c.before == bindparam("hidden")), accounts.c.disabled.is_(False))
)


def _hidden(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
