"""Ratings that the register has lower than the station's file: the lower one counts."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from msgspec.structs import replace

from steadycone.data.reader import toml
from steadycone.errors import InputError
from steadycone.records.places import Place, lines, named
from steadycone.records.rows import Item
from steadycone.units import ATMOSPHERE, Pressure

if TYPE_CHECKING:
    from steadycone.station.setup import Setup, Station

_ROUNDING = 0.01  # judged by us: 150 psi on a plate and 10 bar in a file are one rating (3 % apart they are two)


@dataclass(frozen=True, slots=True)
class Lower:
    """One rating. field : of the regulator or part in the file. register, file : as written; file "" where it states none"""

    place: str
    item: Item
    where: Place
    field: str
    register: str
    file: str


def lower_ratings(items: Mapping[str, Item], station: "Station") -> tuple[Lower, ...]:
    """Every rating of gear on a station that is lower than its file's, or that the file does not state.

    A rating whose name or value is no pressure of ours is left alone: the register keeps what is marked on it as free text.
    """
    return tuple(lower for place, item in sorted(items.items()) for lower in _of_item(place, item, station))


def _of_item(place: str, item: Item, station: "Station") -> Iterator[Lower]:
    if not item.ratings:
        return
    found = named(station, place)
    if len(found) != 1 or found[0].kind != item.item or found[0].kind == "torch":
        return
    thing = _thing(station, found[0])
    for name, text in item.ratings.items():
        field = (
            toml("records.toml")["rating"].get(" ".join(name.lower().replace("_", " ").replace(".", " ").split()), {}).get(_owner(found[0]))
        )
        marked = _pressure(text) if field else None
        if marked is None:
            continue
        stated: Pressure | None = getattr(thing, field)
        if stated is None or marked.gauge(ATMOSPHERE) < stated.gauge(ATMOSPHERE) * (1 - _ROUNDING):
            yield Lower(place, item, found[0], field, marked.text, stated.text if stated is not None else "")


def _owner(place: Place) -> str:
    return "part" if place.number else "regulator"


def _thing(station: "Station", place: Place) -> Any:
    line = lines(station)[place.line]
    return line.part[place.number - 1] if place.number else line.regulator


def _pressure(text: str) -> Pressure | None:
    try:
        return Pressure.parse(text)
    except InputError:  # free text: what is marked on it need not be a pressure
        return None


def with_ratings(setup: "Setup", lower: tuple[Lower, ...]) -> "Setup":
    """The setup with the register's ratings in place of the file's."""
    station = setup.station
    for each in lower:
        name = each.where.line.replace(" ", "_")
        line = getattr(station, name)
        thing = replace(_thing(station, each.where), **{each.field: Pressure.parse(each.register)})
        if each.where.number:
            at = each.where.number - 1
            line = replace(line, part=(*line.part[:at], thing, *line.part[at + 1 :]))
        else:
            line = replace(line, regulator=thing)
        station = replace(station, **{name: line})
    return replace(setup, station=station)
