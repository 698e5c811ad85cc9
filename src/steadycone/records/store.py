"""A store and its sites: the way in for every command."""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, Engine, select

from steadycone.errors import InputError, StoreMissing, StoreReadOnly, UnknownName, nearest
from steadycone.procedures.rounds import Holding
from steadycone.records import access, keys, opening, rebuild, tables, upkeep, verify, views
from steadycone.records.accounts import Accounts
from steadycone.records.address import Address, read_address
from steadycone.records.beside import comparing
from steadycone.records.commit import Request, read_policy
from steadycone.records.documents import read_document
from steadycone.records.drafts import Drafts
from steadycone.records.engine import check_place, make_engine, writing
from steadycone.records.envelope import New, Receipt, Recorded, read_leaf
from steadycone.records.events import Event, KeyChanged
from steadycone.records.failures import told_plainly
from steadycone.records.heads import SignedHead
from steadycone.records.policy import Due, SitePolicy
from steadycone.records.proof import make_proof
from steadycone.records.rows import Cylinder, Defect, IncidentRow, Item, Paper, Person, Station
from steadycone.records.times import told, utc_now
from steadycone.records.turn import Turn
from steadycone.records.verify import Progress, Verified
from steadycone.records.witness import Witness, read_witness
from steadycone.records.writer import Clock, Ticket, Writer

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    from steadycone.records.backup import Backup
    from steadycone.records.kept_files import KeptFiles


def open_store(address: str | Path | None = None, *, create: bool = True, read_only: bool = False, clock: Clock = utc_now) -> "Store":
    """Open the records, make them, or bring an older version's up to date.

    Parameters
    ----------
    address : a path or postgresql://user@host/database; left out, the setting STEADYCONE_STORE, else the usual place
    create : make a store where there is none
    read_only : write nothing at all, not even an upgrade

    Raises  StoreMissing, StoreTooNew, StoreReadOnly, StoreFull, StoreDown, StoreBroken, RecordLocked. InputError: no address.
    """
    place = read_address(address)
    if place.is_file:
        check_place(place, create=create and not read_only, read_only=read_only)
    engine = make_engine(place, read_only=read_only)
    store = Store(place, engine, read_only, clock)
    try:
        with told_plainly(place.shown):
            opening.prepare(engine, place, store.turn, create=create, read_only=read_only)
    except BaseException:
        store.close()
        raise
    return store


class Store:
    """The records of one or many sites. Close it, or use it in a `with`."""

    def __init__(self, address: Address, engine: Engine, read_only: bool, clock: Clock) -> None:
        self.address, self.engine, self.read_only, self.clock = address, engine, read_only, clock
        self.turn = Turn(address.path)
        self._sites: dict[str, Site] = {}

    def __enter__(self) -> "Store":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Finish what was handed in, and let go of everything."""
        for site in self._sites.values():
            site.close()
        self._sites.clear()
        self.engine.dispose()
        self.turn.close()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one moment."""
        with told_plainly(self.address.shown), self.engine.connect() as connection:
            if not self.address.is_file:  # a file's reader sees one moment anyway
                connection.execution_options(isolation_level="REPEATABLE READ")
            yield connection

    @contextmanager
    def changing(self) -> Iterator[Connection]:
        """A transaction that holds the write lock from its start. Only for what the store does to itself."""
        self.check_writable()
        with told_plainly(self.address.shown), self.turn.taken(), self.engine.connect() as plain:
            connection = writing(plain)
            with connection.begin():
                yield connection

    def check_writable(self) -> None:
        """Raises  StoreReadOnly."""
        if self.read_only:
            raise StoreReadOnly("it was opened to be read", where=self.address.shown, try_="Open it with the right to write.")

    def sites(self) -> list[str]:
        """Names of the sites in it."""
        with self.reading() as connection:
            return [str(name) for (name,) in connection.execute(select(tables.sites.c.name).order_by(tables.sites.c.name))]

    def site(self, name: str | None = None) -> "Site":
        """A site by its name; the only one where none is given.

        Raises  UnknownName: no such site. StoreMissing: none yet. InputError: which of several is meant.
        """
        known = self.sites()
        if name is None:
            if not known:
                raise StoreMissing(
                    "no site is open in these records", where=self.address.shown, try_="Open one first, with its name and region."
                )
            if len(known) > 1:
                raise InputError("there is more than one site", where="site", try_=f"Name one: {', '.join(known)}.")
            name = known[0]
        if name not in known:
            raise UnknownName(f'no site "{name[:60]}"', where="site", try_=nearest(name, known) if known else "Open it first.")
        if name not in self._sites:
            with self.reading() as connection:
                row = connection.execute(select(tables.sites.c.id, tables.sites.c.log).where(tables.sites.c.name == name)).one()
            self._sites[name] = Site(self, name, int(row[0]), str(row[1]))
        return self._sites[name]

    def open_site(self, name: str, *, region: str, author: str, at: datetime | None = None) -> "Site":
        """A site of this name, opened if it is not there. Its first two events are its log's name and key, and the region's policy.

        Raises  UnknownName: no such region. InputError: a name that is none, or a site of another region. StoreError.
        """
        with self.changing() as connection:
            key = keys.load_key(self.address.key)
            if key is None and opening.has_sites(connection):
                raise opening.no_key(self.address)
            opening.open_site(connection, name, region, author, at or self.clock(), self.clock(), key or keys.make_key(self.address.key))
        return self.site(" ".join(name.split()))

    def change_key(self, author: str, why: str, at: datetime) -> list[Receipt]:
        """Sign every log here with another key from now on: the old one is lost, or seen by others.

        The key in this machine's place for it counts where it is another than a log's; where there is none, one is made.

        Raises  Refused: every log is signed with the key that is there. WrongKey. InputError: no name or no reason. StoreError.
        """
        return upkeep.change_key(self, author, why, at)

    @property
    def accounts(self) -> Accounts:
        """Who may log in, and who is logged in. See records/accounts.py."""
        return Accounts(self)

    def backup(self, target: str | Path) -> "Backup":
        """A copy while in use, checked after. See records/backup.py."""
        from steadycone.records.backup import backup

        return backup(self, Path(target))


