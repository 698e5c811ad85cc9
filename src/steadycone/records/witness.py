"""The last head this machine saw of a log, in a file beside its key: what makes a log that was cut short and tidied up stand out."""

import os
from collections.abc import Callable
from pathlib import Path

from steadycone.errors import BadFile, StoreError
from steadycone.records.heads import SignedHead, parse_head
from steadycone.records.own_file import PRIVATE

_ROOM = 1024  # bytes; the head is written over the last one in place, spaces behind it


class Witness:
    """Writes after each commit, without waiting for the disk: after a power cut it is a little behind, which does no harm.

    It never goes back: a head that the log does not hold any more stays, or the next commit would wipe out what shows the cut.

    has : whether the log holds this head among its commits
    """

    def __init__(self, path: Path, has: Callable[[SignedHead], bool]) -> None:
        self._path, self._has = path, has
        self._file: int | None = None
        self._size, self._written = 0, b""

    def remember(self, head: SignedHead) -> None:
        """Where it can't be written (a folder of somebody else), the log goes on without."""
        if head.size <= self._size:
            return
        text = head.text.encode().ljust(_ROOM - 1) + b"\n"
        try:
            if self._file is None:
                self._file = os.open(self._path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, PRIVATE)
            there = os.pread(self._file, _ROOM, 0)
            if there != self._written and not self._follows(head, there):
                return
            os.pwrite(self._file, text, 0)
        except (OSError, StoreError):
            return
        self._size, self._written = head.size, text

    def _follows(self, head: SignedHead, there: bytes) -> bool:
        """Whether what another start of the program left there is a beginning of this log."""
        kept = _read(there)
        return kept is None or (kept.size <= head.size and self._has(kept))

    def close(self) -> None:
        if self._file is not None:
            os.close(self._file)
            self._file = None


def read_witness(path: Path) -> SignedHead | None:
    """None where there is none, or where a power cut left half of one."""
    try:
        return _read(path.read_bytes())
    except OSError:
        return None


def _read(data: bytes) -> SignedHead | None:
    try:
        return parse_head(data.decode())
    except (UnicodeDecodeError, BadFile):
        return None
