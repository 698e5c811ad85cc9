"""The leak test and the purge: whether the gauges can show the leak, and whether the purge is too long to be done."""

from dataclasses import replace

from steadycone.assembly.figures import Figures, LineFigures, SideTest
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, not_above, not_below, word
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, exact


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Purge time, leak floor and test pressure of each line."""
    found: list[Finding] = []
    for line in figures.lines.values():
        found += _purge(line) + _floor(figures, line) + _test_pressure(figures, line)
    return tuple(found)


def _purge(line: LineFigures) -> list[Finding]:
    if ends(line.proving.purge_seconds) is None:
        return []
    longest = limit("purge-long")
    return [not_above("purge-long", f"{word(line)} line", line.proving.purge_seconds, caution=longest.si, sources=(longest.source,))]


def _floor(figures: Figures, line: LineFigures) -> list[Finding]:
    """What each needle shows in the watch, against the leak that the policy rejects. The watch itself is a number in the steps.

    A caution is left where no watch of a sensible length shows it, which a finer gauge settles. A side that may hold liquid, or need
    have no gauge, is proved otherwise, and its steps say how.
    """
    test = figures.leak_test
    each = test.lines[line.name]
    sides = ((f"{word(line)} line", each.low), (f"{word(line)} line, high side", each.high))
    return [_shown(figures, line, subject, side) for subject, side in sides if side.state in ("ok", "low")]


def _shown(figures: Figures, line: LineFigures, subject: str, side: SideTest) -> Finding:
    policy, longest = figures.setup.policy, limit("leak-longest-watch")
    reject = exact(policy.leak.reject.amount(line.gas.molar_mass), "leak")
    sources = (policy.source("leak.reject"), policy.source("leak.wait"), longest.source)
    blanks: dict[str, Quantity | str] = {"watch": figures.leak_test.watch, "division": exact(side.division, "pressure difference")}
    if side.finer is not None:
        blanks["finer"] = exact(side.finer, "pressure difference")
    text = "" if side.finer is not None else " no gauge"
    if side.state == "low":
        return Finding("leak-floor-coarse", "caution", subject, None, reject, None, sources, blanks, "caution low" + text)
    found = not_above("leak-floor-coarse", subject, side.floor, caution=reject.value, sources=sources, blanks=blanks)
    return replace(found, text="caution" + text) if found.verdict == "caution" and text else found


def _test_pressure(figures: Figures, line: LineFigures) -> list[Finding]:
    """A test below the working static pressure passes leaks that matter: a leak grows with pressure.

    The same gauge shows both, so its error is left out of the comparison.
    """
    test, working = figures.leak_test.lines[line.name], ends(line.static)
    at = test.low.pressure
    if not test.stated or working is None:
        return []
    return [not_below("leak-test-pressure", f"{word(line)} line", at, caution=working.high, sources=("leak-by-pressure",))]
