"""The demo yard's stations as texts of any day: the demo station with a table's values in it, its dates moved along."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from typing import Any

from steadycone.data.reader import FOLDER, toml
from steadycone.files.edit import apply, fields_of
from steadycone.files.gather import Gathered, gather
from steadycone.practice.dates import due
from steadycone.units import GivenDate, Interval

TABLE = "demo_yard.toml"
HOME = FOLDER / "demo"
_BASE = "slip-2.toml"
_HOLDS_ON = date(2026, 11, 25)  # the day that the shipped file is written for
_DATED = ("made", "tested")
_INTERVAL = Interval.parse("1 year")  # between an arrestor's tests, as the demo's policy has it


@dataclass(frozen=True, slots=True)
class Place:
    """One station of the table. `text` is its file on the day asked for; `fields` the same by path."""

    name: str
    file: str
    text: str
    fields: Mapping[str, str]
    torch: str = ""

    @property
    def files(self) -> Gathered:
        return gather(self.text, self.file, fetch)


def places(on: date) -> tuple[Place, ...]:
    """Every station of the table, as its file reads on a day."""
    return tuple(place(entry, on) for entry in toml(TABLE)["station"])


def place(entry: Mapping[str, Any], on: date, name: str = "", file: str = "") -> Place:
    """One entry as a station, under another name where one is given."""
    name, file = name or entry["name"], file or entry["file"]
    values = {"station.name": name} | toml(TABLE)["make"].get(entry.get("make", ""), {}) | entry.get("set", {}) | _dates(entry, on)
    return _place(name, file, apply(_base(), values), entry.get("torch", ""))


def changed(old: Place, values: Mapping[str, str]) -> Place:
    """The same station with other values in its file."""
    return _place(old.name, old.file, apply(old.text, values), old.torch)


def _place(name: str, file: str, text: str, torch: str) -> Place:
    return Place(name, file, text, fields_of(text), torch)


@cache
def _base() -> str:
    """The demo station's file without what it says of itself in its first line."""
    lines = (HOME / _BASE).read_text(encoding="utf-8").splitlines(keepends=True)
    return "# A station of an invented yard.\n" + "".join(line for line in lines if not line.startswith("#"))


def _dates(entry: Mapping[str, Any], on: date) -> dict[str, str]:
    """Every date of the station: those of the shipped file moved along, and over them what the table says."""
    found = {path: _moved(text, on - _HOLDS_ON) for path, text in fields_of(_base()).items() if path.rpartition(".")[2] in _DATED}
    for line in ("oxygen", "fuel"):
        for part in ("regulator", "part.1"):
            found[f"{line}.{part}.tested"] = days_ago(on, entry["tested"])
            found[f"{line}.{part}.made"] = month(on - timedelta(days=entry["hoses"] + 120))
        found[f"{line}.part.2.made"] = month(on - timedelta(days=entry["hoses"]))
    for part, left in entry.get("left", {}).items():
        found[f"{part}.tested"] = day_of_test(on, left).isoformat()
    return found


def _moved(text: str, by: timedelta) -> str:
    day = GivenDate.parse(text).day + by
    return month(day) if len(text) == len("2023-02") else day.isoformat()


def month(day: date) -> str:
    return f"{day:%Y-%m}"


def days_ago(on: date, days: int) -> str:
    return (on - timedelta(days=days)).isoformat()


def day_of_test(on: date, left: int) -> date:
    """The day of an arrestor's test that holds for so many days more."""
    wanted = on + timedelta(days=left)
    day = wanted - timedelta(days=370)
    while due(day, _INTERVAL) < wanted:
        day += timedelta(days=1)
    return day


def fetch(name: str, limit: int, what: str) -> bytes:
    """A chart or the policy of the demo, by the name its stations give it."""
    return (HOME / name).read_bytes()


def charts() -> Iterator[str]:
    """Names of the charts that a station of the table asks for."""
    yield from sorted({fields_of(_base())["tip.chart"], *(make["tip.chart"] for make in toml(TABLE)["make"].values())})
