"""What is true now, and what happened, as a person asks for it. Nothing here writes."""

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import Any, TypeVar

from sqlalchemy import Connection, Select, Text, select, type_coerce

from steadycone.errors import InputError, UnknownName, nearest
from steadycone.procedures.rounds import Event, Holding, still_holds
from steadycone.procedures.rounds.sign import ENDS
from steadycone.records import access, tables
from steadycone.records.envelope import Recorded, read_leaf
from steadycone.records.names import key
from steadycone.records.policy import Due
from steadycone.records.rows import UNKNOWN, Cylinder, Defect, IncidentRow, Item, Paper, Person, Row, Station
from steadycone.records.times import read, told

_Kind = TypeVar("_Kind", bound=Row)
_PAGE = 1000
_PASSING = 256  # rows at once of a whole log: more do not stay in the processor's own memory until they are looked at
_LAST = 1 << 62


def _select(about: str, site: int) -> Select[Any]:
    """Every column as the driver gives it: what is JSON is read in `_rows`, where the same text is read once."""
    table = tables.derived[about]
    columns = (table.c[name] for name in access.TABLE_FIELDS[about])
    plain = [type_coerce(column, Text) if isinstance(column.type, tables.Json) else column for column in columns]
    return select(*plain).where(table.c.site_id == site)


def _rows(connection: Connection, about: str, kind: type[_Kind], asked: Select[Any]) -> list[_Kind]:
    names, readers = access.TABLE_FIELDS[about], access.decoders(about)
    turned = [(place, reader) for place, reader in enumerate(readers) if reader is not None]
    found = []
    for row in connection.execute(asked):
        values = list(row)
        for place, reader in turned:
            values[place] = reader(values[place])
        found.append(kind(**dict(zip(names, values, strict=True))))
    return found


def items(
    connection: Connection,
    site: int,
    *,
    state: str | None = None,
    item: str | None = None,
    station: str | None = None,
    search: str | None = None,
    after: str | None = None,
    limit: int | None = None,
    fitted: bool = False,
) -> list[Item]:
    """Gear by mark. `search` is a part of mark, type or note; `after` a mark, for the next page; `fitted`: only what is on a station."""
    columns = tables.derived["item"].c
    asked = _select("item", site)
    for column, value in ((columns.state, state), (columns.item, item)):
        if value is not None:
            asked = asked.where(column == value)
    if fitted:
        asked = asked.where(columns.station != "")
    if station is not None:
        asked = asked.where(columns.station == _station_name(connection, site, station))
    if search:
        part = search.casefold()
        asked = asked.where(
            columns.key.contains(part, autoescape=True)
            | columns.type.icontains(search, autoescape=True)
            | columns.note.icontains(search, autoescape=True)
        )
    if after is not None:
        asked = asked.where(columns.key > key(after))
    return _rows(connection, "item", Item, asked.order_by(columns.key).limit(limit))


def made_up(connection: Connection, site: int, station: Station) -> dict[str, Item]:
    """A station's make-up by place, without marks that the register does not know."""
    marks = {place: key(mark) for place, mark in station.makeup.items()}
    found = {row.key: row for row in access.rows_by_key(connection, site, "item", sorted(set(marks.values()))) if isinstance(row, Item)}
    return {place: found[mark] for place, mark in marks.items() if mark in found}


def _station_name(connection: Connection, site: int, name: str) -> str:
    return one(connection, site, "station", Station, name).name


def due(connection: Connection, site: int, on: date, days: int, limit: int | None) -> list[Due]:
    """Gear in service that is out of date, or will be within `days`. Unknown age comes first: it is out of date."""
    columns = tables.derived["item"].c
    asked = _select("item", site).where(columns.state == "in service", columns.due_day <= on.toordinal() + days)
    found = _rows(connection, "item", Item, asked.order_by(columns.due_day, columns.key).limit(limit))
    today = on.toordinal()
    return [Due(item, item.due_on, None if item.due_day == UNKNOWN else item.due_day - today, item.due_why) for item in found]


def one(connection: Connection, site: int, about: str, kind: type[_Kind], name: str) -> _Kind:
    """One row by its name.

    Raises  UnknownName: with the nearest there is.
    """
    found = next(access.rows_by_key(connection, site, about, [key(name)]), None)
    if isinstance(found, kind):
        return found
    raise UnknownName(f'no {about} "{name[:60]}"', where=about, try_=_near(connection, site, about, name))


def _near(connection: Connection, site: int, about: str, name: str) -> str:
    """The nearest of the names that begin alike; a whole register is not searched for a slip."""
    columns = tables.derived[about].c
    start = key(name)[:2]
    asked = select(columns.key).where(columns.site_id == site, columns.key >= start, columns.key < start + "\U0010ffff").limit(2000)
    known = [str(found) for (found,) in connection.execute(asked)]
    return nearest(key(name), known) if 0 < len(known) < 2000 else "Look at the list."


def stations(connection: Connection, site: int) -> list[Station]:
    return _all(connection, site, "station", Station)


