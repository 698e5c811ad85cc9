"""Tables as TOML gives them, to nouns: one message for each way in which a table can be wrong.

msgspec.convert would build the same nouns; this walk exists for its messages, which name the place as a person sees it
in the file, the value, what is allowed and what to write instead.
"""

from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any, Literal, NoReturn, get_args, get_origin

from steadycone.errors import BadUnit, InputError, OutOfRange, UnknownName, nearest
from steadycone.files.shapes import Field, Shape, fields_by_name, fields_of, is_struct, options_of, shape_of, struct_for
from steadycone.units import Measure, ReferenceState

_LONGEST_TEXT = 200
_LONGEST_LIST = 200
# What to write for a field whose type has no example of its own.
_EXAMPLES = {
    "name": "Slip 2, frame bench",
    "gas": "oxygen",
    "grade": "oxygen",
    "chart": "demo-acetylene-cutting.csv",
    "policy": "yard.toml",
    "size": "3",
    "material": "low-carbon steel",
    "where": "oxygen regulator inlet",
    "fuels": "acetylene",
    "country": "GB",
    "held": "ballast water",
    "certificate": "gas tester 214, 2026-11-25",
    "low_points": "bilge well",
}
# What people call a thing, where the nearest spelling would mislead.
_TRADE_WORDS = {
    "non-return valve": "check valve", "nrv": "check valve", "reverse flow valve": "check valve", "backflow preventer": "check valve",
    "flashback arrestor": "arrestor", "flashback arrester": "arrestor", "fba": "arrestor", "tube": "hose", "quick coupling": "coupling",
    "england": "uk", "gb": "uk", "britain": "uk", "united kingdom": "uk", "usa": "us", "canada": "ca", "australia": "au", "new zealand": "nz",
    "europe": "eu", "cutting": "cut", "heating": "heat", "welding": "weld", "cng": "natural gas", "mains gas": "natural gas", "c2h2": "acetylene",
    "propane-butane": "lpg", "methylacetylene": "mps", "propyne": "mps", "methylacetylene-propadiene": "mps", "mpas": "mps", "propene": "propylene",
}  # fmt: skip


def place(table: str, name: str) -> str:
    """The place of a field as messages show it: "oxygen.part 2 (hose), length"."""
    return f"{table}, {name}" if table else name


def below(table: str, name: str) -> str:
    return f"{table}.{name}" if table else name


def refuse_unknown(kind: Any, given: object, table: str = "", hidden: frozenset[str] = frozenset()) -> None:
    """Raises UnknownName for the first field, in any table, that the nouns do not have.

    Tables of the wrong shape are passed over: `build` reports those.
    """
    _refuse_unknown(shape_of(kind).structs, given, table, hidden)


def _refuse_unknown(structs: tuple[Any, ...], given: object, table: str, hidden: frozenset[str]) -> None:
    struct = struct_for(structs, given)
    if struct is None or not isinstance(given, dict):
        return
    known = fields_by_name(struct)
    if hidden:
        known = {name: field for name, field in known.items() if field.name not in hidden}
    tag = struct.__struct_config__.tag_field
    for name, value in given.items():
        if name == tag:
            continue
        if name not in known:
            whose = (
                f"a field of a {struct.__struct_config__.tag}"
                if tag
                else f"a field of [{table}]"
                if table
                else "a table or field of this file"
            )
            hint = nearest(name, [*known, tag] if tag else known)
            raise UnknownName(f'"{name[:60]}" is not {whose}', where=place(table, name[:60]), try_=hint)
        if isinstance(value, list | dict):
            for item_table, item_structs, item in _tables_in(known[name].shape, value, below(table, name)):
                _refuse_unknown(item_structs, item, item_table, frozenset())


def _tables_in(shape: Shape, value: object, table: str) -> Iterator[tuple[str, tuple[Any, ...], object]]:
    if shape.how == "list" and shape.item is not None and isinstance(value, list):
        for number, item in enumerate(value, 1):
            yield item_place(table, number, item), shape.item.structs, item
    elif isinstance(value, dict):
        for struct in shape.structs:
            yield table, (struct,), value


def item_place(table: str, number: int, item: object) -> str:
    """ "oxygen.part 2 (hose)": the number counts from 1, the kind is told where there is one."""
    word = item.get("kind") if isinstance(item, dict) else None
    return f"{table} {number} ({word})" if isinstance(word, str) and len(word) < 40 else f"{table} {number}"


