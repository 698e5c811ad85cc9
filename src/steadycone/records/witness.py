"""The last head this machine saw of a log, in a file beside its key: what makes a log that was cut short and tidied up stand out."""

import os
from pathlib import Path

from steadycone.errors import BadFile
from steadycone.records.heads import SignedHead, parse_head
from steadycone.records.own_file import PRIVATE

_ROOM = 1024  # bytes; the head is written over the last one in place, spaces behind it


class Witness:
    """Writes after each commit, without waiting for the disk: after a power cut it is a little behind, which does no harm."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file: int | None = None
        self._size = 0

    def remember(self, head: SignedHead) -> None:
        """Where it can't be written (a folder of somebody else), the log goes on without."""
        if head.size <= self._size:
            return
        try:
            if self._file is None:
                self._file = os.open(self._path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, PRIVATE)
            os.pwrite(self._file, head.text.encode().ljust(_ROOM - 1) + b"\n", 0)
        except OSError:
            return
        self._size = head.size

    def close(self) -> None:
        if self._file is not None:
            os.close(self._file)
            self._file = None


def read_witness(path: Path) -> SignedHead | None:
    """None where there is none, or where a power cut left half of one."""
    try:
        return parse_head(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, BadFile):
        return None
