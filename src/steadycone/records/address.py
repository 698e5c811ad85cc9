"""Where the records are: a file, or a PostgreSQL server. One setting says which."""

import hashlib
import os
from dataclasses import dataclass
from pathlib import Path

from steadycone.errors import InputError

STORE, KEY = "STEADYCONE_STORE", "STEADYCONE_KEY"
_SERVER = ("postgresql://", "postgres://", "postgresql+psycopg://")


@dataclass(frozen=True, slots=True)
class Address:
    """path : of the file, None for a server. url : for SQLAlchemy, with its password. shown : without. key : where the signing key is."""

    path: Path | None
    url: str
    shown: str
    key: Path

    @property
    def is_file(self) -> bool:
        return self.path is not None

    def witness(self, log: str) -> Path:
        """Where this machine remembers the last head it saw of a log."""
        return self.key.with_name(f"{self.key.stem}.{log[:16]}.head")


def data_folder() -> Path:
    """The usual place for a person's own data."""
    base = os.environ.get("XDG_DATA_HOME") or ""
    return (Path(base) if base else Path.home() / ".local" / "share") / "steadycone"


def read_address(given: str | Path | None = None) -> Address:
    """A path or a server's address; left out: STEADYCONE_STORE, else records.db in the usual place.

    Raises  InputError: an address of another kind of server, or one that can't be read.
    """
    text = str(given if given is not None else os.environ.get(STORE) or data_folder() / "records.db").strip()
    if not text:
        raise InputError("no place for the records", where=STORE, try_="Give a path, or postgresql://user@host/database.")
    key = os.environ.get(KEY)
    if text.startswith(_SERVER):
        return _server(text, Path(key) if key else None)
    if "://" in text:
        kind = text.partition("://")[0]
        raise InputError(f'"{kind}" is no kind of store', where=STORE, try_="Give a path, or postgresql://user@host/database.")
    path = Path(text).expanduser().absolute()
    return Address(path, "", str(path), Path(key) if key else path.with_name(path.name + ".key"))


def _server(text: str, key: Path | None) -> Address:
    from sqlalchemy.engine import make_url
    from sqlalchemy.exc import ArgumentError

    try:
        url = make_url(text).set(drivername="postgresql+psycopg")
    except (ArgumentError, ValueError):
        raise InputError("this address can't be read", where=STORE, try_="Write postgresql://user@host/database.") from None
    shown = url.set(drivername="postgresql").render_as_string(hide_password=True)
    name = hashlib.sha256(url.set(password=None, username=None).render_as_string().encode()).hexdigest()[:12]
    return Address(None, url.render_as_string(hide_password=False), shown, key or data_folder() / f"server-{name}.key")
