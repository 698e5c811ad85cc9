"""The types of the nouns' fields, taken apart once: typing and msgspec work them out anew at each question."""

import types
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal, Union, get_args, get_origin

import msgspec

from steadycone.units import Measure

How = Literal["table", "list", "names", "word", "measure", "plain"]


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """What a field may hold. `options` are the members of a union without None, `option` the first of them.

    how      table: a noun, of several the one whose tag the file's `kind` names; list; names: a table with names of the owner's
             own; word: one of a few; measure: a value with its unit; plain: text, a whole number, true or false
    structs  the nouns among the options
    item     of a list or names: what each holds
    """

    options: tuple[Any, ...]
    option: Any
    how: How
    structs: tuple[Any, ...]
    item: "Shape | None"


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """One field of a noun: its name here, its name in a file, whether it must be given, and its shape."""

    name: str
    encode_name: str
    required: bool
    shape: Shape


def options_of(kind: Any) -> tuple[Any, ...]:
    """The members of a union without None; otherwise the kind alone."""
    if get_origin(kind) in (Union, types.UnionType):
        return tuple(option for option in get_args(kind) if option is not type(None))
    return (kind,)


def is_struct(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, msgspec.Struct)


def shape_of(kind: Any) -> Shape:
    options = options_of(kind)
    structs = tuple(option for option in options if is_struct(option))
    how = _how(options[0])
    inner = {"list": 0, "names": 1}.get(how)
    item = None if inner is None else shape_of(get_args(options[0])[inner])
    return Shape(options, options[0], how, structs, item)


def _how(option: Any) -> How:
    origin = get_origin(option)
    if origin in (tuple, dict, Literal):
        return {tuple: "list", dict: "names", Literal: "word"}[origin]  # type: ignore[return-value]
    if is_struct(option):
        return "table"
    return "measure" if issubclass(option, Measure) else "plain"


@lru_cache(maxsize=128)  # the nouns are few
def fields_of(struct: Any) -> tuple[Field, ...]:
    return tuple(Field(field.name, field.encode_name, field.required, shape_of(field.type)) for field in msgspec.structs.fields(struct))


@lru_cache(maxsize=128)
def fields_by_name(struct: Any) -> dict[str, Field]:
    """By the name a file uses. Not to be changed."""
    return {field.encode_name: field for field in fields_of(struct)}


def struct_for(structs: tuple[Any, ...], given: object) -> Any:
    """The noun for a table: of several kinds of part, the one that its `kind` names."""
    if len(structs) == 1:
        return structs[0]
    word = given.get("kind") if isinstance(given, dict) else None
    return next((struct for struct in structs if struct.__struct_config__.tag == word), None)
