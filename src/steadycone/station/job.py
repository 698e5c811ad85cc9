"""The work to be done, the place it is done in, and what the gauges show now."""

from typing import Literal

import msgspec

from steadycone.units import Angle, Duration, Length, Pressure, Share, Volume


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
    enclosed: bool = False
    volume: Volume | None = None


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
