"""Marks and names as they are compared: letter case and spaces don't make another tag, nor another person."""

import unicodedata

from steadycone.errors import InputError

LONGEST = 120


def key(name: str) -> str:
    """What a mark, a station's or a person's name is kept under."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def checked(name: str, what: str) -> str:
    """A name as written, spaces tidied.

    Raises  InputError: empty, longer than a tag could be, or with letters that can't be printed.
    """
    tidy = " ".join(name.split())
    if not tidy:
        raise InputError(f"no {what}", where=what, try_=f"Name the {what}.")
    if max(len(tidy), len(key(tidy))) > LONGEST:
        raise InputError(f"a {what} of {len(tidy)} characters", where=what, try_=f"{LONGEST} at most.")
    if not tidy.isprintable():
        raise InputError(f"a {what} with letters that can't be printed", where=what, try_="Write plain letters, digits and dashes.")
    return tidy
