"""Arrestors and check valves whose flow nobody wrote down: never go, since what they cost is a guess on the unsafe side of nothing."""

from functools import reduce

from steadycone.assembly.elements import flow_unknown
from steadycone.assembly.figures import Figures, LineFigures
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, total, word
from steadycone.quantity import Quantity

_SOURCE = "judged-part-bore"


def judge(figures: Figures) -> tuple[Finding, ...]:
    """part-flow-unknown, once a line that has such a part."""
    return tuple(finding for line in figures.lines.values() for finding in _line(line))


def _line(line: LineFigures) -> list[Finding]:
    parts = [part for part in line.parts if flow_unknown(part.part)]
    if not parts:
        return []
    lost = reduce(total, (part.loss for part in parts))
    blanks: dict[str, Quantity | str] = {"count": str(len(parts))}
    several = len(parts) > 1
    if ends(lost) is None:
        text = "several, loss unknown" if several else "loss unknown"
    else:
        blanks |= {"least": lost.at("low"), "most": lost.at("high")}
        text = "several" if several else ""
    subject = f"{word(line)} line" if several else parts[0].subject
    return [Finding("part-flow-unknown", "caution", subject, sources=(_SOURCE,), blanks=blanks, text=text)]
