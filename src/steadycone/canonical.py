"""Canonical JSON, RFC 8785, fast: the same bytes as the rfc8785 library, which takes over whatever is out of the ordinary.

Ordinary is what cards and records hold: None, True, False, text, whole numbers, numbers that need no exponent, lists, tuples and
dictionaries with text as keys.
"""

from json.encoder import encode_basestring  # escapes just what section 3.2.2.2 asks for
from typing import Any

_LARGEST_WHOLE = 2**53 - 1


class _Unusual(Exception):
    """A value that is left to the library, to write or to refuse."""


def dumps(value: object) -> bytes:
    """RFC 8785 bytes.

    Raises  rfc8785.CanonicalizationError, UnicodeEncodeError: a value that JSON can't hold.
    """
    try:
        return _written(value).encode()
    except (_Unusual, UnicodeEncodeError):
        import rfc8785  # here, since it is hardly ever needed

        return rfc8785.dumps(value)  # type: ignore[arg-type]


def _written(value: Any) -> str:
    kind = type(value)
    if kind is str:
        return encode_basestring(value)
    if kind is float:
        return _number(value)
    if kind is dict:
        return "{" + ",".join([encode_basestring(key) + ":" + _written(value[key]) for key in _in_order(value)]) + "}"
    if kind is list or kind is tuple:
        return "[" + ",".join([_written(item) for item in value]) + "]"
    if value is None:
        return "null"
    if kind is bool:
        return "true" if value else "false"
    if kind is int and -_LARGEST_WHOLE <= value <= _LARGEST_WHOLE:
        return str(value)
    raise _Unusual


def _number(value: float) -> str:
    """As ECMAScript writes it, which is Python's own way where neither uses an exponent, but for a fraction of nothing."""
    if value == 0.0:
        return "0"
    told = repr(value)
    if "e" in told or "n" in told:  # an exponent, nan or inf
        raise _Unusual
    return told.removesuffix(".0")


def _in_order(table: dict[Any, Any]) -> list[str]:
    """The keys sorted by their UTF-16 units, section 3.2.3; for ASCII that is Python's own order."""
    try:
        plain = "".join(table).isascii()
    except TypeError as error:
        raise _Unusual from error
    return sorted(table) if plain else sorted(table, key=_utf_16)


def _utf_16(key: str) -> bytes:
    return key.encode("utf-16-be")
