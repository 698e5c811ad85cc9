"""One engine a store, set up so that what is acknowledged survives a power cut."""

import os
from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import NullPool

from steadycone.errors import StoreMissing, StoreReadOnly
from steadycone.records.address import Address
from steadycone.records.own_file import PRIVATE_FOLDER, make_own

APPLICATION = 0x53434E45  # "SCNE", written into the file's header
WAIT = 15.0  # s that a lock is waited for
_WRITE = "steadycone_write"


def make_engine(address: Address, *, read_only: bool = False) -> Engine:
    """An engine that has connected to nothing yet."""
    return _file_engine(address, read_only) if address.path else _server_engine(address, read_only)


def writing(connection: Connection) -> Connection:
    """The same connection, whose next transaction takes the write lock at its start."""
    return connection.execution_options(**{_WRITE: True})


def _file_engine(address: Address, read_only: bool) -> Engine:
    assert address.path is not None
    url = f"file:{quote(str(address.path))}?mode={_mode(address.path, read_only)}&uri=true"
    engine = create_engine(
        f"sqlite+pysqlite:///{url}", connect_args={"timeout": WAIT, "check_same_thread": False}, pool_size=32, max_overflow=64
    )

    @event.listens_for(engine, "connect")
    def _connect(connection: Any, _record: Any) -> None:
        connection.isolation_level = None  # transactions are begun below, not by the driver
        for pragma in ("foreign_keys = ON", f"busy_timeout = {int(WAIT * 1000)}", "cache_size = -32000", "temp_store = MEMORY"):
            connection.execute(f"PRAGMA {pragma}")
        if not read_only:
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA synchronous = FULL")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE" if connection.get_execution_options().get(_WRITE) else "BEGIN")

    return engine


def _mode(path: Path, read_only: bool) -> str:
    """How SQLite is to open the file. A folder that can't be written is read as it lies, if no change waits beside the file."""
    if not read_only:
        return "rwc"
    alone = not os.access(path.parent, os.W_OK) and not path.with_name(path.name + "-wal").exists()
    return "ro&immutable=1" if alone else "ro"


def _server_engine(address: Address, read_only: bool) -> Engine:
    options = f"-c lock_timeout={int(WAIT * 1000)} -c synchronous_commit=on -c timezone=UTC"
    if read_only:
        options += " -c default_transaction_read_only=on"
    return create_engine(
        address.url, connect_args={"options": options, "connect_timeout": 10}, pool_size=16, max_overflow=64, pool_pre_ping=False
    )


def alone(address: Address) -> Engine:
    """An engine that keeps no connection open: for a copy that is looked at once."""
    engine = make_engine(address, read_only=True)
    return create_engine(engine.url, poolclass=NullPool)


def check_place(address: Address, *, create: bool, read_only: bool) -> bool:
    """Whether a file's store is there already.

    Raises  StoreMissing: it is not, and none is to be made. StoreReadOnly, StoreFull: it can't be written there.
    """
    path = address.path
    assert path is not None
    there = path.exists() and path.stat().st_size > 0
    if not there and not create:
        raise StoreMissing(
            "there are no records", where=address.shown, try_="Check the path, or STEADYCONE_STORE; a new one is made by gear add."
        )
    if read_only:
        return there
    if not there:
        _make_folder(path.parent, address)
    for place in (path, path.parent):
        if place.exists() and not os.access(place, os.W_OK):
            raise StoreReadOnly(
                "it may be read and not written", where=str(place), try_="Check the rights of file and folder. Nothing was half written."
            )
    if not there:
        make_own(path)
    return there


def _make_folder(folder: Path, address: Address) -> None:
    try:
        folder.mkdir(PRIVATE_FOLDER, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreReadOnly(f"the folder can't be made: {error.strerror}", where=str(folder), try_="Name another place.") from error
