"""Lines of a backup into empty tables. Every hash is worked out anew; nothing of the backup is believed that it does not prove."""

import base64
import json
from collections.abc import Iterator
from datetime import datetime
from typing import Any

import msgspec
from sqlalchemy import Connection, insert, select

from steadycone.errors import BadFile, InputError
from steadycone.records import access, rebuild, tables
from steadycone.records.documents import unpacked
from steadycone.records.envelope import document_hash, read_header
from steadycone.records.heads import SignedHead, parse_head
from steadycone.records.merkle import Frontier, leaf_hash
from steadycone.records.policy import SitePolicy

_FORMAT = "steadycone-log/1"
_AT_ONCE = 1000


def load(connection: Connection, lines: Iterator[str], where: str) -> None:
    """Every site of a backup, and what is true now from its events.

    Raises  InputError: the store is not empty. BadFile: not a backup, or one that is not whole.
    """
    if connection.execute(select(tables.sites.c.id).limit(1)).first() is not None:
        raise InputError("there are records already", where=where, try_="Name a place where nothing is.")
    site: _Loaded | None = None
    for number, text in enumerate(lines, 1):
        line = _read(text, number)
        if line.get("format") == _FORMAT:
            if site is not None:
                site.finish()
            site = _Loaded(connection, line, number)
        elif site is None:
            raise BadFile("this is no backup", where=f"line {number}", try_="Give a file that backup wrote.")
        else:
            site.take(line, number)
    if site is None:
        raise BadFile("it is empty", where=where, try_="Give a file that backup wrote.")
    site.finish()


def _read(text: str, number: int) -> dict[str, Any]:
    try:
        line = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise BadFile("this line can't be read: the backup is not whole", where=f"line {number}", try_="Take another backup.") from error
    if not isinstance(line, dict):
        raise BadFile("this is no backup", where=f"line {number}", try_="Give a file that backup wrote.")
    return line


class _Loaded:
    """One site on its way in."""

    def __init__(self, connection: Connection, line: dict[str, Any], number: int) -> None:
        self.connection = connection
        self.head: SignedHead = parse_head(json.dumps(line.get("head")))
        self.number = number
        known = select(tables.sites.c.id).where((tables.sites.c.name == self.head.site) | (tables.sites.c.log == self.head.log))
        if connection.execute(known).first() is not None:
            raise BadFile("the same site or log a second time", where=f"line {number}", try_="Take another backup.")
        if not self.head.signed_by():
            raise BadFile("its head is not signed", where=self.head.site, try_="Take another backup.")
        self.frontier = Frontier()
        self.events: list[dict[str, Any]] = []
        self.nodes: list[dict[str, Any]] = []
        values = {
            "name": self.head.site, "log": self.head.log, "public_key": self.head.key, "size": 0, "frontier": b"", "root": b"",
            "last_at": self._at(), "signature": self.head.signature,
            "policy": access.encode_policy(SitePolicy(region="", classes={})).decode(),
        }  # fmt: skip
        self.site = int(connection.execute(insert(tables.sites).returning(tables.sites.c.id), values).scalar_one())

    def _at(self) -> datetime:
        try:
            return datetime.fromisoformat(self.head.at)
        except ValueError as error:
            raise BadFile("its head has no time", where=f"line {self.number}", try_="Take another backup.") from error

    def take(self, line: dict[str, Any], number: int) -> None:
        """A document or an event. Raises BadFile."""
        try:
            if "document" in line:
                self._document(str(line["document"]), base64.b64decode(line["content"]))
            else:
                self._event(str(line["leaf"]), bytes.fromhex(line["signature"]) if line["signature"] else None)
        except (KeyError, ValueError, TypeError, msgspec.MsgspecError) as error:
            raise BadFile(f"it can't be read ({error})", where=f"line {number}", try_="Take another backup.") from error

    def _document(self, hash_: str, content: bytes) -> None:
        data = unpacked(content)
        if data is None or document_hash(data) != hash_:
            raise ValueError("a document that is not what its hash says")
        known = self.connection.execute(select(tables.documents.c.hash).where(tables.documents.c.hash == hash_)).first()
        if known is None:
            self.connection.execute(insert(tables.documents), {"hash": hash_, "content": content})

    def _event(self, leaf: str, signature: bytes | None) -> None:
        header, digest = read_header(leaf), leaf_hash(leaf.encode())
        if header.sequence != self.frontier.size + 1 or header.site != self.head.site:
            raise ValueError(f"event {header.sequence} where {self.frontier.size + 1} should be")
        for level, position, hash_ in self.frontier.add(digest):
            self.nodes.append({"site_id": self.site, "level": level, "position": position, "hash": hash_})
        self.events.append(
            {
                "site_id": self.site, "sequence": header.sequence, "id": header.id, "kind": header.kind, "author": header.author,
                "recorded_at": datetime.fromisoformat(header.recorded_at), "happened_at": datetime.fromisoformat(header.happened_at),
                "leaf": leaf, "hash": digest, "signature": signature,
            }
        )  # fmt: skip
        if len(self.events) >= _AT_ONCE:
            self._write()

    def _write(self) -> None:
        access.put(self.connection, tables.events, self.events)
        access.put(self.connection, tables.nodes, self.nodes)
        self.events, self.nodes = [], []

    def finish(self) -> None:
        """Raises  BadFile: the events are not those of the signed head."""
        self._write()
        if (self.frontier.size, self.frontier.root()) != (self.head.size, self.head.root):
            raise BadFile(
                f"{self.frontier.size} of {self.head.size} events, or others than the signed head covers",
                where=self.head.site,
                try_="The backup is not whole: take another.",
            )
        changed: dict[str, Any] = {"size": self.head.size, "frontier": self.frontier.to_bytes(), "root": self.head.root}
        self.connection.execute(tables.sites.update().where(tables.sites.c.id == self.site), changed)
        rebuild.rebuild(self.connection, self.site)
