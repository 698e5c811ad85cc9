"""When to change a cylinder while working: the reading below which a supply's own rules say worse than now, or its reserve."""

from dataclasses import dataclass, replace
from math import ceil

import msgspec

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.assembly.resupply import with_share
from steadycone.practice import draw, supply
from steadycone.practice.finding import Finding, Verdict, worst_first
from steadycone.practice.judging import ends
from steadycone.quantity import Quantity, exact, unknown

SOURCE = "change-point"
_SEVERITY: dict[Verdict, int] = {"go": 0, "caution": 1, "stop": 2}
_ASKED = ("fuel-draw", "supply-pressure-low", "lpg-vaporisation")  # rules of a supply that get worse as it empties
_HALVINGS = 9  # to a five-hundredth of what is there; the nearer end is taken


@dataclass(frozen=True, slots=True)
class ChangePoint:
    """Of one line's cylinders. `by` is how it is read: "pressure" on the cylinder gauge, "scales" with the cylinder on them,
    "gas" as what is left where no tare is known."""

    line: str
    by: str
    reading: Quantity  # Pa gauge, or kg, of one cylinder
    after: Quantity  # s of drawing as now until then, the early end
    cut: Quantity  # m of cut in that time, at the slow end of the speed
    why: str  # the code of the rule that gets worse there, or "reserve"
    now: bool  # it has come already


def change_points(figures: Figures) -> tuple[ChangePoint, ...]:
    """One for each line that has cylinders whose contents are known; a line without a flow has none.

    Source      change-point
    """
    return tuple(point for name in figures.lines if (point := _point(figures, name)) is not None)


def _point(figures: Figures, name: str) -> ChangePoint | None:
    line = figures.lines[name]
    contents, usable, drawn = ends(line.supply.contents), ends(line.supply.usable), ends(line.supply.drawn)
    if not line.line.supply.has_cylinders or contents is None or usable is None or drawn is None or contents.low <= 0 or drawn.high <= 0:
        return None
    reserve = 1.0 - usable.low / contents.low
    share, why = max((_worse_below(_at_work(figures), name)), (reserve, "reserve"))
    if share <= 0.0:
        return None  # no rule and no reserve says when
    by, reading = _reading(figures, line, share)
    seconds = contents.low * (1.0 - share) / drawn.high
    speed = ends(figures.job.speed) if figures.job.kind == "cut" else None
    cut = exact(seconds * speed.low, "length") if speed else unknown("length")
    return ChangePoint(name, by, reading, exact(seconds, "minutes"), cut, why, share >= 1.0)


def _at_work(figures: Figures) -> Figures:
    """The same with the contents judged as they stand at that moment: no job left to come, the draw's rule still this job's."""
    policy = figures.setup.policy
    if not draw.runs_long(figures):
        short = msgspec.structs.replace(policy.draw, long_stop=policy.draw.stop, long_caution=policy.draw.caution)
        policy = msgspec.structs.replace(policy, draw=short)
    setup = msgspec.structs.replace(figures.setup, policy=policy)
    return replace(figures, setup=setup, job=replace(figures.job, time=None))


def _worse_below(figures: Figures, name: str) -> tuple[float, str]:
    """Share of what is there now below which the supply is judged worse than now, and by which rule.

    1 where it is a stop already, 0 where no rule gets worse as it empties.
    """
    now, why = _verdict(figures, name)
    if now == "stop":
        return 1.0, why
    low, high = 0.0, 1.0
    if _SEVERITY[_verdict(with_share(figures, name, 1e-3), name)[0]] <= _SEVERITY[now]:
        return 0.0, ""
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        verdict, rule = _verdict(with_share(figures, name, middle), name)
        if _SEVERITY[verdict] > _SEVERITY[now]:
            low, why = middle, rule
        else:
            high = middle
    return high, why if low else _verdict(with_share(figures, name, 1e-3), name)[1]


def _verdict(figures: Figures, name: str) -> tuple[Verdict, str]:
    """The worst of the rules that an emptying supply fails, and which it is."""
    found: list[Finding] = [*(draw.judge(figures) if name == "fuel" else ()), *supply.counted(figures, name)]
    first, *_ = worst_first(finding for finding in found if finding.code in _ASKED) or (Finding("", "go"),)
    return first.verdict, first.code


def _reading(figures: Figures, line: LineFigures, share: float) -> tuple[str, Quantity]:
    """What to look for: the cylinder gauge on its next mark up, the scales, or the gas left."""
    given, store = line.line.supply, line.supply
    assert store.contents.value is not None
    if line.gas.name == "acetylene" or store.vaporisation is not None:
        left = share * store.contents.value / given.cylinders * figures.fuel_stored.molar_mass
        if given.gross and given.tare:
            return "scales", exact(given.tare.si + left, "mass")
        return "gas", exact(left, "mass")
    pressure = with_share(figures, line.name, share).lines[line.name].supply.pressure.value or 0.0
    if given.reserve:
        pressure = max(pressure, given.reserve.gauge(figures.atmosphere))
    mark = line.inlet_division
    return "pressure", exact(ceil(pressure / mark - 1e-6) * mark, "gauge pressure")
