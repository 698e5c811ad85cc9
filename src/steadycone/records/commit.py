"""One transaction: a batch of requests judged one after another, sealed, put into the tree, signed, and laid over what is true now."""

from dataclasses import dataclass, field
from datetime import datetime
from functools import cache, lru_cache, partial
from typing import TYPE_CHECKING, Any

import msgspec
from sqlalchemy import Connection, select

from steadycone.errors import InputError, WrongKey
from steadycone.records import access, heads, tables, views
from steadycone.records.documents import read_document, save_documents
from steadycone.records.due import finished
from steadycone.records.envelope import New, Receipt, Recorded, body_json, document_hash, leaf, made_by
from steadycone.records.events import Correction, KeyChanged, PolicyChanged
from steadycone.records.filed import Filed
from steadycone.records.fold import Subject, subjects
from steadycone.records.heads import SignedHead
from steadycone.records.keys import public_hex
from steadycone.records.merkle import Frontier, leaf_hash
from steadycone.records.names import key
from steadycone.records.policy import SitePolicy
from steadycone.records.rows import Item
from steadycone.records.rules import allowed, apply, check_form, needs, needs_more
from steadycone.records.times import SLACK, told
from steadycone.records.world import World

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey


@lru_cache(maxsize=16)
def read_policy(text: str) -> SitePolicy:
    """A policy as a site's row has it."""
    return msgspec.json.decode(text, type=SitePolicy)


@dataclass
class Request:
    """Events that go in together. After the batch one of `receipts` and `problem` is set.

    own : written by the store itself, so that no rule of a person's events applies
    """

    news: list[New]
    own: bool = False
    texts: list[bytes] = field(default_factory=list)  # canonical JSON of the bodies as given, made before anybody waits for the lock
    receipts: list[Receipt] = field(default_factory=list)
    problem: InputError | None = None

    def prepare(self) -> None:
        """The slow half of recording that needs no lock.

        Raises  InputError: an event that can't be written at all.
        """
        for new in self.news:
            check_form(new)
            self.texts.append(body_json(new.body))

    @property
    def alone(self) -> bool:
        """Whether nothing else may be in its batch: it looks at history, or changes the rules for the others."""
        return self.own or any(isinstance(new.body, Correction | PolicyChanged) for new in self.news)


@dataclass
class Sealed:
    """An event with its place in the log."""

    event: Recorded
    leaf: str
    hash: bytes
    documents: dict[str, bytes]


