"""Marks and names as they are compared: letter case and spaces don't make another tag, nor another person."""

import unicodedata
from pathlib import PurePosixPath

from steadycone.errors import InputError

LONGEST = 120


def key(name: str) -> str:
    """What a mark, a station's or a person's name is kept under."""
    if not name.isprintable():  # nothing is kept under such a name; a server would not even be asked about it
        name = name.encode("utf-8", "replace").decode().replace("\0", "?")
    if name.isascii():  # composing changes no such letter; a million names are asked for
        return " ".join(name.lower().split())
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def paper_name(name: str) -> str:
    """A chart's or policy's name as it is kept: "./charts/a.csv" is "charts/a.csv"."""
    return str(PurePosixPath(name))


def checked_file(name: str, what: str, *, folders: bool = False) -> str:
    """The plain name of a file. folders : it may stand in folders, written with a forward slash, as station files name charts.

    Raises  InputError: no name, too long, one that begins with a dot, or one that leads elsewhere.
    """
    tidy = checked(name, what)
    parts = tidy.split("/") if folders else [tidy]
    if any(not part or part.startswith(".") or part != part.strip() or set(part) & set("/\\:") for part in parts):
        says = f'"{tidy[:60]}" is not the plain name of a file'
        raise InputError(says, where=what, try_='Write for example "slip-2.toml", without a leading dot, a backslash or a path.')
    return tidy


def checked(name: str, what: str, most: int = LONGEST) -> str:
    """A name as written, spaces tidied.

    Raises  InputError: empty, longer than a tag could be, or with letters that can't be printed.
    """
    tidy = " ".join(name.split())
    if not tidy:
        raise InputError(f"no {what}", where=what, try_=f"Name the {what}.")
    if max(len(tidy), len(key(tidy))) > most:
        raise InputError(f"a {what} of {len(tidy)} characters", where=what, try_=f"{most} at most.")
    if not tidy.isprintable():
        raise InputError(f"a {what} with letters that can't be printed", where=what, try_="Write plain letters, digits and dashes.")
    return tidy
