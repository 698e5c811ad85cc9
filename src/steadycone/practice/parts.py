"""Each part of a line: made for its gas, and for the pressure it will see. What hoses cost is in hose.py."""

from steadycone.assembly.figures import Figures, LineFigures, PartFigure
from steadycone.practice.compatible import verdict_of
from steadycone.practice.finding import Finding
from steadycone.practice.judging import AS_SET, ends, gas_name, higher, not_above, word
from steadycone.quantity import Quantity, unknown
from steadycone.station.marks import fit, hose_fit, hose_source, is_hose_letter, mark_source
from steadycone.station.parts import Arrestor, CheckValve, Hose

_SOURCE = "gear-rating"


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Gas, hose grade and pressure of each part; pressure also as set."""
    found: list[Finding] = []
    for line in figures.lines.values():
        gas = gas_name(figures, line)
        found += _unmarked(figures, line)
        for part in line.parts:
            found += _gas(part, gas) + _grade(part, gas) + _pressure(figures, part, "")
        now = figures.now(line.name)
        for part in now.parts if now else ():
            if part.part.max_pressure is not None:  # the missing rating has been said once
                found += _pressure(figures, part, AS_SET)
    return tuple(found)


def _gas(part: PartFigure, gas: str) -> list[Finding]:
    """A part that states its gas. What states none is asked about once a line, in _unmarked; a hose says it by its grade."""
    mark = part.part.gas
    if mark is None:
        return []
    blanks: dict[str, Quantity | str] = {"made_for": mark, "gas": gas}
    verdict, text = verdict_of(fit(mark, gas))
    return [Finding("part-gas", verdict, part.subject, sources=(_SOURCE, mark_source(mark)), blanks=blanks, text=text)]


def _unmarked(figures: Figures, line: LineFigures) -> list[Finding]:
    """Arrestors and check valves carry a gas mark (valves, joiners and pipes often do not): what the file says of none is not known."""
    asked = [part for part in line.parts if isinstance(part.part, Arrestor | CheckValve)]
    bare = [part.subject for part in asked if part.part.gas is None]
    if not asked:
        return []
    blanks: dict[str, Quantity | str] = {"gas": gas_name(figures, line), "parts": ", ".join(bare)}
    return [Finding("gas-mark-missing", "caution" if bare else "go", f"{word(line)} line", sources=("gas-letters",), blanks=blanks)]


def _grade(part: PartFigure, gas: str) -> list[Finding]:
    if not isinstance(part.part, Hose):
        return []
    grade = part.part.grade
    blanks: dict[str, Quantity | str] = {"grade": grade, "gas": gas}
    verdict, text = verdict_of(hose_fit(grade, gas))
    # A letter marks both hoses of a US twin line, so it does not say that this is the fuel's: the words ask for the oxygen hose to be named.
    if verdict == "stop" and gas == "oxygen" and is_hose_letter(grade):
        verdict, text = "caution", "letter"
    return [Finding("hose-grade", verdict, part.subject, sources=(hose_source(grade),), blanks=blanks, text=text)]


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