def people(connection: Connection, site: int) -> list[Person]:
    return _all(connection, site, "person", Person)


def cylinders(connection: Connection, site: int) -> list[Cylinder]:
    return _all(connection, site, "cylinder", Cylinder)


def papers(connection: Connection, site: int, what: str | None) -> list[Paper]:
    """Charts and policies by name. what : "chart" or "policy", for one kind alone."""
    return [paper for paper in _all(connection, site, "paper", Paper) if what in (None, paper.what)]


def _all(connection: Connection, site: int, about: str, kind: type[_Kind]) -> list[_Kind]:
    return _rows(connection, about, kind, _select(about, site).order_by(tables.derived[about].c.key))


def defects(connection: Connection, site: int, *, open_only: bool) -> list[Defect]:
    columns = tables.derived["defect"].c
    asked = _select("defect", site)
    return _rows(connection, "defect", Defect, (asked.where(columns.closed_at == "") if open_only else asked).order_by(columns.first))


def incidents(connection: Connection, site: int, *, open_only: bool) -> list[IncidentRow]:
    columns = tables.derived["incident"].c
    asked = _select("incident", site)
    return _rows(
        connection, "incident", IncidentRow, (asked.where(columns.cleared_at == "") if open_only else asked).order_by(columns.first)
    )


def history(connection: Connection, site: int, before: int | None, limit: int, **named: str | None) -> list[Recorded]:
    """The newest events about one thing, newest first. Name one of mark, station, person, cylinder, paper, defect, incident."""
    given = {name: value for name, value in named.items() if value is not None}
    if len(given) != 1:
        raise InputError("one thing at a time", where="history", try_="Name a mark, or a station, or a person.")
    ((name, value),) = given.items()
    about = {"mark": "item"}.get(name, name)
    return access.last_history(connection, site, (about, key(value)), _LAST if before is None else before, limit)


def events(connection: Connection, site: int, first: int, last: int | None, kinds: Sequence[str] | None) -> Iterator[Recorded]:
    """Events in their order, a page at a time."""
    for leaf in leaves(connection, site, first, last, kinds):
        yield read_leaf(leaf)


def leaves(connection: Connection, site: int, first: int, last: int | None, kinds: Sequence[str] | None = None) -> Iterator[str]:
    """The canonical JSON of events in their order."""
    columns = tables.events.c
    at, end = first - 1, _LAST if last is None else last
    while True:
        asked = select(columns.sequence, columns.leaf).where(columns.site_id == site, columns.sequence > at, columns.sequence <= end)
        if kinds is not None:
            asked = asked.where(columns.kind.in_(list(kinds)))
        found = connection.execute(asked.order_by(columns.sequence).limit(_PAGE)).all()
        for sequence, leaf in found:
            at = sequence
            yield leaf
        if len(found) < _PAGE:
            return


def leaf_pages(connection: Connection, site: int) -> Iterator[Sequence[tuple[str]]]:
    """The canonical JSON of every event in order, straight from the driver, a page at a time."""
    driver, text = access.driver(connection), "SELECT leaf FROM events WHERE site_id = {} ORDER BY sequence"
    if connection.dialect.name == "postgresql":
        with driver.cursor(name="steadycone_leaves", binary=True) as cursor:
            cursor.execute(text.format("%s"), (site,))
            while page := cursor.fetchmany(_PASSING):
                yield page
        return
    cursor = driver.execute(text.format("?"), (site,))
    while page := cursor.fetchmany(_PASSING):
        yield page


def first_since(connection: Connection, site: int, moment: datetime) -> int:
    """Number of the first event recorded at or after a moment; one past the last where there is none. Times never go back in the log."""
    columns, wanted = tables.events.c, told(moment)
    low, high = 1, int(access.site_row(connection, site)["size"]) + 1
    while low < high:
        middle = (low + high) // 2
        at = connection.execute(select(columns.recorded_at).where(columns.site_id == site, columns.sequence == middle)).scalar_one()
        if told(at) < wanted:
            low = middle + 1
        else:
            high = middle
    return low


def corrections(connection: Connection, site: int) -> dict[str, str]:
    """Ids of events that were corrected, each with the id of its newest correction."""
    return {str(getattr(event.body, "corrects", "")): event.id for event in events(connection, site, 1, None, ["correction"])}


def holding(station: Station, now: datetime) -> Holding:
    """Whether a station's sign-off still holds at a moment: as the round says, and by what was recorded since."""
    if not station.sign_off:
        return Holding(False, "not signed")
    report = {
        "sign_off": {
            "at": station.signed_at,
            "valid_until": station.valid_until,
            "longest_break": {"value": station.longest_break / 60},
        }
    }
    ends = []
    if station.ended:
        ends.append(Event(station.ended if station.ended in ENDS else "event", read(station.ended_at)))
    found = still_holds(report, now, ends)
    if not found.holds and station.ended and found.at == read(station.ended_at):
        return Holding(False, station.ended, found.at)
    return found
