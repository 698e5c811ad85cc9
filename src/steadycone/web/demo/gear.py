"""The demo yard's gear: an item for every dated part of its stations, and what lies in the store."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import Any

from steadycone.data.reader import toml
from steadycone.records import events
from steadycone.records.events import Dated, DateName, GearAdded, ItemClass, StationMadeUp
from steadycone.records.gear_item import usual_place
from steadycone.web.demo.stations import TABLE, Place, days_ago, month

_PARTS: tuple[tuple[str, ItemClass, str], ...] = (
    ("regulator", "regulator", "R-0141"),
    ("part.1", "arrestor", "A-11"),
    ("part.2", "hose", "H-21"),
)


def marks(number: int) -> dict[str, str]:
    """The marks of the station that stands at a place of the table, by the part's path: oxygen odd, fuel even."""
    found = {}
    for path, _, first in _PARTS:
        letter, _, start = first.partition("-")
        for offset, line in enumerate(("oxygen", "fuel")):
            found[f"{line}.{path}"] = f"{letter}-{int(start) + 2 * number + offset:0{len(start)}d}"
    return found


def gear_of(place: Place, marked: Mapping[str, str]) -> Iterator[GearAdded]:
    """An item for each marked part, with the dates that the station's file has."""
    for path, mark in marked.items():
        kind = _kind(path)
        gas = place.fields.get(f"{path}.gas") or place.fields[f"{path}.grade"]
        dates: dict[DateName, Dated] = {"made": Dated(date=place.fields[f"{path}.made"], basis="stamp")}
        if tested := place.fields.get(f"{path}.tested"):
            dates["tested"] = Dated(date=tested, basis="tag")
        yield GearAdded(mark=mark, item=kind, gas=gas, dates=dates)
    if place.torch:
        made, tested = place.fields["oxygen.regulator.made"], place.fields["fuel.part.1.tested"]
        yield GearAdded(
            mark=place.torch, item="torch", dates={"made": Dated(date=made, basis="stamp"), "tested": Dated(date=tested, basis="tag")}
        )


def made_up(place: Place, marked: Mapping[str, str]) -> StationMadeUp:
    """The station's make-up, place by place."""
    makeup = {place_of(path, place): mark for path, mark in marked.items()} | ({"torch": place.torch} if place.torch else {})
    return StationMadeUp(station=place.name, makeup=makeup, why="walked round and read off")


def place_of(path: str, place: Place) -> str:
    """Where a part sits, as the register says it: "fuel arrestor"."""
    return usual_place(_kind(path), "oxygen" if path.startswith("oxygen") else place.fields["station.fuel"])


def _kind(path: str) -> ItemClass:
    return next(kind for known, kind, _ in _PARTS if known == path.partition(".")[2])


def spares(on: date) -> Iterator[GearAdded]:
    """What lies in the store."""
    for entry in toml(TABLE)["spare"]:
        yield GearAdded(
            mark=entry["mark"], item=entry["item"], gas=entry.get("gas", ""), dates=_spare_dates(entry, on), note=entry.get("note", "")
        )


def _spare_dates(entry: Mapping[str, Any], on: date) -> dict[DateName, Dated]:
    found: dict[DateName, Dated] = {}
    if "made" in entry:
        day = on - timedelta(days=entry["made"])
        found["made"] = Dated(date=day.isoformat() if entry["item"] == "hose" else month(day), basis="stamp")
    if "tested" in entry:
        found["tested"] = Dated(date=days_ago(on, entry["tested"]), basis="tag")
    return found


def cylinders() -> Iterator[events.CylinderMoved]:
    """Where the cylinders stand today."""
    for entry in toml(TABLE)["cylinder"]:
        yield events.CylinderMoved(
            mark=entry["mark"], gas=entry["gas"], to=entry["to"], state=entry["state"], contents=entry.get("contents", "")
        )
