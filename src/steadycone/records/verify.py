"""Whether a log is what was recorded: every event hashed again, the tree built again, heads and signatures held against it."""

import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import msgspec
from sqlalchemy import Connection, select

from steadycone.errors import BadFile
from steadycone.records import access, heads, rebuild, tables
from steadycone.records.documents import unpacked
from steadycone.records.envelope import document_hash, read_header, read_leaf
from steadycone.records.events import KeyChanged, SiteOpened
from steadycone.records.heads import SignedHead, code, read_code
from steadycone.records.memory import no_collecting
from steadycone.records.merkle import TILE, TILE_LEVELS, Frontier, Tree, fold_tile, folded, in_memory, leaf_hash
from steadycone.records.times import told

Progress = Callable[[int, int], None]
_COLUMNS = "sequence, id, kind, recorded_at, happened_at, author, leaf, hash, signature IS NOT NULL"
_PAGE = 256  # rows at once: more do not stay in the processor's own memory until they are looked at
_TELL = 4096  # events between two words of progress
_MOST = 20  # differences of the register that are told one by one


@dataclass(frozen=True, slots=True)
class Problem:
    """The first event that is not what was recorded (None: no single event can be named), and what is wrong."""

    sequence: int | None
    says: str
    cut: bool = False  # nothing speaks against what is there: what came after it is missing


@dataclass(frozen=True, slots=True)
class Verified:
    """What was found. `problems`: the first bad event first, then what else does not fit. `notices`: what nobody could check here."""

    site: str
    size: int
    head: SignedHead | None
    problems: tuple[Problem, ...]
    notices: tuple[str, ...]
    seconds: float

    @property
    def sound(self) -> bool:
        return not self.problems

    @property
    def events_per_second(self) -> float:
        return self.size / self.seconds if self.seconds else 0.0


@dataclass
class _Found:
    """What one pass over the events gives."""

    leaves: list[bytes] = field(default_factory=list)
    tiles: list[bytes] = field(default_factory=list)
    keys: list[tuple[int, str]] = field(default_factory=list)  # from this event on, this key signs
    documents: dict[str, int] = field(default_factory=dict)  # hash: first event that names it
    log: str = ""
    bare: int = 0  # the first event that ended a commit and has no signature: those of one commit were recorded at one moment
    problem: Problem | None = None

    def tree(self) -> Tree:
        while (done := len(self.tiles) * TILE) + TILE <= len(self.leaves):
            self.tiles.append(fold_tile(self.leaves[done : done + TILE]))
        return in_memory(self.leaves, {TILE_LEVELS: self.tiles})

    def key_at(self, size: int) -> str:
        return next((key for first, key in reversed(self.keys) if first <= size), "")


