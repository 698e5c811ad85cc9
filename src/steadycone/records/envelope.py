"""An event with everything that makes it provable: who, when, with which program and tables. Its canonical JSON is a leaf of the log."""

import hashlib
import re
from datetime import datetime
from typing import Any, Literal

import msgspec

from steadycone import __version__
from steadycone.errors import BadFile, InputError
from steadycone.records import canonical
from steadycone.records.events import Body, Event, kind_of
from steadycone.records.heads import SignedHead
from steadycone.records.times import new_id

FORMAT = "steadycone-event/1"
LARGEST = 16_000_000  # bytes of one document
_ID = re.compile(r"[A-Za-z0-9-]{8,64}")


class New(msgspec.Struct, frozen=True):
    """An event to be recorded.

    author : the person who answers for it
    happened_at : when it was so, with its zone; never in the future
    id : left out, a fresh one. Recording the same id again gives the first receipt and writes nothing
    known_by : how whoever hands it in knows that the author is that person: "session" (signed in), "password" (asked for again), or empty,
        a name that somebody typed
    documents : name to bytes, such as {"report": b"..."}; kept once each, and their hashes stand in the event
    """

    body: Event
    author: str
    happened_at: datetime
    id: str = msgspec.field(default_factory=new_id)
    documents: dict[str, bytes] = {}
    known_by: Literal["", "session", "password"] = ""


class Recorded(msgspec.Struct, frozen=True, kw_only=True):
    """An event as the log has it. `clock`: what the clock said, where it stood before the last event's time; `recorded_at` never goes back."""

    author: str
    body: Body
    data: str
    documents: dict[str, str] = {}
    happened_at: str
    id: str
    program: str
    recorded_at: str
    sequence: int
    site: str
    clock: str = ""

    @property
    def kind(self) -> str:
        return kind_of(self.body)


class Receipt(msgspec.Struct, frozen=True, kw_only=True):
    """What recording gave. `head` covers the event. `known`: it was recorded before. `warnings`: what a person should be told."""

    event: Recorded
    head: SignedHead
    known: bool = False
    warnings: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        return self.event.id

    @property
    def sequence(self) -> int:
        return self.event.sequence


class Header(msgspec.Struct, frozen=True):
    """What the columns beside an event repeat. The rest of it is passed over."""

    author: str
    happened_at: str
    id: str
    kind: str
    recorded_at: str
    sequence: int
    site: str
    documents: dict[str, str] = {}


read_header = msgspec.json.Decoder(Header).decode


_FORMAT_KEY = f'"format":"{FORMAT}"'  # stands so in a leaf, and quoted otherwise in any text inside it
_read = msgspec.json.Decoder(Recorded).decode


class _Flat(msgspec.Struct, frozen=True):
    """What every format of an event has."""

    format: str


def body_json(body: Event) -> bytes:
    """Canonical JSON of a body, its kind included.

    Raises  InputError: with a zero character, which no database keeps in a text, or half a character.
    """
    found = canonical.dumps(msgspec.to_builtins(body))
    if b"\\u0000" in found:
        raise InputError("a zero character in the text", where=kind_of(body), try_="Write plain text.")
    return found


def leaf(event: Recorded, body: bytes) -> str:
    """Canonical JSON of an event, from its body's. Every key is plain ASCII and in order, so putting them together is enough."""
    text = canonical.text
    clock = f'"clock":{text(event.clock)},' if event.clock else ""
    documents = f'"documents":{canonical.dumps(event.documents).decode()},' if event.documents else ""
    return (
        f'{{"author":{text(event.author)},"body":{body.decode()},{clock}"data":{text(event.data)},{documents}'
        f'"format":"{FORMAT}","happened_at":"{event.happened_at}","id":{text(event.id)},"kind":"{event.kind}",'
        f'"program":"{event.program}","recorded_at":"{event.recorded_at}","sequence":{event.sequence},"site":{text(event.site)}}}'
    )


def read_leaf(text: str) -> Recorded:
    """The event that a leaf holds.

    Raises  BadFile: not an event, or of a kind this program does not know.
    """
    try:
        if _FORMAT_KEY not in text:
            found = msgspec.json.decode(text, type=_Flat).format
            raise BadFile(f'an event of format "{found[:40]}"', where="event", try_="Read it with the program that wrote it.")
        return _read(text)
    except msgspec.MsgspecError as error:
        raise BadFile(f"this is not an event: {error}", where="event", try_="Run log verify to see whether it was changed.") from error


def document_hash(data: bytes) -> str:
    return "sha256:" + hashlib.sha256(data).hexdigest()


def check_document(name: str, data: bytes) -> None:
    """Raises  InputError: too large, or no name."""
    if not name.strip():
        raise InputError("a document without a name", where="documents", try_='Name it, such as "report".')
    if len(data) > LARGEST:
        raise InputError(f"a document of {len(data):,} bytes", where=name, try_=f"{LARGEST:,} at most.")


def checked_id(text: str) -> str:
    """An id that a caller gave.

    Raises  InputError.
    """
    if not _ID.fullmatch(text):
        raise InputError(
            f'"{text[:70]}" is no id of an event', where="id", try_="Leave it out, or give 8 to 64 letters, digits and dashes."
        )
    return text


def made_by() -> dict[str, Any]:
    """Program version and the hash of its tables, worked out once."""
    from steadycone.data import reader

    return {"program": __version__, "data": reader.fingerprint()}