class Batch:
    """Everything one transaction does to one site."""

    def __init__(self, connection: Connection, site: int, signer: "Ed25519PrivateKey", now: datetime, requests: list[Request]) -> None:
        self.connection, self.site, self.signer, self.requests = connection, site, signer, requests
        self.news = [new for request in requests for new in request.news]
        wanted = [subject for new in self.news for subject in needs(new)]
        self.row, self.known, rows = access.first_look(connection, site, [new.id for new in self.news], wanted)
        self.frontier = Frontier.of_bytes(self.row["size"], self.row["frontier"])
        self.before = read_policy(self.row["policy"])
        last: datetime = self.row["last_at"]
        self.clock = told(now) if last - now > SLACK else ""
        self.at = told(max(now, last))
        self.world = World(self.before, now, self._fetch, self._history, self._read, self._cylinders)
        self.world.take(rows)
        self.sealed: list[Sealed] = []
        self._made = made_by()

    def run(self) -> SignedHead | None:
        """Judge, seal and write. None where every request was refused or known already: then nothing was written."""
        self._check_key()
        self._read_more()
        for request in self.requests:
            self._take(request, self.known)
        if not self.sealed:
            self._give(self._last_head())
            return None
        head = self._write()
        self._give(head)
        return head

    @property
    def count(self) -> int:
        """Events that went in."""
        return len(self.sealed)

    def _check_key(self) -> None:
        changing = any(isinstance(new.body, KeyChanged) for new in self.news)
        if not changing and public_hex(self.signer) != self.row["public_key"]:
            raise WrongKey(
                "the key on this machine is not the one that signs this log",
                where=self.row["name"],
                try_="Put the right key in place (STEADYCONE_KEY), or change the log's key with a reason.",
            )

    def _read_more(self) -> None:
        """What hangs on the rows read first."""
        news = [new for new in self.news if new.id not in self.known]
        self.world.load(needs_more(self.world, news))

    def _fetch(self, about: str, keys: list[str]) -> Any:
        return access.rows_by_key(self.connection, self.site, about, keys)

    def _history(self, subject: Subject) -> list[Recorded]:
        return access.history(self.connection, self.site, subject)

    def _read(self, hash_: str) -> bytes:
        """A document that was kept before, or comes with this batch."""
        given = next((data for new in self.news for data in new.documents.values() if document_hash(data) == hash_), None)
        return read_document(self.connection, hash_) if given is None else given

    def _cylinders(self) -> Any:
        return views.cylinders(self.connection, self.site)

    def _find(self, id_: str) -> Recorded | None:
        return access.events_by_id(self.connection, self.site, [id_]).get(id_)

    def _take(self, request: Request, known: dict[str, Recorded]) -> None:
        """Judge one request. All of it goes in, or nothing."""
        count = len(self.sealed)
        request.receipts, request.problem = [], None
        try:
            if any(new.id in known for new in request.news):
                _check_same(request, known)
                request.receipts = [_pending(known[new.id], known=True) for new in request.news]
                return
            with self.world.all_or_nothing():
                for new, text in zip(request.news, request.texts, strict=True):
                    body = new.body if request.own else allowed(self.world, new, self._find)
                    self._seal(new, body, text if body == new.body else body_json(body))
            request.receipts = [_pending(sealed.event) for sealed in self.sealed[count:]]
            for new in request.news:
                known[new.id] = next(sealed.event for sealed in self.sealed[count:] if sealed.event.id == new.id)
        except InputError as error:
            del self.sealed[count:]
            request.problem = error

    def _seal(self, new: New, body: Any, body_text: bytes) -> None:
        event = Recorded(
            author=" ".join(new.author.split()),
            body=body,
            documents={name: document_hash(data) for name, data in new.documents.items()},
            happened_at=told(new.happened_at, "happened_at"),
            id=new.id,
            recorded_at=self.at,
            sequence=self.frontier.size + len(self.sealed) + 1,
            site=self.row["name"],
            clock=self.clock,
            **self._made,
        )
        text = leaf(event, body_text)
        apply(self.world, event)
        self.sealed.append(Sealed(event, text, leaf_hash(text.encode()), {document_hash(data): data for data in new.documents.values()}))

    def _write(self) -> SignedHead:
        nodes = [node for sealed in self.sealed for node in self.frontier.add(sealed.hash)]
        head = self._signed_head()
        with access.together(self.connection):
            self._write_log(nodes, head)
            self._write_derived()
        if self.world.policy != self.before:
            refinish(self.connection, self.site, self.world.policy)
        return head

    def _signed_head(self) -> SignedHead:
        size, root, log = self.frontier.size, self.frontier.root(), self.row["log"]
        signature = heads.sign(self.signer, log, size, root, self.at)
        return SignedHead(log, self.row["name"], size, root, self.at, public_hex(self.signer), signature)

    def _write_log(self, nodes: list[tuple[int, int, bytes]], head: SignedHead) -> None:
        connection, site = self.connection, self.site
        access.put(connection, tables.events, [_columns(site, sealed, head) for sealed in self.sealed])
        access.put(
            connection, tables.nodes, [{"site_id": site, "level": level, "position": at, "hash": hash_} for level, at, hash_ in nodes]
        )
        documents = {hash_: data for sealed in self.sealed for hash_, data in sealed.documents.items()}
        if documents:
            save_documents(connection, documents)
        changed: dict[str, Any] = {
            "size": head.size,
            "frontier": self.frontier.to_bytes(),
            "root": head.root,
            "last_at": self.at,
            "signature": head.signature,
            "public_key": head.key,
        }
        if self.world.policy is not self.before:
            changed["policy"] = access.encode_policy(self.world.policy).decode()
        access.save_site(connection, site, changed)

    def _write_derived(self) -> None:
        events = [sealed.event for sealed in self.sealed]
        access.save_mentions(self.connection, self.site, [(event.sequence, subjects(event)) for event in events])
        access.save_rows(self.connection, self.site, [(subject, self.world.get(subject)) for subject in self.world.dirty])

    def _last_head(self) -> SignedHead:
        row = self.row
        return SignedHead(row["log"], row["name"], row["size"], row["root"], told(row["last_at"]), row["public_key"], row["signature"])

    def _give(self, head: SignedHead) -> None:
        for request in self.requests:
            request.receipts = [
                msgspec.structs.replace(receipt, head=head, warnings=_warnings(receipt.event)) for receipt in request.receipts
            ]


def _pending(event: Recorded, *, known: bool = False) -> Receipt:
    return Receipt(event=event, head=SignedHead("", "", 0, b"", "", "", b""), known=known)


def _warnings(event: Recorded) -> tuple[str, ...]:
    if not event.clock:
        return ()
    return (
        f"The clock of this machine says {event.clock[:16]}Z, which is before the last event. It was recorded under {event.recorded_at[:16]}Z "
        "with the clock's time beside it; the order is that of the numbers. Set the clock.",
    )


def _check_same(request: Request, known: dict[str, Recorded]) -> None:
    """Raises  InputError: an id that belongs to another event."""
    for new in request.news:
        old = known.get(new.id)
        if old is None or old.kind != new.body.__struct_config__.tag or key(old.author) != key(new.author):
            raise InputError("this id is of another event", where=f"id {new.id}", try_="Leave the id out: each event gets its own.")


def _columns(site: int, sealed: Sealed, head: SignedHead) -> dict[str, Any]:
    event = sealed.event
    return {
        "site_id": site,
        "sequence": event.sequence,
        "id": event.id,
        "kind": event.kind,
        "recorded_at": event.recorded_at,
        "happened_at": event.happened_at,
        "author": event.author,
        "leaf": sealed.leaf,
        "hash": sealed.hash,
        "signature": head.signature if event.sequence == head.size else None,
    }


def filed_of(connection: Connection, site: int) -> Filed:
    """What the stations' files say now, asked row by row and kept."""

    def row(about: str, name: str) -> Any:
        return next(access.rows_by_key(connection, site, about, [key(name)]), None)

    return Filed(cache(partial(row, "station")), cache(partial(row, "paper")), partial(read_document, connection))


def refinish(connection: Connection, site: int, policy: SitePolicy) -> None:
    """Work out again when every item is due: the policy changed."""
    table, filed = tables.derived["item"], filed_of(connection, site)
    last = ""
    while True:
        asked = select(*(table.c[name] for name in Item.__struct_fields__)).where(table.c.site_id == site, table.c.key > last)
        found = [access.made("item", values) for values in connection.execute(asked.order_by(table.c.key).limit(2000))]
        if not found:
            return
        after = [(item, finished(item, policy, filed.policy(item.station))) for item in found if isinstance(item, Item)]
        access.save_rows(connection, site, [(("item", new.key), new) for old, new in after if new is not old])
        last = found[-1].key
