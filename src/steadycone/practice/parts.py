"""Each part of a line: made for its gas, and for the pressure it will see. What hoses cost is in hose.py."""

from steadycone.assembly.figures import Figures, PartFigure
from steadycone.practice.compatible import hose_carries, hose_grade_source, serves
from steadycone.practice.finding import Finding
from steadycone.practice.judging import AS_SET, ends, gas_name, higher, not_above
from steadycone.quantity import Quantity, unknown
from steadycone.station.parts import Hose

_SOURCE = "gear-rating"


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Gas, hose grade and pressure of each part; pressure also as set."""
    found: list[Finding] = []
    for line in figures.lines.values():
        gas = gas_name(figures, line)
        for part in line.parts:
            found += _gas(part, gas) + _grade(part, gas) + _pressure(figures, part, "")
        now = figures.as_set.lines.get(line.name) if figures.as_set else None
        for part in now.parts if now else ():
            if part.part.max_pressure is not None:  # the missing rating has been said once
                found += _pressure(figures, part, AS_SET)
    return tuple(found)


def _gas(part: PartFigure, gas: str) -> list[Finding]:
    """A part that states its gas. One that does not is not unknown: a hose says it by its grade."""
    mark = part.part.gas
    if mark is None:
        return []
    blanks: dict[str, Quantity | str] = {"made_for": mark, "gas": gas}
    return [Finding("part-gas", "go" if serves(mark, gas) else "stop", part.subject, sources=(_SOURCE,), blanks=blanks)]


def _grade(part: PartFigure, gas: str) -> list[Finding]:
    if not isinstance(part.part, Hose):
        return []
    grade = part.part.grade
    blanks: dict[str, Quantity | str] = {"grade": grade, "gas": gas}
    sources = (hose_grade_source(grade),)
    carries = hose_carries(grade, gas)
    if carries is None:
        return [Finding("hose-grade", "caution", part.subject, sources=sources, blanks=blanks)]
    # A letter marks both hoses of a US twin line: the words then ask for the oxygen hose to be named as such.
    text = "stop letter" if not carries and gas == "oxygen" and sources == ("us-hose-grades",) else ""
    return [Finding("hose-grade", "go" if carries else "stop", part.subject, sources=sources, blanks=blanks, text=text)]


def _pressure(figures: Figures, part: PartFigure, suffix: str) -> list[Finding]:
    """Flowing at its inlet and shut: whichever is higher, against what the part is marked for."""
    sees = higher(part.static, part.inlet) if ends(part.inlet) else part.static
    rating = part.part.max_pressure
    if rating is None:
        if not isinstance(part.part, Hose):
            return []
        return [Finding("part-pressure", "caution", part.subject, sees, unknown("gauge pressure"), None, (_SOURCE,), {}, "no rating")]
    if ends(sees) is None:
        return []
    return [not_above("part-pressure", part.subject + suffix, sees, stop=rating.gauge(figures.atmosphere), sources=(_SOURCE,))]
