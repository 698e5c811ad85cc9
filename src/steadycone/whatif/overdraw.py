"""Draw too high: the fuel cylinder cools through a shift, its pressure falls, solvent comes along; the oxygen regulator chills."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from steadycone.assembly.figures import Figures
from steadycone.card.card import Card
from steadycone.errors import InputError, OutOfRange
from steadycone.kinds import Hours
from steadycone.physics.gas import Gas, throttled_temperature
from steadycone.physics.transient.dissolved import share_an_hour, solvent_vapour
from steadycone.physics.transient.liquid import FROST
from steadycone.physics.transient.shift import Moment, Shift, flow_limit, shift
from steadycone.quantity import Quantity, band, exact, unknown
from steadycone.units import GasFlow
from steadycone.whatif.bands import Given, banded
from steadycone.whatif.common.resting import frame, nowhere
from steadycone.whatif.common.store import Kept, draw_limit, feed_pressure, kept
from steadycone.whatif.frame import Chart, Curve, Flow, Frame, Outcome, Prevention, WithRuns
from steadycone.whatif.settings import setting, whatif

_HOUR, _POINTS = 3600.0, 12
_RULES = ((1 / 15, "some"), (1 / 10, "high"), (1 / 7, "very high"))
_KINDS = {
    "temperature": "temperature", "pressure": "gauge pressure", "left": "mass", "fails_after": "minutes", "feed_limit": "flow",
    "solvent_vapour": "mass", "frost_after": "minutes",
}  # fmt: skip
_SOURCES = ("shift-energy", "shift-feed", "regulator-chill")
_DISSOLVED = ("acetylene-over-acetone", "acetylene-cooling", "shift-dissolved", "acetone-share", "acetone-vapour", "solvent-risk")
_LIQUID = ("lpg-wall", "lpg-cylinder", "shift-liquid")


@whatif
class Overdraw(WithRuns):
    """A fuel cylinder drawn too fast: cold, falling pressure, solvent or frost; and the oxygen regulator's chill."""

    example: ClassVar = 'hours=6 flow="1.2 m3/h"'
    hours: Hours = setting(Hours, "steady draw", "8")
    flow: GasFlow | None = setting(GasFlow, "drawn from the whole fuel supply; left out: the card's own flow and what is shared")

    def answer(self, card: Card) -> Outcome:
        figures = card.figures
        if not self.hours.si > 0.0:
            raise OutOfRange("the draw must last for some time", where="hours", try_="Give for example hours=8.")
        flow, store = self._flow(figures), kept(figures)
        if store is None:
            return _no_store(figures, flow, self.hours.si)
        draw = _Draw(store, flow, self.hours.si, feed_pressure(figures, store.dissolved))
        numbers = banded(draw, store.inputs, _KINDS, self.runs, self.seed)
        return _told(card, draw, numbers, self.runs)

    def _flow(self, figures: Figures) -> float:
        if self.flow is not None:
            return self.flow.amount(figures.fuel.molar_mass)
        drawn = figures.lines["fuel"].supply.drawn.value
        if drawn is None:
            raise InputError("the card has no fuel flow", where="flow", try_='Give it, for example flow="0.8 m3/h".')
        return drawn


@dataclass
class _Draw:
    """One draw as a sum over the uncertain inputs. Keeps each shift it works out, for the band of the curves."""

    kept: Kept
    flow: float  # mol/s, whole supply
    time: float  # s
    feed: float  # Pa absolute
    shifts: list[Shift] = field(default_factory=list)

    def __call__(self, given: Given) -> Mapping[str, float | None]:
        store, figures = self.kept.store(given), self.kept.figures
        found = shift(store, self.flow / self.kept.count, figures.ambient, self.feed, self.time)
        self.shifts.append(found)
        last = found.last
        answer: dict[str, float | None] = {
            "temperature": last.temperature,
            "pressure": last.pressure - figures.atmosphere,
            "left": last.amount * figures.fuel_stored.molar_mass * self.kept.count,
            "fails_after": found.ends_after,
            "feed_limit": flow_limit(store, figures.ambient, self.feed, self.time) * self.kept.count,
        }
        if self.kept.dissolved:
            return answer | {"solvent_vapour": solvent_vapour(found, given["solvent"]) * self.kept.count}
        return answer | {"frost_after": found.when_below(FROST)}