def verify(
    connection: Connection,
    site: int,
    *,
    held: Iterable[SignedHead] = (),
    codes: Iterable[str] = (),
    key: str | None = None,
    witness: SignedHead | None = None,
    every_signature: bool = False,
    progress: Progress | None = None,
    differs: Callable[[Connection], list[str]] | None = None,
) -> Verified:
    """Check a whole log, and that the register says what its events give.

    Parameters
    ----------
    held, codes : heads that were kept elsewhere, or their codes from paper: what they covered must still be there
    key : public key (hex) that is trusted to sign this log; left out, the one the log names is believed, and a notice says so
    witness : the last head this machine saw
    differs : where the register says something else than the events; left out, it is worked out here, once the events are found sound

    Raises  InputError: a code that is none.
    """
    start = time.perf_counter()
    row = access.site_row(connection, site)
    with no_collecting():
        found = _walk(connection, site, row["name"], int(row["size"]), progress)
    problems = [*_first(connection, site, found, int(row["size"])), *_against_row(found, row), *_nodes(connection, site, found)]
    size, tree = len(found.leaves), found.tree()
    problems += _held(found, tree, [*held, *([witness] if witness else [])]) + _coded(found, tree, codes)
    if every_signature and not problems:
        problems += [
            Problem(at, f"the signature of event {at} does not hold")
            for at in _signed(connection, site, size)
            if not _holds(connection, site, found, tree, at)
        ][:1]
    problems += _documents(connection, found)
    notices = []
    if not problems and (register := _register(connection, differs or (lambda connection: rebuild.stale(connection, site)))):
        problems += register
        notices.append("The events themselves hold. log rebuild makes the register from them again, and the log keeps who did it and why.")
    if key is None:
        notices.append("No key was given: the key that the log itself names was believed. Keep its public key, or a head, elsewhere.")
    elif found.keys and key != found.key_at(size):
        problems.append(Problem(None, "the log is signed with another key than the one that is trusted here"))
    notices += [f"From event {first} on another key signs." for first, _ in found.keys[1:]]
    if witness is None:
        notices.append("This machine has seen no earlier head of this log: events cut off at the end would not show without one.")
    head = None if problems else _head(row)
    ordered = sorted(dict.fromkeys(problems), key=lambda problem: problem.sequence if problem.sequence is not None else 1 << 62)
    return Verified(row["name"], size, head, tuple(ordered), tuple(notices), time.perf_counter() - start)


def _head(row: Any) -> SignedHead:
    return SignedHead(row["log"], row["name"], row["size"], row["root"], told(row["last_at"]), row["public_key"], row["signature"])


# --- the walk ---------------------------------------------------------------------


def _walk(connection: Connection, site: int, name: str, size: int, progress: Progress | None) -> _Found:
    """Every event in order, up to the first that is not as recorded. The inner loop is what a million events go through."""
    found = _Found()
    leaves, documents, expected = found.leaves, found.documents, 0
    hash_leaf, add, header_of = leaf_hash, leaves.append, read_header
    before, signed = "", 1
    for page in _pages(connection, site):
        for sequence, id_, kind, recorded_at, happened_at, author, leaf, kept, has_signature in page:
            if not signed and recorded_at != before and not found.bare:
                found.bare = expected
            before, signed = recorded_at, has_signature
            expected += 1
            digest = hash_leaf(leaf.encode())
            if sequence != expected or digest != kept:
                found.problem = _broken(sequence, expected, leaf)
                return found
            try:
                header = header_of(leaf)
            except msgspec.MsgspecError:
                found.problem = Problem(sequence, f"event {sequence} can't be read")
                return found
            if (header.sequence, header.id, header.kind, header.recorded_at, header.happened_at, header.author, header.site) != (
                sequence, id_, kind, recorded_at, happened_at, author, name,
            ):  # fmt: skip
                found.problem = _columns(sequence, header.sequence, header.site, name)
                return found
            add(digest)
            for hash_ in header.documents.values():
                documents.setdefault(hash_, sequence)
            if kind == "key-changed" or sequence == 1:
                _key(found, leaf, sequence)
        if progress is not None and len(leaves) % _TELL < _PAGE:
            progress(len(leaves), size)
    return found


def _pages(connection: Connection, site: int) -> Iterator[Sequence[tuple[Any, ...]]]:
    """The events' columns straight from the driver: half of the time would else go into dressing up rows."""
    driver: Any = connection.connection.driver_connection
    if connection.dialect.name == "postgresql":
        with driver.cursor(name="steadycone_verify", binary=True) as cursor:
            cursor.execute(f"SELECT {_COLUMNS} FROM events WHERE site_id = %s ORDER BY sequence", (site,))  # noqa: S608 - our own columns
            while page := cursor.fetchmany(_PAGE):
                yield page
        return
    cursor = driver.execute(f"SELECT {_COLUMNS} FROM events WHERE site_id = ? ORDER BY sequence", (site,))  # noqa: S608 - our own columns
    while page := cursor.fetchmany(_PAGE):
        yield page


