"""How fast an acetylene supply may be drawn, and how many cylinders that takes.

A rule is a share of the contents an hour. What it is a share of (contents when full, as they are now, or as they will be at the
end of the job) is the policy's choice; the other readings stand beside it, because people quote them all.
"""

from dataclasses import dataclass, replace
from functools import reduce
from math import ceil
from typing import NamedTuple

from steadycone.assembly.figures import Figures, SupplyFigures
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, is_acetylene, not_above, word
from steadycone.practice.limits import limit as number
from steadycone.quantity import Quantity, band, exact, unknown
from steadycone.station.policy import DrawLimit

_HOUR = 3600.0
_MOST = 1000  # cylinders of one supply, as the station file allows
_COARSE = 2  # times as many cylinders at the low end of a weighing as at its middle: the scales are the fault
_RULES = tuple((DrawLimit.parse(share), source) for share, source in (("1/7", "draw-1916"), ("1/10", "draw-tenth"), ("1/15", "draw-tenth")))
_READINGS = ("full", "left", "end of job")


@dataclass(frozen=True, slots=True)
class DrawRule:
    """One rule as it would judge this supply: the flow it allows, and the like cylinders this draw would take."""

    share: str  # "1/7", or a flat flow as written
    of: str  # "full", "left", "end of job"; "" for a flat flow
    limit: Quantity  # mol/s, whole supply
    cylinders: int | None  # None: not to be told, or no number of them is enough
    source: str


class _Applied(NamedTuple):
    """One rule as it is applied: the share or flow, what it is a share of, and the policy's field it comes from."""

    share: DrawLimit
    of: str
    path: str


def judge(figures: Figures) -> tuple[Finding, ...]:
    """fuel-draw, for acetylene from cylinders."""
    if not _applies(figures):
        return ()
    line = figures.lines["fuel"]
    supply, policy = line.supply, figures.setup.policy
    drawn, peak = supply.average, ends(supply.drawn)
    if peak is None:  # no flow: the chart's own findings say why
        return ()
    subject = f"{word(line)} supply"
    stops, cautions = (_applied(figures, level) for level in ("stop", "caution"))
    sources = tuple(dict.fromkeys(policy.source(path) for path in (*(one.path for one in (*stops, *cautions)), "draw.of")))
    stop, caution = _lowest(figures, stops), _lowest(figures, cautions)
    if stop is None or caution is None:
        return (Finding("fuel-draw", "caution", subject, drawn, unknown("flow"), unknown("flow"), sources, {}, "unknown"),)
    finding = not_above("fuel-draw", subject, drawn, stop=stop[1], caution=min(caution[1], stop[1]), sources=sources)
    if finding.verdict == "go" and supply.duty < 1.0:
        times = number("draw-peak-times")
        most = number("draw-peak-stop-times").si * stop[1]
        bursts = not_above("fuel-draw", subject, supply.drawn, stop=most, caution=times.si * stop[1], sources=(*sources, times.source))
        if bursts.verdict != "go":
            text = "bursts" if bursts.verdict == "caution" else "stop bursts"
            return (replace(bursts, text=text, blanks={"rule": stop[0].share.text, "of": stop[0].of}),)
    rule = stop[0] if finding.verdict == "stop" else caution[0]
    return (_worded(figures, finding, rule, cautions),)


def _worded(figures: Figures, finding: Finding, rule: _Applied, cautions: tuple[_Applied, ...]) -> Finding:
    """With the rule that was met, how many cylinders would do, and whether it is the weighing that is too coarse to say."""
    enough = _enough(figures, cautions)
    blanks: dict[str, Quantity | str] = {"rule": rule.share.text, "of": rule.of}
    weighed = figures.lines["fuel"].supply.by == "weight"
    likely = _enough(figures, cautions, end="value") if weighed and finding.verdict != "go" and rule.share.flow is None else None
    if likely is not None and (enough is None or enough > _COARSE * likely):
        mass = figures.lines["fuel"].supply.contents_mass
        return replace(finding, blanks=blanks | {"least": mass.at("low"), "likely": str(likely)}, text=f"{finding.verdict} coarse")
    if enough is None:
        return replace(finding, blanks=blanks, text=f"{finding.verdict} empty")
    blanks["cylinders"] = str(enough)
    if rule.share.flow is not None:
        return replace(finding, blanks=blanks, text=f"{finding.verdict} flat")
    if finding.verdict == "go":
        return replace(finding, blanks=blanks)
    if enough > number("most-coupled").si:
        return replace(finding, blanks=blanks, text=f"{finding.verdict} many")
    return replace(finding, blanks=blanks)


def limit(figures: Figures) -> Quantity | None:
    """The whole supply's flow [mol/s] above which fuel-draw leaves go; None where it is not judged.

    Drawing more also leaves less at the end of the job, so with that reading the flow F solves F = share (contents - F time).
    """
    if not _applies(figures):
        return None
    alone = [_limit_alone(figures, one.share, one.of) for level in ("stop", "caution") for one in _applied(figures, level)]
    return reduce(_lower, alone)


def _applied(figures: Figures, level: str) -> tuple[_Applied, ...]:
    """The rules of one level. A flow that runs on is held to the long share of what is there, and still to the short one of what the
    job leaves: a steady share of a cylinder's contents, judged by the last litre of it, would stop every job that empties one.

    Source      docs/decisions/0042
    """
    draw, reading = figures.setup.policy.draw, _reading(figures)
    short = _Applied(draw.stop if level == "stop" else draw.caution, reading, f"draw.{level}")
    if not runs_long(figures):
        return (short,)
    long = draw.long_stop if level == "stop" else draw.long_caution
    if reading != "end of job":
        return (_Applied(long, reading, f"draw.long_{level}"),)
    return (short, _Applied(long, "left", f"draw.long_{level}"))


