"""A line purged for so many seconds: where the front is, what is left at the tip, and what is lit when it is lit too early."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from steadycone.card.card import Card
from steadycone.errors import InputError
from steadycone.physics.gas import limits
from steadycone.physics.transient.hose_1d import stretches
from steadycone.physics.transient.purge import CLEARED, diffusivity, dispersion
from steadycone.physics.transient.purge_front import Front, purge_front, volume_flow_of
from steadycone.quantity import Quantity, exact, unknown
from steadycone.station.parts import Hose, Pipe
from steadycone.whatif.bands import Given, banded, corners, middle
from steadycone.whatif.common.rig import Rig, rig_of
from steadycone.whatif.frame import Chart, Curve, Frame, LineFrame, Outcome, Prevention, WithRuns
from steadycone.whatif.settings import Choice, Seconds, setting, whatif

_CELLS, _POINTS = 60, 40
_KINDS = {"left_at_tip": "share", "cleared_after": "seconds", "plug_after": "seconds", "left_in_hose": "share"}
LEAST_LEFT = 0.01  # share of the old gas below which a mixture with the new one no longer counts as one: as CLEARED


@whatif
class Purge(WithRuns):
    """A line purged for so many seconds: what is left at the tip, and when it is really clear."""

    line: str = setting(Choice("fuel", "oxygen", "preheat oxygen"), "which line is purged, the other torch valve shut", "fuel")
    seconds: Seconds = setting(Seconds, "how long, by habit", "5")
    holds: str = setting(Choice("air", "other gas"), "what is in the hose before: air, or the other gas after it ran back", "air")
    example: ClassVar = "line=fuel seconds=5"

    def answer(self, card: Card) -> Outcome:
        rig, name = rig_of(card), self.line.replace(" ", "_")
        if name not in rig.figures.lines:
            raise InputError(f"this station has no {self.line} line", where="line", try_="Name fuel or oxygen.")
        asked = _Asked(rig, name, self.seconds.si, "air" if self.holds == "air" else "oxygen" if name == "fuel" else "fuel")
        numbers = banded(asked.numbers, asked.inputs, _KINDS, self.runs, self.seed)
        front = asked.front(middle(asked.inputs))
        numbers["burnable_length"] = asked.burnable(front)
        card_time = rig.line(name).proving.purge_seconds
        numbers["card_purge"] = card_time
        state = asked.state(numbers)
        return Outcome(
            name="purge",
            state=state,
            numbers=numbers,
            reason=state,
            series={"left_at": asked.series(front)},
            frames=asked.frames(front, numbers),
            charts=(asked.chart(front),),
            prevented_by=tuple(Prevention(key) for key in ("card-time", "valve-open", "one-gas", "outdoors")),
            not_trusted=("plug", "body", "flow", *(("other",) if asked.old != "air" else ())),
            sources=("taylor-dispersion", "diffusion-volumes", "hose-bores", "bureau-of-mines", "iec-60079-20-1", "purge-fold"),
            blanks={
                "gas": rig.fuel.name if name == "fuel" else "oxygen", "old": asked.old_word,
                "time": exact(self.seconds.si, "seconds"), "hose_length": exact(asked.length, "length"),
                "share_at_tip": exact(front.new_at_end(self.seconds.si), "share"),
                "flow": rig.line(name).proving.purge_flow,
            },
            band="runs" if self.runs else "ends",
            runs=self.runs,
        )  # fmt: skip


@dataclass(frozen=True)
class _Asked:
    """One purge. old : "air", "oxygen" or "fuel"."""

    rig: Rig
    name: str
    seconds: float
    old: str

    @property
    def old_word(self) -> str:
        return self.rig.fuel.name if self.old == "fuel" else self.old

    @property
    def pieces(self) -> list[Hose | Pipe]:
        return [part for part in self.rig.line(self.name).line.part if isinstance(part, Hose | Pipe)]

    @property
    def length(self) -> float:
        return float(sum(piece.length.si for piece in self.pieces))

    @property
    def inputs(self) -> Mapping[str, Quantity]:
        """Raises  InputError: the card does not know what flows."""
        line = self.rig.line(self.name)
        flow, setting = line.proving.purge_flow, line.set_pressure
        if not flow.value or setting.value is None:
            raise InputError("what flows with one gas alone is not known", where="tip.chart", try_="Settle what the chart lacks.")
        pressure = setting.map(lambda p: p + self.rig.atmosphere)
        return {"flow": flow, "pressure": pressure, "body": self.rig.dead_volume(self.name)}

    def front(self, given: Given) -> Front:
        rig, stream = self.rig, self.rig.stream(self.name)
        gas, pressure, flow = rig.gas(self.name), given["pressure"], given["flow"]
        main = max(gas.components, key=lambda part: gas.components[part])
        old = {"air": "air", "oxygen": "oxygen", "fuel": max(rig.fuel.components, key=lambda part: rig.fuel.components[part])}[self.old]
        molecular = diffusivity(pressure, rig.temperature, main, old)
        swept, found = volume_flow_of(flow, pressure, rig.temperature), []
        for piece in self.pieces:
            bore = piece.bore.si
            speed = swept / (0.7853981633974483 * bore * bore)
            reynolds = 4.0 * flow * gas.molar_mass / (3.141592653589793 * bore * stream.viscosity)
            roughness = piece.roughness.si if piece.roughness else rig.as_taken.roughness
            found.append((piece.length.si, bore, dispersion(speed, bore, reynolds, molecular, roughness / bore)))
        return purge_front(found, swept, given["body"])

    def numbers(self, given: Given) -> dict[str, float | None]:
        front = self.front(given)
        along = front.along(self.seconds, _CELLS // 3)
        return {
            "left_at_tip": 1.0 - front.new_at_end(self.seconds),
            "cleared_after": front.cleared_after(CLEARED),
            "plug_after": front.plug,
            "left_in_hose": 1.0 - sum(along) / len(along),
        }

    def state(self, numbers: Mapping[str, Quantity]) -> str:
        """At the unsafe end of the band."""
        if (numbers["cleared_after"].high or 1e9) <= self.seconds:
            return "cleared"
        return "early" if (numbers["plug_after"].high or 0.0) > self.seconds else "smeared"

    def burns(self) -> tuple[float, float] | None:
        """Least and largest share of the new gas that burns with the old one; None: unknown. (1, 1): the two do not burn."""
        if self.name != "fuel" and self.old == "air":
            return 1.0, 1.0
        found = limits(self.rig.fuel, "air" if self.old == "air" else "oxygen")
        if found is None:
            return None
        low, high = found[0], min(found[1], 1.0 - LEAST_LEFT)
        return (low, high) if self.name == "fuel" else (1.0 - high, 1.0 - low)

    def burnable(self, front: Front) -> Quantity:
        limit = self.burns()
        if limit is None:
            return unknown("length")
        if limit == (1.0, 1.0):
            return exact(0.0, "length")
        return exact(sum(b - a for a, b in self._stretches(front, self.seconds, limit)), "length")

    def _stretches(self, front: Front, time: float, limit: tuple[float, float]) -> list[tuple[float, float]]:
        """Torch first, as pictures have it."""
        share = front.along(time, _CELLS)[::-1]
        return stretches(share, self.length / _CELLS, *limit)

    def series(self, front: Front) -> tuple[Mapping[str, Quantity], ...]:
        return tuple({"time": exact(t, "seconds"), "left": exact(1.0 - front.new_at_end(t), "share")} for t in self._times(front))

    def _times(self, front: Front) -> list[float]:
        end = max(1.3 * front.cleared_after(CLEARED), self.seconds)
        return [end * i / _POINTS for i in range(_POINTS + 1)]

    def chart(self, front: Front) -> Chart:
        times = self._times(front)
        every = [self.front(given) for given in corners(self.inputs)]
        left = [[1.0 - other.new_at_end(t) for t in times] for other in (front, *every)]
        columns = list(zip(*left, strict=True))
        curve = Curve(
            "left", tuple(zip(times, left[0], strict=True)), tuple(map(min, columns)), tuple(map(max, columns)),
            "fu" if self.name == "fuel" else "ox",
        )  # fmt: skip
        return Chart("left", "seconds", "share", (curve,), (("cleared", 1.0 - CLEARED),))

    def frames(self, front: Front, numbers: Mapping[str, Quantity]) -> tuple[Frame, ...]:
        clear = numbers["cleared_after"].value or self.seconds
        card = numbers["card_purge"].value
        moments = {0.0: "first", 0.5 * min(self.seconds, front.plug): "between", self.seconds: "habit", clear: "clear"}
        if card is not None and card > clear:
            moments[card] = "card"
        return tuple(Frame(t, tuple(self._line(n, front, t) for n in self.rig.figures.lines), moments[t]) for t in sorted(moments))

    def _line(self, name: str, front: Front, time: float) -> LineFrame:
        line = self.rig.line(name)
        parts = len(line.parts)
        if name != self.name:
            return LineFrame(name, (None,) * (parts + 1), valve="shut")
        new = front.along(time, _CELLS)
        limit = self.burns()
        burning = self._stretches(front, time, limit) if limit and limit != (1.0, 1.0) else []
        gauge = line.flowing.value
        return LineFrame(
            name,
            (gauge,) * (parts + 1),
            share=tuple(1.0 - x for x in new),
            front=max(0.0, self.length * (1.0 - time / front.plug)),
            other=self.old,
            burns=tuple(burning),
            flow="forward",
            valve="open",
        )
