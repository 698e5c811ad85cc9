"""The work to be done, the place it is done in, and what the gauges show now."""

from typing import Literal

import msgspec

from steadycone.units import AirFlow, Angle, Duration, GivenDate, Length, Pressure, Share, Volume


class Job(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    kind: Literal["cut", "heat", "weld"]
    material: str | None = None
    thickness: Length | None = None
    length: Length | None = None
    time: Duration | None = None
    start: Literal["edge", "pierce"] = "edge"
    bevel: Angle | None = None  # from square
    duty: Share | None = None  # share of the time the flame burns; default all of it


class Place(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Where the flame burns. `closed` is what is judged; whether a place is confined the authorised person says, never the program."""

    name: str | None = None
    country: str | None = None  # below the region: two letters, with a province behind a hyphen
    enclosed: bool = False
    confined: bool = False
    ship: bool = False
    volume: Volume | None = None
    height: Length | None = None  # of the work above the floor below
    ceiling: Length | None = None
    fresh_air: AirFlow | None = None  # left out: none counted
    fresh_air_measured: GivenDate | None = None
    welders: int = 1  # flames at once in this place, this one among them
    cylinders: Literal["outside", "inside"] | None = None
    held: str | None = None  # what the tank, drum or pipe held
    certificate: str | None = None  # that it is safe for hot work: who gave it
    low_points: tuple[str, ...] = ()

    @property
    def closed(self) -> bool:
        return self.enclosed or self.confined


class Settings(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What the gauges show now, torch valves open with the flame on, or static with them shut."""

    when: Literal["flowing", "static"]
    oxygen: Pressure
    fuel: Pressure
    preheat_oxygen: Pressure | None = None


class Declared(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Something found on the station that no table describes."""

    kind: Literal["oil", "adaptor"]
    where: str = ""