def _broken(sequence: int, expected: int, leaf: str) -> Problem:
    if sequence > expected:
        return Problem(expected, f"event {expected} is missing: it was removed")
    return Problem(sequence, f"event {sequence} was edited: it is not what was recorded")


def _columns(sequence: int, own: int, own_site: str, name: str) -> Problem:
    if own_site != name:
        return Problem(sequence, f'event {sequence} was put in here: it is of the site "{own_site[:60]}"')
    if own != sequence:
        return Problem(sequence, f"event {sequence} was moved here: it calls itself {own}")
    return Problem(sequence, f"event {sequence} was edited: what stands beside it is not what it says")


def _key(found: _Found, leaf: str, sequence: int) -> None:
    body = read_leaf(leaf).body
    if isinstance(body, SiteOpened) and sequence == 1:
        found.log = body.log
        found.keys.append((sequence, body.key))
    if isinstance(body, KeyChanged):
        found.keys.append((sequence, body.key))


# --- signatures -------------------------------------------------------------------


def _first(connection: Connection, site: int, found: _Found, told: int) -> list[Problem]:
    """The first event that is not as recorded: what the walk met, unless a signature before it fails already. told : the row's own size"""
    size, tree = len(found.leaves), found.tree()
    if size and not found.keys:
        return [Problem(1, "event 1 does not open a log")]
    signed = _signed(connection, site, size)
    last = signed[-1] if signed else 0
    if signed and not _holds(connection, site, found, tree, last):
        return [_unsigned(connection, site, found, tree, signed)]
    if found.problem is not None:
        return [found.problem]
    if told > size:
        return []  # cut off: the row beside tells from where, and the last event left is not to blame
    if last < size:
        return [Problem(last + 1, f"event {last + 1} was put in: no signature covers it")]
    if found.bare:
        return [Problem(found.bare, f"the signature given with event {found.bare} was removed")]
    return []


def _signed(connection: Connection, site: int, size: int) -> list[int]:
    """Sizes at which a head was signed."""
    columns = tables.events.c
    asked = select(columns.sequence).where(columns.site_id == site, columns.signature.is_not(None), columns.sequence <= size)
    return [int(found) for (found,) in connection.execute(asked.order_by(columns.sequence))]


def _holds(connection: Connection, site: int, found: _Found, tree: Tree, size: int) -> bool:
    columns = tables.events.c
    asked = select(columns.signature, columns.recorded_at).where(columns.site_id == site, columns.sequence == size)
    signature, at = connection.execute(asked).one()
    return heads.signed(found.key_at(size), bytes(signature), found.log, size, tree.root(size), told(at))


def _unsigned(connection: Connection, site: int, found: _Found, tree: Tree, signed: list[int]) -> Problem:
    """By halves to the first signature that fails: before it all is sound, so the bad event is one of those it covers alone."""
    low, high = 0, len(signed) - 1
    while low < high:
        middle = (low + high) // 2
        if _holds(connection, site, found, tree, signed[middle]):
            low = middle + 1
        else:
            high = middle
    first, last = (signed[low - 1] + 1 if low else 1), signed[low]
    named = f"event {first} was" if first == last else f"one of the events {first} to {last}, recorded together, was"
    return Problem(first, f"{named} edited, and its hashes with it: the signature given at that moment does not hold")


# --- what stands beside the events ---------------------------------------------------


def _against_row(found: _Found, row: Any) -> list[Problem]:
    """The site's own row: size, right edge, root, signature."""
    size = len(found.leaves)
    if found.problem is not None:
        return []
    if row["size"] > size:
        return [Problem(size + 1, f"events {size + 1} to {row['size']} are missing: the log was cut off")]
    tree = found.tree()
    frontier = Frontier.of_bytes(row["size"], row["frontier"]) if len(row["frontier"]) == 32 * int(row["size"]).bit_count() else None
    root = tree.root(size)
    if row["size"] < size or row["root"] != root or frontier is None or frontier.root() != root or row["log"] != found.log:
        return [Problem(None, "the site's own row does not fit its events")]
    if row["public_key"] != found.key_at(size) or not _head(row).signed_by():
        return [Problem(None, "the site's own head is not signed by the log's key")]
    return []


