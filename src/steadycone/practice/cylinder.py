"""What no cylinder may be: fuller than it can hold, or hotter than any may get."""

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.practice.finding import Finding, Verdict
from steadycone.practice.judging import ends, is_acetylene, not_above, word
from steadycone.practice.limits import limit
from steadycone.quantity import End, exact

_SOURCE = "contents-over"


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Contents against the cylinder's own, and heat, for each line that comes from cylinders."""
    found: list[Finding] = []
    for line in figures.lines.values():
        if line.line.supply.has_cylinders:
            found += [*_over(figures, line), _hot(figures, line)]
    return tuple(found)


def _subject(line: LineFigures) -> str:
    return f"{word(line)} supply"


def _over(figures: Figures, line: LineFigures) -> list[Finding]:
    """Stop where the low end is over, caution where only the middle is: by then the weighing can't tell."""
    dissolved = is_acetylene(figures) and line.name == "fuel"
    supply = line.line.supply
    if supply.pressure is not None and line.supply.filled_to is not None and (dissolved or supply.filling_pressure is not None):
        return _read_over(line)
    held, full = ends(line.supply.contents_mass), ends(line.supply.full)
    if line.supply.by != "weight" or held is None or full is None or not (supply.content or supply.capacity):
        return []
    stored = figures.fuel_stored if line.name == "fuel" else line.gas
    most = full.value * stored.molar_mass * (1 + limit("contents-over").si)
    verdict: Verdict = "stop" if held.low > most else "caution" if held.value > most else "go"
    end: End = "low" if verdict == "stop" else "value"
    value = line.supply.contents_mass
    margin = value.map(lambda kg: most - kg)
    return [Finding("contents-over", verdict, _subject(line), value, exact(most, "mass"), margin, (_SOURCE,), end=end)]


def _read_over(line: LineFigures) -> list[Finding]:
    """A reading that no full cylinder of this kind has at this temperature: overfilled, or hotter than the air around it."""
    read, full = ends(line.supply.pressure), ends(line.supply.full_now)
    if read is None or full is None:
        return []
    most = full.value * (1 + limit("reading-over").si)
    verdict: Verdict = "stop" if read.low > most else "go"
    pressure = line.supply.pressure
    margin = pressure.map(lambda p: most - p, pressure.difference)
    text = f"{verdict} read"
    limit_shown = exact(most, "gauge pressure")
    return [Finding("contents-over", verdict, _subject(line), pressure, limit_shown, margin, (_SOURCE,), text=text, end="low")]


def _hot(figures: Figures, line: LineFigures) -> Finding:
    american = figures.setup.station.station.region in ("us", "ca")
    hottest = limit("cylinder-hottest-us" if american else "cylinder-hottest")
    return not_above("cylinder-hot", _subject(line), exact(figures.ambient, "temperature"), stop=hottest.si, sources=(hottest.source,))
