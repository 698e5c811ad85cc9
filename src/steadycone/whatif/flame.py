"""Flame: whether it stays on its port through the valve's travel, and what more or less oxygen makes of it."""

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import ClassVar

from steadycone.assembly.figures import Figures
from steadycone.card.card import Card
from steadycone.errors import InputError, OutOfRange
from steadycone.physics.gas import flame, flame_range, neutral_ratio
from steadycone.physics.gas.speed import COLD, burning_velocity
from steadycone.quantity import Quantity, exact, spread, unknown
from steadycone.units import Temperature
from steadycone.whatif.common.fitted import Flows
from steadycone.whatif.common.port import Case, Held, moved_valves, seen
from steadycone.whatif.common.resting import frame
from steadycone.whatif.frame import Chart, Curve, Frame, Outcome, Plate, Point, Prevention, WhatIf
from steadycone.whatif.settings import Choice, Count, setting, whatif

_PORTS = {"cutting": 6, "heating": 12, "welding": 1}  # port-count
_TRAVEL = (1.0, 0.8, 0.6, 0.5, 0.4, 0.3, 0.2, 0.15, 0.1, 0.05)  # of the valves, both together
_NEARLY_SHUT = 0.1  # one of _TRAVEL
_OXYGEN = (0.4, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.4, 1.7, 2.0)  # of the oxygen valve alone
_POINTS = 40  # of the temperature curve
_CLOSE = 3.0  # margin under which the flame is called close: an order of magnitude is what it is known to
_SOURCES = (
    "port-gradient", "cantera-free-flame", "burning-velocity-oxygen", "burning-velocity-warm", "port-count", "port-warm", "flame-kinds",
    "torch-ratios", "cantera-gri30", "judged-mixing-point",
)  # fmt: skip


@whatif
class Flame(WhatIf):
    """Whether the flame stays on its port as the valves are closed, and what more or less oxygen makes of it."""

    example: ClassVar = "ports=6 tip=hot"
    ports: int | None = setting(Count(1, 500), "preheat ports of the tip; left out: 6 for cutting, 12 for heating, 1 for welding")
    tip: str = setting(Choice("hot", "cold"), "the mixture in the tip: warmed to hot_at, or at the shop's temperature", "hot")
    hot_at: Temperature = setting(Temperature, "mixture in a hot tip", "150 °C")

    def answer(self, card: Card) -> Outcome:
        figures = card.figures
        pressures = {name: line.set_pressure.value for name, line in figures.lines.items()}
        known = {name: pressure for name, pressure in pressures.items() if pressure is not None}
        if len(known) < len(pressures):
            raise InputError("the card has no setting for every line", where="tip", try_="See what the card says of the chart.")
        given = self.ports
        ports = given or _PORTS[figures.setup.station.torch.attachment]
        warm = max(self.hot_at.si, figures.ambient) if self.tip == "hot" else figures.ambient
        return _told(Case(figures, known, ports, given is not None, warm))


def _told(case: Case) -> Outcome:
    figures = case.figures
    middle = case.flow(next(case.stations()))
    here, cold = seen(case, 1.0, 1.0, case.warm), seen(case, 1.0, 1.0, max(COLD, figures.ambient))
    if not here or middle.ratio is None:
        raise OutOfRange("no mixture flows at these settings", where="tip", try_="See what the card says of the chart.")
    travel = [(share, seen(case, share, 1.0, case.warm)) for share in _TRAVEL]
    trim = tuple(_trim(case, share) for share in _OXYGEN)
    numbers = _numbers(case, middle, here, cold, travel)
    least = min(one.margin for one in here)
    return Outcome(
        name="flame",
        state="runs-back" if least < 1.0 else "close" if least < _CLOSE else "holds",
        numbers=numbers,
        reason="port",
        words={"flame_kind": kind_of_flame(figures, middle.ratio)},
        series={"travel": tuple(_point(share, found) for share, found in travel if found), "trim": trim},
        frames=_frames(case, middle),
        charts=_charts(travel, figures, middle.ratio),
        prevented_by=_prevented(case, numbers),
        not_trusted=("order", "blow-off", "ports", "soot"),
        sources=_SOURCES,
        blanks={
            "ports": str(case.ports),
            "warm": exact(case.warm, "temperature"),
            "least": exact(_coarse(least), "number"),
            "slow": _slow(travel),
        },
        band="ends",
    )


def kind_of_flame(figures: Figures, ratio: float) -> str:
    """Carburising, neutral or oxidising.

    Source      flame-kinds
    """
    span = neutral_ratio(figures.fuel)
    return "carburising" if ratio < span.low else "oxidising" if ratio > span.high else "neutral"


def _numbers(case: Case, middle: Flows, here: list[Held], cold: list[Held], travel: list[tuple[float, list[Held]]]) -> dict[str, Quantity]:
    ratio = middle.ratio or 0.0
    every = burning_velocity(case.figures.fuel, ratio, case.warm)
    back = _runs_back_at([(share, min(one.margin for one in found)) for share, found in travel if found])
    numbers = {
        "margin": _band(here, "margin", "number"),
        "margin_cold": _band(cold, "margin", "number"),
        "speed_to_burning": _band(here, "speed_ratio", "number"),
        "port_speed": spread([one.port.speed for one in here], "velocity"),
        "burning_velocity": Quantity((every.low * every.high) ** 0.5, every.low, every.high, "velocity"),
        "burning_velocity_computed": exact(every.computed, "velocity") if every.computed else unknown("velocity"),
        "port_gradient": spread([_coarse(one.port.gradient) for one in here], "gradient"),
        "critical_gradient": spread([_coarse(one.critical) for one in here], "gradient"),
        "oxygen_to_fuel": exact(ratio, "number"),
        "flame_temperature": _temperature(case.figures, ratio),
    }
    if back is not None:
        numbers["runs_back_at"] = exact(back, "share")
    return numbers


