"""Tables as TOML gives them, to nouns: one message for each way in which a table can be wrong.

msgspec.convert would build the same nouns; this walk exists for its messages, which name the place as a person sees it
in the file, the value, what is allowed and what to write instead.
"""

import types
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any, Literal, NoReturn, Union, get_args, get_origin

import msgspec

from steadycone.errors import BadUnit, InputError, OutOfRange, UnknownName, nearest
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
}
# What people call a thing, where the nearest spelling would mislead.
_TRADE_WORDS = {
    "non-return valve": "check valve", "nrv": "check valve", "reverse flow valve": "check valve", "backflow preventer": "check valve",
    "flashback arrestor": "arrestor", "flashback arrester": "arrestor", "fba": "arrestor", "tube": "hose", "quick coupling": "coupling",
    "england": "uk", "gb": "uk", "britain": "uk", "united kingdom": "uk", "usa": "us", "canada": "ca", "australia": "au", "new zealand": "nz",
    "europe": "eu", "cutting": "cut", "heating": "heat", "welding": "weld", "cng": "natural gas", "mains gas": "natural gas", "c2h2": "acetylene",
    "butane": "lpg", "propane-butane": "lpg",
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
    struct = _struct_for(kind, given)
    if struct is None or not isinstance(given, dict):
        return
    known = {field.encode_name: field.type for field in msgspec.structs.fields(struct) if field.name not in hidden}
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
        for item_table, item_kind, item in _tables_in(known[name], value, below(table, name)):
            refuse_unknown(item_kind, item, item_table)


def _tables_in(kind: Any, value: object, table: str) -> Iterator[tuple[str, Any, object]]:
    for option in _options(kind):
        if get_origin(option) is tuple and isinstance(value, list):
            for number, item in enumerate(value, 1):
                yield item_place(table, number, item), get_args(option)[0], item
        elif _is_struct(option) and isinstance(value, dict):
            yield table, option, value


def item_place(table: str, number: int, item: object) -> str:
    """ "oxygen.part 2 (hose)": the number counts from 1, the kind is told where there is one."""
    word = item.get("kind") if isinstance(item, dict) else None
    return f"{table} {number} ({word})" if isinstance(word, str) and len(word) < 40 else f"{table} {number}"


def _options(kind: Any) -> tuple[Any, ...]:
    """The members of a union without None; otherwise the kind alone."""
    if get_origin(kind) in (Union, types.UnionType):
        return tuple(option for option in get_args(kind) if option is not type(None))
    return (kind,)


def _is_struct(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, msgspec.Struct)


def _struct_for(kind: Any, given: object) -> Any:
    """The noun for a table: of several kinds of part, the one that its `kind` names."""
    structs = [option for option in _options(kind) if _is_struct(option)]
    if len(structs) == 1:
        return structs[0]
    word = given.get("kind") if isinstance(given, dict) else None
    return next((struct for struct in structs if struct.__struct_config__.tag == word), None)


class Builder:
    """Builds nouns from tables; `reference` is the state that gas volumes in this file refer to."""

    def __init__(self, reference: ReferenceState | None = None) -> None:
        self.reference = reference

    def struct(self, kind: Any, given: object, table: str = "", extra: dict[str, Any] | None = None) -> Any:
        """One noun from one table; `extra` fills fields that no file writes.

        Raises  InputError: with the place, the value, what is allowed and what to write.
        """
        if not isinstance(given, dict):
            self._not_a_table(given, table)
        struct = self._known_struct(kind, given, table)
        values = dict(extra or {})
        for field in msgspec.structs.fields(struct):
            if field.name in values:
                continue
            if field.encode_name in given:
                values[field.name] = self.value(field.type, given[field.encode_name], table, field.encode_name)
            elif field.required:
                self._missing(field, table)
        return struct(**values)

    def _known_struct(self, kind: Any, given: dict[str, Any], table: str) -> Any:
        struct = _struct_for(kind, given)
        if struct is not None:
            return struct
        words = [option.__struct_config__.tag for option in _options(kind)]
        word = given.get("kind")
        if word is None:
            raise InputError("missing, and needed here", where=place(table, "kind"), try_=f"Add kind, one of: {', '.join(sorted(words))}.")
        self._not_allowed(word, words, place(table, "kind"))

    def value(self, kind: Any, given: object, table: str, name: str) -> Any:
        """One field's value, whatever its type."""
        where = place(table, name)
        option = _options(kind)[0]
        if _is_struct(option):
            return self.struct(kind, given, below(table, name))
        if get_origin(option) is tuple:
            return self._list(get_args(option)[0], given, table, name)
        if get_origin(option) is dict:
            return self._dict(get_args(option)[1], given, table, name)
        if isinstance(given, list | dict):
            shape = "a list" if isinstance(given, list) else "a table"
            raise InputError(f"{shape} where one value is expected", where=where, try_=f"Write for example {_example(option, name)}.")
        if get_origin(option) is Literal:
            return self._literal(get_args(option), given, where)
        if issubclass(option, Measure):
            return self._measure(option, given, where)
        return self._plain(option, given, where, name)

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

    def _list(self, kind: Any, given: object, table: str, name: str) -> tuple[Any, ...]:
        tables = any(_is_struct(option) for option in _options(kind))
        path = below(table, name)
        if tables and isinstance(given, dict):
            raise InputError(
                "one table where a list of tables is expected", where=path, try_=f"Write [[{path}]], with two brackets, once for each."
            )
        if not isinstance(given, list):
            raise InputError(f"{_shown(given)} where a list is expected", where=place(table, name), try_=_list_hint(kind, path, name))
        if len(given) > _LONGEST_LIST:
            raise OutOfRange(f"{len(given)} entries; at most {_LONGEST_LIST}", where=place(table, name), try_="Check the file.")
        if tables:
            return tuple(self.struct(kind, item, item_place(path, number, item)) for number, item in enumerate(given, 1))
        return tuple(self.value(kind, item, table, f"{name} {number}") for number, item in enumerate(given, 1))

    def _dict(self, kind: Any, given: object, table: str, name: str) -> dict[str, Any]:
        if not isinstance(given, dict):
            raise InputError(
                f"{_shown(given)} where a table is expected", where=place(table, name), try_=f"Write {name} = {{ word = value }}."
            )
        return {
            clean_text(key, place(table, name), "Check the names."): self.value(kind, item, below(table, name), key)
            for key, item in given.items()
        }

    def _not_a_table(self, given: object, table: str) -> NoReturn:
        if isinstance(given, list):
            raise InputError("a list where one table is expected", where=table, try_=f"Write [{table}], with single brackets, once.")
        raise InputError(
            f"{_shown(given)} where a table is expected", where=table, try_=f"Write the heading [{table}] with its fields below it."
        )

    def _missing(self, field: Any, table: str) -> NoReturn:
        option = _options(field.type)[0]
        name = field.encode_name
        path = below(table, name)
        if _is_struct(option):
            needed = ", ".join(_example_line(item) for item in msgspec.structs.fields(option) if item.required)
            raise InputError("this table is missing", where=path, try_=f"Add [{path}] with {needed}." if needed else f"Add [{path}].")
        if get_origin(option) is tuple:
            raise InputError("missing, and needed here", where=path, try_=_list_hint(get_args(option)[0], path, name))
        raise InputError("missing, and needed here", where=place(table, name), try_=f"Add for example: {name} = {_example(option, name)}.")


def _list_hint(kind: Any, path: str, name: str) -> str:
    if any(_is_struct(option) for option in _options(kind)):
        return f"Add [[{path}]], with two brackets, once for each."
    return f"Write for example {name} = [{_example(_options(kind)[0], name)}]."


def _example_line(field: Any) -> str:
    option = _options(field.type)[0]
    return f"[[{field.encode_name}]]" if get_origin(option) is tuple else f"{field.encode_name} = {_example(option, field.encode_name)}"


def _example(kind: Any, name: str) -> str:
    if get_origin(kind) is Literal:
        return " or ".join(f'"{word}"' if isinstance(word, str) else str(word) for word in get_args(kind))
    if _is_struct(kind) or get_origin(kind) in (tuple, dict):
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
