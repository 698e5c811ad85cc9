"""A regulator seat that passes: with the torch valves shut the outlet creeps up, over the cap, towards the cylinder's own pressure."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from steadycone.card.card import Card
from steadycone.errors import InputError, OutOfRange
from steadycone.kinds import Hours
from steadycone.physics.flow.orifice import mass_flow
from steadycone.physics.gas import GAS_CONSTANT
from steadycone.physics.transient.feed import Filling, feed_table
from steadycone.quantity import Quantity, exact
from steadycone.units import GasFlow, PressureDifference, Volume
from steadycone.whatif.bands import Given, banded, corners, middle
from steadycone.whatif.common.rig import Rig, rig_of
from steadycone.whatif.frame import Chart, Curve, Frame, LineFrame, Outcome, Point, Prevention, WithRuns
from steadycone.whatif.settings import Choice, setting, whatif

_KINDS = {"cap_reached_after": "minutes", "final_pressure": "gauge pressure", "leak": "leak", "start_pressure": "gauge pressure"}
_POINTS, _NODES = 40, 96


@whatif
class PassingSeat(WithRuns):
    """A regulator seat that passes: pressure against time with the torch valves shut, and when it is over the cap."""

    line: str = setting(Choice("fuel", "oxygen", "preheat oxygen"), "whose seat passes", "fuel")
    creep: PressureDifference = setting(PressureDifference, "rise seen on the outlet gauge in one minute, torch valves shut", "0.05 bar")
    leak: GasFlow | None = setting(GasFlow, "what passes, where it was measured; rules over creep")
    hours: Hours | None = setting(Hours, "how long nobody looks; left out: until it stops by itself")
    dead_volume: Volume | None = setting(Volume, "of regulator body and small parts; left out: the station's own")
    example: ClassVar = 'line=fuel creep="0.1 bar" hours=1'

    def answer(self, card: Card) -> Outcome:
        rig, name = rig_of(card), self.line.replace(" ", "_")
        if name not in rig.figures.lines:
            raise InputError(f"this station has no {self.line} line", where="line", try_="Name fuel or oxygen.")
        seat = _Seat(
            rig, name, self._rate(rig, name), self.hours.si if self.hours else None, self.dead_volume.si if self.dead_volume else None
        )
        numbers = banded(seat.numbers, seat.inputs, _KINDS, self.runs, self.seed)
        ready = seat.filling(middle(seat.inputs))
        state = seat.state(numbers)
        return Outcome(
            name="passing-seat",
            state=state,
            numbers=numbers,
            reason="liquid" if seat.rig.figures.lines[name].supply.vaporisation else "acetylene" if rig.gas(name).name == "acetylene" else "seat",
            series={"pressure_at": seat.series(ready)},
            frames=seat.frames(ready, numbers),
            charts=(seat.chart(ready),),
            prevented_by=tuple(Prevention(key) for key in ("two-gauge", "cylinder-shut", "bleed", "bench")),
            not_trusted=("relief", "steady", "hose", *(("gauge",) if self.leak is None else ())),
            sources=("nozzle-ideal", "seat-creep", "memory-regulator-defaults"),
            blanks={
                "gas": rig.fuel.name if name == "fuel" else "oxygen", "cap": exact(seat.cap - rig.atmosphere, "gauge pressure"),
                "supply": exact(seat.supply - rig.atmosphere, "gauge pressure"),
                **({"time": exact(self.hours.si, "minutes")} if self.hours else {}),
            },
            band="runs" if self.runs else "ends",
            runs=self.runs,
        )  # fmt: skip

    def _rate(self, rig: Rig, name: str) -> float:
        """mol/s that pass the seat. Raises  OutOfRange: nothing passes."""
        if self.leak is not None:
            found = self.leak.amount(rig.gas(name).molar_mass)
        else:
            dead = self.dead_volume.si if self.dead_volume else rig.dead_volume(name).value or 0.0
            found = self.creep.si / 60.0 * (rig.volume(name) + dead) / (GAS_CONSTANT * rig.temperature)
        if not found > 0.0:
            raise OutOfRange("a seat that passes nothing does not creep", where="creep", try_='Give for example creep="0.05 bar".')
        return found


@dataclass(frozen=True)
class _Seat:
    """rate : mol/s through the seat at first; time : s or None, until it stops; dead : m³ as given, or None."""

    rig: Rig
    name: str
    rate: float
    time: float | None
    dead: float | None

    @property
    def cap(self) -> float:
        """Pa abs: what the outlet must never pass, the acetylene cap or the regulator's outlet rating."""
        return self.rig.figures.static_ceiling(self.name) + self.rig.atmosphere

    @property
    def supply(self) -> float:
        """Pa abs on the other side of the seat. Raises  InputError: not known."""
        found = self.rig.line(self.name).supply.pressure.value
        if found is None:
            raise InputError("the pressure of the supply is not known", where=f"{self.name}.supply.pressure", try_="Give it.")
        return found + self.rig.atmosphere

    @property
    def inputs(self) -> Mapping[str, Quantity]:
        dead = exact(self.dead, "volume") if self.dead is not None else self.rig.dead_volume(self.name)
        supply = self.rig.line(self.name).supply.pressure
        air = self.rig.atmosphere
        self.supply  # noqa: B018 - refuses an unknown one
        return {
            "start": self.rig.regulator(self.name).static.map(lambda p: p + air),
            "supply": supply.map(lambda p: max(p, 0.0) + air),
            "dead": dead,
        }

    def filling(self, given: Given) -> Filling:
        stream = self.rig.stream(self.name)
        start, top = given["start"], max(given["supply"], given["start"])
        full = mass_flow(top, start, 1.0, stream)
        feed = feed_table(lambda p: self.rate * mass_flow(top, p, 1.0, stream) / full if full > 0.0 else 0.0, top, start, _NODES)
        return feed.filling(self.rig.volume(self.name) + given["dead"], self.rig.temperature, start)

    def numbers(self, given: Given) -> dict[str, float | None]:
        ready = self.filling(given)
        end = ready.feed.top if self.time is None else ready.pressure_at(self.time)
        return {
            "cap_reached_after": ready.time_to(self.cap),
            "final_pressure": end - self.rig.atmosphere,
            "leak": self.rate,
            "start_pressure": given["start"] - self.rig.atmosphere,
        }

    def state(self, numbers: Mapping[str, Quantity]) -> str:
        """At the unsafe end."""
        earliest = numbers["cap_reached_after"].low if "cap_reached_after" in numbers else None
        if earliest is None:
            return "below"
        if earliest <= 0.0:
            return "over-already"
        return "over" if self.time is None or earliest <= self.time else "below-yet"

    def _times(self, ready: Filling) -> list[float]:
        end = self.time if self.time is not None else None
        if end is None:
            cap = ready.time_to(self.cap)
            end = 2.0 * cap if cap else ready.time_to(0.99 * ready.feed.top) or 3600.0
        return [end * i / _POINTS for i in range(_POINTS + 1)]

    def series(self, ready: Filling) -> tuple[Point, ...]:
        air = self.rig.atmosphere
        points = [(t, ready.pressure_at(t) - air) for t in self._times(ready)]
        return tuple({"time": exact(t, "minutes"), "pressure": exact(p, "gauge pressure")} for t, p in points)

    def chart(self, ready: Filling) -> Chart:
        air, times = self.rig.atmosphere, self._times(ready)
        every = [ready, *(self.filling(given) for given in corners(self.inputs))]
        columns = [[other.pressure_at(t) - air for other in every] for t in times]
        points = tuple((t, column[0]) for t, column in zip(times, columns, strict=True))
        curve = Curve("pressure", points, tuple(map(min, columns)), tuple(map(max, columns)), "fu" if self.name == "fuel" else "ox")
        return Chart("pressure", "minutes", "gauge pressure", (curve,), (("cap", self.cap - air),))

    def frames(self, ready: Filling, numbers: Mapping[str, Quantity]) -> tuple[Frame, ...]:
        cap = numbers["cap_reached_after"].value if "cap_reached_after" in numbers else None
        times = self._times(ready)
        moments = {0.0: "first"} | ({cap: "cap"} if cap and cap < times[-1] else {}) | {times[-1]: "last"}
        return tuple(
            Frame(t, tuple(self._line(n, ready.pressure_at(t)) for n in self.rig.figures.lines), key) for t, key in moments.items()
        )

    def _line(self, name: str, pressure: float) -> LineFrame:
        parts = len(self.rig.line(name).parts)
        if name != self.name:
            return LineFrame(name, (None,) * (parts + 1), valve="shut")
        gauge = pressure - self.rig.atmosphere
        return LineFrame(name, (gauge,) * (parts + 1), valve="shut", supply=self.supply - self.rig.atmosphere)