class Builder:
    """Builds nouns from tables; `reference` is the state that gas volumes in this file refer to."""

    def __init__(self, reference: ReferenceState | None = None) -> None:
        self.reference = reference

    def struct(self, kind: Any, given: object, table: str = "", extra: dict[str, Any] | None = None) -> Any:
        """One noun from one table; `extra` fills fields that no file writes.

        Raises  InputError: with the place, the value, what is allowed and what to write.
        """
        return self._struct(shape_of(kind), given, table, extra)

    def _struct(self, shape: Shape, given: object, table: str, extra: dict[str, Any] | None = None) -> Any:
        if not isinstance(given, dict):
            self._not_a_table(given, table)
        struct = self._known_struct(shape, given, table)
        values = dict(extra or {})
        for field in fields_of(struct):
            if field.name in values:
                continue
            if field.encode_name in given:
                values[field.name] = self._value(field.shape, given[field.encode_name], table, field.encode_name)
            elif field.required:
                self._missing(field, table)
        return struct(**values)

    def _known_struct(self, shape: Shape, given: dict[str, Any], table: str) -> Any:
        struct = struct_for(shape.structs, given)
        if struct is not None:
            return struct
        words = [option.__struct_config__.tag for option in shape.options]
        word = given.get("kind")
        if word is None:
            raise InputError("missing, and needed here", where=place(table, "kind"), try_=f"Add kind, one of: {', '.join(sorted(words))}.")
        self._not_allowed(word, words, place(table, "kind"))

    def _value(self, shape: Shape, given: object, table: str, name: str) -> Any:
        """One field's value, whatever its type."""
        how, where = shape.how, place(table, name)
        if how == "table":
            return self._struct(shape, given, below(table, name))
        if how == "list" and shape.item is not None:
            return self._list(shape.item, given, table, name)
        if how == "names" and shape.item is not None:
            return self._dict(shape.item, given, table, name)
        if isinstance(given, list | dict):
            shown = "a list" if isinstance(given, list) else "a table"
            raise InputError(f"{shown} where one value is expected", where=where, try_=f"Write for example {_example(shape.option, name)}.")
        if how == "measure":
            return self._measure(shape.option, given, where)
        if how == "word":
            return self._literal(get_args(shape.option), given, where)
        return self._plain(shape.option, given, where, name)

    def _measure(self, kind: type[Measure], given: object, where: str) -> Measure:
        if isinstance(given, int) and not isinstance(given, bool) and abs(given) > 1e15:
            raise OutOfRange("a number of more than 15 digits", where=where, try_=f'Write for example "{kind.example}".')
        try:
            return kind.parse(given, self.reference)
        except InputError as error:
            error.at(where)
            raise

    def _literal(self, allowed: tuple[Any, ...], given: object, where: str) -> Any:
        for value in allowed:
            if type(given) is type(value) and given == value:
                return value
            if isinstance(value, int) and not isinstance(given, bool) and str(given) == str(value):
                return value
        self._not_allowed(given, [str(value) for value in allowed], where)

    def _not_allowed(self, given: object, allowed: list[str], where: str) -> NoReturn:
        if not isinstance(given, str):
            raise InputError(f"{_shown(given)} is not one of the words allowed", where=where, try_=f"One of: {', '.join(allowed)}.")
        lower = given.strip().lower()
        meant = next((word for word in (_TRADE_WORDS.get(lower), lower) if word in allowed), None)
        hint = f'Did you mean "{meant}"?' if meant else nearest(lower, allowed)
        raise UnknownName(f"{_shown(given)} is not allowed; one of: {', '.join(allowed)}", where=where, try_=hint)

    def _plain(self, kind: type, given: object, where: str, name: str) -> Any:
        if kind is bool:
            if not isinstance(given, bool):
                raise InputError(f"{_shown(given)} is neither true nor false", where=where, try_=f"Write {name} = true or {name} = false.")
            return given
        if kind is int:
            return _whole(given, where, name)
        if isinstance(given, bool) or not isinstance(given, str | int | float):
            raise InputError(f"{_shown(given)} is not text", where=where, try_=f"Write for example {_example(kind, name)}.")
        if isinstance(given, int) and abs(given) > 1e15:
            raise OutOfRange("a number of more than 15 digits", where=where, try_=f"Write for example {_example(kind, name)}.")
        return clean_text(str(given), where, f"Write for example {_example(kind, name)}.")

    def _list(self, item_shape: Shape, given: object, table: str, name: str) -> tuple[Any, ...]:
        tables = bool(item_shape.structs)
        path = below(table, name)
        if tables and isinstance(given, dict):
            raise InputError("one table where a list of tables is expected", where=path, try_=_list_hint(item_shape.options, path, name))
        if not isinstance(given, list):
            raise InputError(
                f"{_shown(given)} where a list is expected", where=place(table, name), try_=_list_hint(item_shape.options, path, name)
            )
        if len(given) > _LONGEST_LIST:
            raise OutOfRange(f"{len(given)} entries; at most {_LONGEST_LIST}", where=place(table, name), try_="Check the file.")
        if tables:
            return tuple(self._struct(item_shape, item, item_place(path, number, item)) for number, item in enumerate(given, 1))
        return tuple(self._value(item_shape, item, table, f"{name} {number}") for number, item in enumerate(given, 1))

    def _dict(self, item_shape: Shape, given: object, table: str, name: str) -> dict[str, Any]:
        if not isinstance(given, dict):
            raise InputError(
                f"{_shown(given)} where a table is expected", where=place(table, name), try_=f"Write {name} = {{ word = value }}."
            )
        return {
            clean_text(key, place(table, name), "Check the names."): self._value(item_shape, item, below(table, name), key)
            for key, item in given.items()
        }

    def _not_a_table(self, given: object, table: str) -> NoReturn:
        if isinstance(given, list):
            raise InputError("a list where one table is expected", where=table, try_=f"Write [{table}], with single brackets, once.")
        raise InputError(
            f"{_shown(given)} where a table is expected", where=table, try_=f"Write the heading [{table}] with its fields below it."
        )

    def _missing(self, field: Field, table: str) -> NoReturn:
        option = field.shape.option
        name = field.encode_name
        path = below(table, name)
        if is_struct(option):
            needed = ", ".join(_example_line(item) for item in fields_of(option) if item.required)
            raise InputError("this table is missing", where=path, try_=f"Add [{path}] with {needed}." if needed else f"Add [{path}].")
        if get_origin(option) is tuple:
            raise InputError("missing, and needed here", where=path, try_=_list_hint(options_of(get_args(option)[0]), path, name))
        raise InputError("missing, and needed here", where=place(table, name), try_=f"Add for example: {name} = {_example(option, name)}.")


