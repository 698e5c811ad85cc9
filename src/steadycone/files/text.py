"""Bounded reading: the size is known before a byte is read, and what comes back is text."""

import stat
from pathlib import Path

from steadycone.errors import BadFile, nearest

TOML_LIMIT = 1_000_000  # bytes; a long station file is 10 kB
CHART_LIMIT = 5_000_000


def read_bytes(path: Path, limit: int, what: str) -> bytes:
    """All bytes of a regular file that is no larger than `limit`.

    Raises  BadFile: missing, a folder, a device, not permitted, or too large (told by its size, before reading).
    """
    name = str(path)[:200]
    if "\0" in name:
        raise BadFile(f"{what} name holds a NUL character", where=repr(name), try_="Give the plain name of a file.")
    try:
        about = path.stat()
        if stat.S_ISDIR(about.st_mode):
            raise BadFile("this is a folder", where=name, try_=f"Give the {what} file inside it.")
        if not stat.S_ISREG(about.st_mode):
            raise BadFile("this is not a plain file", where=name, try_=f"Save the {what} as a file and give its name.")
        refuse_size(about.st_size, limit, name, what)
        with open(path, "rb") as file:
            data = file.read(limit + 1)
    except OSError as error:
        raise _unreadable(error, path, what) from error
    refuse_size(len(data), limit, name, what)
    return data


def refuse_size(size: int, limit: int, name: str, what: str) -> None:
    """Raises BadFile when a file of this many bytes is larger than the limit."""
    if size > limit:
        raise BadFile(
            f"{size / 1e6:.1f} MB is too large for a {what} file; at most {limit / 1e6:g} MB",
            where=name,
            try_=f"Check that this is the {what} file.",
        )


def _unreadable(error: OSError, path: Path, what: str) -> BadFile:
    name = str(path)[:200]
    if isinstance(error, FileNotFoundError):
        return BadFile(f"no such {what} file", where=name, try_=_beside_hint(path))
    if isinstance(error, PermissionError):
        return BadFile("this file may not be read", where=name, try_="Ask its owner for the right to read it.")
    return BadFile(f"this file can't be read: {error.strerror or error}", where=name, try_="Check the name and the disk.")


def _beside_hint(path: Path) -> str:
    try:
        names = [entry.name for entry in path.parent.iterdir() if entry.is_file()][:200]
    except OSError:
        return f'There is no folder "{str(path.parent)[:200]}" that can be read.'
    hint = nearest(path.name, names)
    return hint if hint.startswith("Did") else "Check the name; paths start from the folder you are in, or from the station file's."


def decode(data: bytes, name: str, what: str) -> str:
    """UTF-8 text, with or without a byte order mark.

    Raises  BadFile: another encoding, or no text at all.
    """
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise BadFile("this file is in UTF-16", where=name, try_="Save it as UTF-8 (in a sheet program: CSV UTF-8).")
    if b"\0" in data:
        raise BadFile("this is not text but binary data", where=name, try_=f"Check that this is the {what} file.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise BadFile(
            f"line {line} is not UTF-8 text (byte 0x{data[error.start]:02x})",
            where=name,
            try_="Save it as UTF-8 (in a sheet program: CSV UTF-8).",
        ) from error
