"""Accounts, beside the log: who may log in. What a person may do there comes from each site's authorisations.

Passwords come hashed already. Nothing here goes into the log, nor into a backup as lines.
"""

import hashlib
import hmac
import json
import secrets
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import msgspec
from sqlalchemy import Connection, RowMapping, delete, func, select, update

from steadycone.errors import InputError, Refused, UnknownName
from steadycone.records.names import checked, key
from steadycone.records.sessions import Sessions
from steadycone.records.tables import accounts as table
from steadycone.records.tables import settings
from steadycone.records.times import read, told

if TYPE_CHECKING:
    from steadycone.records.store import Store

CODE_LASTS = timedelta(hours=24)
_FIRST = "first-code"
_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # no I, L, O, U: read aloud and typed from a screen
_CODE = 16  # letters: 80 bits


class Account(msgspec.Struct, frozen=True, kw_only=True):
    """password : its hash, as whoever hashed it writes it. changed_at : when the password was set last.

    starting : somebody else knows it, who gave it: it opens nothing but its own change
    """

    person: str
    password: str
    created_at: datetime
    changed_at: datetime
    disabled: bool
    starting: bool = False


class Accounts(Sessions):
    """The accounts of a store, one a person, whatever the letter case of the name."""

    def __init__(self, store: "Store") -> None:
        super().__init__(store)

    def add(self, person: str, password_hash: str, at: datetime, *, starting: bool = False) -> Account:
        """starting : the password was given by somebody else. Raises  InputError: no name, or there is an account of this name."""
        name = checked(person, "person")
        made = Account(person=name, password=_hash(password_hash), created_at=at, changed_at=at, disabled=False, starting=starting)
        with self._store.changing() as connection:
            if not _put_new(connection, key(name), made):
                raise InputError(f'there is an account of "{name}"', where="person", try_="Set its password, or write the name in full.")
        return made

    def get(self, person: str) -> Account | None:
        """None where there is none."""
        with self._store.reading() as connection:
            found = connection.execute(select(table).where(table.c.key == key(person))).mappings().first()
        return None if found is None else _account(found)

    def all(self) -> list[Account]:
        """By name, the disabled ones too."""
        with self._store.reading() as connection:
            return [_account(found) for found in connection.execute(select(table).order_by(table.c.key)).mappings()]

    def count(self) -> int:
        """Of all accounts, the disabled ones too."""
        with self._store.reading() as connection:
            return connection.execute(select(func.count()).select_from(table)).scalar_one()

    def set_password(self, person: str, password_hash: str, at: datetime, *, keep: str = "", starting: bool = False) -> None:
        """Ends every session of this person, but for the one whose token is `keep`. starting : as add. Raises UnknownName."""
        with self._store.changing() as connection:
            _change(connection, person, password=_hash(password_hash), changed_at=at, starting=starting)
            self._end_all(connection, person, keep)

    def rehash(self, person: str, password_hash: str) -> None:
        """The same password, hashed in a better way: sessions go on. Raises UnknownName."""
        with self._store.changing() as connection:
            _change(connection, person, password=_hash(password_hash))

    def disable(self, person: str) -> None:
        """Ends every session of this person at once. Raises UnknownName."""
        with self._store.changing() as connection:
            _change(connection, person, disabled=True)
            self._end_all(connection, person, "")

    def enable(self, person: str) -> None:
        """Raises  UnknownName."""
        with self._store.changing() as connection:
            _change(connection, person, disabled=False)

    # --- the code for the first account ---

    def make_first_code(self, now: datetime) -> str:
        """A fresh code, such as "K7QM-2RZD-0XHF-9WNB", valid for a day; the one before it counts no more. Only its hash is kept.

        Raises  Refused: there is an account already.
        """
        code = "".join(secrets.choice(_LETTERS) for _ in range(_CODE))
        value = json.dumps({"hash": _code_hash(code), "ends_at": told(now + CODE_LASTS)})
        with self._store.changing() as connection:
            if _any(connection):
                raise Refused("there is an account already", where="first code", try_="Let a person who has one make the next.")
            connection.execute(delete(settings).where(settings.c.name == _FIRST))
            connection.execute(settings.insert(), {"name": _FIRST, "value": value})
        return "-".join(code[at : at + 4] for at in range(0, _CODE, 4))

    def use_first_code(self, code: str, now: datetime) -> bool:
        """Whether this is the code; true once. Spaces, dashes and letter case don't matter; comparing takes the same time however near it is."""
        given = _code_hash(code)
        with self._store.changing() as connection:
            kept = connection.execute(select(settings.c.value).where(settings.c.name == _FIRST).with_for_update()).scalar()
            found = json.loads(kept) if kept else {"hash": "", "ends_at": told(now)}
            right = hmac.compare_digest(given, found["hash"]) and now < read(found["ends_at"]) and not _any(connection)
            if right:
                connection.execute(delete(settings).where(settings.c.name == _FIRST))
        return right


def _account(row: RowMapping) -> Account:
    return Account(**{name: row[name] for name in Account.__struct_fields__})


def _hash(password_hash: str) -> str:
    """Raises  InputError: nothing that could be a hash; a password itself must never get this far."""
    if not password_hash.startswith("$"):
        raise InputError("this is no hash of a password", where="password", try_="Hash it first; only the hash is kept.")
    return password_hash


def _put_new(connection: Connection, name: str, made: Account) -> bool:
    """False where the name is taken. The server decides between two who come at once; a file has one writer."""
    from sqlalchemy.dialects import postgresql, sqlite

    insert: Any = postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert
    values = {"key": name, **msgspec.structs.asdict(made)}
    done = connection.execute(insert(table).values(values).on_conflict_do_nothing().returning(table.c.key))
    return done.first() is not None


def _change(connection: Connection, person: str, **values: Any) -> None:
    if connection.execute(update(table).where(table.c.key == key(person)).values(values)).rowcount == 0:
        raise UnknownName(f'no account of "{person[:60]}"', where="person", try_="Look at the list of accounts.")


def _any(connection: Connection) -> bool:
    return connection.execute(select(table.c.key).limit(1)).first() is not None


def _code_hash(code: str) -> str:
    plain = code.upper().translate(str.maketrans("OIL", "011", "- "))
    return hashlib.sha256(plain.encode("utf-8", "replace")).hexdigest()