def _lowest(figures: Figures, applied: tuple[_Applied, ...]) -> tuple[_Applied, float] | None:
    """The rule that allows least, with its flow [mol/s] at the low end; None where one can't be told."""
    found = [(one, ends(_limit_now(figures, one.share, one.of))) for one in applied]
    known = [(one, allowed.low) for one, allowed in found if allowed is not None]
    return min(known, key=lambda pair: pair[1]) if len(known) == len(applied) else None


def _enough(figures: Figures, applied: tuple[_Applied, ...], end: str = "low") -> int | None:
    """The fewest like cylinders with which every rule of a level holds."""
    counts = [cylinders_by(figures, one.share, one.of, end=end) for one in applied]
    return None if None in counts else max(count for count in counts if count is not None)


def rules(figures: Figures) -> tuple[DrawRule, ...]:
    """The customary rules in every reading, for showing beside the one in force. Empty where fuel-draw is not judged."""
    if not _applies(figures):
        return ()
    return tuple(
        DrawRule(share.text, of, _limit_alone(figures, share, of), cylinders_by(figures, share, of), source)
        for share, source in _RULES
        for of in _READINGS
    )


def cylinders_by(figures: Figures, rule: DrawLimit, of: str | None = None, *, end: str = "low") -> int | None:
    """The fewest like cylinders for which one rule holds, from drawn high and contents low; None when that cannot be told.

    end : "low", or "value" for the middle of the contents
    """
    line = figures.lines["fuel"]
    supply, count = line.supply, line.line.supply.cylinders
    drawn = ends(supply.average)
    if drawn is None:
        return None
    if rule.flow is not None:
        each = rule.flow.amount(figures.fuel.molar_mass)
        return _whole(drawn.high / each) if each > 0 else None
    reading = of or _reading(figures)
    held = ends(supply.full if reading == "full" else supply.contents)
    held_there = 0.0 if held is None else held.low if end == "low" else held.value
    if held_there <= 0 or rule.si <= 0:
        return None
    spent = drawn.high * _job_seconds(supply) if reading == "end of job" else 0.0
    return _whole((drawn.high * _HOUR / rule.si + spent) * count / held_there)


def runs_long(figures: Figures) -> bool:
    """Whether the flame runs on beyond the policy's time, or for a time nobody knows."""
    time = ends(figures.job.time)
    return time is None or time.high > figures.setup.policy.draw.long.si


def _applies(figures: Figures) -> bool:
    return is_acetylene(figures) and figures.lines["fuel"].line.supply.has_cylinders


def _reading(figures: Figures) -> str:
    """What the share is of: the policy's choice, but contents as they are now when the job's end is not known."""
    of = figures.setup.policy.draw.of
    if of == "end of job" and ends(figures.lines["fuel"].supply.at_end) is None:
        return "left"
    return of


def _limit_now(figures: Figures, rule: DrawLimit, of: str) -> Quantity:
    """The flow a rule allows with the contents there are by its reading."""
    supply = figures.lines["fuel"].supply
    if rule.flow is not None:
        return _flat(figures, rule)
    held = {"full": supply.full, "left": supply.contents, "end of job": supply.at_end}[of]
    return held.map(lambda moles: max(0.0, moles) * rule.si / _HOUR, "flow")


def _limit_alone(figures: Figures, rule: DrawLimit, of: str | None = None) -> Quantity:
    """The flow at which a rule is just met, whatever is drawn now."""
    supply = figures.lines["fuel"].supply
    if rule.flow is not None:
        return _flat(figures, rule)
    reading = of or _reading(figures)
    if reading != "end of job":
        return (supply.full if reading == "full" else supply.contents).map(lambda moles: moles * rule.si / _HOUR, "flow")
    if ends(supply.contents) is None or ends(supply.at_end) is None:
        return unknown("flow")
    share = rule.si / _HOUR
    return supply.contents.map(lambda moles: moles * share / (1 + share * _job_seconds(supply)), "flow")


def _job_seconds(supply: SupplyFigures) -> float:
    """Time over which the contents fall to those at the end of the job, at the unsafe ends."""
    held, left, drawn = ends(supply.contents), ends(supply.at_end), ends(supply.average)
    if held is None or left is None or drawn is None or drawn.high <= 0:
        return 0.0
    return max(0.0, (held.low - left.low) / drawn.high)


def _flat(figures: Figures, rule: DrawLimit) -> Quantity:
    assert rule.flow is not None
    return exact(rule.flow.amount(figures.fuel.molar_mass) * figures.lines["fuel"].line.supply.cylinders, "flow")


def _lower(first: Quantity, second: Quantity) -> Quantity:
    a, b = ends(first), ends(second)
    if a is None or b is None:
        return unknown(first.kind)
    return band(min(a.value, b.value), min(a.low, b.low), min(a.high, b.high), first.kind)


def _whole(cylinders: float) -> int | None:
    """Rounded up; None beyond what anybody could couple, which is what next to nothing in a cylinder asks for."""
    return max(1, ceil(cylinders * (1 - 1e-9))) if cylinders <= _MOST else None
