"""Kinds of value that only a worksheet takes: bare minutes, counts an hour, areas, flow points."""

import re
from collections.abc import Mapping
from typing import ClassVar, NamedTuple, Self

from steadycone.errors import BadUnit, SteadyconeError
from steadycone.units import Duration, GasFlow, Mass, Measure, Pressure, PressureDifference, ReferenceState, Share

_MOST_POINTS = 50


class Minutes(Duration):
    """A time; a bare number is minutes."""

    kind, example = "time in minutes", "5"
    units: ClassVar = {**Duration.units, "": 60.0}

    @classmethod
    def _bare(cls, given: float) -> Self:
        return cls(given * 60.0, f"{given:g}")


class AirChanges(Measure):
    """Changes of the room's air; a bare number is an hour's. SI is 1/s."""

    kind, example = "air changes an hour", "0.5"
    units: ClassVar = {"": 1 / 3600, "/h": 1 / 3600, "1/h": 1 / 3600, "per hour": 1 / 3600}
    least, most = 0.0, 1.0

    @classmethod
    def _bare(cls, given: float) -> Self:
        return cls(given / 3600.0, f"{given:g}")


class PerMinute(Measure):
    """A count; a bare number is a minute's. SI is 1/s."""

    kind, example = "count a minute", "12"
    units: ClassVar = {"": 1 / 60, "/min": 1 / 60, "1/min": 1 / 60, "per minute": 1 / 60, "/h": 1 / 3600, "per hour": 1 / 3600}
    least, most = 0.0, 1e4

    @classmethod
    def _bare(cls, given: float) -> Self:
        return cls(given / 60.0, f"{given:g}")


class Area(Measure):
    kind, example = "area", "2 mm2"
    units: ClassVar = {"mm2": 1e-6, "cm2": 1e-4, "m2": 1.0, "in2": 0.0254**2, "sq in": 0.0254**2}
    least, most, above_least = 0.0, 1.0, True


class Creep(PressureDifference):
    """A pressure rise: in one minute, unless it says an hour or the worksheet gives the minutes. SI is Pa; `per` is seconds or None."""

    kind, example = "pressure rise", "0.05 bar/min"
    __slots__ = ("per",)
    _PER: ClassVar = {"min": 60.0, "h": 3600.0, "s": 1.0}

    @classmethod
    def _from(cls, value: float, unit: str, half: float, text: str, reference: ReferenceState | None) -> Self:
        plain, _, per = unit.rpartition("/") if unit.rpartition("/")[2] in cls._PER else (unit, "", "")
        found = super()._from(value, plain, half, text, reference)
        found.per = cls._PER.get(per)
        return found

    def __init__(self, si: float, text: str = "", half_digit: float = 0.0, unit: str = "") -> None:
        self.per: float | None = None
        super().__init__(si, text, half_digit, unit)


class Fill(Share):
    """What is left in a cylinder: a share of its full content, or a mass. SI is the share, or kg when `by_mass`."""

    kind, example = "fill", "40 %"
    __slots__ = ("by_mass",)

    def __init__(self, si: float, text: str = "", half_digit: float = 0.0, unit: str = "") -> None:
        self.by_mass = unit in Mass.units
        super().__init__(si, text, half_digit, unit)

    def _check(self) -> None:
        if not self.by_mass:
            super()._check()

    @classmethod
    def _from(cls, value: float, unit: str, half: float, text: str, reference: ReferenceState | None) -> Self:
        size = Mass.units[unit] if unit in Mass.units else cls.size_of(unit, text)
        return cls(value * size, text, half * size, unit)


class Point(NamedTuple):
    """A point of a flow curve as written."""

    inlet: Pressure
    drop: PressureDifference
    flow: GasFlow
    gas: str


class FlowPoints:
    """Points of a maker's flow curve: "5 bar/0.2 bar/16 m3/h/air; 4 bar/0.2 bar/13 m3/h", or a list of objects in JSON. Air unless said."""

    kind, example = "flow points", "5 bar/0.2 bar/16 m3/h/air"

    @classmethod
    def parse(cls, given: object, reference: ReferenceState | None = None, /) -> tuple[Point, ...]:
        if isinstance(given, str):
            parts: list[object] = list(given.split(";"))
        else:
            parts = list(given) if isinstance(given, list) else [None]
        if not 0 < len(parts) <= _MOST_POINTS:
            raise BadUnit(f"{len(parts)} flow points", try_=f"Give 1 to {_MOST_POINTS}.")
        return tuple(cls._point(part, number, reference) for number, part in enumerate(parts, start=1))

    @classmethod
    def _point(cls, given: object, number: int, reference: ReferenceState | None) -> Point:
        cells: Mapping[object, object]
        if isinstance(given, str) and (found := re.fullmatch(r"([^/]+)/([^/]+)/([^/]+(?:/(?:h|hr|min|s))?)(?:/([^/]+))?", given.strip())):
            cells = {"inlet": found[1], "drop": found[2], "flow": found[3], "gas": found[4] or "air"}
        elif isinstance(given, Mapping):
            cells = given
        else:
            cells = {}
        if not {"inlet", "drop", "flow"} <= set(cells) or set(cells) - {"inlet", "drop", "flow", "gas"}:
            raise BadUnit(f"flow point {number} is not inlet, drop, flow and gas", try_=f'Write for example "{cls.example}".')
        try:
            inlet, drop = Pressure.parse(cells["inlet"]), PressureDifference.parse(cells["drop"])
            return Point(inlet, drop, GasFlow.parse(cells["flow"], reference), str(cells.get("gas", "air")).strip().lower())
        except SteadyconeError as error:
            raise error.at(f"flow point {number}") from None


class GaugePair(NamedTuple):
    """A master gauge and the gauge under test at one pressure, as written."""

    master: Pressure
    gauge: Pressure


class GaugePairs:
    """Readings of two gauges, the master's first: "0 bar/0.1 bar; 5 bar/5.1 bar", or a list of objects in JSON."""

    kind, example = "pairs of readings", "0 bar/0.05 bar; 5.00 bar/5.1 bar; 10.00 bar/10.2 bar"

    @classmethod
    def parse(cls, given: object, reference: ReferenceState | None = None, /) -> tuple[GaugePair, ...]:
        parts: list[object] = list(given.split(";")) if isinstance(given, str) else list(given) if isinstance(given, list) else [None]
        if not 0 < len(parts) <= _MOST_POINTS:
            raise BadUnit(f"{len(parts)} pairs of readings", try_=f"Give 1 to {_MOST_POINTS}.")
        return tuple(cls._pair(part, number) for number, part in enumerate(parts, start=1))

    @classmethod
    def _pair(cls, given: object, number: int) -> GaugePair:
        cells: Mapping[object, object] = given if isinstance(given, Mapping) else {}
        if isinstance(given, str) and given.count("/") == 1:  # kgf/cm2 would need two more
            master, _, gauge = given.partition("/")
            cells = {"master": master.strip(), "gauge": gauge.strip()}
        if set(cells) != {"master", "gauge"}:
            raise BadUnit(f"pair {number} is not master and gauge", try_=f'Write for example "{cls.example}".')
        try:
            return GaugePair(Pressure.parse(cells["master"]), Pressure.parse(cells["gauge"]))
        except SteadyconeError as error:
            raise error.at(f"pair {number}") from None
