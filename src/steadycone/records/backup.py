"""A copy while in use, and the way back: into an empty place, checked after.

A file's store is copied as a file; to a name that ends in .jsonl, and from a server, the log is written as JSON lines, which either engine
takes back. The key that signs is in neither: keep it apart.

    {"format": "steadycone-log/1", "site", "log", "size", "head": {...}}      one a site
    {"document": hash, "content": base64 of zlib}                             before the first event that names it
    {"leaf": canonical JSON, "signature": hex or null}                        one an event
"""

import base64
import json
import os
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, select

from steadycone.errors import BadFile, InputError, StoreError, StoreFull, StoreReadOnly
from steadycone.records import access, loading, tables
from steadycone.records.address import read_address
from steadycone.records.envelope import read_header
from steadycone.records.failures import told_plainly
from steadycone.records.heads import SignedHead
from steadycone.records.store import Store, open_store
from steadycone.records.times import told
from steadycone.records.verify import Verified, verify

FORMAT = "steadycone-log/1"
_MAGIC = b"SQLite format 3\x00"


@dataclass(frozen=True, slots=True)
class Backup:
    """Where it is, how large, and what checking it gave, site by site."""

    path: Path
    size: int
    sites: tuple[Verified, ...]

    @property
    def sound(self) -> bool:
        return all(found.sound for found in self.sites)


def backup(store: Store, target: Path) -> Backup:
    """Copy a store to a file that does not exist yet. It appears under its name when it is whole and was read again.

    Raises  InputError: the file exists. StoreError: it can't be written; nothing is left behind.
    """
    if target.exists():
        raise InputError("it exists already", where=str(target), try_="Name a new file: a backup is never written over.")
    part = target.with_name(target.name + ".part")
    try:
        with told_plainly(str(target)):
            if store.address.is_file and target.suffix != ".jsonl":
                _copy(store, part)
                sites = _check_copy(part)
            else:
                _write_lines(store, part)
                sites = _check_store(store)
            _settle(part, target)
    except OSError as error:
        raise _disk(error, target) from error
    finally:
        for left in (part, part.with_name(part.name + "-wal"), part.with_name(part.name + "-shm")):
            left.unlink(missing_ok=True)
    return Backup(target, target.stat().st_size, sites)


def _disk(error: OSError, target: Path) -> StoreError:
    kind = StoreFull if error.errno == 28 else StoreReadOnly
    return kind(
        f"the backup can't be written: {error.strerror}", where=str(target), try_="Name another place. The store itself is untouched."
    )


def _settle(part: Path, target: Path) -> None:
    with open(part, "rb") as file:
        os.fsync(file.fileno())
    os.link(part, target)  # unlike a rename, this never covers a file that came meanwhile


def _copy(store: Store, part: Path) -> None:
    """SQLite's own way of copying a database that others are writing."""
    part.unlink(missing_ok=True)
    with store.reading() as connection:
        source: Any = connection.connection.driver_connection
        copy = sqlite3.connect(part)
        try:
            source.backup(copy, pages=-1)
            copy.execute("PRAGMA journal_mode = DELETE")  # one file, without helpers beside it
        finally:
            copy.close()


def _check_copy(path: Path) -> tuple[Verified, ...]:
    with open_store(path, create=False, read_only=True) as copy:
        return _check_store(copy)


def _check_store(store: Store) -> tuple[Verified, ...]:
    with store.reading() as connection:
        numbers = [int(number) for (number,) in connection.execute(select(tables.sites.c.id).order_by(tables.sites.c.name))]
        return tuple(verify(connection, number) for number in numbers)


def _write_lines(store: Store, part: Path) -> None:
    with open(part, "w", encoding="utf-8") as file, store.reading() as connection:
        for (number,) in connection.execute(select(tables.sites.c.id).order_by(tables.sites.c.name)).all():
            for line in site_lines(connection, number):
                file.write(line + "\n")
        file.flush()
        os.fsync(file.fileno())


def site_lines(connection: Connection, site: int) -> Iterator[str]:
    """One site's log as lines. What is added meanwhile is left for the next backup."""
    row = access.site_row(connection, site)
    head = SignedHead(row["log"], row["name"], row["size"], row["root"], told(row["last_at"]), row["public_key"], row["signature"])
    first = {"format": FORMAT, "site": row["name"], "log": row["log"], "size": row["size"], "head": json.loads(head.text)}
    yield json.dumps(first, ensure_ascii=False)
    seen: set[str] = set()
    columns, at = tables.events.c, 0
    while at < head.size:
        asked = select(columns.sequence, columns.leaf, columns.signature).where(
            columns.site_id == site, columns.sequence > at, columns.sequence <= min(at + 1000, head.size)
        )
        page = connection.execute(asked.order_by(columns.sequence)).all()
        if not page:
            return
        for sequence, leaf, signature in page:
            at = sequence
            for hash_ in read_header(leaf).documents.values():
                if hash_ not in seen:
                    seen.add(hash_)
                    yield _document(connection, hash_)
            yield json.dumps({"leaf": leaf, "signature": signature.hex() if signature is not None else None}, ensure_ascii=False)


def _document(connection: Connection, hash_: str) -> str:
    content = connection.execute(select(tables.documents.c.content).where(tables.documents.c.hash == hash_)).scalar()
    if content is None:
        raise BadFile(f"the document {hash_} is missing", where="documents", try_="Run log verify; restore an earlier backup.")
    return json.dumps({"document": hash_, "content": base64.b64encode(bytes(content)).decode()})


def restore(source: str | Path, address: str | Path | None = None) -> tuple[Verified, ...]:
    """Put a backup into an empty place: a path where nothing is, or a database without records. All of it, or nothing; checked after.

    Raises  InputError: the place is not empty. BadFile: not a backup, or one that is not whole. StoreError.
    """
    path, place = Path(source), read_address(address)
    try:
        with open(path, "rb") as file:
            is_file = file.read(16) == _MAGIC
    except OSError as error:
        raise BadFile(f"it can't be read: {error.strerror}", where=str(path), try_="Check the path.") from error
    if place.path is not None and place.path.exists():
        raise InputError("something is there already", where=place.shown, try_="Name a place where nothing is.")
    try:
        if is_file:
            with open_store(path, create=False, read_only=True) as old:
                return _fill(place.path or address, _lines_of(old))
        with open(path, encoding="utf-8") as file:
            return _fill(place.path or address, file)
    except UnicodeDecodeError as error:
        raise BadFile("this is no backup", where=str(path), try_="Give a file that backup wrote.") from error


def _lines_of(store: Store) -> Iterator[str]:
    with store.reading() as connection:
        for (number,) in connection.execute(select(tables.sites.c.id).order_by(tables.sites.c.name)).all():
            yield from site_lines(connection, number)


def _fill(address: str | Path | None, lines: Iterable[str]) -> tuple[Verified, ...]:
    new = not (isinstance(address, Path) and address.exists())
    with open_store(address) as store:
        try:
            with store.changing() as connection:
                loading.load(connection, iter(lines), store.address.shown)
        except BaseException:
            store.close()
            if new and isinstance(address, Path):
                for name in ("", "-wal", "-shm", ".lock"):
                    address.with_name(address.name + name).unlink(missing_ok=True)
            raise
        return _check_store(store)


__all__ = ["FORMAT", "Backup", "backup", "restore", "site_lines"]
