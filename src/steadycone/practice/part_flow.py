"""Arrestors and check valves whose flow nobody wrote down: never go, since what they cost is a guess on the unsafe side of nothing."""

from collections.abc import Iterable
from dataclasses import replace
from functools import reduce

from steadycone.assembly.elements import flow_unknown
from steadycone.assembly.figures import Figures, LineFigures, PartFigure
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, total, word
from steadycone.quantity import Quantity, exact

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


def no_stop_on_a_guess(found: Finding, parts: Iterable[PartFigure], caution: float) -> Finding:
    """A stop that rests on parts of unknown flow as a caution at its lower limit; where even the kind end is over the limit it stands.

    Source      derived in docs/decisions/0037
    """
    value, stop = ends(found.value), ends(found.limit)
    if found.verdict != "stop" or found.value is None or value is None or stop is None or value.low > stop.value:
        return found
    if not any(flow_unknown(part.part) for part in parts):
        return found
    margin = found.value.map(lambda share: caution - share, found.value.difference)
    return replace(found, verdict="caution", limit=exact(caution, found.value.kind), margin=margin)
