"""What is true now, derived again from the events alone."""

from collections.abc import Iterator
from functools import partial
from typing import Any, TypeVar

from sqlalchemy import Connection, delete, select

from steadycone.records import access, tables
from steadycone.records.commit import read_policy
from steadycone.records.documents import read_document
from steadycone.records.due import finished
from steadycone.records.envelope import read_leaf
from steadycone.records.events import Correction, PolicyChanged, SiteOpened
from steadycone.records.filed import Filed, Read
from steadycone.records.fold import Subject, corrected, fold, subjects
from steadycone.records.names import key
from steadycone.records.policy import SitePolicy, changed
from steadycone.records.rows import Item, Paper, Row, Station
from steadycone.records.views import leaves

_AT_ONCE = 2000

Mention = tuple[str, str, int]
_Kind = TypeVar("_Kind", bound=Row)


class Derived:
    """Rows, mentions and policy as the events give them."""

    def __init__(self) -> None:
        self.rows: dict[Subject, Row] = {}
        self.mentions: list[Mention] = []
        self.policy = SitePolicy(region="", classes={})
        self.events = 0

    def finish(self, read: Read) -> None:
        """The days gear is due, now that all is known. read : a document by its hash"""
        filed = Filed(lambda name: self._row("station", name, Station), lambda name: self._row("paper", name, Paper), read)
        for subject, row in self.rows.items():
            if isinstance(row, Item):
                self.rows[subject] = finished(row, self.policy, filed.policy(row.station))

    def _row(self, about: str, name: str, kind: type[_Kind]) -> _Kind | None:
        found = self.rows.get((about, key(name)))
        return found if isinstance(found, kind) else None


def derive(connection: Connection, site: int) -> Derived:
    """Fold every event of a site."""
    found = Derived()
    corrections = _corrections(connection, site)
    for leaf in leaves(connection, site, 1, None):
        event = read_leaf(leaf)
        found.events += 1
        if isinstance(event.body, SiteOpened):
            found.policy = SitePolicy(region=event.body.region, classes={})
        if isinstance(event.body, PolicyChanged):
            found.policy = changed(found.policy, event.body)
        about = subjects(event)
        right = corrected(event, corrections)
        for subject in about:
            found.mentions.append((*subject, event.sequence))
            row = fold(*subject, found.rows.get(subject), right)
            if row is not None:
                found.rows[subject] = row
            else:
                found.rows.pop(subject, None)
    found.finish(partial(read_document, connection))
    return found


def _corrections(connection: Connection, site: int) -> dict[str, Correction]:
    """What was corrected, newest last."""
    bodies = [read_leaf(leaf).body for leaf in leaves(connection, site, 1, None, ["correction"])]
    return {body.corrects: body for body in bodies if isinstance(body, Correction)}


def rebuild(connection: Connection, site: int) -> int:
    """Derive everything of a site anew and put it in the tables; gives the number of events. Call with the write lock held."""
    found = derive(connection, site)
    for table in (tables.mentions, *tables.derived.values()):
        connection.execute(delete(table).where(table.c.site_id == site))
    for some in access.chunks(found.mentions, _AT_ONCE):
        access.put(connection, tables.mentions, [_mention(site, mention) for mention in some])
    for some in access.chunks(list(found.rows.items()), _AT_ONCE):
        access.save_rows(connection, site, some)
    connection.execute(tables.sites.update().where(tables.sites.c.id == site).values(policy=access.encode_policy(found.policy).decode()))
    return found.events


def _mention(site: int, mention: Mention) -> dict[str, Any]:
    return {"site_id": site, "about": mention[0], "key": mention[1], "sequence": mention[2]}


def stale(connection: Connection, site: int) -> list[str]:
    """Where the tables say something else than the events: nothing, unless somebody wrote into them."""
    found = derive(connection, site)
    kept = dict(_kept(connection, site))
    wrong = [f"{about} {name}" for (about, name), row in found.rows.items() if kept.get((about, name)) != row]
    wrong += [f"{about} {name}" for about, name in kept if (about, name) not in found.rows]
    columns = tables.mentions.c
    asked = select(columns.about, columns.key, columns.sequence).where(columns.site_id == site)
    mentions = {(about, name, int(sequence)) for about, name, sequence in connection.execute(asked)}
    wrong += [f"what event {sequence} is found under" for _, _, sequence in mentions ^ set(found.mentions)]
    if read_policy(access.site_row(connection, site)["policy"]) != found.policy:
        wrong.append("policy")
    return list(dict.fromkeys(wrong))


def _kept(connection: Connection, site: int) -> Iterator[tuple[Subject, Row]]:
    for about, table in tables.derived.items():
        asked = select(*(table.c[name] for name in access.TABLE_FIELDS[about])).where(table.c.site_id == site)
        for values in connection.execute(asked):
            row = access.made(about, values)
            yield (about, row.key), row
