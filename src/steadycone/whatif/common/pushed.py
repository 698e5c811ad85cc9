"""From a case of gas pushed back to numbers with their band, the front against time, and pictures of the train."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

from steadycone.physics.transient.hose_1d import Profile, Run, stretches
from steadycone.quantity import Quantity, exact, unknown
from steadycone.station.parts import CheckValve
from steadycone.whatif.bands import Given, banded, corners, draws, middle
from steadycone.whatif.common.back import Back, Case, case_of
from steadycone.whatif.common.rig import Rig
from steadycone.whatif.frame import Chart, Curve, Flow, Frame, LineFrame, Plate, Point

KINDS = {
    "front": "length",
    "hose_filled_after": "seconds",
    "peak_fuel_pressure": "gauge pressure",
    "cap_passed_after": "seconds",
    "reverse_flow": "flow",
}
_SERIES, _SHOWN, _SHARES = 24, 5, 60  # points of front_at, frames of the strip, cells of a frame's hose
_POINTS, _DRAWN = 48, 200  # of the curve; of the draws that its band is drawn from
_BAND_NODES = 32  # of the feed's table for the band: half a per cent of a time
_FULL = 0.99  # share of the donor's pressure at which a closed hose counts as filled


@dataclass(frozen=True)
class Pushed:
    """`make`: the case at given inputs; `inputs`: what is uncertain; time [s]; cap [Pa abs] of the fuel, None without one."""

    rig: Rig
    inputs: Mapping[str, Quantity]
    make: Callable[[Given], Back]
    time: float
    cap: float | None = None

    @cached_property
    def case(self) -> Case:
        """As described."""
        return case_of(self.rig, self.make(middle(self.inputs)), 64)

    @property
    def back(self) -> Back:
        return self.case.back

    def at(self, given: Given) -> Case:
        """The case at one set of inputs; kept, since numbers and curve ask for the same ones."""
        key = tuple(given.values())
        if key not in self._kept:
            self._kept[key] = case_of(self.rig, self.make(given), _BAND_NODES)
        return self._kept[key]

    @cached_property
    def _kept(self) -> dict[tuple[float, ...], Case]:
        return {}

    def numbers(self, given: Given) -> dict[str, float | None]:
        """The closed forms at one set of inputs."""
        case = self.at(given)
        found, into_fuel = case.lumped(self.time), case.back.receiver == "fuel"
        fuel = found.pressure if into_fuel else case.back.static
        flow = found.flow if case.back.far is not None else None
        return {
            "front": found.front,
            "hose_filled_after": found.filled,
            "peak_fuel_pressure": fuel - self.rig.atmosphere,
            "cap_passed_after": case.time_to(self.cap) if self.cap and into_fuel else None,
            "reverse_flow": flow if case.pushes() else None,
        }

    def quantities(self, runs: int, seed: int) -> dict[str, Quantity]:
        """Numbers with their bands, and the length that burns."""
        found = banded(self.numbers, self.inputs, KINDS, runs, seed)
        return found | {"burnable_length": self._burnable()}

    def _burnable(self) -> Quantity:
        """Most length of hose that burns at any one time, as described and with the torch opened least and most."""
        if not self.case.pushes():
            return exact(0.0, "length")
        if self.case.burns() == (1.0, 1.0):  # no limit in oxygen is known of this fuel
            return unknown("length")
        value = _most(self.run)
        ends = [middle(self.inputs) | {"opening": end} for q in (self.inputs["opening"],) for end in (q.low, q.high) if end]
        others = [_most(case_of(self.rig, self.make(given)).march(self._times)) for given in ends if given != middle(self.inputs)]
        return Quantity(value, min([value, *others]), max([value, *others]), "length")

    # -- along the hose ---------------------------------------------------------------------------------------------

    @cached_property
    def _times(self) -> list[float]:
        """From a tenth of a second (or a hundredth of the time) to the end, each further by the same factor."""
        first = min(0.1, self.time / 100.0)
        return [first * (self.time / first) ** (i / (_SERIES - 1)) for i in range(_SERIES)]

    @cached_property
    def shown(self) -> list[float]:
        """Moments to draw: at first, at quarters of the way the front has to go, and at the end."""
        case, goal = self.case, self.case.lumped(self.time).front
        found = [0.0]
        for part in range(1, _SHOWN - 1):
            low, high = 0.0, self.time
            for _ in range(40):
                now = 0.5 * (low + high)
                low, high = (now, high) if case.lumped(now).front < goal * part / (_SHOWN - 2) * 0.999 else (low, now)
            found.append(float(f"{high:.2g}"))
        return sorted({*(t for t in found if t < self.time), self.time})

    @cached_property
    def run(self) -> Run:
        """The march, with profiles at the times of the series and of the pictures."""
        return self.case.march(sorted({*self._times, *self.shown}))

    def front_at(self) -> tuple[Point, ...]:
        """Time and front, from the march."""
        if not self.case.pushes():
            return tuple({"time": exact(t, "seconds"), "front": exact(0.0, "length")} for t in (0.0, self.time))
        points = [(p.time, p.front) for p in self.run.profiles if p.time in self._times]
        return tuple({"time": exact(t, "seconds"), "front": exact(x, "length")} for t, x in [(0.0, 0.0), *points])

    def chart(self, runs: int, seed: int) -> Chart:
        """Front against time with its band: closed forms at all ends, or at the draws; no longer than something happens."""
        end = self._settled()
        times = [end * (i / _POINTS) ** 1.5 for i in range(_POINTS + 1)]
        every = []
        for given in list(draws(self.inputs, min(runs, _DRAWN), seed) if runs else corners(self.inputs)):
            case = self.at(given)
            every.append([case.lumped(t).front for t in times])
        cut = round(0.05 * (len(every) - 1)) if runs else 0
        columns = [sorted(column) for column in zip(*every, strict=True)]
        values = [self.case.lumped(t).front for t in times]
        low = tuple(min(column[cut], value) for column, value in zip(columns, values, strict=True))
        high = tuple(max(column[-1 - cut], value) for column, value in zip(columns, values, strict=True))
        curve = Curve("front", tuple(zip(times, values, strict=True)), low, high, "fu" if self.back.donor == "fuel" else "ox")
        return Chart("front", "seconds", "length", (curve,), (("hose_end", self.case.bore.length),))

    def _settled(self) -> float:
        """Seconds after which the front stands all but still, and as much again."""
        goal = 0.98 * self.case.lumped(self.time).front
        low, high = 0.0, self.time
        for _ in range(30):
            middle_ = 0.5 * (low + high)
            low, high = (low, middle_) if self.case.lumped(middle_).front >= goal else (middle_, high)
        return min(self.time, 2.0 * high)

    def full(self) -> bool:
        """Whether a closed hose has come to the donor's pressure by the end."""
        return self.case.lumped(self.time).pressure >= _FULL * self.case.feed.top

    # -- pictures ---------------------------------------------------------------------------------------------------

    def frames(self, captions: Mapping[str, str], tip: str = "BLOCKED") -> tuple[Frame, ...]:
        """The train at the moments shown. `captions`: for "first", "between" and "last"."""
        if not self.case.pushes():
            held = self._line(None)
            return (Frame(None, self._both(None, held, tip), captions["last"]),)
        wanted = {p.time: p for p in self.run.profiles}
        found = []
        for number, time in enumerate(self.shown):
            profile = wanted[time] if time > 0.0 else None
            place = "first" if number == 0 else "last" if number == len(self.shown) - 1 else "between"
            found.append(Frame(time, self._both(profile, self._line(profile), tip), captions[place]))
        return tuple(found)

    def _both(self, profile: Profile | None, receiver: LineFrame, tip: str) -> tuple[LineFrame, ...]:
        donor = self._donor(profile)
        if tip:
            donor = replace(donor, plates=(*donor.plates, Plate("BLOCKED", "tip")))
        lines = {donor.name: donor, receiver.name: receiver}
        for name in self.rig.figures.lines:
            if name not in lines:
                parts = len(self.rig.line(name).parts)
                lines[name] = LineFrame(name, (None,) * (parts + 1))
        return tuple(lines[name] for name in self.rig.figures.lines)

    def _donor(self, profile: Profile | None) -> LineFrame:
        hose = profile.pressure[0] if profile else self.back.start
        flow = self.case.feed.flow(hose) if profile else 0.0
        pressures, _ = self.case.path.along(hose, flow) if flow > 1e-9 else (self._standing(), hose)
        gauge = tuple(None if p is None else p - self.rig.atmosphere for p in pressures)
        running: Flow = "forward" if flow > 1e-9 else "none"
        return LineFrame(self.back.donor, gauge, flow=running, valve="open")

    def _standing(self) -> tuple[float | None, ...]:
        return (self.back.static,) * (len(self.rig.line(self.back.donor).parts) + 1)

    def _line(self, profile: Profile | None) -> LineFrame:
        """The receiver: pressures in front of and behind its hose, what is in it, and its front."""
        back, atmosphere = self.back, self.rig.atmosphere
        count = len(self.rig.line(back.receiver).parts)
        at_torch = len(self.rig.parts_at_torch(back.receiver))
        plates: list[Plate] = [Plate("LOCKED UP", "regulator")] if back.far is None else []
        valves = tuple(n for n, part in self.rig.parts_at_torch(back.receiver) if isinstance(part, CheckValve))
        absent = valves if back.valve == "none" else ()
        broken = valves if back.valve in ("leaking", "failed") else ()
        if profile is None:
            pressures = (back.start - atmosphere,) * (count + 1)
            return LineFrame(back.receiver, pressures, plates=tuple(plates), absent=absent, broken=broken, valve="open")
        flow = self.case.feed.flow(profile.pressure[0])
        _, inlet = self.case.path.along(profile.pressure[0], flow) if self.back.valve != "leaking" else ((), profile.pressure[0])
        before = [profile.far_pressure] * (count - at_torch)
        along = [*before, profile.pressure[0], *[inlet] * at_torch]
        length, cells = self.case.bore.length, len(profile.share)
        low, high = self.case.burns()
        burning = stretches(profile.share, length / cells, low, high) if low < high else []
        plates.append(Plate("REVERSED", "hose"))
        moves = flow > 1e-6 or back.far is not None
        return LineFrame(
            back.receiver,
            tuple(p - atmosphere for p in along),
            share=_thinned(profile.share),
            front=profile.front,
            other="fuel" if back.donor == "fuel" else "oxygen",
            burns=tuple(burning),
            flow="back" if moves else "none",
            plates=tuple(plates),
            absent=absent,
            broken=broken,
            valve="open",
        )


def _most(run: Run) -> float:
    return max((p.burnable for p in run.profiles), default=0.0)


def _thinned(share: tuple[float, ...]) -> tuple[float, ...]:
    """Regulator to torch, in no more cells than a picture shows; each the mean of those it stands for."""
    backwards = share[::-1]
    if len(backwards) <= _SHARES:
        return backwards
    edges = [round(i * len(backwards) / _SHARES) for i in range(_SHARES + 1)]
    return tuple(math.fsum(backwards[a:b]) / (b - a) for a, b in pairwise(edges))
