"""The schema, alike on both engines: the log, and what is true now. No column holds a number that a float could spoil.

log       sites, events, nodes, documents     added to, never changed (triggers); a site's row holds the tree's right edge
derived   mentions, items, stations, ...      made from the events, and made again from them whenever one likes
beside    accounts, sessions, drafts, ...     changed in place; no part of the log, of its proofs or of its lines
"""

from datetime import datetime
from typing import Any

import msgspec
from sqlalchemy import BigInteger, Boolean, Column, ForeignKey, Index, Integer, LargeBinary, MetaData, String, Table, Text, false
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator

from steadycone.records import rows
from steadycone.records.times import read, told

REVISION = "0006"  # of the newest migration; a test compares
DERIVED = 5  # raised when fold or rules derive something else from the same events: opening the store then rebuilds

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


sorted_json = msgspec.json.Encoder(order="sorted").encode


class Utc(TypeDecorator[datetime]):
    """A moment, as text in UTC: the same in both engines, in the log and in the proofs, and in the order of time."""

    impl = String(27)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:
        return None if value is None else told(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> datetime | None:
        return None if value is None else read(value)


class Json(TypeDecorator[Any]):
    """Small structures, as JSON text with sorted keys: equal values are equal text."""

    impl = Text
    cache_ok = True

    def __init__(self, kind: Any) -> None:
        super().__init__()
        self.kind = kind
        self.decode = msgspec.json.Decoder(kind).decode

    def process_bind_param(self, value: Any, dialect: Dialect) -> str:
        return sorted_json(value).decode()

    def process_result_value(self, value: Any, dialect: Dialect) -> Any:
        return self.decode(value)


# Byte order in both engines: a server's own collation would sort marks, and read an index, its own way.
_Key = String(120).with_variant(String(120, collation="C"), "postgresql")

meta = Table("meta", metadata, Column("name", String(40), primary_key=True), Column("value", Text, nullable=False))

sites = Table(
    "sites",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", String(120), nullable=False, unique=True),
    Column("log", String(64), nullable=False),
    Column("public_key", String(64), nullable=False),
    Column("size", BigInteger, nullable=False),
    Column("frontier", LargeBinary, nullable=False),
    Column("root", LargeBinary, nullable=False),
    Column("last_at", Utc, nullable=False),
    Column("signature", LargeBinary, nullable=False),
    Column("policy", Text, nullable=False),
)

events = Table(
    "events",
    metadata,
    Column("site_id", Integer, ForeignKey("sites.id"), primary_key=True, autoincrement=False),
    Column("sequence", BigInteger, primary_key=True, autoincrement=False),
    Column("id", String(64), nullable=False),
    Column("kind", String(40), nullable=False),
    Column("recorded_at", Utc, nullable=False),
    Column("happened_at", Utc, nullable=False),
    Column("author", String(120), nullable=False),
    Column("leaf", Text, nullable=False),  # canonical JSON of the whole event
    Column("hash", LargeBinary, nullable=False),
    Column("signature", LargeBinary),  # of the head of this size; the last event of each commit has one
    Index(None, "site_id", "id", unique=True),
    Index(None, "site_id", "kind", "sequence"),
)

nodes = Table(
    "nodes",
    metadata,
    Column("site_id", Integer, ForeignKey("sites.id"), primary_key=True, autoincrement=False),
    Column("level", Integer, primary_key=True, autoincrement=False),
    Column("position", BigInteger, primary_key=True, autoincrement=False),
    Column("hash", LargeBinary, nullable=False),
)

documents = Table(
    "documents",
    metadata,
    Column("hash", String(71), primary_key=True),
    Column("content", LargeBinary, nullable=False),  # zlib
)

mentions = Table(
    "mentions",
    metadata,
    Column("site_id", Integer, primary_key=True, autoincrement=False),
    Column("about", String(10), primary_key=True),
    Column("key", _Key, primary_key=True),
    Column("sequence", BigInteger, primary_key=True, autoincrement=False),
    sqlite_with_rowid=False,
)

_SPECIAL: dict[str, Any] = {
    "first": BigInteger,
    "last": BigInteger,
    "due_day": Integer,
    "stop_day": Integer,
    "makeup_at": BigInteger,
    "longest_break": BigInteger,
}
_INDEXES = {
    "item": (("state", "due_day"), ("item", "key")),
    "station": (),
    "person": (),
    "defect": (("closed_at", "severity"),),
    "incident": (("cleared_at",),),
    "cylinder": (),
    "paper": (),
}
_NAMES = {"person": "people"}


def _derived(about: str, kind: type[rows.Row]) -> Table:
    columns: list[Any] = [Column("site_id", Integer, primary_key=True, autoincrement=False)]
    for field in msgspec.structs.fields(kind):
        if field.name == "key":
            columns.append(Column("key", _Key, primary_key=True))
        elif field.type is int:
            columns.append(Column(field.name, _SPECIAL[field.name], nullable=False))
        else:
            columns.append(Column(field.name, Text() if field.type is str else Json(field.type), nullable=False))
    indexes = [Index(None, "site_id", *names) for names in _INDEXES[about]]
    return Table(_NAMES.get(about, f"{about}s"), metadata, *columns, *indexes)


derived: dict[str, Table] = {about: _derived(about, kind) for about, kind in rows.TABLES.items()}

# --- beside the log ---

accounts = Table(
    "accounts",
    metadata,
    Column("key", _Key, primary_key=True),  # names.key of the person
    Column("person", String(120), nullable=False),
    Column("password", Text, nullable=False),  # hash, as whoever hashed it writes it
    Column("created_at", Utc, nullable=False),
    Column("changed_at", Utc, nullable=False),
    Column("disabled", Boolean, nullable=False),
    Column("starting", Boolean, nullable=False, server_default=false()),  # the password was given by somebody else
)

sessions = Table(
    "sessions",
    metadata,
    Column("token", String(64), primary_key=True),  # SHA-256 of what the browser has, hex
    Column("before", String(64), nullable=False),  # of the token that this one took the place of, while it still counts
    Column("account", _Key, ForeignKey("accounts.key"), nullable=False),
    Column("secret", String(64), nullable=False),
    Column("began_at", Utc, nullable=False),
    Column("seen_at", Utc, nullable=False),
    Column("token_at", Utc, nullable=False),
    Column("ends_at", Utc, nullable=False),
    Index(None, "before"),
    Index(None, "account"),
    Index(None, "ends_at"),
)

attempts = Table(
    "attempts",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", String(64), nullable=False),  # SHA-256 of what is throttled, hex
    Column("at", Utc, nullable=False),
    Index(None, "key", "at"),
)

settings = Table("settings", metadata, Column("name", String(40), primary_key=True), Column("value", Text, nullable=False))

drafts = Table(
    "drafts",
    metadata,
    Column("site_id", Integer, ForeignKey("sites.id"), primary_key=True, autoincrement=False),
    Column("id", String(64), primary_key=True),
    Column("station", String(120), nullable=False),
    Column("file", String(120), nullable=False),
    Column("hashes", Json(dict[str, str]), nullable=False),
    Column("on", String(10), nullable=False),
    Column("digest", String(64), nullable=False),
    Column("plan", Text, nullable=False),
    Column("answers", Json(list[Any]), nullable=False),
    Column("waiting", Json(tuple[str, str] | None), nullable=False),
    Column("author", String(120), nullable=False),
    Column("state", String(10), nullable=False),
    Column("event", String(64), nullable=False),
    Column("problem", Text, nullable=False),
    Column("created_at", Utc, nullable=False),
    Column("updated_at", Utc, nullable=False),
    Index(None, "site_id", "state", "updated_at"),
)
