"""The questions that writing and reading both ask of a connection. Rows come back as rows.py has them, events as envelope.py has them."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import cache, lru_cache
from typing import Any, Literal

import msgspec
from sqlalchemy import BigInteger, Connection, Integer, LargeBinary, RowMapping, Table, bindparam, delete, func, select

from steadycone.errors import UnknownName
from steadycone.records import rows, tables
from steadycone.records.envelope import Recorded, read_leaf
from steadycone.records.fold import Subject
from steadycone.records.merkle import TILE, TILE_LEVELS, Tree
from steadycone.records.times import read, told

Clash = Literal["", "ignore", "replace"]
CHUNK = 500  # keys in one question: far under either engine's limit

TABLE_FIELDS = {about: tuple(kind.__struct_fields__) for about, kind in rows.TABLES.items()}


def chunks(values: Sequence[Any], size: int = CHUNK) -> Iterator[Sequence[Any]]:
    for at in range(0, len(values), size):
        yield values[at : at + size]


@cache
def _by_keys(about: str) -> Any:
    table = tables.derived[about]
    return select(*(table.c[name] for name in TABLE_FIELDS[about])).where(
        table.c.site_id == bindparam("site"), table.c.key.in_(bindparam("keys", expanding=True))
    )


def made(about: str, values: Iterable[Any]) -> rows.Row:
    """One row from a database's, columns in the struct's order."""
    return rows.TABLES[about](**dict(zip(TABLE_FIELDS[about], values, strict=True)))


def rows_by_key(connection: Connection, site: int, about: str, keys: Sequence[str]) -> Iterator[rows.Row]:
    for some in chunks(keys):
        for found in connection.execute(_by_keys(about), {"site": site, "keys": list(some)}):
            yield made(about, found)


@contextmanager
def together(connection: Connection) -> Iterator[None]:
    """Statements whose answers nobody waits for one by one. Whatever is wrong with any of them is raised at the end."""
    if connection.dialect.name != "postgresql":
        yield
        return
    with driver(connection).pipeline():
        yield


def put(connection: Connection, table: Table, values: Sequence[dict[str, Any]], clash: Clash = "") -> None:
    """Insert rows, each with every column. clash : what becomes of one whose key is there already; empty, an error."""
    if not values:
        return
    text, binds = _putting(table, clash, connection.dialect.name)
    if connection.dialect.name == "postgresql":
        given = [{name: bind(row[name]) for name, bind in binds} for row in values]
        driver(connection).execute(text, (msgspec.json.encode(given).decode(),))
    else:
        driver(connection).executemany(text, [tuple([bind(row[name]) for name, bind in binds]) for row in values])


def driver(connection: Connection) -> Any:
    """The driver's own connection, for what every event passes through: a third of the cost. Transactions stay SQLAlchemy's."""
    return connection.connection.driver_connection


@cache
def _putting(table: Table, clash: Clash, dialect: str) -> tuple[str, list[tuple[str, Callable[[Any], Any]]]]:
    """The statement, and what makes a column's value fit for it. A server takes any number of rows as one JSON text: half the time."""
    server = dialect == "postgresql"
    names = [column.name for column in table.c]
    columns = ", ".join(f'"{name}"' for name in names)
    text = f"INSERT INTO {table.name} ({columns}) "
    if server:
        picked = ", ".join(f"decode({name}, 'hex')" if isinstance(table.c[name].type, LargeBinary) else f'"{name}"' for name in names)
        given = ", ".join(f'"{name}" {_server_type(table.c[name].type)}' for name in names)
        text += f"SELECT {picked} FROM json_to_recordset(%s::json) AS given ({given})"  # noqa: S608 - our own names
    else:
        text += f"VALUES ({', '.join('?' for _ in names)})"
    if clash:
        keys = [column.name for column in table.primary_key]
        changed = ", ".join(f'"{name}" = excluded."{name}"' for name in names if name not in keys)
        text += f" ON CONFLICT ({', '.join(keys)}) DO " + (f"UPDATE SET {changed}" if clash == "replace" else "NOTHING")
    return text, [(name, _bind(table.c[name].type, server)) for name in names]


def _server_type(kind: Any) -> str:
    return "bigint" if isinstance(kind, BigInteger) else "integer" if isinstance(kind, Integer) else "text"


def _bind(kind: Any, server: bool) -> Callable[[Any], Any]:
    if isinstance(kind, tables.Json):
        return lambda value: tables.sorted_json(value).decode()
    if isinstance(kind, tables.Utc):
        return lambda value: value if isinstance(value, str) else told(value)
    if isinstance(kind, LargeBinary) and server:
        return lambda value: None if value is None else value.hex()
    return lambda value: value


