"""Whose turn it is to write a file: the operating system's queue, instead of asking SQLite again and again."""

import os
import stat
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from steadycone.records.own_file import PRIVATE, not_made

try:
    import fcntl
except ImportError:  # Windows: SQLite's own waiting has to do
    fcntl = None  # type: ignore[assignment]


class Turn:
    """A lock file beside the store. The system gives it free when its holder dies, however that happens."""

    def __init__(self, path: Path | None) -> None:
        self._path = path.with_name(path.name + ".lock") if path and fcntl else None
        self._store = path
        self._file: int | None = None
        self._here = threading.Lock()  # the lock file is one for the whole process

    @contextmanager
    def taken(self) -> Iterator[None]:
        """Waits as long as it takes."""
        if self._path is None:
            yield
            return
        with self._here:
            if self._file is None:
                self._file = self._opened(self._path)
            fcntl.flock(self._file, fcntl.LOCK_EX)
            try:
                yield
            finally:
                fcntl.flock(self._file, fcntl.LOCK_UN)

    def _opened(self, path: Path) -> int:
        """With the store's own rights: whoever may write that may wait for it. Raises  StoreFull, StoreReadOnly."""
        try:
            rights = stat.S_IMODE(self._store.stat().st_mode) & 0o666 if self._store and self._store.exists() else PRIVATE
            return os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, rights)
        except OSError as error:
            raise not_made("the lock file", path, error) from error

    def close(self) -> None:
        if self._file is not None:
            os.close(self._file)
            self._file = None
