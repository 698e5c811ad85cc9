"""An event said again with other words: what a correction puts in its place."""

from collections.abc import Mapping
from typing import Any

import msgspec

from steadycone.errors import BadUnit
from steadycone.records.events import Event, kind_of


def with_fields(old: Event, fields: Mapping[str, Any], where: str = "correct") -> Event:
    """The old event with these fields in place of its own.

    Raises  BadUnit: a field that is unknown, or of another kind.
    """
    try:
        return msgspec.convert(msgspec.to_builtins(old) | dict(fields), type(old), strict=False)
    except msgspec.ValidationError as error:
        names = ", ".join(field.name for field in msgspec.structs.fields(old))
        raise BadUnit(f"{kind_of(old)}: {str(error)[:200]}", where=where, try_=f"Its fields: {names}.") from error
