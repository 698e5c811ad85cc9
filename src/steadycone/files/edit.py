"""A station file edited in place, from form values: comments, order and spelling of all that nobody changed stay.

Every result is read back and compared with the same edit made on the table alone, before anybody gets it.
"""

import tomllib
from collections.abc import Mapping
from typing import Any

from steadycone.errors import InputError
from steadycone.files.edit_parts import (
    AddDeclared,
    AddLine,
    AddPart,
    DuplicatePart,
    MovePart,
    Op,
    RemoveDeclared,
    RemoveLine,
    RemovePart,
    changed_parts,
    edited_parts,
)
from steadycone.files.edit_table import changed, draft_table, fields_of_table, plan
from steadycone.files.edit_text import edited
from steadycone.files.text import TOML_LIMIT, refuse_size
from steadycone.files.toml import table_from
from steadycone.station.setup import FORMAT


def fields_of(text: str) -> dict[str, str]:
    """Form values by path, such as "oxygen.part.2.length" -> "20 m". Raises BadFile: no TOML, or no station file."""
    return fields_of_table(station_table(text))


def apply(text: str, values: Mapping[str, str]) -> str:
    """The text with exactly the changed values changed; see edit_table.plan for what a value means.

    A new key stands at its table's end, a new table where the form's order has it.

    Raises  InputError: no station file, an unknown field, too long, or a table that can't be edited in place.
    """
    table = station_table(text)
    changes = plan(table, values)
    if not changes:
        return text
    after = changed(table, changes)
    return _proven(edited(text, changes, after), after)


def change(text: str, op: Op) -> str:
    """The text with a part, a line or a declared thing added, taken away or moved. A part's comments go where it goes.

    Raises  InputError: no station file, no such part or line.
    """
    table = station_table(text)
    after = changed_parts(table, op)
    return _proven(edited_parts(text, table, op), after)


def station_table(text: str) -> dict[str, Any]:
    """The table of a station file's text. Raises BadFile: too large, no TOML, or of another format."""
    refuse_size(len(text.encode("utf-8", "surrogatepass")), TOML_LIMIT, "station file", "station")
    return table_from(text, "", "station", FORMAT)


def _proven(text: str, wanted: dict[str, Any]) -> str:
    """The text, read back as the table wanted. Raises InputError where it does not read so: nothing is saved half right."""
    refuse_size(len(text.encode("utf-8", "surrogatepass")), TOML_LIMIT, "station file", "station")
    try:
        same = _filled(tomllib.loads(text)) == _filled(wanted)
    except (ValueError, RecursionError):
        same = False
    if not same:
        raise InputError("this file is written in a way the form can't edit", where="form", try_="Edit the file's text.")
    return text


def _filled(value: Any) -> Any:
    """Without empty tables and lists of them: in a file they may be no heading at all. Numbers that are none become text, equal to themselves."""
    if isinstance(value, dict):
        kept = {key: _filled(item) for key, item in value.items()}
        return {key: item for key, item in kept.items() if item not in ({}, [])}
    if isinstance(value, list):
        return [_filled(item) for item in value]
    return repr(value) if isinstance(value, float) else value


__all__ = [
    "AddDeclared", "AddLine", "AddPart", "DuplicatePart", "MovePart", "Op", "RemoveDeclared", "RemoveLine", "RemovePart", "apply", "change",
    "changed_parts", "draft_table", "fields_of", "fields_of_table", "station_table",
]  # fmt: skip
