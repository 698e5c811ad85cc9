"""Form values against a station file's table, no text: what they are, what they change, and the table as changed."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from steadycone.errors import InputError, OutOfRange, UnknownName, nearest
from steadycone.files.edit_values import MOST_VALUES, read_value, shown, tidy
from steadycone.station.form import LINES, LISTS, MOST_ENTRIES, FormField, Key, field_at, fields_in, path_of, place_of, table_order


class Removed:
    """Stands for a key that goes."""


REMOVED: Final = Removed()
_LAST = 10**6


@dataclass(frozen=True, slots=True)
class Change:
    """One key of one table: its new value, or REMOVED."""

    table: tuple[Key, ...]
    name: str
    value: Any


def fields_of_table(table: Mapping[str, Any]) -> dict[str, str]:
    """Form values by path, parts counted from 1: every field the form has and the table fills, and the kind of each entry of a list.

    table : as tomllib gives it. What has no box (an unknown field, a list where one value belongs) is left out.
    """
    found: dict[str, str] = {}
    for order in table_order():
        name = order[-1]
        owner = table if len(order) == 1 else table.get(order[0])
        given = owner.get(name) if isinstance(owner, Mapping) else None
        if name in LISTS:
            for number, item in enumerate(given[:MOST_ENTRIES] if isinstance(given, list) else (), 1):
                _fill(found, (*order, number), name, item)
                found.setdefault(path_of((*order, number), "kind"), "")
        else:
            _fill(found, order, name, given)
    return found


def _fill(found: dict[str, str], place: tuple[Key, ...], name: str, given: object) -> None:
    if not isinstance(given, Mapping):
        return
    before = path_of(place, "")
    for key, field in fields_in(name).items():
        if key in given and (told := shown(field, given[key])) is not None:
            found[before + key] = told


def draft_table(table: Mapping[str, Any], values: Mapping[str, str]) -> dict[str, Any]:
    """The table with the changed values changed, as `apply` changes a text. The table given is left alone.

    Raises  InputError: as plan.
    """
    return changed(table, plan(table, values))


def plan(table: Mapping[str, Any], values: Mapping[str, str]) -> list[Change]:
    """What these values change, in the form's order. A value that says what the file says already changes nothing.

    An empty value removes its key. A number one past the end begins a new part. A key that falls away takes an emptied [settings] with
    it, which could not be read, and an emptied entry of [[declared]].

    Raises  UnknownName: no such field. OutOfRange: too much. InputError: a row that can't be read, or no table where one belongs.
    """
    if len(values) > MOST_VALUES:
        raise OutOfRange(f"{len(values)} values; at most {MOST_VALUES}", where="form", try_="Send the fields of one station.")
    found: list[Change] = []
    for path, text in values.items():
        place, field = _known(path)
        given = _owner(table, place, path)
        old = given.get(field.name) if given is not None else None
        before = shown(field, old) if old is not None else ""
        if text == before:
            continue
        where = place_of(place, field.name)
        after = tidy(field, text, where)
        if after == tidy(field, before or "", where) or (old is None and field.kind == "flag" and after == field.default):
            continue
        found.append(Change(place, field.name, read_value(field, after, old, where) if after else REMOVED))
    found.sort(key=lambda change: _rank(change.table, change.name))
    _refuse_gaps(table, found)
    return found


def changed(table: Mapping[str, Any], changes: list[Change]) -> dict[str, Any]:
    """The table with these changes, as a copy."""
    copy = {key: _copied(value) for key, value in table.items()}
    for change in changes:
        _put(copy, change)
    if any(change.table == ("settings",) for change in changes) and not copy.get("settings"):
        copy.pop("settings", None)
    if any(change.table[0] == "declared" for change in changes):
        emptied = {change.table for change in changes}
        copy["declared"] = [item for number, item in enumerate(copy.get("declared", ()), 1) if item or ("declared", number) not in emptied]
        if not copy["declared"]:
            del copy["declared"]
    return copy


def _copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copied(item) for key, item in value.items()}
    return [_copied(item) for item in value] if isinstance(value, list) else value


def _known(path: str) -> tuple[tuple[Key, ...], FormField]:
    found = field_at(path)
    if found is None:
        raise UnknownName(f'"{path[:80]}" is not a field of a station file', where="form", try_=nearest(path[:80], _some_paths()))
    return found


@cache
def _some_paths() -> tuple[str, ...]:
    orders: list[tuple[Key, ...]] = [(*order, 1) if order[-1] in LISTS else order for order in table_order()]
    return tuple(path_of(order, name) for order in orders for name in fields_in(str(order[1 if order[0] in LINES else 0])))


def table_rank(place: tuple[Key, ...]) -> tuple[int, int]:
    """Where a table stands in the form's order; one the form has not, such as flow points in tables of their own, stands with its owner."""
    ranks = _table_ranks()
    for length in range(len(place), 0, -1):
        plain = tuple(key for key in place[:length] if not isinstance(key, int))
        if plain in ranks:
            return ranks[plain], next((key for key in place if isinstance(key, int)), 0)
    return (-1 if not place else _LAST), 0


