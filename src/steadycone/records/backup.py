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
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, select

from steadycone.errors import BadFile, InputError, StoreError, StoreFull, StoreReadOnly
from steadycone.records import access, loading, tables
from steadycone.records.address import Address, read_address
from steadycone.records.envelope import read_header
from steadycone.records.failures import told_plainly
from steadycone.records.heads import SignedHead
from steadycone.records.opening import trusted_key
from steadycone.records.own_file import make_own
from steadycone.records.store import Store, open_store
from steadycone.records.times import told
from steadycone.records.verify import Verified, verify
from steadycone.records.witness import read_witness

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
    believed = _believed(store)
    try:
        with told_plainly(str(target)):
            if store.address.is_file and target.suffix != ".jsonl":
                _copy(store, part)
                sites = _check_copy(part, believed)
            else:
                _write_lines(store, part)
                sites = _check_store(store, believed)
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
    make_own(part)
    with store.reading() as connection:
        source: Any = connection.connection.driver_connection
        copy = sqlite3.connect(part)
        try:
            source.backup(copy, pages=-1)
            copy.execute("PRAGMA journal_mode = DELETE")  # one file, without helpers beside it
        finally:
            copy.close()


@dataclass(frozen=True, slots=True)
class _Believed:
    """What a copy is held against: the key that is trusted, heads kept elsewhere, and by log the last head this machine saw."""

    key: str | None
    heads: tuple[SignedHead, ...] = ()
    seen: Callable[[str], SignedHead | None] = lambda _: None

    def check(self, connection: Connection) -> tuple[Verified, ...]:
        """Every site of a store."""
        sites = connection.execute(select(tables.sites.c.id, tables.sites.c.log).order_by(tables.sites.c.name)).all()
        return tuple(
            verify(connection, int(number), key=self.key, witness=self.seen(log), held=[head for head in self.heads if head.log == log])
            for number, log in sites
        )


def _believed(store: Store) -> _Believed:
    """By a store's own key and memory as they are now: what is written while a copy is made does not count against it."""
    with store.reading() as connection:
        logs = [str(log) for (log,) in connection.execute(select(tables.sites.c.log))]
    return _Believed(trusted_key(store.address), seen={log: read_witness(store.address.witness(log)) for log in logs}.get)


def _check_copy(path: Path, believed: _Believed) -> tuple[Verified, ...]:
    with open_store(path, create=False, read_only=True) as copy:
        return _check_store(copy, believed)


def _check_store(store: Store, believed: _Believed) -> tuple[Verified, ...]:
    with store.reading() as connection:
        return believed.check(connection)


def _write_lines(store: Store, part: Path) -> None:
    part.unlink(missing_ok=True)
    make_own(part)
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


def restore(
    source: str | Path, address: str | Path | None = None, heads: Iterable[SignedHead] = (), key: str | None = None
) -> tuple[Verified, ...]:
    """Put a backup into an empty place: a path where nothing is, or a database without records. All of it, or nothing; checked before it counts.

    Parameters
    ----------
    heads : kept elsewhere; the last one this machine saw counts too, where its file lies beside the key
    key : public key (hex) that must have signed; left out, that of the key which lies in the new place, where there is one

    Raises  InputError: the place is not empty. BadFile: not a backup, one that is not whole, or of another log than is trusted. StoreError.
    A backup that is older than a head is restored, and the answer says what is missing.
    """
    path, place = Path(source), read_address(address)
    try:
        if not path.is_file():
            raise BadFile("it is no file" if path.exists() else "it is not there", where=str(path), try_="Check the path.")
        with open(path, "rb") as file:
            is_file = file.read(16) == _MAGIC
    except OSError as error:
        raise BadFile(f"it can't be read: {error.strerror}", where=str(path), try_="Check the path.") from error
    if place.path is not None and place.path.exists():
        raise InputError("something is there already", where=place.shown, try_="Name a place where nothing is.")
    believed = _Believed(key if key is not None else trusted_key(place), tuple(heads), lambda log: read_witness(place.witness(log)))
    target = _Target(place, address, believed)
    try:
        if is_file:
            with open_store(path, create=False, read_only=True) as old:
                return target.take(_lines_of(old))
        with open(path, encoding="utf-8") as file:
            return target.take(file)
    except UnicodeDecodeError as error:
        raise BadFile("this is no backup", where=str(path), try_="Give a file that backup wrote.") from error


def _lines_of(store: Store) -> Iterator[str]:
    with store.reading() as connection:
        for (number,) in connection.execute(select(tables.sites.c.id).order_by(tables.sites.c.name)).all():
            yield from site_lines(connection, number)


@dataclass(frozen=True, slots=True)
class _Target:
    """Where a backup goes, and what it must fit."""

    place: Address
    address: str | Path | None
    believed: _Believed

    def take(self, lines: Iterable[str]) -> tuple[Verified, ...]:
        """A file appears under its name when it is whole and was verified: one that was stopped half way is not in the way of the next."""
        if self.place.path is None:
            with open_store(self.address) as store:
                return self._fill(store, lines)
        target = self.place.path
        part = target.with_name(target.name + ".part")
        left = [part.with_name(part.name + name) for name in ("", "-wal", "-shm", ".lock")]
        _remove(left)
        try:
            with open_store(part) as store:
                found = self._fill(store, lines)
            try:
                _settle(part, target)
            except OSError as error:
                raise StoreReadOnly(f"it can't be put in place: {error.strerror}", where=str(target), try_="Name another place.") from error
            return found
        finally:
            _remove(left)

    def _fill(self, store: Store, lines: Iterable[str]) -> tuple[Verified, ...]:
        with store.changing() as connection:
            loading.load(connection, iter(lines), self.place.shown)
            found = self.believed.check(connection)
            for site in found:
                _refuse(site)
        return found


def _refuse(site: Verified) -> None:
    """Raises  BadFile: it does not hold, or is not the log that is trusted here."""
    wrong = next((problem for problem in site.problems if not problem.cut), None)
    if wrong is not None:
        raise BadFile(
            f"this backup does not hold: {wrong.says}",
            where=site.site,
            try_="Take another backup. Is it the right one: give --key with the key it is signed with, and move aside the key and heads of another log.",
        )


def _remove(files: list[Path]) -> None:
    for file in files:
        file.unlink(missing_ok=True)


__all__ = ["FORMAT", "Backup", "backup", "restore", "site_lines"]
