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
        raise not_made("it", path, error) from error


def not_made(what: str, path: Path, error: OSError) -> StoreFull | StoreReadOnly:
    """A file that can't be made, told as one of ours: there is no room, or no right."""
    kind = StoreFull if error.errno in (errno.ENOSPC, errno.EDQUOT) else StoreReadOnly
    return kind(
        f"{what} can't be made: {error.strerror}", where=str(path), try_="Check the folder's rights and room. Nothing was half written."
    )


__all__ = ["PRIVATE", "PRIVATE_FOLDER", "make_own", "not_made"]