def _runs_back_at(travel: list[tuple[float, float]]) -> float | None:
    """Widest opening at which the flame can run back, in whole per cent up: where the margin at the unsafe end crosses one.

    Between two openings it is taken straight. None: it never falls to one. `travel`: opening and margin.
    """
    rising = sorted(travel)
    below = [place for place, (_, margin) in enumerate(rising) if margin < 1.0]
    if not below:
        return None
    share, margin = rising[below[-1]]
    if below[-1] + 1 < len(rising):
        wider, safe = rising[below[-1] + 1]
        share += (1.0 - margin) / (safe - margin) * (wider - share)
    return math.ceil(share * 100 - 1e-9) / 100


def _band(found: list[Held], what: str, kind: str) -> Quantity:
    return spread([_coarse(getattr(one, what)) for one in found], kind)


def _coarse(x: float) -> float:
    """Two figures: more would claim what the law does not know."""
    return float(f"{x:.2g}")


def _down(x: float) -> float:
    """Two figures, never more than x: what is printed is not better than what was judged."""
    if x <= 0.0 or not math.isfinite(x):
        return x
    step = 10.0 ** (math.floor(math.log10(x)) - 1)
    return float(f"{math.floor(x / step + 1e-9) * step:.2g}")


def _temperature(figures: Figures, ratio: float) -> Quantity:
    """Of the flame before air comes in; unknown outside the table, as under acetylene's 1.0 where soot forms."""
    low, high = flame_range(figures.fuel)
    if not low <= ratio <= high:
        return unknown("temperature")
    return exact(flame(figures.fuel, ratio).temperature, "temperature")


def _trim(case: Case, share: float) -> Point:
    """The oxygen valve alone, the fuel's as the chart has it."""
    flows = case.flow(moved_valves(next(case.stations()), 1.0, share))
    ratio = flows.ratio
    if ratio is None:
        return {"oxygen_valve": exact(share, "share"), "oxygen_to_fuel": unknown("number")}
    return {
        "oxygen_valve": exact(share, "share"),
        "oxygen_to_fuel": exact(ratio, "number"),
        "flame_temperature": _temperature(case.figures, ratio),
        "flame_kind": kind_of_flame(case.figures, ratio),
    }


def _point(share: float, found: list[Held]) -> Point:
    return {
        "valves": exact(share, "share"),
        "port_speed": spread([one.port.speed for one in found], "velocity"),
        "speed_to_burning": _band(found, "speed_ratio", "number"),
        "margin_least": exact(_down(min(one.margin for one in found)), "number"),
    }


def _charts(travel: list[tuple[float, list[Held]]], figures: Figures, ratio: float) -> tuple[Chart, ...]:
    """The unsafe end through the valves' travel, and the flame's temperature over the whole table."""
    unsafe = tuple((share, min(one.margin for one in found)) for share, found in reversed(travel) if found)
    low, high = flame_range(figures.fuel)
    ratios = [low + (high - low) * k / _POINTS for k in range(_POINTS + 1)]
    hot = tuple((each, flame(figures.fuel, each).temperature) for each in ratios)
    charts = [
        Chart("margin", "share", "number", (Curve("margin", unsafe),), (("runs-back", 1.0),)),
        Chart("temperature", "number", "temperature", (Curve("temperature", hot, side="fu"),)),
    ]
    if low <= ratio <= high:
        here = flame(figures.fuel, ratio).temperature
        charts[1] = replace(charts[1], curves=(*charts[1].curves, Curve("here", ((ratio, here), (ratio, hot[0][1])))))
    return tuple(charts)


def _frames(case: Case, middle: Flows) -> tuple[Frame, ...]:
    throttled = case.flow(moved_valves(next(case.stations()), _NEARLY_SHUT, _NEARLY_SHUT))
    return _frame(case, middle, "set"), _frame(case, throttled, "throttled")


def _slow(travel: list[tuple[float, list[Held]]]) -> Quantity | str:
    """Port speed with the valves as far shut as the last frame has them."""
    found = dict(travel)[_NEARLY_SHUT]
    return exact(found[0].port.speed, "velocity") if found else "no speed"


def _frame(case: Case, flows: Flows, caption: str) -> Frame:
    air = case.figures.atmosphere
    pressures = {name: tuple(None if p is None else p - air for p in profile.pressures) for name, profile in flows.profiles.items()}
    plates = {
        name: tuple(Plate("CHOKED", str(k)) for k, state in enumerate(profile.states, start=1) if state == "choked")
        for name, profile in flows.profiles.items()
    }
    return frame(case.figures, None, caption, pressures=pressures, plates=plates)


def _prevented(case: Case, numbers: Mapping[str, Quantity]) -> tuple[Prevention, ...]:
    opened = "runs_back_at" not in numbers
    blanks = {} if opened else {"at": numbers["runs_back_at"]}
    arrestors = [part for line in case.figures.lines.values() for part in line.line.part if part.word == "arrestor"]
    return (
        Prevention("open", "fitted" if opened else "missing", "", blanks),
        Prevention("cool", "always"),
        Prevention("clean", "always"),
        Prevention("arrestor", "fitted" if len(arrestors) >= len(case.figures.lines) else "missing"),
    )
