"""Messages of the reader put to the boxes of a form: "oxygen.part 2 (hose), length" is the box oxygen.part.2.length."""

import re
from collections.abc import Iterable, Mapping, Sequence

from steadycone.errors import InputError
from steadycone.station.form import LINES, field_at, form_table

_MISSING = "missing, and needed here"
_HEADS = "|".join(form_table()["order"])
# The file's own name may stand in front; a table, its numbers and kinds, then the field.
_PLACE = re.compile(rf"(?:^|.*?, )((?:{_HEADS})(?:\.\w+| \d+|\.\d+| \([^)]*\))*(?:, .*)?)$")


class Faults:
    """Messages by the path of a box, a group or a section; each can be asked for by its place."""

    def __init__(self, found: Mapping[str, Sequence[str]]) -> None:
        self._found = {path: tuple(told) for path, told in found.items()}

    def at(self, path: str) -> tuple[str, ...]:
        return self._found.get(path, ())

    def rest(self, places: Iterable[str]) -> list[str]:
        """What belongs to none of these places, with the place it names."""
        shown = {*places, *(f"{line}.part" for line in LINES if line in places)}
        return [f"{path}: {told}" if path else told for path, tolds in self._found.items() if path not in shown for told in tolds]


def faults_of(errors: Sequence[InputError], values: Mapping[str, str]) -> Faults:
    """The messages of some errors by the path of the box each belongs to; an empty path where it belongs to none."""
    found: dict[str, list[str]] = {}
    for error in errors:
        path = path_in(error.where)
        found.setdefault(path, []).append(_told(error, path))
    return Faults(found)


def path_in(where: str) -> str:
    """The path of the box, the group or the section that a place means; empty for none."""
    match = _PLACE.match(where)
    if not match:
        return ""
    plain = re.sub(r" \([^)]*\)", "", match[1]).replace(", ", ".")
    keys = re.sub(r" (\d+)", r".\1", plain).split(".")
    for length in range(len(keys), 0, -1):
        if field_at(".".join(keys[:length])):
            return ".".join(keys[:length])
    return ".".join(keys[: _group_length(keys)])


def _group_length(keys: list[str]) -> int:
    """How many names of a path make its group: oxygen.part.2, fuel.supply, torch."""
    length = 2 if keys[0] in LINES else 1
    return length + 1 if keys[length - 1 : length] in (["part"], ["declared"]) else length


def _told(error: InputError, path: str) -> str:
    """Says and what to do; a remedy that spells out lines of the file is left out beside a box."""
    says = error.says[:1].upper() + error.says[1:]
    if error.says == _MISSING and field_at(path):
        return "Fill this in."
    of_the_file = path and (" = " in error.try_ or "[" in error.try_)
    told = says if says.endswith((".", "!", "?")) else f"{says}."
    if not path and error.where:
        told = f"{error.where}: {told}"
    return told if of_the_file or not error.try_ else f"{told} {error.try_}"
