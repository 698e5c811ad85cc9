"""What is true now, derived again from the events alone."""

import json
from collections.abc import Iterator
from datetime import date
from functools import partial
from itertools import groupby
from operator import attrgetter, itemgetter
from typing import TYPE_CHECKING, Any, TypeVar

import msgspec
from sqlalchemy import Connection, delete

from steadycone.records import access, tables
from steadycone.records.commit import read_policy
from steadycone.records.documents import read_document
from steadycone.records.due import Due, due_of, with_due
from steadycone.records.envelope import read_leaf
from steadycone.records.events import Correction, PolicyChanged, SiteOpened
from steadycone.records.filed import Filed, Read
from steadycone.records.fold import Subject, corrected, fold, subjects
from steadycone.records.memory import no_collecting
from steadycone.records.names import key
from steadycone.records.policy import SitePolicy, changed
from steadycone.records.rows import NEVER, TABLES, UNKNOWN, Item, Paper, Row, Station
from steadycone.records.views import leaf_pages, leaves

if TYPE_CHECKING:
    from steadycone.station.policy import Policy

_AT_ONCE = 2000
_FIELDS, _LONGEST = 3, 60  # of what differs, and letters of each value
_OF_THE_SITE = (SiteOpened, PolicyChanged)
_Kind = TypeVar("_Kind", bound=Row)


class Derived:
    """Rows, mentions and policy as the events give them. `mentions`: the numbers of the events about each thing."""

    def __init__(self) -> None:
        self.rows: dict[Subject, Row] = {}
        self.mentions: dict[Subject, list[int]] = {}
        self.policy = SitePolicy(region="", classes={})
        self.events = 0

    def finish(self, read: Read) -> None:
        """The days gear is due, now that all is known. read : a document by its hash"""
        filed = Filed(lambda name: self._row("station", name, Station), lambda name: self._row("paper", name, Paper), read)
        policies: dict[str, Policy | None] = {}  # by station: nothing is folded any more
        known: dict[tuple[str, int, frozenset[tuple[str, str]]], Due] = {}  # gear of a kind has the same dates by the dozen
        for subject, row in self.rows.items():
            if isinstance(row, Item):
                if row.station not in policies:
                    policies[row.station] = filed.policy(row.station)
                policy = policies[row.station]
                alike = row.item, id(policy), frozenset([(name, dated.date) for name, dated in row.dates.items()])
                if alike not in known:
                    known[alike] = due_of(row, self.policy, policy)
                self.rows[subject] = with_due(row, known[alike])

    def _row(self, about: str, name: str, kind: type[_Kind]) -> _Kind | None:
        found = self.rows.get((about, key(name)))
        return found if isinstance(found, kind) else None


def derive(connection: Connection, site: int) -> Derived:
    """Fold every event of a site. The loop is what a million events go through.

    Raises  BadFile: an event that can't be read.
    """
    found = Derived()
    rows, mentions, corrections = found.rows, found.mentions, _corrections(connection, site)
    tidy = _Keys().__getitem__
    with no_collecting():
        for page in leaf_pages(connection, site):
            for (leaf,) in page:
                event = read_leaf(leaf)
                found.events += 1
                if isinstance(event.body, _OF_THE_SITE):
                    found.policy = _policy(found.policy, event.body)
                about = subjects(event, tidy)
                if corrections:
                    event = corrected(event, corrections)
                for subject in about:
                    mentions.setdefault(subject, []).append(event.sequence)
                    row = fold(*subject, rows.get(subject), event)
                    if row is not None:
                        rows[subject] = row
                    else:
                        rows.pop(subject, None)
        found.finish(partial(read_document, connection))
    return found


class _Keys(dict[str, str]):
    """names.key of every name met, worked out once."""

    def __missing__(self, name: str) -> str:
        found = self[name] = key(name)
        return found


def _policy(before: SitePolicy, body: SiteOpened | PolicyChanged) -> SitePolicy:
    return SitePolicy(region=body.region, classes={}) if isinstance(body, SiteOpened) else changed(before, body)


def _corrections(connection: Connection, site: int) -> dict[str, Correction]:
    """What was corrected, newest last."""
    bodies = [read_leaf(leaf).body for leaf in leaves(connection, site, 1, None, ["correction"])]
    return {body.corrects: body for body in bodies if isinstance(body, Correction)}