def _told(card: Card, draw: _Draw, numbers: dict[str, Quantity], runs: int) -> Outcome:
    figures, store = card.figures, draw.kept
    middle, rule = draw.shifts[0], draw_limit(figures, draw.time)
    limit = _lower(numbers["feed_limit"], rule)
    numbers = {"temperature": numbers.pop("temperature"), "flow_limit": limit, "drawn": exact(draw.flow, "flow")} | numbers
    if rule is not None:
        numbers |= {"draw_limit": rule} | _rules_passed(figures, draw)
    numbers |= oxygen_chill(figures)
    over = limit.low is not None and draw.flow > limit.low * (1 + 1e-9)
    state = middle.fails or ("may-fail" if any(each.fails for each in draw.shifts) else _allowed(over, rule))
    words = {"solvent_risk": _risk(draw.flow / store.count, middle.last.amount)} if store.dissolved else {}
    kind = "dissolved" if store.dissolved else "liquid"
    return Outcome(
        name="overdraw",
        state=state,
        numbers=numbers,
        reason=kind,
        words=words,
        series={"through_shift": _points(draw, middle)},
        frames=_frames(figures, middle),
        charts=_charts(figures, draw),
        prevented_by=_prevented(figures, draw.flow, limit, over, store.count),
        not_trusted=("one-temperature", "wall", "solvent-liquid" if store.dissolved else "fresh-cylinder"),
        sources=(*_SOURCES, *(_DISSOLVED if store.dissolved else _LIQUID)),
        blanks={"hours": exact(draw.time, "minutes")},
        band="runs" if runs else "ends",
        runs=runs,
    )


def _allowed(over: bool, rule: Quantity | None) -> str:
    return "lasts" if not over else "over-limit" if rule is None else "over-rule"


def _risk(flow: float, left: float) -> str:
    """By the draw rules, at the end, when the cylinder holds least.

    Source      solvent-risk
    """
    found, share = "low", share_an_hour(flow, left)
    for rule, word in _RULES:
        if share > rule * (1 + 1e-9):
            found = word
    return found


def _rules_passed(figures: Figures, draw: _Draw) -> dict[str, Quantity]:
    """When the draw comes to be more than a tenth and a seventh an hour of what is left; left out where it never does in this time."""
    held, found = figures.lines["fuel"].supply.contents, {}
    if held.value is None or held.low is None or held.high is None or draw.flow <= 0.0:
        return {}
    for key, rule in (("tenth_passed_after", 1 / 10), ("seventh_passed_after", 1 / 7)):
        when = held.map(lambda moles, rule=rule: max(0.0, moles / draw.flow - _HOUR / rule), "minutes")  # type: ignore[misc]
        if when.value is not None and when.value <= draw.time:
            found[key] = when
    return found


def _lower(first: Quantity, other: Quantity | None) -> Quantity:
    if other is None or other.value is None or other.low is None or other.high is None:
        return first
    ends = [(a, b) for a, b in ((first.value, other.value), (first.low, other.low), (first.high, other.high))]
    value, low, high = (other_end if own is None else min(own, other_end) for own, other_end in ends)
    return Quantity(value, low, high, "flow")


def oxygen_chill(figures: Figures) -> dict[str, Quantity]:
    """Gas behind the oxygen regulator: no colder than throttling makes it, no warmer than the air. {} where the pressure is not known.

    Source      regulator-chill
    """
    chilled = _chilled(figures, "oxygen")
    return {} if chilled is None else {"oxygen_regulator": chilled}


def _chilled(figures: Figures, name: str) -> Quantity | None:
    line = figures.lines[name]
    inlet, outlet = line.supply.pressure.value, line.set_pressure.value
    if inlet is None or outlet is None or inlet <= outlet:
        return None
    gas: Gas = line.gas
    try:
        cold = throttled_temperature(gas, inlet + figures.atmosphere, outlet + figures.atmosphere, figures.ambient)
    except OutOfRange:
        return unknown("temperature")  # colder than the gas's table, or partly liquid
    return band(cold, cold, figures.ambient, "temperature")


def _points(draw: _Draw, found: Shift) -> tuple[dict[str, Quantity], ...]:
    every = found.moments
    chosen = sorted({round(k * (len(every) - 1) / _POINTS) for k in range(_POINTS + 1)})
    return tuple(_point(draw, every[k]) for k in chosen)


