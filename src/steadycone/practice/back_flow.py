"""Back-flow held off at the torch: a non-return valve after the last hose, or an arrestor, which has one in it.

An arrestor at the regulator guards the cylinder. The hose behind it still fills with mixture when one gas pushes back through the torch.
"""

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.practice.finding import Finding
from steadycone.practice.judging import word
from steadycone.station.parts import Arrestor, CheckValve, Hose

_GUARDS = (Arrestor, CheckValve)
# Every arrestor by the standards has a non-return valve in it: a device without one is no arrestor.
_BUILT_IN = "arrestor-holds-a-valve"


def judge(figures: Figures) -> tuple[Finding, ...]:
    """check-valve-missing of each line."""
    return tuple(_line(figures, line) for line in figures.lines.values())


def _line(figures: Figures, line: LineFigures) -> Finding:
    policy, subject = figures.setup.policy, f"{word(line)} line"
    source = policy.source("check_valves.missing")
    guards = [number for number, part in enumerate(line.parts) if isinstance(part.part, _GUARDS)]
    last_hose = max((number for number, part in enumerate(line.parts) if isinstance(part.part, Hose)), default=-1)
    at_torch = [number for number in guards if number > last_hose]
    if at_torch:
        by_arrestor = all(isinstance(line.parts[number].part, Arrestor) for number in at_torch)
        sources, text = ((source, _BUILT_IN), "go arrestor") if by_arrestor else ((source,), "")
        return Finding("check-valve-missing", "go", subject, sources=sources, text=text)
    verdict = policy.check_valves.missing
    elsewhere = any(isinstance(line.parts[number].part, CheckValve) for number in guards)
    return Finding("check-valve-missing", verdict, subject, sources=(source,), text="place" if elsewhere else "")
