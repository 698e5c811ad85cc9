"""Where common habits of proving a station are enough here, and where not, with this station's numbers. Judged at the unsafe end."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.assembly.leak_test import growth
from steadycone.data.reader import toml
from steadycone.physics.gas import GAS_CONSTANT
from steadycone.practice import dates
from steadycone.practice.judging import ends
from steadycone.procedures import settings
from steadycone.procedures.rules import rule
from steadycone.quantity import Quantity, exact

Numbers = dict[str, Quantity | str]
Answer = tuple[str, Numbers]  # which text, and its numbers
_ENOUGH: dict[str, bool | None] = {"enough": True, "unknown": None, "none": None}  # any other text says no


@dataclass(frozen=True, slots=True)
class Habit:
    """One habit. `enough` None: not known, or it does not apply. `habit` and `says` are templates for the renderer."""

    id: str
    enough: bool | None
    habit: str
    says: str
    numbers: Numbers
    source: tuple[str, ...]


def habits(figures: Figures) -> tuple[Habit, ...]:
    """Every habit of data/procedures/habits.toml, judged for this station."""
    found = []
    for entry in toml("procedures/habits.toml")["habit"]:
        text, numbers = _JUDGED[entry["id"]](figures)
        found.append(Habit(entry["id"], _ENOUGH.get(text, False), entry["habit"], entry[text], numbers, tuple(entry["source"])))
    return tuple(found)


def _test_pressure(figures: Figures, name: str, habitual: Quantity) -> Answer:
    """A habitual test pressure against the working static pressure, and against the lowest limit on the line.

    One gauge shows both, so its error is left out, as in practice/proving.
    """
    line = figures.lines[name]
    working, pressure = ends(line.static), habitual.value or 0.0
    reject = figures.setup.policy.leak.reject.amount(line.gas.molar_mass)
    numbers: Numbers = {
        "habit": habitual,
        "static": line.static.at("high"),
        "test": settings.test_pressure(figures, line),
        "reject": exact(reject, "leak"),
    }
    ceiling = figures.static_ceiling(name)
    if working is None:
        return "unknown", numbers
    if pressure > ceiling:
        return "over", numbers | {"ceiling": exact(ceiling, "gauge pressure")}
    more = growth(line.static, pressure, figures.atmosphere)
    if pressure >= working.high or more is None:
        return "enough", numbers
    return "short", numbers | {"scaled": exact(reject / more, "leak")}


def _oxygen_test(figures: Figures) -> Answer:
    return _test_pressure(figures, "oxygen", rule("habit_oxygen_test").quantity)


def _fuel_test(figures: Figures) -> Answer:
    return _test_pressure(figures, "fuel", rule("habit_fuel_test").quantity)


def _half_turn(figures: Figures) -> Answer:
    """The line with the least room between what half a turn takes off and what has to be seen as a fall."""
    found = [_half_turn_of(figures, line) for line in figures.lines.values()]
    half, drop, reject = min(found, key=lambda each: each[0] / each[1])
    numbers: Numbers = {
        "half": exact(half, "pressure difference"),
        "drop": exact(drop, "pressure difference"),
        "reject": exact(reject, "leak"),
        "wait": figures.leak_test.watch,
    }
    return ("enough" if half > drop else "short"), numbers


def _half_turn_of(figures: Figures, line: LineFigures) -> tuple[float, float, float]:
    """What half a turn takes off at least [Pa], the fall that must be seen [Pa], and the leak behind it [mol/s].

    The fall is that of the leak to reject over the wait, and two divisions at least, so that a needle is seen to move.
    """
    half = rule("half_turn_share").si * line.line.regulator.outlet_rating.gauge(figures.atmosphere)
    reject = figures.setup.policy.leak.reject.amount(line.gas.molar_mass)
    wait, volume = figures.leak_test.watch.value or 0.0, line.proving.trapped_volume.value or 0.0
    fall = reject * wait * GAS_CONSTANT * figures.ambient / volume
    working = ends(line.static)
    if working is not None:
        fall = min(fall, working.value)  # a line falls no further than to nothing
    return half, max(fall, 2 * line.outlet_division), reject


def _watch(figures: Figures, habitual: Quantity) -> Answer:
    """A habitual watch against what the slowest gauge needs that can show the leak at all."""
    test = figures.leak_test
    sides = [side for each in test.lines.values() for side in (each.low, each.high) if side.state in ("ok", "low")]
    needed = [ends(side.wait) for side in sides]
    numbers: Numbers = {"habit": habitual, "reject": test.reject, "wait": test.watch}
    known = [wait.high for wait in needed if wait is not None]
    if len(known) < len(needed):
        return "unknown", numbers
    longest = max(known)
    numbers["needed"] = exact(math.ceil(longest / 60 - 1e-6) * 60 if longest > 60 else longest, "minutes")
    return ("enough" if longest <= (habitual.value or 0.0) else "short"), numbers


def _few_minutes(figures: Figures) -> Answer:
    return _watch(figures, rule("habit_watch").quantity)


def _sixty_seconds(figures: Figures) -> Answer:
    return _watch(figures, rule("drop_test").quantity)


def _purge(figures: Figures) -> Answer:
    found = {name: ends(line.proving.purge_time) for name, line in figures.lines.items()}
    if any(time is None for time in found.values()):
        return "unknown", {}
    high = {name: time.high for name, time in found.items() if time is not None}
    longest = max(high.values())
    numbers: Numbers = {
        "oxygen": _whole(max(time for name, time in high.items() if name != "fuel")),
        "fuel": _whole(high["fuel"]),
    }
    if longest <= rule("habit_purge_least").si:
        return "enough", numbers
    return ("five" if longest <= rule("habit_purge_most").si else "short"), numbers


def _whole(seconds: float) -> Quantity:
    """Whole seconds up, as a person counts them."""
    return exact(math.ceil(seconds - 1e-9), "seconds")


def _lever(figures: Figures) -> Answer:
    """Through the heating valve alone the flow is about its share of the flow with both open."""
    line = figures.lines["oxygen"]
    time, cutting, preheat = ends(line.proving.purge_time), ends(line.cutting_flow), ends(line.preheat_flow)
    if time is None:
        return "unknown", {}
    numbers: Numbers = {"time": _whole(time.high)}
    if figures.setup.station.torch.attachment != "cutting" or "preheat_oxygen" in figures.lines:
        return "none", numbers
    if cutting is None or preheat is None or preheat.value <= 0:
        return "unknown", numbers
    return "enough", numbers | {"slow": _whole(time.high * (cutting.value + preheat.value) / preheat.value)}


def _hand_tight(figures: Figures) -> Answer:
    return {"o-ring": "enough", "metal": "short", None: "unknown"}[figures.setup.station.torch.seal], {}


def _tip(figures: Figures) -> Answer:
    return ("enough" if figures.setup.station.torch.attachment == "cutting" else "none"), {}


def _clean(figures: Figures) -> Answer:
    judged = dates.judge(figures)
    bad = sum(finding.verdict == "stop" for finding in judged)
    numbers: Numbers = {"count": str(len(judged)), "bad": str(bad)}
    if any(each.kind == "oil" for each in figures.setup.station.declared):
        return "oil", numbers
    return ("dates" if bad else "enough"), numbers


_JUDGED: dict[str, Callable[[Figures], Answer]] = {
    "oxygen-test-pressure": _oxygen_test,
    "fuel-test-pressure": _fuel_test,
    "screws-half-a-turn": _half_turn,
    "few-minutes": _few_minutes,
    "sixty-seconds": _sixty_seconds,
    "purge-few-seconds": _purge,
    "oxygen-through-the-lever": _lever,
    "attachment-hand-tight": _hand_tight,
    "tip-with-the-spanner": _tip,
    "clean-dry-no-oil": _clean,
}