def _point(draw: _Draw, moment: Moment) -> dict[str, Quantity]:
    figures, count = draw.kept.figures, draw.kept.count
    return {
        "time": exact(moment.time, "minutes"),
        "temperature": exact(moment.temperature, "temperature"),
        "pressure": exact(moment.pressure - figures.atmosphere, "gauge pressure"),
        "left": exact(moment.amount * figures.fuel_stored.molar_mass * count, "mass"),
        "share_an_hour": exact(min(share_an_hour(draw.flow / count, moment.amount), 99.0), "share"),
    }


def _charts(figures: Figures, draw: _Draw) -> tuple[Chart, ...]:
    air = figures.atmosphere
    frost = (("frost", FROST),) if not draw.kept.dissolved else ()
    return (
        Chart("temperature", "minutes", "temperature", (_curve("cylinder", draw.shifts, lambda m: m.temperature),), frost),
        Chart(
            "pressure", "minutes", "gauge pressure", (_curve("cylinder", draw.shifts, lambda m: m.pressure - air),),
            (("feed", draw.feed - air),),
        ),
    )  # fmt: skip


def _curve(key: str, shifts: list[Shift], of: Callable[[Moment], float]) -> Curve:
    """As described, with the least and the largest of every shift worked out."""
    middle = shifts[0].moments
    chosen = sorted({round(k * (len(middle) - 1) / 48) for k in range(49)})
    low, high = [], []
    for k in chosen:
        time = middle[k].time
        ends = [of(_at(found, time)) for found in shifts]
        low.append(min(ends))
        high.append(max(ends))
    return Curve(key, tuple((middle[k].time, of(middle[k])) for k in chosen), tuple(low), tuple(high), "fu")


def _at(found: Shift, time: float) -> Moment:
    """The moment at a time, or the last one before it."""
    moments = found.moments
    step = moments[1].time if len(moments) > 1 else 1.0
    return moments[min(int(time / step + 1e-6), len(moments) - 1)]


def _frames(figures: Figures, found: Shift) -> tuple[Frame, ...]:
    air, line = figures.atmosphere, figures.lines["fuel"]
    first, half, last = found.moments[0], found.moments[len(found.moments) // 2], found.last
    end = {"fuel": nowhere(line)} if found.fails else {}
    flows: dict[str, Flow] = {"fuel": "none"} if found.fails else {}
    return (
        frame(figures, 0.0, "start", supplies={"fuel": first.pressure - air}),
        frame(figures, half.time, "half", supplies=_supplies(figures, half.pressure - air)),
        frame(
            figures, last.time, found.fails or "end", supplies=_supplies(figures, last.pressure - air), pressures=end,
            flows=flows,
        ),
    )  # fmt: skip


def _supplies(figures: Figures, fuel: float) -> dict[str, float | None]:
    """Pa gauge in the fuel's cylinder; what is left of the oxygen by then is not worked out here."""
    return {name: fuel if name == "fuel" else None for name in figures.lines}


def _prevented(figures: Figures, flow: float, limit: Quantity, over: bool, count: int) -> tuple[Prevention, ...]:
    least = limit.low or 0.0
    if least <= 0.0:
        return (Prevention("warm", "always", "fuel supply"),)
    needed = max(1, math.ceil(flow / (least / count) * (1 - 1e-9)))
    blanks: dict[str, Quantity | str] = {"needed": str(needed), "limit": limit}
    return (
        Prevention("cylinders", "missing" if over else "fitted", "fuel supply", blanks),
        Prevention("flow", "always", "fuel supply", blanks),
        Prevention("upright" if figures.fuel.name == "acetylene" else "no-flame", "always", "fuel supply"),
    )


def _no_store(figures: Figures, flow: float, hours: float) -> Outcome:
    """A fuel that neither dissolves nor condenses: only its regulator chills, and what it can give is for its supply to state."""
    line = figures.lines["fuel"]
    given = line.line.supply.available_flow
    available = exact(given.amount(figures.fuel.molar_mass), "flow") if given else unknown("flow")
    chilled = _chilled(figures, "fuel")
    numbers = {"temperature": chilled if chilled is not None else exact(figures.ambient, "temperature"), "flow_limit": available}
    over = available.value is not None and flow > available.value
    return Outcome(
        name="overdraw",
        state="over-limit" if over else "no-store",
        numbers=numbers | {"drawn": exact(flow, "flow")} | oxygen_chill(figures),
        reason="compressed",
        frames=(frame(figures, None, "start"),),
        not_trusted=("chill-bound",),
        sources=("regulator-chill", "coolprop"),
        blanks={"hours": exact(hours, "minutes")},
    )
