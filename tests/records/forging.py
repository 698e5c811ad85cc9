"""A log forged by somebody who holds the key: events changed, every hash and every signature made to fit again."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from steadycone.records import heads
from steadycone.records.envelope import read_header
from steadycone.records.heads import SignedHead
from steadycone.records.keys import public_hex
from steadycone.records.merkle import Frontier, leaf_hash

if TYPE_CHECKING:
    from tests.records.conftest import Yard

Line = tuple[str, bool]  # a leaf, and whether its head was signed


def leaves(yard: "Yard") -> list[Line]:
    """The log as it is."""
    lines = [json.loads(line) for line in yard.site.lines()]
    return [(line["leaf"], line["signature"] is not None) for line in lines if "leaf" in line]


def signed_again(yard: "Yard", changed: list[Line], key: Ed25519PrivateKey) -> tuple[list[str], SignedHead]:
    """SQL that puts these events in the place of the log's, with every hash, node and signature by this key; and the head it ends with."""
    frontier, rows, nodes = Frontier(), [], []
    log, root, at, signature = yard.site.log, b"", "", b""
    for leaf, signs in changed:
        header, digest = read_header(leaf), leaf_hash(leaf.encode())
        nodes += frontier.add(digest)
        root, at = frontier.root(), header.recorded_at
        signature = heads.sign(key, log, frontier.size, root, at) if signs else b""
        values = [header.id, header.kind, header.recorded_at, header.happened_at, header.author, leaf]
        told = ", ".join("'" + value.replace("'", "''") + "'" for value in values)
        kept = f"X'{signature.hex()}'" if signs else "NULL"
        rows.append(
            "INSERT INTO events (site_id, sequence, id, kind, recorded_at, happened_at, author, leaf, hash, signature) "
            f"SELECT id, {header.sequence}, {told}, X'{digest.hex()}', {kept} FROM sites"
        )
    size = frontier.size
    site = (
        f"UPDATE sites SET size = {size}, frontier = X'{frontier.to_bytes().hex()}', root = X'{root.hex()}', last_at = '{at}', "
        f"signature = X'{signature.hex()}', public_key = '{public_hex(key)}'"
    )
    kept_nodes = [f"INSERT INTO nodes SELECT id, {level}, {place}, X'{hash_.hex()}' FROM sites" for level, place, hash_ in nodes]
    head = SignedHead(log, yard.site.name, size, root, at, public_hex(key), signature)
    return ["DELETE FROM events", "DELETE FROM nodes", *rows, *kept_nodes, site], head


def signed_anew(yard: "Yard", path: Path) -> Path:
    """A backup as lines of the yard's log under another key, its last event by another author."""
    key, frontier = Ed25519PrivateKey.generate(), Frontier()
    old = yard.site.head()
    lines = [json.loads(line) for line in yard.site.lines()]
    count = sum("leaf" in line for line in lines)
    for line in lines:
        if "leaf" not in line:
            continue
        line["leaf"] = line["leaf"].replace(old.key, public_hex(key))
        header = read_header(line["leaf"])
        if header.sequence == count:
            line["leaf"] = line["leaf"].replace('{"author":"M. Reyes"', '{"author":"N. Reyes"')
        frontier.add(leaf_hash(line["leaf"].encode()))
        if line["signature"] is not None:
            line["signature"] = heads.sign(key, old.log, frontier.size, frontier.root(), header.recorded_at).hex()
            last = header.recorded_at, line["signature"]
    head = SignedHead(old.log, old.site, frontier.size, frontier.root(), last[0], public_hex(key), bytes.fromhex(last[1]))
    lines[0]["head"] = json.loads(head.text)
    path.write_text("".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines))
    return path


__all__ = ["leaves", "signed_again", "signed_anew"]
