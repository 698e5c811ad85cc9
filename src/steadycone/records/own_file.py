"""Files that their owner alone may read: the store holds hashes of passwords, and who did what."""

import errno
import os
from pathlib import Path

from steadycone.errors import StoreFull, StoreReadOnly

PRIVATE, PRIVATE_FOLDER = 0o600, 0o700


def make_own(path: Path) -> None:
    """An empty file for its owner alone; one that is there stays as it is. What SQLite lays beside it gets the same rights.

    Raises  StoreFull, StoreReadOnly.
    """
    try:
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT, PRIVATE))
    except OSError as error:
        kind = StoreFull if error.errno in (errno.ENOSPC, errno.EDQUOT) else StoreReadOnly
        raise kind(f"it can't be made: {error.strerror}", where=str(path), try_="Check the folder's rights and room.") from error


__all__ = ["PRIVATE", "PRIVATE_FOLDER", "make_own"]