def save_site(connection: Connection, site: int, changed: dict[str, Any]) -> None:
    """Write some columns of a site's row. Times as text."""
    sign = "%s" if connection.dialect.name == "postgresql" else "?"
    columns = ", ".join(f"{name} = {sign}" for name in changed)
    driver(connection).execute(f"UPDATE sites SET {columns} WHERE id = {sign}", (*changed.values(), site))  # noqa: S608 - our own names


def save_rows(connection: Connection, site: int, dirty: Iterable[tuple[Subject, rows.Row | None]]) -> None:
    """Put what is true now in its tables. A row that is no more is taken out."""
    kept: dict[str, list[dict[str, Any]]] = {}
    gone: list[Subject] = []
    for (about, key), row in dirty:
        if row is None:
            gone.append((about, key))
        else:
            kept.setdefault(about, []).append({"site_id": site, **{name: getattr(row, name) for name in TABLE_FIELDS[about]}})
    for about, values in kept.items():
        put(connection, tables.derived[about], values, "replace")
    for about, key in gone:
        table = tables.derived[about]
        connection.execute(delete(table).where(table.c.site_id == site, table.c.key == key))


def save_mentions(connection: Connection, site: int, events: Iterable[tuple[int, Iterable[Subject]]]) -> None:
    """Under which things an event is found. The names of unknown things are kept too: the event is about them."""
    found = [
        {"site_id": site, "about": about, "key": key, "sequence": sequence} for sequence, subjects in events for about, key in subjects
    ]
    put(connection, tables.mentions, found)


_HISTORY = (
    select(tables.events.c.leaf)
    .join(
        tables.mentions,
        (tables.mentions.c.site_id == tables.events.c.site_id) & (tables.mentions.c.sequence == tables.events.c.sequence),
    )
    .where(
        tables.mentions.c.site_id == bindparam("site"),
        tables.mentions.c.about == bindparam("about"),
        tables.mentions.c.key == bindparam("key"),
    )
)
_WHOLE_HISTORY = _HISTORY.order_by(tables.mentions.c.sequence)
_LAST_HISTORY = (
    _HISTORY.where(tables.mentions.c.sequence < bindparam("before")).order_by(tables.mentions.c.sequence.desc()).limit(bindparam("most"))
)


def history(connection: Connection, site: int, subject: Subject) -> list[Recorded]:
    """Every event about something, oldest first."""
    found = connection.execute(_WHOLE_HISTORY, {"site": site, "about": subject[0], "key": subject[1]})
    return [read_leaf(leaf) for (leaf,) in found]


def last_history(connection: Connection, site: int, subject: Subject, before: int, most: int) -> list[Recorded]:
    """The newest events about something, newest first."""
    asked = {"site": site, "about": subject[0], "key": subject[1], "before": before, "most": most}
    return [read_leaf(leaf) for (leaf,) in connection.execute(_LAST_HISTORY, asked)]


_BY_ID = select(tables.events.c.leaf).where(
    tables.events.c.site_id == bindparam("site"), tables.events.c.id.in_(bindparam("ids", expanding=True))
)


def events_by_id(connection: Connection, site: int, ids: Sequence[str]) -> dict[str, Recorded]:
    found = {}
    for some in chunks(ids):
        for (leaf,) in connection.execute(_BY_ID, {"site": site, "ids": list(some)}):
            event = read_leaf(leaf)
            found[event.id] = event
    return found


def event_leaf(connection: Connection, site: int, which: str | int) -> tuple[int, str]:
    """Sequence and leaf of one event, by id or sequence.

    Raises  UnknownName.
    """
    table = tables.events
    one = table.c.sequence == which if isinstance(which, int) else table.c.id == which
    asked = select(table.c.sequence, table.c.leaf).where(table.c.site_id == site, one)
    found = connection.execute(asked).first() if isinstance(which, int) or which.isprintable() else None
    if found is None:
        raise UnknownName(f'no event "{str(which)[:64]}"', where="event", try_="Give an id or a number that log show has.")
    return int(found[0]), str(found[1])


