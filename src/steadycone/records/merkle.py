"""The Merkle tree of an append-only log, RFC 9162 section 2.1, with SHA-256. No storage: hashes are asked for and given back.

Hashes of whole subtrees are written down at every eighth level only. A tile is the 256 hashes below one of them: one read.
"""

import hashlib
from collections.abc import Callable, Iterator, Sequence

LEAF, NODE = b"\x00", b"\x01"
EMPTY = hashlib.sha256(b"").digest()
TILE_LEVELS = 8
TILE = 1 << TILE_LEVELS

Tile = Callable[[int, int], Sequence[bytes]]  # (level, tile number): hashes of that level from number * 256 on, those that are complete


def leaf_hash(data: bytes) -> bytes:
    """Section 2.1.1."""
    return hashlib.sha256(LEAF + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """Section 2.1.1."""
    return hashlib.sha256(NODE + left + right).digest()


class Frontier:
    """The right edge of a tree: one hash for each set bit of its size, largest subtree first. All that appending needs."""

    __slots__ = ("hashes", "size")

    def __init__(self, size: int = 0, hashes: Sequence[bytes] = ()) -> None:
        self.size, self.hashes = size, list(hashes)
        assert len(self.hashes) == size.bit_count()

    @classmethod
    def of_bytes(cls, size: int, data: bytes) -> "Frontier":
        return cls(size, [data[at : at + 32] for at in range(0, len(data), 32)])

    def to_bytes(self) -> bytes:
        return b"".join(self.hashes)

    def add(self, leaf: bytes) -> Iterator[tuple[int, int, bytes]]:
        """One leaf more. Gives the subtrees it completes that are written down: level, position, hash."""
        hashes, size, current, level = self.hashes, self.size, leaf, 0
        done = []
        while size & 1:
            current = node_hash(hashes.pop(), current)
            size >>= 1
            level += 1
            if level % TILE_LEVELS == 0:
                done.append((level, self.size >> level, current))
        hashes.append(current)
        self.size += 1
        return iter(done)

    def root(self) -> bytes:
        """The tree's hash now."""
        if not self.hashes:
            return EMPTY
        current = self.hashes[-1]
        for left in reversed(self.hashes[:-1]):
            current = node_hash(left, current)
        return current


class Tree:
    """A tree of which the leaf hashes, and those at every eighth level, can be read tile by tile."""

    def __init__(self, tile: Tile) -> None:
        self._tile = tile
        self._tiles: dict[tuple[int, int], Sequence[bytes]] = {}

    def root(self, size: int) -> bytes:
        """Merkle tree hash of the first `size` leaves."""
        return self._range(0, size) if size else EMPTY

    def inclusion(self, index: int, size: int) -> list[bytes]:
        """PATH(index, D[size]), section 2.1.3.1. 0 <= index < size."""
        path: list[bytes] = []
        start, end = 0, size
        while end - start > 1:
            middle = start + _split(end - start)
            if index < middle:
                path.append(self._range(middle, end))
                end = middle
            else:
                path.append(self._range(start, middle))
                start = middle
        return path[::-1]

    def consistency(self, old: int, size: int) -> list[bytes]:
        """PROOF(old, D[size]), section 2.1.4.1. 0 < old < size."""
        path: list[bytes] = []
        start, end, whole = 0, size, True
        while old != end:
            middle = start + _split(end - start)
            if old <= middle:
                path.append(self._range(middle, end))
                end = middle
            else:
                path.append(self._range(start, middle))
                start, whole = middle, False
        if not whole:
            path.append(self._range(start, end))
        return path[::-1]

    def _range(self, start: int, end: int) -> bytes:
        """Hash of leaves start to end; start is a multiple of the power of two that end - start needs."""
        width = end - start
        if width & (width - 1) == 0:
            return self._subtree(width.bit_length() - 1, start // width)
        middle = start + _split(width)
        return node_hash(self._range(start, middle), self._range(middle, end))

    def _subtree(self, level: int, position: int) -> bytes:
        base, above = level - level % TILE_LEVELS, level % TILE_LEVELS
        first = position << above
        place = (base, first >> TILE_LEVELS)
        if place not in self._tiles:
            self._tiles[place] = self._tile(*place)
        at = first & (TILE - 1)
        return fold_tile(self._tiles[place][at : at + (1 << above)])


def fold_tile(hashes: Sequence[bytes]) -> bytes:
    """The hash over a power of two of hashes."""
    while len(hashes) > 1:
        hashes = [node_hash(hashes[at], hashes[at + 1]) for at in range(0, len(hashes), 2)]
    return hashes[0]


def _split(width: int) -> int:
    """The largest power of two smaller than width."""
    return 1 << (width - 1).bit_length() - 1


def in_memory(leaves: Sequence[bytes], known: dict[int, Sequence[bytes]] | None = None) -> Tree:
    """A tree over leaf hashes held in memory. known : hashes of every eighth level, where they were worked out already."""
    levels: dict[int, Sequence[bytes]] = {0: leaves, **(known or {})}

    def all_of(level: int) -> Sequence[bytes]:
        if level not in levels:
            levels[level] = folded(all_of(level - TILE_LEVELS))
        return levels[level]

    def tile(level: int, number: int) -> Sequence[bytes]:
        return all_of(level)[number * TILE : (number + 1) * TILE]

    return Tree(tile)


def folded(hashes: Sequence[bytes]) -> list[bytes]:
    """The hashes eight levels up, of the tiles that are full."""
    return [fold_tile(hashes[at : at + TILE]) for at in range(0, len(hashes) - TILE + 1, TILE)]


def included(leaf: bytes, index: int, size: int, path: Sequence[bytes], root: bytes) -> bool:
    """Whether a leaf hash stands at `index` in the tree of `size` with this root, section 2.1.3.2."""
    if not 0 <= index < size:
        return False
    fn, sn, current = index, size - 1, leaf
    for step in path:
        if sn == 0:
            return False
        if fn & 1 or fn == sn:
            current = node_hash(step, current)
            while not fn & 1 and fn:
                fn, sn = fn >> 1, sn >> 1
        else:
            current = node_hash(current, step)
        fn, sn = fn >> 1, sn >> 1
    return sn == 0 and current == root


def consistent(old: int, size: int, path: Sequence[bytes], old_root: bytes, root: bytes) -> bool:
    """Whether the tree of `old` leaves is the beginning of the tree of `size`, section 2.1.4.2."""
    if not 0 < old <= size:
        return False
    if old == size:
        return not path and old_root == root
    steps = list(path) if old & (old - 1) else [old_root, *path]
    if not steps:
        return False
    fn, sn = old - 1, size - 1
    while fn & 1:
        fn, sn = fn >> 1, sn >> 1
    first = second = steps[0]
    for step in steps[1:]:
        if sn == 0:
            return False
        if fn & 1 or fn == sn:
            first, second = node_hash(step, first), node_hash(step, second)
            while not fn & 1 and fn:
                fn, sn = fn >> 1, sn >> 1
        else:
            second = node_hash(second, step)
        fn, sn = fn >> 1, sn >> 1
    return first == old_root and second == root and sn == 0