def _list_hint(options: tuple[Any, ...], path: str, name: str) -> str:
    if any(is_struct(option) for option in options):
        if " " in path:  # inside one table of a list, where a heading of its own would need a name that TOML has not
            fields = ", ".join(_example_line(field) for field in fields_of(options[0]) if field.required)
            return f"Write for example {name} = [ {{ {fields} }} ]."
        return f"Write [[{path}]], with two brackets, once for each."
    return f"Write for example {name} = [{_example(options[0], name)}]."


def _example_line(field: Field) -> str:
    option = field.shape.option
    return f"[[{field.encode_name}]]" if get_origin(option) is tuple else f"{field.encode_name} = {_example(option, field.encode_name)}"


def _example(kind: Any, name: str) -> str:
    if get_origin(kind) is Literal:
        return " or ".join(f'"{word}"' if isinstance(word, str) else str(word) for word in get_args(kind))
    if is_struct(kind) or get_origin(kind) in (tuple, dict):
        return "a table"
    if kind in (int, bool):
        return "1" if kind is int else "true"
    return f'"{kind.example if issubclass(kind, Measure) else _EXAMPLES.get(name, "text")}"'


def _whole(given: object, where: str, name: str) -> int:
    if isinstance(given, str) and given.strip().isascii() and given.strip().isdigit() and len(given) < 10:
        given = int(given)
    if isinstance(given, float) and given.is_integer() and abs(given) < 1e9:
        given = int(given)
    if isinstance(given, bool) or not isinstance(given, int) or abs(given) > 1e9:
        raise InputError(f"{_shown(given)} is not a whole number", where=where, try_=f"Write for example {name} = 1.")
    return given


def clean_text(text: str, where: str, try_: str) -> str:
    """Text without blanks around it. Raises InputError: empty, very long, or with control characters."""
    tidy = text.strip()
    if not tidy:
        raise InputError("empty", where=where, try_=try_)
    if len(tidy) > _LONGEST_TEXT:
        raise InputError(f"text of {len(tidy)} characters; at most {_LONGEST_TEXT}", where=where, try_="Shorten it.")
    if any(ord(letter) < 32 or 127 <= ord(letter) < 160 for letter in tidy):
        raise InputError(f"{tidy[:40]!r} holds control characters", where=where, try_="Write it on one line, as plain text.")
    return tidy


def _shown(given: object) -> str:
    """A value as the file has it, short enough for one line."""
    if isinstance(given, bool):
        return "true" if given else "false"
    if isinstance(given, list | dict):
        return "a list" if isinstance(given, list) else "a table"
    if isinstance(given, int) and abs(given) > 1e15:
        return "a number of more than 15 digits"
    if isinstance(given, date | datetime | time):
        return f"the date or time {given.isoformat()}"
    text = str(given)
    return f'"{text[:60]}"' if isinstance(given, str) else text[:60]


__all__ = ["BadUnit", "Builder", "below", "clean_text", "item_place", "place", "refuse_unknown"]
