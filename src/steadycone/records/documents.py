"""Papers beside the log: each once, under the hash that the event names."""

import zlib

from sqlalchemy import Connection, select

from steadycone.errors import StoreBroken, UnknownName
from steadycone.records import tables
from steadycone.records.access import put
from steadycone.records.envelope import LARGEST, document_hash


def save_documents(connection: Connection, documents: dict[str, bytes]) -> None:
    """Keep what is not there yet."""
    put(connection, tables.documents, [{"hash": hash_, "content": zlib.compress(data, 6)} for hash_, data in documents.items()], "ignore")


def read_document(connection: Connection, hash_: str) -> bytes:
    """A document by its hash.

    Raises  UnknownName: not there. StoreBroken: it is not what was kept.
    """
    asked = select(tables.documents.c.content).where(tables.documents.c.hash == hash_)
    found = connection.execute(asked).scalar() if hash_.isprintable() else None
    if found is None:
        raise UnknownName(f'no document "{hash_[:80]}"', where="document", try_="Give a hash that an event names.")
    data = unpacked(bytes(found))
    if data is None or document_hash(data) != hash_:
        raise StoreBroken("a document is not what was recorded", where=hash_, try_="Run log verify, and restore it from a backup.")
    return data


def unpacked(content: bytes) -> bytes | None:
    """None where it can't be unpacked, or is larger than anything that is kept."""
    unpacking = zlib.decompressobj()
    try:
        data = unpacking.decompress(content, LARGEST + 1)
    except zlib.error:
        return None
    return data if unpacking.eof and len(data) <= LARGEST else None
