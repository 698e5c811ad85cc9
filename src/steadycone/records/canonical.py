"""Canonical JSON, RFC 8785: the same value is always the same bytes."""

import json

from steadycone import canonical
from steadycone.errors import InputError


def dumps(value: object) -> bytes:
    """RFC 8785 bytes of what JSON can hold.

    Raises  InputError: a number that JSON's own numbers can't hold, or half a character.
    """
    import rfc8785

    try:
        return canonical.dumps(value)
    except (rfc8785.CanonicalizationError, UnicodeEncodeError) as error:
        raise InputError(
            f"this can't be written as JSON: {error}", try_="Write numbers as text with their unit, and whole characters."
        ) from error


def text(value: str) -> str:
    """One JSON string, as RFC 8785 writes it (section 3.2.2.2; Python's own writer agrees)."""
    return json.dumps(value, ensure_ascii=False)
