"""The leak test and the purge: whether the gauges can see the leak, and whether the purge is longer than habit."""

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, not_above, not_below, word
from steadycone.practice.limits import limit
from steadycone.quantity import exact


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Purge time, leak floor and test pressure of each line."""
    found: list[Finding] = []
    for line in figures.lines.values():
        found += _purge(line) + _floor(figures, line) + _test_pressure(figures, line)
    return tuple(found)


def _purge(line: LineFigures) -> list[Finding]:
    if ends(line.proving.purge_time) is None:
        return []
    longest = limit("purge-long")
    return [not_above("purge-long", f"{word(line)} line", line.proving.purge_time, caution=longest.si, sources=(longest.source,))]


def _floor(figures: Figures, line: LineFigures) -> list[Finding]:
    """The smallest leak each gauge shows in the policy's wait, against the one the policy rejects.

    The high side is judged where its gauge's division is stated: the default, a fiftieth of the largest usual scale, would
    caution every station on a guess (docs/limitations.md). Its floor is on the card either way.
    """
    policy, proving = figures.setup.policy, line.proving
    reject = policy.leak.reject.amount(line.gas.molar_mass)
    sides = [(f"{word(line)} line", proving.leak_floor, proving.leak_wait)]
    if line.line.supply.has_cylinders and line.line.regulator.inlet_division is not None:
        sides.append((f"{word(line)} line, high side", proving.high_leak_floor, proving.high_leak_wait))
    sources = (policy.source("leak.reject"), policy.source("leak.wait"))
    return [
        not_above("leak-floor-coarse", subject, floor, caution=reject, sources=sources, blanks={"wait": wait})
        for subject, floor, wait in sides
        if ends(floor)
    ]


def _test_pressure(figures: Figures, line: LineFigures) -> list[Finding]:
    """A test below the working static pressure passes leaks that matter: a leak grows with pressure.

    The same gauge shows both, so its error is left out of the comparison.
    """
    about = figures.setup.station.station
    tested = about.test_pressure_fuel if line.name == "fuel" else about.test_pressure_oxygen
    working = ends(line.static)
    if tested is None or working is None:
        return []
    at = exact(tested.gauge(figures.atmosphere), "gauge pressure")
    return [not_below("leak-test-pressure", f"{word(line)} line", at, caution=working.value, sources=("leak-by-pressure",))]
