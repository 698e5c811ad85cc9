"""Values of a station file as the text of one form box, and back.

A list of flow points is one point a line, `inlet=5 bar, drop=0.2 bar, flow=16 m3/h, gas=air`; a composition one gas a line,
`propane=60 %`; a list of words has commas between.
"""

import re
from collections.abc import Mapping
from datetime import date, datetime, time
from typing import Any

from steadycone.errors import InputError, OutOfRange
from steadycone.station.form import FormField

LONGEST_VALUE = 500  # characters
LONGEST_ROWS = 20_000
MOST_VALUES = 2_000
_ROWS = ("points", "shares")
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff]")
_PLAIN_NUMBER = re.compile(r"-?(?:0|[1-9]\d{0,8})(?:\.\d{1,9})?")


def shown(field: FormField, value: object) -> str | None:
    """What a form's box holds for this value; None where the file has something that no box can show, such as a table for a length."""
    if field.kind == "points":
        return _joined([_row(item) for item in value] if isinstance(value, list) else [None], "\n")
    if field.kind == "shares":
        return _row(value, "\n") if isinstance(value, dict) else None
    if field.kind == "words":
        return _joined([_plain(item) for item in value] if isinstance(value, list) else [None], ", ")
    return _plain(value)


def _joined(told: list[str | None], between: str) -> str | None:
    known = [text for text in told if text is not None]
    return between.join(known) if len(known) == len(told) else None


def _row(value: object, between: str = ", ") -> str | None:
    if not isinstance(value, dict):
        return None
    told = {name: _plain(item) for name, item in value.items()}
    return _joined([None if item is None else f"{name}={item}" for name, item in told.items()], between)


def _plain(value: object) -> str | None:
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value) if abs(value) < 10**15 else None
    if isinstance(value, float):
        return repr(value)
    return value.isoformat() if isinstance(value, date | datetime | time) else None


def tidy(field: FormField, text: str, where: str) -> str:
    """The text as it is compared and kept: no blanks around it, and in rows none around each line.

    Raises  OutOfRange: too long. InputError: control characters, or half a character.
    """
    rows = field.kind in _ROWS
    most = LONGEST_ROWS if rows else LONGEST_VALUE
    if len(text) > most:
        raise OutOfRange(f"text of {len(text)} characters; at most {most}", where=where, try_="Shorten it.")
    lines = [line.strip() for line in text.splitlines()] if rows else [text.strip()]
    if any(map(_CONTROL.search, lines)):
        raise InputError(f"{lines[0][:40]!r} holds control characters", where=where, try_="Write it as plain text.")
    return "\n".join(line for line in lines if line)


def read_value(field: FormField, text: str, old: object, where: str) -> Any:
    """The value a file gets for a tidy text: numbers and flags bare where the noun, or the value before, is bare; else text as it stands.

    Raises  InputError: a row that is not name=value. Whether the value makes sense is for the reader of the file to say.
    """
    if field.kind == "points":
        return [_named(line.split(","), where) for line in text.split("\n")]
    if field.kind == "shares":
        return _named(re.split(r"[,\n]", text), where)
    if field.kind == "words":
        return [word for part in text.split(",") if (word := part.strip())]
    if field.kind == "flag":
        return {"true": True, "false": False}.get(text, text)
    bare = field.whole or (isinstance(old, int | float) and not isinstance(old, bool))
    if not bare or not _PLAIN_NUMBER.fullmatch(text):
        return text
    return float(text) if "." in text else int(text)


def _named(parts: list[str], where: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for part in parts:
        if not part.strip():
            continue
        name, equals, value = (piece.strip() for piece in part.partition("="))
        if not (equals and name and value):
            raise InputError(
                f'"{part.strip()[:60]}" is not name=value', where=where, try_='Write for example "drop=0.2 bar", with a point.'
            )
        if name in found:
            raise InputError(f'"{name[:60]}" stands twice in one row', where=where, try_="Write one row a line.")
        found[name] = value
    return found


def dump(value: object) -> str:
    """A value as TOML on one line. Raises TypeError for what no TOML file can hold."""
    if isinstance(value, str):
        return '"' + "".join(_ESCAPES.get(letter) or _letter(letter) for letter in value) + '"'
    if isinstance(value, bool | int | float | date | datetime | time):
        told = _plain(value)
        return str(value) if told is None else told
    if isinstance(value, list):
        within = ", ".join(dump(item) for item in value)
        return f"[ {within} ]" if value and isinstance(value[0], dict) else f"[{within}]"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{dump_key(name)} = {dump(item)}" for name, item in value.items()) + " }" if value else "{}"
    raise TypeError(type(value))


_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def _letter(letter: str) -> str:
    return f"\\u{ord(letter):04X}" if ord(letter) < 32 or ord(letter) == 127 else letter


def dump_key(name: str) -> str:
    """A name as TOML writes it: bare where it may be."""
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else dump(name)