def first_look(
    connection: Connection, site: int, ids: Sequence[str], subjects: Iterable[Subject]
) -> tuple[dict[str, Any], dict[str, Recorded], list[tuple[Subject, rows.Row | None]]]:
    """What a batch begins with: the site's row, locked; events already there; rows. A server is asked all of it at once."""
    wanted: dict[str, list[str]] = {}
    for about, name in dict.fromkeys(subjects):
        wanted.setdefault(about, []).append(name)
    server = connection.dialect.name == "postgresql"
    ask: Any = driver(connection).execute

    def many(names: Sequence[str]) -> Any:
        return list(names) if server else msgspec.json.encode(names).decode()

    with together(connection):  # the lock comes first: what is read after it is what the last writer left
        locked = ask(_look("sites", "id", server), (site,))
        events = ask(_look("events", "id", server), (site, many(ids)))
        asked = {about: ask(_look(tables.derived[about].name, "key", server), (site, many(keys))) for about, keys in wanted.items()}
    row = dict(zip((column.name for column in tables.sites.c), locked.fetchone(), strict=True))
    row["last_at"] = read(row["last_at"])
    found: dict[Subject, rows.Row] = {}
    for about, cursor in asked.items():
        decode = decoders(about)
        for values in cursor.fetchall():
            one = made(about, [turn(value) if turn else value for turn, value in zip(decode, values, strict=True)])
            found[about, one.key] = one
    every = [(about, name) for about, names in wanted.items() for name in names]
    known = [read_leaf(leaf) for (leaf,) in events.fetchall()]
    return row, {event.id: event for event in known}, [(subject, found.get(subject)) for subject in every]


@cache
def _look(name: str, key: str, server: bool) -> str:
    """One of the questions a batch begins with: a site's row, events by their ids, rows by their keys."""
    sign = "%s" if server else "?"
    table = tables.metadata.tables[name]
    if table is tables.sites:
        columns = ", ".join(column.name for column in table.c)
        return f"SELECT {columns} FROM sites WHERE id = {sign}" + (" FOR UPDATE" if server else "")  # noqa: S608 - our own names
    picked = "leaf" if table is tables.events else ", ".join(f'"{column.name}"' for column in table.c if column.name != "site_id")
    among = "= ANY(%s)" if server else "IN (SELECT value FROM json_each(?))"
    return f"SELECT {picked} FROM {name} WHERE site_id = {sign} AND {key} {among}"  # noqa: S608 - our own names


@cache
def decoders(about: str) -> list[Callable[[Any], Any] | None]:
    """What reads a column's text. The same text gives the same object: rows are never changed, nor what they hold."""
    kinds: list[Any] = [tables.derived[about].c[name].type for name in TABLE_FIELDS[about]]
    return [lru_cache(maxsize=4096)(kind.decode) if isinstance(kind, tables.Json) else None for kind in kinds]


def signature_at(connection: Connection, site: int, size: int) -> bytes | None:
    """The signature that was given when the log had this size; None where none was."""
    columns = tables.events.c
    found = connection.execute(select(columns.signature).where(columns.site_id == site, columns.sequence == size)).scalar()
    return None if found is None else bytes(found)


_SITE = select(tables.sites).where(tables.sites.c.id == bindparam("site"))
_SITE_LOCKED = _SITE.with_for_update()
_SIZE = select(tables.sites.c.size).where(tables.sites.c.id == bindparam("site"))


def site_row(connection: Connection, site: int, *, lock: bool = False) -> RowMapping:
    """The site's own row; locked until the transaction ends, where the engine locks rows."""
    return connection.execute(_SITE_LOCKED if lock else _SITE, {"site": site}).mappings().one()


def site_size(connection: Connection, site: int) -> int:
    """Events in the log: asked at every request, so nothing else is read."""
    return int(connection.execute(_SIZE, {"site": site}).scalar_one())


def tree(connection: Connection, site: int) -> Tree:
    """The site's Merkle tree, read tile by tile."""

    def tile(level: int, number: int) -> list[bytes]:
        first = number << TILE_LEVELS
        if level == 0:
            table = tables.events
            place, start = table.c.sequence, first + 1
            asked = select(table.c.hash).where(table.c.site_id == site)
        else:
            table = tables.nodes
            place, start = table.c.position, first
            asked = select(table.c.hash).where(table.c.site_id == site, table.c.level == level)
        asked = asked.where(place >= start, place < start + TILE).order_by(place)
        return [bytes(found) for (found,) in connection.execute(asked)]

    return Tree(tile)


def count(connection: Connection, about: str, site: int) -> int:
    """How many rows of a kind a site has."""
    table = tables.derived[about]
    return connection.execute(select(func.count()).select_from(table).where(table.c.site_id == site)).scalar_one()


encode_policy = msgspec.json.Encoder(order="sorted").encode


def crossed(before: int, after: int) -> bool:
    """Whether a log grew past a power of four: then its tables look different enough to be measured again."""
    return after > 0 and (after.bit_length() + 1) // 2 > (before.bit_length() + 1) // 2 > 3


def keep_statistics(connection: Connection) -> None:
    """Let the engine count its tables, so that it finds by index what it would else look through."""
    with connection.begin():
        names = ("events", "mentions", *(table.name for table in tables.derived.values()))
        if connection.dialect.name == "postgresql":
            connection.exec_driver_sql(f"ANALYZE {', '.join(names)}")
        else:
            connection.exec_driver_sql("PRAGMA optimize")