def _nodes(connection: Connection, site: int, found: _Found) -> list[Problem]:
    """The subtrees' hashes that were written down."""
    if found.problem is not None:
        return []
    level, hashes = TILE_LEVELS, list(found.tiles)
    while hashes:
        columns = tables.nodes.c
        asked = select(columns.position, columns.hash).where(columns.site_id == site, columns.level == level).order_by(columns.position)
        kept = [(int(position), bytes(hash_)) for position, hash_ in connection.execute(asked)]
        if kept != list(enumerate(hashes)):
            return [Problem(None, "the hashes kept for proofs do not fit the events")]
        level, hashes = level + TILE_LEVELS, folded(hashes)
    return []


def _held(found: _Found, tree: Tree, held: list[SignedHead]) -> list[Problem]:
    """Heads from elsewhere: the log must still begin with what they covered."""
    size = len(found.leaves)
    sound: list[int] = []
    problems = []
    for head in sorted(held, key=lambda head: head.size):
        if not head.signed_by():
            problems.append(Problem(None, f"a head of {head.size} events that was given is not signed"))
        elif head.log != found.log:
            problems.append(Problem(None, f"the head of {head.size} events is of another log"))
        elif head.size > size:
            if found.problem is None:
                problems.append(
                    Problem(size + 1, f"events {size + 1} to {head.size} are missing: a head of {head.size} events was seen", cut=True)
                )
        elif head.root != tree.root(head.size):
            first = sound[-1] + 1 if sound else 1
            problems.append(Problem(None, f"an event from {first} to {head.size} is another one than when that head was signed"))
        else:
            sound.append(head.size)
    return problems[:1]


def _coded(found: _Found, tree: Tree, codes: Iterable[str]) -> list[Problem]:
    problems = []
    for text in codes:
        size, tidy = read_code(text)
        if size > len(found.leaves):
            problems.append(
                Problem(len(found.leaves) + 1, f"the log has {len(found.leaves)} events; the code {tidy} was given for {size}", cut=True)
            )
        elif code(found.log, size, tree.root(size)) != tidy:
            problems.append(Problem(None, f"the first {size} events are not those the code {tidy} was given for"))
    return problems


def _documents(connection: Connection, found: _Found) -> list[Problem]:
    """Every paper that an event names is there, and is what it was."""
    problems = []
    wanted = sorted(found.documents.items(), key=lambda pair: pair[1])
    columns = tables.documents.c
    for some in access.chunks([hash_ for hash_, _ in wanted], 50):
        kept = {
            hash_: bytes(data)
            for hash_, data in connection.execute(select(columns.hash, columns.content).where(columns.hash.in_(list(some))))
        }
        for hash_ in some:
            data = unpacked(kept[hash_]) if hash_ in kept else None
            if data is None or document_hash(data) != hash_:
                at = found.documents[hash_]
                what = "was changed" if hash_ in kept else "is missing"
                problems.append(Problem(at, f"a document of event {at} {what}"))
    return problems[:1]


# --- the register --------------------------------------------------------------------


def _register(connection: Connection, differs: Callable[[Connection], list[str]]) -> list[Problem]:
    """What the register says that the events do not, and the other way round."""
    try:
        lines = differs(connection)
    except BadFile as error:
        return [Problem(None, f"the register can't be compared with the events: {error.says}")]
    problems = [Problem(None, f"the register does not say what the events give: {line}") for line in lines[:_MOST]]
    left = len(lines) - _MOST
    return problems + ([Problem(None, f"the register differs from the events in {left:,} more places")] if left > 0 else [])


__all__ = ["Problem", "Progress", "Verified", "verify"]
