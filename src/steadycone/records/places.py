"""Where an item may hang: the places that a station's file has, and what hangs there."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from steadycone.errors import UnknownName
from steadycone.records.gear_names import read_kind
from steadycone.records.names import key
from steadycone.records.rows import Item
from steadycone.station.marks import fit, hose_fit

if TYPE_CHECKING:
    from steadycone.station.setup import Line, Station

_LINES = ("preheat oxygen", "oxygen", "fuel")
_NAME = re.compile(rf"({'|'.join(_LINES)}) (?:regulator|part ([1-9]\d{{0,3}}))")
# Kinds of gear that a station's file describes, each at a place of its own; the others (a gauge, a trolley) hang where they are said to.
_IN_FILE = ("regulator", "arrestor", "check valve", "hose", "coupling", "valve", "torch")


@dataclass(frozen=True, slots=True)
class Place:
    """One place of a station's file. `name` as the card has it: "fuel part 2". gas : what flows there"""

    name: str
    kind: str
    gas: str
    line: str
    number: int = 0  # of a part; 0: the regulator or the torch

    @property
    def told(self) -> str:
        return f"{self.name} ({self.kind})" if self.number else self.name


@dataclass(frozen=True, slots=True)
class Misfit:
    """Why an item can't hang at a place: the file has no such place, or another kind of thing or another gas there."""

    what: Literal["place", "kind", "gas"]
    says: str
    try_: str


def places(station: "Station") -> tuple[Place, ...]:
    """Every place of a station's file that gear is tied to, line by line, the torch last."""
    return tuple(_places(station))


def _places(station: "Station") -> Iterator[Place]:
    fuel = station.station.fuel
    for name, line in lines(station).items():
        gas = fuel if name == "fuel" else "oxygen"
        yield Place(f"{name} regulator", "regulator", gas, name)
        for number, part in enumerate(line.part, 1):
            yield Place(f"{name} part {number}", part.word, gas, name, number)
    yield Place("torch", "torch", fuel, "")


def lines(station: "Station") -> "dict[str, Line]":
    """The station's lines by the name that a place begins with."""
    found = {"oxygen": station.oxygen, "preheat oxygen": station.preheat_oxygen, "fuel": station.fuel}
    return {name: line for name, line in found.items() if line is not None}


def named(station: "Station", text: str) -> tuple[Place, ...]:
    """The places that a text can mean: one by its own name, or all of a kind on a line ("fuel hose"). Empty: the file has none such."""
    wanted = key(text.replace("_", " "))
    if (own := _own(station, wanted)) is not None:
        return (own,)
    line, kind = _split(wanted)
    return tuple(place for place in places(station) if kind and (place.line, place.kind) == (line, kind))


def _own(station: "Station", wanted: str) -> Place | None:
    """The place of exactly this name, as `places` has it: asked for every item of a yard, so nothing else is looked at."""
    fuel = station.station.fuel
    if wanted == "torch":
        return Place("torch", "torch", fuel, "")
    found = _NAME.fullmatch(wanted)
    line = getattr(station, found[1].replace(" ", "_")) if found else None
    if found is None or line is None:
        return None
    gas, number = fuel if found[1] == "fuel" else "oxygen", int(found[2] or 0)
    if not found[2]:
        return Place(wanted, "regulator", gas, found[1])
    return Place(wanted, line.part[number - 1].word, gas, found[1], number) if 0 < number <= len(line.part) else None


@lru_cache(maxsize=1000)  # a yard names its places alike
def _split(wanted: str) -> tuple[str, str]:
    """Line and kind of "fuel non-return valve"; no kind where it names none."""
    line = next((line for line in _LINES if wanted.startswith(f"{line} ")), "")
    try:
        return line, read_kind(wanted[len(line) :].strip())[0]
    except UnknownName:
        return line, ""


def misfit(item: Item, text: str, station: "Station") -> Misfit | None:
    """Why this item can't hang at this place of the station's file; None where nothing speaks against it."""
    found = named(station, text)
    if not found:
        return _no_place(item, text, station) or _wrong_gas(item, text, _line_gas(key(text), station))
    place = found[0]
    if item.item != place.kind and not (item.item == "other" and place.kind == "pipe"):
        says = f"{item.mark} is {_a(item.item)}; the file has {_a(place.kind)} at {place.name}"
        return Misfit("kind", says, f"{_try(item, station)} Or change the station's file.")
    if len(found) > 1:
        told = ", ".join(each.told for each in found)
        return Misfit("place", f'"{text}" can be {told}', "Name the part: steadycone gear fit --place.")
    return _wrong_gas(item, place.name, place.gas)


def _no_place(item: Item, text: str, station: "Station") -> Misfit | None:
    if item.item not in _IN_FILE:
        return None
    told = ", ".join(place.told for place in places(station))
    return Misfit("place", f'the file has no place "{text[:60]}" for {_a(item.item)}', f"{_try(item, station)} The file has: {told}.")


def _try(item: Item, station: "Station") -> str:
    """The places where it would fit."""
    fitting = [place for place in places(station) if place.kind == item.item and _wrong_gas(item, place.name, place.gas) is None]
    if not fitting:
        return f"It fits nowhere on this station: look at the mark of {item.mark}."
    return f"It fits at: {', '.join(place.told for place in fitting)}."


def _line_gas(wanted: str, station: "Station") -> str:
    """The gas of a place that the file does not name, by the line it begins with; empty where it is of neither."""
    line, _ = _split(wanted)
    return "" if not line else station.station.fuel if line == "fuel" else "oxygen"


def _wrong_gas(item: Item, place: str, gas: str) -> Misfit | None:
    """Only where the mark says another gas for certain: what the maker must be asked about, the card asks about."""
    if not item.gas or not gas or fit(item.gas, gas) != "no" or (item.item == "hose" and hose_fit(item.gas, gas) != "no"):
        return None
    if place == "torch" and fit(item.gas, "oxygen") == "yes":
        return None  # a torch carries both gases
    says = f"{item.mark} is marked for {item.gas}; {place} carries {gas}"
    return Misfit("gas", says, f"Never fit gear of one gas to another. Fit one marked for {gas}, or mend the mark's own entry.")


def _a(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"
