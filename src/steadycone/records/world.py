"""The part of what is true now that a handful of new events need, with a way back for those that are refused."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import TypeVar

from steadycone.errors import InputError, UnknownName
from steadycone.records.envelope import Recorded
from steadycone.records.filed import Filed, Read
from steadycone.records.fold import Subject, subjects
from steadycone.records.names import key
from steadycone.records.policy import SitePolicy
from steadycone.records.rows import Cylinder, Defect, IncidentRow, Item, Paper, Person, Row, Station

Fetch = Callable[[str, list[str]], Iterable[Row]]  # table, keys: the rows there are
History = Callable[[Subject], list[Recorded]]  # oldest first
_Kind = TypeVar("_Kind", bound=Row)


def _nothing(table: str, keys: list[str]) -> Iterable[Row]:
    return ()


def _no_document(hash_: str) -> bytes:
    raise UnknownName(f'no document "{hash_[:80]}"', where="document", try_="Give a hash that an event names.")


def _no_history(subject: Subject) -> list[Recorded]:
    return []


class World:
    """Rows are read when they are asked for, all at once where it is known beforehand. What changed is in `dirty`."""

    def __init__(
        self,
        policy: SitePolicy,
        now: datetime,
        fetch: Fetch = _nothing,
        history: History = _no_history,
        read: Read = _no_document,
        cylinders: Callable[[], Iterable[Cylinder]] = tuple,
    ) -> None:
        self.policy, self.now = policy, now
        self.dirty: dict[Subject, None] = {}
        self.added: list[Recorded] = []
        self._fetch, self._history, self._cylinders = fetch, history, cylinders
        self.filed = Filed(self.station, self.paper, read)
        self._rows: dict[Subject, Row | None] = {}
        self._undo: list[tuple[Subject, Row | None, bool]] = []

    def load(self, wanted: Iterable[Subject]) -> None:
        """Read rows ahead, one question a table."""
        tables: dict[str, list[str]] = {}
        for subject in dict.fromkeys(wanted):
            if subject not in self._rows:
                tables.setdefault(subject[0], []).append(subject[1])
                self._rows[subject] = None
        for table, keys in tables.items():
            for row in self._fetch(table, keys):
                self._rows[table, row.key] = row

    def take(self, rows: Iterable[tuple[Subject, Row | None]]) -> None:
        """Rows that were read another way, None for those that are not there. What is here already is newer."""
        for subject, row in rows:
            self._rows.setdefault(subject, row)

    def get(self, subject: Subject) -> Row | None:
        if subject not in self._rows:
            self.load([subject])
        return self._rows[subject]

    def put(self, subject: Subject, row: Row | None) -> None:
        self._undo.append((subject, self.get(subject), subject in self.dirty))
        self._rows[subject] = row
        self.dirty[subject] = None

    @contextmanager
    def all_or_nothing(self) -> Iterator[None]:
        """What is done inside stays, unless an InputError ends it: then all of it is undone, and the error goes on."""
        self._undo.clear()
        policy, count = self.policy, len(self.added)
        try:
            yield
        except InputError:
            for subject, row, was_dirty in reversed(self._undo):
                self._rows[subject] = row
                if not was_dirty:
                    self.dirty.pop(subject, None)
            self.policy = policy
            del self.added[count:]
            raise

    def history(self, subject: Subject) -> list[Recorded]:
        """Every event about something, oldest first, those of this call included."""
        return [*self._history(subject), *(event for event in self.added if subject in subjects(event))]

    def cylinders(self) -> Iterator[Cylinder]:
        """All of them, those of this call included."""
        here = {name: row for (table, name), row in self._rows.items() if table == "cylinder" and isinstance(row, Cylinder)}
        yield from here.values()
        yield from (cylinder for cylinder in self._cylinders() if cylinder.key not in here)

    # --- by name ---

    def item(self, mark: str) -> Item | None:
        return self._named("item", key(mark), Item)

    def station(self, name: str) -> Station | None:
        return self._named("station", key(name), Station)

    def person(self, name: str) -> Person | None:
        return self._named("person", key(name), Person)

    def defect(self, id_: str) -> Defect | None:
        return self._named("defect", key(id_), Defect)

    def incident(self, id_: str) -> IncidentRow | None:
        return self._named("incident", key(id_), IncidentRow)

    def cylinder(self, mark: str) -> Cylinder | None:
        return self._named("cylinder", key(mark), Cylinder)

    def paper(self, name: str) -> Paper | None:
        return self._named("paper", key(name), Paper)

    def roles(self, person: str, on: datetime) -> set[str]:
        found = self.person(person)
        return found.roles(on.date()) if found else set()

    def _named(self, table: str, name: str, kind: type[_Kind]) -> _Kind | None:
        row = self.get((table, name))
        assert row is None or isinstance(row, kind)
        return row