@cache
def _table_ranks() -> dict[tuple[Key, ...], int]:
    ranks: dict[tuple[Key, ...], int] = {order: at for at, order in enumerate(table_order())}
    return {**{(line,): ranks[line, "supply"] for line in LINES}, **ranks}


def _rank(place: tuple[Key, ...], name: str) -> tuple[int, int, int]:
    noun = str(place[1] if place[0] in LINES else place[0])
    return (*table_rank(place), _name_ranks(noun)[name])


@cache
def _name_ranks(noun: str) -> dict[str, int]:
    return {name: at for at, name in enumerate(fields_in(noun))}


def _owner(table: Mapping[str, Any], place: tuple[Key, ...], path: str) -> Mapping[str, Any] | None:
    """The table a field stands in; None where there is none yet. Raises InputError where something else stands there."""
    at: Any = table
    for depth, key in enumerate(place):
        at = _inside(at, key)
        if at is None:
            return None
        wanted: type = list if key in LISTS else dict
        if not isinstance(at, wanted):
            says = "a single value where a table is expected" if wanted is dict else "no list of tables"
            raise InputError(says, where=place_of(place[: depth + 1]), try_=f"Mend the file's text before {path} is filled.")
    return at  # type: ignore[no-any-return]


def _inside(at: Any, key: Key) -> Any:
    if isinstance(key, int):
        return at[key - 1] if key <= len(at) else None
    return at.get(key)


def _refuse_gaps(table: Mapping[str, Any], changes: list[Change]) -> None:
    """New entries of a list come one after the other."""
    lengths: dict[tuple[Key, ...], int] = {}
    for change in changes:
        if not isinstance(change.table[-1], int):
            continue
        owner = change.table[:-1]
        if owner not in lengths:
            given = _list(table, owner)
            lengths[owner] = len(given)
        if change.table[-1] > lengths[owner] + 1:
            says = f"there are {lengths[owner]}, so no number {change.table[-1]}"
            raise OutOfRange(says, where=place_of(change.table, change.name), try_="Load the form again.")
        lengths[owner] = max(lengths[owner], change.table[-1])


def _list(table: Mapping[str, Any], owner: tuple[Key, ...]) -> list[Any]:
    at: Any = table
    for key in owner:
        at = at.get(key, {})
    return at if isinstance(at, list) else []


def _put(table: dict[str, Any], change: Change) -> None:
    at: Any = table
    for key in change.table:
        if isinstance(key, int):
            if key > len(at):
                at.append({})
            at = at[key - 1]
        else:
            at = at.setdefault(key, [] if key in LISTS else {})
    if change.value is REMOVED:
        at.pop(change.name, None)
    else:
        at[change.name] = change.value
