"""The tip is blocked and both torch valves are open: the gas at the higher pressure runs into the other one's hose."""

from typing import ClassVar

from steadycone.card.card import Card
from steadycone.errors import BadUnit, OutOfRange
from steadycone.quantity import Quantity, exact
from steadycone.units import ReferenceState, Share, Volume
from steadycone.whatif.bands import Given
from steadycone.whatif.common.back import VALVES, Back, Valve
from steadycone.whatif.common.doubts import SOURCES, doubts, preventions
from steadycone.whatif.common.pushed import Pushed
from steadycone.whatif.common.rig import Rig, rig_of
from steadycone.whatif.frame import Outcome, Prevention, WithRuns
from steadycone.whatif.settings import Choice, Seconds, setting, whatif

WIDE_OPEN = 3.5  # times the openings of the chart's flame that a torch may pass with its valves wide open: judged-torch-open
_LEAK_TIME = 3600.0  # s; a leaking valve is looked at for an hour where no time is given


class Opening(Share):
    """How far both torch valves are open: full, or a share of the openings that the chart's flame has."""

    kind, example = "opening", "full"
    least, most, above_least = 0.0, 1.0, True

    @classmethod
    def parse(cls, given: object, reference: ReferenceState | None = None) -> "Opening":
        if isinstance(given, str) and given.strip().lower() == "full":
            return cls(1.0, "full")
        try:
            return super().parse(given, reference)
        except BadUnit as error:
            raise BadUnit(f'"{str(given)[:40]}" is neither full nor a share', try_='Write full, or for example "40 %".') from error


@whatif
class BlockedTip(WithRuns):
    """The tip is blocked with both torch valves open: which gas runs where, how far, how soon."""

    far_end: str = setting(Choice("locked", "empty", "open"), "fuel regulator locked up, its cylinder empty, or regulator off", "locked")
    check_valve: str | None = setting(Choice(*VALVES), "between hose and torch; left out: good where the file has one, else none")
    dead_volume: Volume | None = setting(Volume, "closed behind the hose: regulator body, small parts; left out: the station's own")
    opening: Opening = setting(Opening, "of both torch valves: full, or a share of the chart's flame", "full")
    seconds: Seconds | None = setting(Seconds, "how long nobody shuts a valve; left out: 60 s, an hour for a leaking valve")
    example: ClassVar = "far_end=locked check_valve=none"

    def answer(self, card: Card) -> Outcome:
        rig = rig_of(card)
        pushed = self._pushed(rig)
        if not pushed.time > 0.0:
            raise OutOfRange("some time must pass", where="seconds", try_="Give for example seconds=60.")
        numbers = pushed.quantities(self.runs, self.seed)
        into = "none" if not pushed.case.pushes() else "oxygen into fuel" if pushed.back.receiver == "fuel" else "fuel into oxygen"
        state = self._state(pushed)
        return Outcome(
            name="blocked-tip",
            state=state,
            numbers=numbers,
            reason=self._reason(pushed, state),
            words={"direction": into},
            series={"front_at": pushed.front_at()},
            frames=pushed.frames({"first": "first", "between": "between", "last": state}),
            charts=(pushed.chart(self.runs, self.seed),) if into != "none" else (),
            prevented_by=(
                *preventions(rig, pushed.back.receiver, pushed.back.valve),
                *(Prevention(key) for key in ("one-at-a-time", "shut", "tip")),
            ),
            not_trusted=doubts(pushed),
            sources=(*SOURCES, *(("memory-reverse-leak",) if pushed.back.valve == "leaking" else ())),
            blanks=self._blanks(pushed),
            band="runs" if self.runs else "ends",
            runs=self.runs,
        )

    def _pushed(self, rig: Rig) -> Pushed:
        donor, receiver = self._direction(rig)
        gives, takes, air = rig.regulator(donor), rig.regulator(receiver), rig.atmosphere
        open_end = self.far_end != "locked"
        start = exact(air, "gauge pressure") if open_end else _between(takes.flowing, takes.static).map(lambda p: p + air)
        dead = exact(self.dead_volume.si, "volume") if self.dead_volume else rig.dead_volume(receiver)
        wide = self.opening.si
        valve = self._valve(rig, receiver)
        inputs = {
            "static": gives.static.map(lambda p: p + air),
            "start": start,
            "opening": Quantity(wide, wide, wide * WIDE_OPEN, "number"),
            "mixing": rig.mixing_shares,
            "dead": dead,
        }

        def make(given: Given) -> Back:
            return Back(
                donor, receiver, given["static"], gives.droop, given["start"], given["dead"], given["opening"], given["mixing"], valve,
                far=air if open_end else None,
            )  # fmt: skip

        time = self.seconds.si if self.seconds else _LEAK_TIME if valve == "leaking" else 60.0
        return Pushed(rig, inputs, make, time, acetylene_cap(rig))

    def _direction(self, rig: Rig) -> tuple[str, str]:
        """Donor and receiver. With an empty cylinder or no regulator the fuel hose takes; else the lower static pressure does."""
        oxygen, fuel = rig.regulator(rig.preheat).static, rig.regulator("fuel").static
        if self.far_end != "locked" or (oxygen.value or 0.0) >= (fuel.value or 0.0):
            return rig.preheat, "fuel"
        return "fuel", rig.preheat

    def _valve(self, rig: Rig, receiver: str) -> Valve:
        fitted: Valve = "good" if rig.check_valve(receiver) else "none"
        return next((word for word in VALVES if word == self.check_valve), fitted)

    def _state(self, pushed: Pushed) -> str:
        back = pushed.back
        if back.valve == "good":
            return "held"
        if not pushed.case.pushes():
            return "balanced"
        if back.valve == "leaking":
            return "leaking"
        if back.far is None:
            return "locked" if pushed.full() else "rising"
        done = (pushed.case.lumped(pushed.time).filled or pushed.time) < pushed.time
        return f"through-{self.far_end}" if done else f"running-{self.far_end}"

    @staticmethod
    def _reason(pushed: Pushed, state: str) -> str:
        if state in ("held", "balanced", "leaking"):
            return state
        if pushed.back.receiver != "fuel":
            return "fuel-higher"
        return "closed" if pushed.back.far is None else "open"

    @staticmethod
    def _blanks(pushed: Pushed) -> dict[str, Quantity | str]:
        air = pushed.rig.atmosphere
        return {
            "donor_pressure": exact(pushed.back.static - air, "gauge pressure"),
            "hose_pressure": exact(pushed.back.start - air, "gauge pressure"),
            "hose_length": exact(pushed.case.bore.length, "length"),
            "time": exact(pushed.time, "seconds"),
            **({"cap": exact(pushed.cap - air, "gauge pressure")} if pushed.cap else {}),
        }


def acetylene_cap(rig: Rig) -> float | None:
    """Pa abs of the region's or the site's cap, None for other fuels."""
    if rig.figures.setup.station.station.fuel != "acetylene":
        return None
    return rig.figures.cap.gauge + rig.atmosphere


def _between(low: Quantity, high: Quantity) -> Quantity:
    """A pressure that was flowing and may have locked up: as flowing, which lets more in, up to locked up."""
    return Quantity(low.value, low.low, high.high, low.kind)
