"""Rounds on their way, beside the log: what was answered so far, wherever it was answered. Delivering the same answers again changes nothing."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, Literal

import msgspec
from sqlalchemy import Connection, RowMapping, select, update

from steadycone.errors import InputError, Refused, UnknownName
from steadycone.records.envelope import checked_id
from steadycone.records.names import checked, key
from steadycone.records.round_record import LONGEST_ID
from steadycone.records.tables import drafts as table
from steadycone.records.tables import sorted_json

if TYPE_CHECKING:
    from steadycone.records.store import Site

State = Literal["open", "recorded", "refused"]
LARGEST = 2_000_000  # bytes of answers as JSON, as for an answers file
_SAME = ("station", "file", "hashes", "on", "digest")


class Draft(msgspec.Struct, frozen=True, kw_only=True):
    """A round on its way.

    hashes, digest : of the station's files it was begun with. plan : hash of its plan then. answers : as an answers file has them.
    waiting : step and moment of a wait that runs. event : id of the recorded round. problem : what speaks against it, in words
    """

    id: str
    station: str
    file: str
    hashes: dict[str, str]
    on: date
    digest: str
    plan: str
    answers: list[Any]
    waiting: tuple[str, str] | None
    author: str
    state: State
    event: str
    problem: str
    created_at: datetime
    updated_at: datetime


class Drafts:
    """The drafts of a site. Times are the store's clock."""

    def __init__(self, site: "Site") -> None:
        self._site, self._store = site, site.store

    def extend(
        self,
        id: str,
        *,
        station: str,
        file: str,
        hashes: Mapping[str, str],
        on: date,
        digest: str,
        plan: str,
        answers: Sequence[Any],
        author: str,
        waiting: tuple[str, str] | None = None,
    ) -> Draft:
        """Keep what was answered. The first call makes the draft; a later one gives all answers again, from the first on.

        answers : longer than what is kept, equal to it, or its beginning (an old delivery: nothing is taken back). waiting : of a longer list
        it counts as given; of an equal one the later wait counts; of a shorter one it counts nothing. plan : that of the first call is kept

        Returns  what is kept now.
        Raises   InputError: an id that is none, too much. Refused: another person's, another station's or other files, answers that
                 contradict what is kept, or more of them after it was recorded.
        """
        now = self._store.clock()
        given = Draft(
            id=_id(id), station=checked(station, "station"), file=checked(file, "file"), hashes=dict(hashes), on=on, digest=_hash(digest, "digest"), plan=_hash(plan, "plan"), answers=_plain(answers), waiting=_wait(waiting), author=checked(author, "author"), state="open", event="",
            problem="", created_at=now, updated_at=now,
        )  # fmt: skip
        with self._store.changing() as connection:
            if self._put_new(connection, given):
                return given
            kept = self._locked(connection, given.id)
            after = _extended(kept, given)
            if after is not kept:
                self._save(connection, after)
        return after

    def get(self, id: str) -> Draft:
        """Raises  UnknownName."""
        with self._store.reading() as connection:
            return self._found(connection, self._one(id), id)

    def open_ones(self, station: str | None = None) -> list[Draft]:
        """Those that are not finished, the one touched last first."""
        asked = select(table).where(table.c.site_id == self._site.number, table.c.state == "open").order_by(table.c.updated_at.desc())
        with self._store.reading() as connection:
            found = [_draft(row) for row in connection.execute(asked).mappings()]
        return found if station is None else [draft for draft in found if key(draft.station) == key(station)]

    def mark(self, id: str, state: State, event: str = "", problem: str = "") -> Draft:
        """Say what became of it. What is recorded stays recorded.

        Raises  UnknownName. InputError: recorded without its event. Refused: it is recorded, and would be something else.
        """
        if (state == "recorded") != bool(event):
            raise InputError("a recorded round has an event, no other has", where="event", try_="Give the id of its round-done event.")
        with self._store.changing() as connection:
            kept = self._locked(connection, id)
            if kept.state == "recorded" and (state, event) != ("recorded", kept.event):
                raise Refused(f"it is recorded, event {kept.event}", where=f"round {id}", try_="Nothing is left to do.")
            after = msgspec.structs.replace(kept, state=state, event=event, problem=problem, updated_at=self._store.clock())
            self._save(connection, after)
        return after

    def _one(self, id_: str) -> Any:
        return select(table).where(table.c.site_id == self._site.number, table.c.id == id_)

    def _locked(self, connection: Connection, id_: str) -> Draft:
        return self._found(connection, self._one(id_).with_for_update(), id_)

    def _found(self, connection: Connection, asked: Any, id_: str) -> Draft:
        """Raises  UnknownName."""
        row = connection.execute(asked).mappings().first() if id_.isprintable() else None
        if row is None:
            raise UnknownName(f'no draft "{id_[:60]}"', where="round", try_="Begin the round again, or look at those that are open.")
        return _draft(row)

    def _put_new(self, connection: Connection, draft: Draft) -> bool:
        """False where there is one of this id. A server decides between two who come at once; a file has one writer."""
        from sqlalchemy.dialects import postgresql, sqlite

        insert: Any = postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert
        asked = insert(table).values(self._columns(draft)).on_conflict_do_nothing().returning(table.c.id)
        return connection.execute(asked).first() is not None

    def _save(self, connection: Connection, draft: Draft) -> None:
        here = (table.c.site_id == self._site.number) & (table.c.id == draft.id)
        connection.execute(update(table).where(here).values(self._columns(draft)))

    def _columns(self, draft: Draft) -> dict[str, Any]:
        return {"site_id": self._site.number, **msgspec.structs.asdict(draft), "on": draft.on.isoformat()}


