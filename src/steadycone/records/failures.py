"""What a database says when it fails, as one of our own errors with something to do about it. A fault of ours stays what it is."""

import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from steadycone.errors import RecordLocked, StoreBroken, StoreDown, StoreError, StoreFull, StoreReadOnly

_KEPT = "Nothing was half written; what was acknowledged before is safe."
_FULL = ("no room left", f"Make room, then do it again. {_KEPT}")
_LOCKED = ("another program holds it", f"Close what else has it open, then do it again. {_KEPT}")
_READ_ONLY = ("it may be read and not written", f"Check the rights of file and folder, or the database user's. {_KEPT}")
_BROKEN = ("it is damaged, or no store of this program", "Keep a copy of it as it is, then restore the last backup to another place.")
_DISK = ("the disk can't be read or written", f"Check the disk. {_KEPT}")
_DOWN = (
    "the database server does not answer",
    f"Start it, or check the address. {_KEPT} If its answer alone was lost, the event is in: look at log show before it is entered again.",
)

_SQLITE: tuple[tuple[str, type[StoreError], tuple[str, str]], ...] = (
    ("SQLITE_BUSY", RecordLocked, _LOCKED),
    ("SQLITE_LOCKED", RecordLocked, _LOCKED),
    ("SQLITE_PROTOCOL", RecordLocked, _LOCKED),
    ("SQLITE_FULL", StoreFull, _FULL),
    ("SQLITE_READONLY", StoreReadOnly, _READ_ONLY),
    ("SQLITE_CANTOPEN", StoreReadOnly, ("it can't be opened", f"Check that the folder exists and may be written. {_KEPT}")),
    ("SQLITE_PERM", StoreReadOnly, _READ_ONLY),
    ("SQLITE_AUTH", StoreReadOnly, _READ_ONLY),
    ("SQLITE_CORRUPT", StoreBroken, _BROKEN),
    ("SQLITE_NOTADB", StoreBroken, _BROKEN),
    ("SQLITE_IOERR", StoreError, _DISK),
)
_POSTGRES: tuple[tuple[str, type[StoreError], tuple[str, str]], ...] = (
    ("53100", StoreFull, _FULL),
    ("53", StoreDown, ("the database server has no room for another connection", f"Try again, or allow it more. {_KEPT}")),
    ("55P03", RecordLocked, _LOCKED),
    ("40", RecordLocked, _LOCKED),
    ("57014", RecordLocked, _LOCKED),
    ("25006", StoreReadOnly, _READ_ONLY),
    ("42501", StoreReadOnly, _READ_ONLY),
    ("28", StoreDown, ("the database server refuses this user", "Check user and password in the address.")),
    ("3D", StoreDown, ("there is no such database on the server", "Create it, or check the address.")),
    ("XX001", StoreBroken, _BROKEN),
    ("XX002", StoreBroken, _BROKEN),
    ("58", StoreError, _DISK),
    ("57P", StoreDown, _DOWN),
    ("08", StoreDown, _DOWN),
)


def read_failure(error: BaseException, where: str) -> StoreError | None:
    """What a driver's error means to a person; None where it is a fault of ours."""
    if isinstance(error, sqlite3.Error):
        name = getattr(error, "sqlite_errorname", None) or ""
        return _found(name, _SQLITE, where)
    state = getattr(error, "sqlstate", None)
    if state:
        return _found(state, _POSTGRES, where)
    if type(error).__module__.startswith("psycopg") and type(error).__name__ in ("OperationalError", "ConnectionTimeout", "InterfaceError"):
        return StoreDown(_DOWN[0], where=where, try_=_DOWN[1])
    return None


def _found(code: str, table: tuple[tuple[str, type[StoreError], tuple[str, str]], ...], where: str) -> StoreError | None:
    for start, kind, (says, try_) in table:
        if code.startswith(start):
            return kind(says, where=where, try_=try_)
    return None


def _drivers() -> tuple[type[Exception], ...]:
    """What the drivers in use raise."""
    server = sys.modules.get("psycopg")
    return (sqlite3.Error, *((server.Error,) if server else ()))


@contextmanager
def told_plainly(where: str) -> Iterator[None]:
    """Turns a database's failure into one of ours."""
    try:
        yield
    except PoolTimeout as error:
        raise RecordLocked("too many readers and writers at once", where=where, try_=_LOCKED[1]) from error
    except DBAPIError as error:
        cause = error.orig if error.orig is not None else error
        if (found := read_failure(cause, where)) is None:
            raise
        raise found from error
    except _drivers() as error:  # from what goes past SQLAlchemy: copying, verifying, statements sent together
        if (found := read_failure(error, where)) is None:
            raise
        raise found from error
