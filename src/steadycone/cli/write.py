"""Results to files: whole or not at all."""

import os
import tempfile
from pathlib import Path

from steadycone.errors import BadFile


def check_target(path: Path) -> None:
    """Before any work: is there a folder to write into?

    Raises  BadFile: no such folder, or the path is a folder itself.
    """
    if not path.parent.is_dir():
        raise BadFile(f'there is no folder "{path.parent}"', where=str(path), try_="Make the folder first, or write elsewhere.")
    if path.is_dir():
        raise BadFile("this is a folder", where=str(path), try_="Give the name of a file in it.")


def write_whole(path: Path, data: bytes) -> None:
    """Into a temporary file beside the target, then renamed over it: a reader sees the old file or the new one.

    Raises  BadFile: the disk or the rights say no; nothing is left behind.
    """
    check_target(path)
    made = ""
    try:
        handle, made = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(made, 0o666 & ~_umask())
        os.replace(made, path)
    except OSError as error:
        if made:
            Path(made).unlink(missing_ok=True)
        raise BadFile(f"can't be written: {error.strerror or error}", where=str(path), try_="Check the disk and your rights.") from error


def _umask() -> int:
    now = os.umask(0)
    os.umask(now)
    return now