def _draft(row: RowMapping) -> Draft:
    return Draft(**{name: row[name] for name in Draft.__struct_fields__ if name != "on"}, on=date.fromisoformat(row["on"]))


def _extended(kept: Draft, given: Draft) -> Draft:
    """The draft with what is new in a delivery; the same object where nothing is.

    Raises  Refused.
    """
    where = f"round {kept.id}"
    if key(kept.author) != key(given.author):
        raise Refused(f"this round is {kept.author}'s", where=where, try_="Begin a round of your own.")
    if any(getattr(kept, name) != getattr(given, name) for name in _SAME):
        raise Refused(
            "it was begun with another station, day or files", where=where, try_="Begin another round; this one is kept as it is."
        )
    both = min(len(kept.answers), len(given.answers))
    for number in range(both):
        if kept.answers[number] != given.answers[number]:
            says = f"answer {number + 1} is not the one that is kept"
            raise Refused(says, where=where, try_="Load what is kept and go on from there, or begin another round.")
    more = len(given.answers) > both
    if kept.state != "open":
        if more:
            says = f"it is {kept.state} already, and this has more answers"
            raise Refused(says, where=where, try_="Begin another round for what came after.")
        return kept
    waiting = given.waiting if more else kept.waiting
    if len(given.answers) == len(kept.answers) and given.waiting:
        waiting = max(filter(None, (kept.waiting, given.waiting)), key=lambda wait: datetime.fromisoformat(wait[1]))
    if not more and waiting == kept.waiting:
        return kept
    answers = given.answers if more else kept.answers
    return msgspec.structs.replace(kept, answers=answers, waiting=waiting, updated_at=given.updated_at)


def _id(text: str) -> str:
    """Raises  InputError."""
    if len(checked_id(text)) > LONGEST_ID:
        raise InputError(f"an id of {len(text)} characters", where="id", try_=f"{LONGEST_ID} at most.")
    return text


def _hash(text: str, what: str) -> str:
    """Raises  InputError."""
    if len(checked(text, what)) > 64:
        raise InputError(f"a {what} of {len(text)} characters", where=what, try_="64 at most.")
    return text


def _plain(answers: Sequence[Any]) -> list[Any]:
    """The answers as JSON has them: what is compared later is what was kept.

    Raises  InputError: too much, or no JSON.
    """
    try:
        data = sorted_json(list(answers))
        found: list[Any] = msgspec.json.decode(data)
    except (TypeError, msgspec.MsgspecError, UnicodeError, RecursionError, OverflowError) as error:
        raise InputError(f"not JSON: {str(error)[:200]}", where="answers", try_="Give them as an answers file has them.") from error
    if len(data) > LARGEST:
        raise InputError(f"{len(data):,} bytes", where="answers", try_=f"{LARGEST:,} at most.")
    if b"\\u0000" in data:
        raise InputError("a zero character in the text", where="answers", try_="Write plain text.")
    return found


def _wait(waiting: tuple[str, str] | None) -> tuple[str, str] | None:
    """Raises  InputError: a moment that is none."""
    if waiting is None:
        return None
    step, since = waiting
    try:
        zoned = datetime.fromisoformat(since).utcoffset() is not None
    except (ValueError, TypeError):
        zoned = False
    if not zoned:
        raise InputError(f'"{str(since)[:40]}" is not a time', where="waiting", try_="Write date, time and zone.")
    return checked(step, "step"), since
