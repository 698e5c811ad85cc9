"""How many cylinders would do: the supply's rules asked again with another count."""

from steadycone.assembly.figures import Figures
from steadycone.assembly.resupply import with_cylinders
from steadycone.card.card import SupplyNeed
from steadycone.practice import draw, supply
from steadycone.practice.finding import Finding, Verdict, worst

MOST = 60  # cylinders: more is a bulk supply's job, judged by us


def needs(figures: Figures) -> dict[str, SupplyNeed]:
    """For each line: the draw limit, and the fewest like cylinders, as full as now and half full."""
    found = {}
    for name, line in figures.lines.items():
        counted = line.line.supply.has_cylinders
        found[name] = SupplyNeed(
            draw_limit=draw.limit(figures) if name == "fuel" else None,
            cylinders_needed=fewest(figures, name) if counted else None,
            cylinders_needed_at_half=fewest(figures, name, half_full=True) if counted else None,
        )
    return found


def fewest(figures: Figures, name: str, *, half_full: bool = False) -> int | None:
    """The fewest like cylinders with which every rule of this line's supply is go.

    A caution that no number of them mends (vapour too cold to feed the regulator well) is left to its own finding. None: a stop
    stays with any number, or the flow or the contents are not known.
    """
    if figures.lines[name].supply.drawn.value is None or figures.lines[name].supply.contents.value is None:
        return None

    now = None if half_full else figures.lines[name].line.supply.cylinders

    def verdict(count: int) -> Verdict:
        supplied = figures if count == now else with_cylinders(figures, name, count, half_full=half_full)
        return worst(finding.verdict for finding in supply_findings(supplied, name))

    if verdict(1) == "go":
        return 1  # and so it stays with more
    best = verdict(MOST)
    if best == "stop":
        return None
    low, high = 0, 1
    while verdict(high) != best:
        low, high = high, min(2 * high, MOST)
    while high - low > 1:  # more cylinders never make a supply worse, so the fewest can be halved in on
        middle = (low + high) // 2
        low, high = (low, middle) if verdict(middle) == best else (middle, high)
    return high


def supply_findings(figures: Figures, name: str) -> list[Finding]:
    """Findings that a number of cylinders can change, of one line. The draw is the fuel's alone."""
    return [*(draw.judge(figures) if name == "fuel" else ()), *supply.counted(figures, name)]