def rebuild(connection: Connection, site: int) -> int:
    """Derive everything of a site anew and put it in the tables; gives the number of events. Call with the write lock held."""
    found = derive(connection, site)
    for table in (tables.mentions, *tables.derived.values()):
        connection.execute(delete(table).where(table.c.site_id == site))
    mentions = [
        {"site_id": site, "about": about, "key": name, "sequence": sequence}
        for (about, name), sequences in found.mentions.items()
        for sequence in sequences
    ]
    for some in access.chunks(mentions, _AT_ONCE):
        access.put(connection, tables.mentions, some)
    for rows in access.chunks(list(found.rows.items()), _AT_ONCE):
        access.save_rows(connection, site, rows)
    connection.execute(tables.sites.update().where(tables.sites.c.id == site).values(policy=access.encode_policy(found.policy).decode()))
    return found.events


def stale(connection: Connection, site: int) -> list[str]:
    """Where the tables say something else than the events, a line each: nothing, unless somebody wrote into them.

    Raises  BadFile: an event that can't be read.
    """
    found = derive(connection, site)
    return [*_rows_differ(connection, site, found), *_mentions_differ(connection, site, found), *_policy_differs(connection, site, found)]


def _rows_differ(connection: Connection, site: int, found: Derived) -> Iterator[str]:
    left = dict(found.rows)
    for about, table in tables.derived.items():
        names, kind, readers = access.TABLE_FIELDS[about], TABLES[about], access.decoders(about)
        turned = [(place, reader) for place, reader in enumerate(readers) if reader is not None]
        whole, at_key = attrgetter(*names), names.index("key")
        text = f"SELECT {_columns(names)} FROM {table.name} WHERE site_id = "  # noqa: S608 - our own names
        for values in _driven(connection, text, site):
            row = list(values)
            for place, reader in turned:
                row[place] = reader(row[place])
            right = left.pop((about, row[at_key]), None)
            if right is None or whole(right) != tuple(row):
                yield f"{about} {row[at_key]}: {_difference(kind(**dict(zip(names, row, strict=True))), right)}"
    yield from (f"{about} {name}: it is missing from the register" for about, name in left)


def _difference(kept: Row, right: Row | None) -> str:
    if right is None:
        return "no event tells of it"
    names = [name for name in kept.__struct_fields__ if getattr(kept, name) != getattr(right, name)]
    told = [f"{name.replace('_', ' ')} {_told(name, kept)}, by the events {_told(name, right)}" for name in names]
    return "; ".join(told[:_FIELDS])


def _told(name: str, row: Row) -> str:
    value = getattr(row, name)
    if name in ("due_day", "stop_day"):
        return {UNKNOWN: "not known", NEVER: "never"}.get(value) or date.fromordinal(min(max(value, 1), date.max.toordinal())).isoformat()
    text = json.dumps(msgspec.to_builtins(value), ensure_ascii=False) if value not in ("", (), {}) else "nothing"
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def _mentions_differ(connection: Connection, site: int, found: Derived) -> Iterator[str]:
    """Under what the events are found, thing by thing."""
    left = dict(found.mentions)
    asked = _driven(connection, "SELECT about, key, sequence FROM mentions WHERE site_id = ", site, " ORDER BY about, key, sequence")
    for subject, some in groupby(asked, key=itemgetter(0, 1)):
        if left.pop(subject, None) != [sequence for _, _, sequence in some]:
            yield f"{' '.join(subject)}: its history does not list the events about it"
    yield from (f"{' '.join(subject)}: its history is missing" for subject in left)


def _policy_differs(connection: Connection, site: int, found: Derived) -> Iterator[str]:
    if read_policy(access.site_row(connection, site)["policy"]) != found.policy:
        yield "the site's policy: it is not the one the events give"


def _columns(names: tuple[str, ...]) -> str:
    return ", ".join(f'"{name}"' for name in names)


def _driven(connection: Connection, text: str, site: int, order: str = "") -> Iterator[Any]:
    """Rows straight from the driver: dressing them up would take longer than reading them."""
    sign = "%s" if connection.dialect.name == "postgresql" else "?"
    cursor = access.driver(connection).execute(text + sign + order, (site,))
    while page := cursor.fetchmany(_AT_ONCE):
        yield from page
