"""Where everything stands in a TOML text: each heading with what belongs to it, each key and its value.

Edits are made in the text itself between these places, so that whatever nobody changed stays letter for letter. The text must be
TOML already (tomllib has read it); this walk only finds places.
"""

import re
import tomllib
from dataclasses import dataclass, field

from steadycone.errors import OutOfRange
from steadycone.station.form import Key

_MOST_BLOCKS, _MOST_PAIRS, _MOST_NAMES = 1_000, 5_000, 20  # a large station has 100 headings; edits look through all of them
_BLANK = re.compile(r"[ \t]*")
_LINE_END = re.compile(r"[^\n]*\n?")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BARE_VALUE = re.compile(r"[^#\n]*")
_STRING = re.compile(
    r'"""(?:\\.|"{1,2}(?!")|[^"\\])*+"{3,5}' r"|'''(?:'{1,2}(?!')|[^'])*+'{3,5}" r'|"(?:\\.|[^"\\\n])*+"' r"|'[^'\n]*'", re.DOTALL
)
_INSIDE = re.compile(r"[^\"'#\[\]{}]+")


@dataclass(frozen=True, slots=True)
class Pair:
    """One `key = value`. `names`: the key as written, dotted or not. start..end: the whole of its lines, value_start..value_end: the value."""

    path: tuple[Key, ...]
    names: tuple[str, ...]
    start: int
    end: int
    value_start: int
    value_end: int
    comments: tuple[str, ...]  # inside the value


@dataclass(slots=True)
class Block:
    """One heading with its keys, or what stands before the first heading.

    start..end are the heading, the comment lines right above it, its keys, and the comment lines right below the last of them; the lines
    from there to the next block are nobody's.
    """

    path: tuple[Key, ...]
    start: int
    heading: int
    body: int
    end: int
    listed: bool
    pairs: list[Pair] = field(default_factory=list)


def scan(text: str) -> list[Block]:
    """The blocks of a TOML text, in the order they stand.

    Raises  OutOfRange: far more of them than a station has, or a name of very many names.
    """
    return _Scan(text).blocks


class _Scan:
    def __init__(self, text: str) -> None:
        self.text = text
        self.pairs = 0
        self.counts: dict[tuple[Key, ...], int] = {}
        self.blocks = [Block((), 0, 0, 0, 0, False)]
        at = comments_from = 0
        while at < len(text):
            first = self._blank(at)
            letter = text[first : first + 1]
            following = _end(_LINE_END, text, at)
            if letter == "#":  # it belongs to what stands right above, until a heading follows right below
                if self.blocks[-1].end == at:
                    self.blocks[-1].end = following
            elif letter == "[":
                self._heading(first, following, comments_from)
            elif letter and letter not in "\r\n":
                following = self._pair(at, first)
            if letter != "#":
                comments_from = following
            at = following

    def _blank(self, at: int) -> int:
        return _end(_BLANK, self.text, at)

    def _heading(self, at: int, following: int, comments_from: int) -> None:
        listed = self.text.startswith("[[", at)
        names, _ = self._names(at + 1 + listed)
        before = self.blocks[-1]
        start = max(comments_from, before.pairs[-1].end if before.pairs else before.body)
        before.end = min(before.end, start)
        if len(self.blocks) == _MOST_BLOCKS:
            raise _too_much(f"more than {_MOST_BLOCKS} headings")
        self.blocks.append(Block(self._resolved(names, listed), start, at, following, following, listed))

    def _resolved(self, names: tuple[str, ...], listed: bool) -> tuple[Key, ...]:
        """The path with the number of each list's entry that a heading means: the last one, or the next."""
        path: tuple[Key, ...] = ()
        for depth, name in enumerate(names, 1):
            path = (*path, name)
            if listed and depth == len(names):
                self.counts[path] = self.counts.get(path, 0) + 1
            if path in self.counts:
                path = (*path, self.counts[path])
        return path

    def _names(self, at: int) -> tuple[tuple[str, ...], int]:
        """A key's names, and where it ends."""
        found: list[str] = []
        while True:
            at = self._blank(at)
            if self.text[at] in "\"'":
                end = _end(_STRING, self.text, at)
                found.append(tomllib.loads(f"x = {self.text[at:end]}")["x"])
            else:
                end = _end(_BARE_KEY, self.text, at)
                found.append(self.text[at:end])
            at = self._blank(end)
            if self.text[at] != ".":
                return tuple(found), at
            if len(found) == _MOST_NAMES:
                raise _too_much(f"a name of more than {_MOST_NAMES} names")
            at += 1

    def _pair(self, line: int, at: int) -> int:
        names, equals = self._names(at)
        start = self._blank(equals + 1)
        end, comments = self._value(start)
        following = _end(_LINE_END, self.text, end)
        block = self.blocks[-1]
        self.pairs += 1
        if self.pairs > _MOST_PAIRS:
            raise _too_much(f"more than {_MOST_PAIRS} keys")
        block.pairs.append(Pair((*block.path, *names), names, line, following, start, end, comments))
        block.end = following
        return following

    def _value(self, at: int) -> tuple[int, tuple[str, ...]]:
        """Where a value ends, and the comments inside it."""
        text = self.text
        if text[at] in "\"'":
            return _end(_STRING, text, at), ()
        if text[at] not in "[{":
            return at + len(text[at : _end(_BARE_VALUE, text, at)].rstrip()), ()
        depth, comments = 0, []
        while True:
            letter = text[at]
            if letter in "\"'":
                at = _end(_STRING, text, at)
            elif letter == "#":
                end = text.index("\n", at)
                comments.append(text[at:end].rstrip())
                at = end
            elif letter in "[]{}":
                depth += 1 if letter in "[{" else -1
                at += 1
                if not depth:
                    return at, tuple(comments)
            else:
                at = _end(_INSIDE, text, at)


def _too_much(says: str) -> OutOfRange:
    return OutOfRange(says, where="form", try_="Check the file; edit its text.")


def _end(pattern: re.Pattern[str], text: str, at: int) -> int:
    found = pattern.match(text, at)
    if found is None:
        raise AssertionError(text[at : at + 40])
    return found.end()