class Site:
    """One site: its log, and what is true now."""

    def __init__(self, store: Store, name: str, number: int, log: str) -> None:
        self.store, self.name, self.number, self.log = store, name, number, log
        self._writer: Writer | None = None
        self._witness = Witness(store.address.witness(log), self._has_head)
        self._files: KeptFiles | None = None

    def close(self) -> None:
        if self._writer is not None:
            self._writer.close()
            self._writer = None
        self._witness.close()

    @property
    def drafts(self) -> Drafts:
        """Rounds on their way. See records/drafts.py."""
        return Drafts(self)

    @property
    def files(self) -> "KeptFiles":
        """What was filed, by its hash. See records/station_files.py for how it is read and filed."""
        if self._files is None:
            from steadycone.records.kept_files import KeptFiles

            self._files = KeptFiles(self)
        return self._files

    # --- writing ---

    def append(self, *news: New) -> tuple[Receipt, ...]:
        """Record events: all of them together, or none. When it returns, they are on the disk.

        Raises  InputError, Refused: nothing was recorded. StoreError: likewise, and the same call may be made again.
        """
        request = Request(list(news))
        request.prepare()
        self._writing().write(Ticket([request]))
        if request.problem is not None:
            raise request.problem
        return tuple(request.receipts)

    def append_each(self, news: Sequence[New]) -> list[Receipt | InputError]:
        """Record each event for itself, in order: a receipt, or why it was refused.

        Raises  StoreError: some of them may be recorded. The same list again doubles nothing.
        """
        return self._each(news, dry=False)

    def preview(self, news: Sequence[New]) -> list[InputError | None]:
        """What append_each would say. Writes nothing."""
        return [found if isinstance(found, InputError) else None for found in self._each(news, dry=True)]

    def _each(self, news: Sequence[New], *, dry: bool) -> list[Receipt | InputError]:
        from steadycone.records.writer import MOST

        requests = [Request([new]) for new in news]
        fit = [request for request in requests if _is_fit(request)]
        for some in [fit] if dry and fit else _runs(fit, MOST):
            self._writing().write(Ticket(some, dry=dry))
        return [request.problem if request.problem is not None else request.receipts[0] for request in requests]

    def change_key(self, author: str, why: str, at: datetime, path: Path | None = None) -> Receipt:
        """Sign with another key from now on: the old one is lost, or seen by others. `path`: where the new key goes; its file must not exist.

        Raises  WrongKey. InputError: no name or no reason; no key is left then. StoreError.
        """
        self.store.check_writable()
        upkeep.check_reason(author, why)
        return self.sign_with(keys.make_key(path or self.store.address.key), author, why, at)

    def sign_with(self, key: "Ed25519PrivateKey", author: str, why: str, at: datetime) -> Receipt:
        """As change_key, with a key that is there."""
        upkeep.check_reason(author, why)
        request = Request([New(KeyChanged(key=keys.public_hex(key), why=why), author, at)], own=True)
        request.prepare()
        if self._writer is not None:  # it signs with the old one
            self._writer.close()
            self._writer = None
        self._writer_with(key).write(Ticket([request], signer=key))
        if request.problem is not None:
            raise request.problem
        return request.receipts[0]

    def _has_head(self, head: SignedHead) -> bool:
        """Whether this is the head of one of the log's commits: the signature that was given there says so."""
        with self.store.reading() as connection:
            return access.signature_at(connection, self.number, head.size) == head.signature

    def _writing(self) -> Writer:
        if self._writer is None:
            self.store.check_writable()
            key = keys.load_key(self.store.address.key)
            if key is None:
                raise opening.no_key(self.store.address)
            return self._writer_with(key)
        return self._writer

    def _writer_with(self, key: "Ed25519PrivateKey") -> Writer:
        if self._writer is None:
            store = self.store
            self._writer = Writer(store.engine, store.turn, self.number, key, store.clock, self._witness.remember, store.address.shown)
        return self._writer

    # --- reading ---

    @property
    def policy(self) -> SitePolicy:
        with self.store.reading() as connection:
            return read_policy(access.site_row(connection, self.number)["policy"])

    @property
    def size(self) -> int:
        """Events in the log."""
        with self.store.reading() as connection:
            return access.site_size(connection, self.number)

    def items(self, **asked: Any) -> list[Item]:
        """See views.items: state, item, station, search, after, limit, fitted."""
        with self.store.reading() as connection:
            return views.items(connection, self.number, **asked)

    def item(self, mark: str) -> Item:
        """Raises  UnknownName."""
        with self.store.reading() as connection:
            return views.one(connection, self.number, "item", Item, mark)

    def made_up(self, station: Station) -> dict[str, Item]:
        """See views.made_up."""
        with self.store.reading() as connection:
            return views.made_up(connection, self.number, station)

    def due(self, on: date, days: int = 30, limit: int | None = None) -> list[Due]:
        """See views.due."""
        with self.store.reading() as connection:
            return views.due(connection, self.number, on, days, limit)

    def history(self, *, limit: int = 200, before: int | None = None, **named: str | None) -> list[Recorded]:
        """Events about one thing, newest first: mark=, station=, person=, cylinder=, paper=, defect= or incident=."""
        with self.store.reading() as connection:
            return views.history(connection, self.number, before, limit, **named)

    def events(self, first: int = 1, last: int | None = None, kinds: Sequence[str] | None = None) -> Iterator[Recorded]:
        """Events in their order."""
        with self.store.reading() as connection:
            yield from views.events(connection, self.number, first, last, kinds)

    def first_since(self, moment: datetime) -> int:
        """Number of the first event recorded at or after a moment."""
        with self.store.reading() as connection:
            return views.first_since(connection, self.number, moment)

    def event(self, which: str | int) -> Recorded:
        """Raises  UnknownName."""
        with self.store.reading() as connection:
            return read_leaf(access.event_leaf(connection, self.number, which)[1])

    def document(self, hash_: str) -> bytes:
        """Raises  UnknownName. StoreBroken: it was changed."""
        with self.store.reading() as connection:
            return read_document(connection, hash_)

    def stations(self) -> list[Station]:
        with self.store.reading() as connection:
            return views.stations(connection, self.number)

    def station(self, name: str) -> Station:
        """Raises  UnknownName."""
        with self.store.reading() as connection:
            return views.one(connection, self.number, "station", Station, name)

    def sign_off(self, station: str, now: datetime) -> Holding:
        """Whether the station's sign-off still holds at a moment. Raises UnknownName."""
        return views.holding(self.station(station), now)

    def papers(self, what: str | None = None) -> list[Paper]:
        """Charts and policies; `what`: "chart" or "policy" alone."""
        with self.store.reading() as connection:
            return views.papers(connection, self.number, what)

    def paper(self, name: str) -> Paper:
        """Raises  UnknownName."""
        with self.store.reading() as connection:
            return views.one(connection, self.number, "paper", Paper, name)

    def people(self) -> list[Person]:
        with self.store.reading() as connection:
            return views.people(connection, self.number)

    def person(self, name: str) -> Person:
        """Raises  UnknownName."""
        with self.store.reading() as connection:
            return views.one(connection, self.number, "person", Person, name)

    def defects(self, *, open_only: bool = True) -> list[Defect]:
        with self.store.reading() as connection:
            return views.defects(connection, self.number, open_only=open_only)

    def incidents(self, *, open_only: bool = True) -> list[IncidentRow]:
        with self.store.reading() as connection:
            return views.incidents(connection, self.number, open_only=open_only)

    def cylinders(self) -> list[Cylinder]:
        with self.store.reading() as connection:
            return views.cylinders(connection, self.number)

    def corrections(self) -> dict[str, str]:
        """Ids of events that were corrected, each with its newest correction's."""
        with self.store.reading() as connection:
            return views.corrections(connection, self.number)

    # --- trust ---

    def head(self) -> SignedHead:
        """The log's head now, signed when its last event was recorded."""
        with self.store.reading() as connection:
            return _head(access.site_row(connection, self.number))

    def prove(self, which: str | int, at: int | None = None) -> dict[str, Any]:
        """A proof that an event stands in the log, for somebody who holds a head of `at` events (left out: the head now).

        Raises  UnknownName. InputError: that head does not cover the event.
        """
        with self.store.reading() as connection:
            head = _head(access.site_row(connection, self.number))
            sequence, leaf = access.event_leaf(connection, self.number, which)
            size = head.size if at is None else at
            if not sequence <= size <= head.size:
                raise InputError(
                    f"a head of {size} events does not cover event {sequence} of {head.size}",
                    where="at",
                    try_="Leave it out, or name a later head.",
                )
            tree = access.tree(connection, self.number)
            onward = tree.consistency(size, head.size) if size < head.size else []
            return make_proof(leaf, sequence - 1, head, tree.inclusion(sequence - 1, size), size, tree.root(size), onward)

    def verify(
        self,
        heads: Iterable[SignedHead] = (),
        codes: Iterable[str] = (),
        key: str | None = None,
        every_signature: bool = False,
        progress: Progress | None = None,
    ) -> Verified:
        """Check the whole log: see verify.verify. `key` left out: this machine's own, where it has one."""
        if key is None:
            key = opening.trusted_key(self.store.address)
        address = self.store.address
        witness = read_witness(address.witness(self.log))
        with comparing(address, self.number, self.size) as differs, self.store.reading() as connection:
            return verify.verify(
                connection,
                self.number,
                held=heads,
                codes=codes,
                key=key,
                witness=witness,
                every_signature=every_signature,
                progress=progress,
                differs=differs,
            )

    def rebuild(self) -> int:
        """Derive what is true now again from the events; gives their number."""
        with self.store.changing() as connection:
            access.site_row(connection, self.number, lock=True)
            return rebuild.rebuild(connection, self.number)

    def put_right(self, author: str, why: str, at: datetime) -> Receipt:
        """Derive the register again, because it says something else than the events, and record who did so and what it had said.

        Raises  Refused: it says what the events give. WrongKey, StoreError. InputError: no name, no reason.
        """
        return upkeep.put_right(self, author, why, at)

    def check_key(self) -> None:
        """Raises  WrongKey: what signs the log is not there. StoreReadOnly."""
        self._writing()

    def record_own(self, body: Event, author: str, at: datetime) -> Receipt:
        """Record what the store itself did, or its accounts."""
        request = Request([New(body, author, at)], own=True)
        request.prepare()
        self._writing().write(Ticket([request]))
        if request.problem is not None:
            raise request.problem
        return request.receipts[0]

    def stale(self) -> list[str]:
        """Where the tables say something else than the events."""
        with self.store.reading() as connection:
            return rebuild.stale(connection, self.number)

    def lines(self) -> Iterator[str]:
        """The log as JSON lines, documents included. See backup.py."""
        from steadycone.records.backup import site_lines

        with self.store.reading() as connection:
            yield from site_lines(connection, self.number)


def _head(row: Any) -> SignedHead:
    return SignedHead(row["log"], row["name"], row["size"], row["root"], told(row["last_at"]), row["public_key"], row["signature"])


def _is_fit(request: Request) -> bool:
    """Whether it can be handed in at all; if not, its problem says why."""
    try:
        request.prepare()
    except InputError as error:
        request.problem = error
        return False
    return True


def _runs(requests: list[Request], most: int) -> Iterator[list[Request]]:
    """Requests in commits: many at once, those that must be alone alone."""
    run: list[Request] = []
    for request in requests:
        if run and (request.alone or run[-1].alone or len(run) >= most):
            yield run
            run = []
        run.append(request)
    if run:
        yield run


__all__ = ["Site", "Store", "open_store"]
