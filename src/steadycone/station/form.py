"""The fields of a station file as a form asks for them: the table of labels joined to the nouns."""

import types
from dataclasses import dataclass, field
from functools import cache, lru_cache
from typing import Any, Literal, Union, get_args, get_origin

import msgspec

from steadycone.data import reader
from steadycone.station.job import Declared, Job, Place, Settings
from steadycone.station.parts import Part
from steadycone.station.regulator import Regulator
from steadycone.station.setup import About, Fuel, Line, Station
from steadycone.station.supply import Supply
from steadycone.station.torch import TipChoice, Torch
from steadycone.units import GivenDate, Measure, Number, Share

Kind = Literal["measure", "number", "share", "date", "choice", "count", "flag", "text", "words", "points", "shares"]
Key = str | int
NOUNS: dict[str, tuple[Any, ...]] = {
    "station": (About,), "supply": (Supply,), "regulator": (Regulator,), "part": get_args(Part), "torch": (Torch,), "tip": (TipChoice,),
    "job": (Job,), "settings": (Settings,), "place": (Place,), "declared": (Declared,),
}  # fmt: skip
LINES = tuple(item.encode_name for item in msgspec.structs.fields(Station) if item.type in (Line, Line | None))
LISTS = ("part", "declared")  # tables that repeat
MOST_ENTRIES = 200  # of a list; the reader refuses a longer one
FUELS: tuple[str, ...] = get_args(Fuel)


@dataclass(frozen=True, slots=True)
class FormField:
    """One field of one table. `kinds`: the kinds of part that have it; empty in every other table."""

    table: str
    name: str
    label: str
    metric: str
    us: str
    kind: Kind
    required: bool
    hint: str = ""
    fuel_metric: str = ""  # the example on the fuel line, where it differs
    fuel_us: str = ""
    advanced: bool = False
    suggest: str = ""
    default: str = ""
    choices: tuple[str, ...] = ()
    whole: bool = False  # written as a whole number, without quotes
    kinds: tuple[str, ...] = ()
    only_when: dict[str, list[str]] = field(default_factory=dict)


@cache
def form_table() -> dict[str, Any]:
    """The table of titles, order and labels as it is. Not to be changed."""
    return reader.toml("station_form.toml")


@cache
def fields_in(table: str) -> dict[str, FormField]:
    """The fields of one table, such as "supply", by name, in the form's order."""
    return {name: _field(table, name, told) for name, told in form_table()[table].items()}


@cache
def table_order() -> tuple[tuple[str, ...], ...]:
    """The tables of a station file in the form's order: ("station",), ("oxygen", "supply"), ..."""
    found: list[tuple[str, ...]] = []
    for name in form_table()["order"]:
        found += [(name, inner) for inner in form_table()["line"]] if name in LINES else [(name,)]
    return tuple(found)


@lru_cache(maxsize=4096)
def field_at(path: str) -> tuple[tuple[Key, ...], FormField] | None:
    """The table's place and the field of a path such as "oxygen.part.2.length"; None for a path the form has not."""
    if len(path) > 80:
        return None
    *head, name = path.split(".")
    inner = head[1:] if head and head[0] in LINES else head
    if not inner or inner[0] not in NOUNS or (head[0] in LINES) != (inner[0] in form_table()["line"]):
        return None
    found = fields_in(inner[0]).get(name)
    if found is None or len(inner) != (2 if inner[0] in LISTS else 1):
        return None
    if inner[0] not in LISTS:
        return tuple(head), found
    number = inner[1]
    if not (number.isascii() and number.isdigit() and number[0] != "0" and len(number) < 4 and int(number) <= MOST_ENTRIES):
        return None
    return (*head[:-1], int(number)), found


def path_of(table: tuple[Key, ...], name: str) -> str:
    """("oxygen", "part", 2), "length" as "oxygen.part.2.length"."""
    return ".".join(map(str, (*table, name)))


def place_of(table: tuple[Key, ...], name: str = "") -> str:
    """The same place as messages of the reader show it: "oxygen.part 2, length"."""
    shown = ""
    for key in table:
        shown += f" {key}" if isinstance(key, int) else f".{key}" if shown else key
    return f"{shown}, {name}" if name else shown


def _field(table: str, name: str, told: dict[str, Any]) -> FormField:
    if table in LISTS and name == "kind":
        return _tag(table, told) if table == "part" else _made(table, name, told, _noun_field(Declared, name), ())
    having = [(noun, found) for noun in NOUNS[table] if (found := _noun_field(noun, name))]
    kinds = tuple(str(noun.__struct_config__.tag) for noun, _ in having) if table == "part" else ()
    return _made(table, name, told, having[0][1], kinds)


def _noun_field(noun: Any, name: str) -> Any:
    return next((item for item in msgspec.structs.fields(noun) if item.encode_name == name), None)


def _tag(table: str, told: dict[str, Any]) -> FormField:
    words = tuple(str(noun.__struct_config__.tag) for noun in NOUNS[table])
    return FormField(table=table, name="kind", kind="choice", required=True, choices=words, kinds=words, **told)


def _made(table: str, name: str, told: dict[str, Any], noun: Any, kinds: tuple[str, ...]) -> FormField:
    option = _option(noun.type)
    choices = get_args(option) if get_origin(option) is Literal else ()
    default = noun.default
    return FormField(
        table=table, name=name, kind=_kind(option), required=noun.required, choices=tuple(map(str, choices)),
        whole=option is int or any(isinstance(word, int) for word in choices), kinds=kinds,
        default=str(default).lower() if isinstance(default, str | int) else "", **told,
    )  # fmt: skip


def _option(kind: Any) -> Any:
    """The one member of a union beside None."""
    if get_origin(kind) in (Union, types.UnionType):
        return next(option for option in get_args(kind) if option is not type(None))
    return kind


def _kind(option: Any) -> Kind:
    origin = get_origin(option)
    if origin is Literal:
        return "choice"
    if origin is tuple:
        return "words" if get_args(option)[0] is str else "points"
    if origin is dict:
        return "shares"
    if issubclass(option, Measure):
        return "date" if issubclass(option, GivenDate) else "share" if option is Share else "number" if option is Number else "measure"
    plain: dict[type, Kind] = {bool: "flag", int: "count", str: "text"}
    return plain[option]
