"""The regulator: made for this gas, this cylinder, this setting and this flow."""

from dataclasses import replace

from steadycone.assembly.closing import closing_pressure
from steadycone.assembly.figures import AsSetLine, Figures, LineFigures
from steadycone.assembly.sharing import place_unknown, through_regulator
from steadycone.physics.gas import warmed_pressure
from steadycone.physics.supply.acetylene import warming
from steadycone.practice.acetylene import lawful_cap
from steadycone.practice.compatible import verdict_of
from steadycone.practice.finding import Finding
from steadycone.practice.judging import AS_SET, ends, gas_name, higher, is_acetylene, not_above, word
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, exact, unknown
from steadycone.station.marks import fit, mark_source

_SOURCE = "gear-rating"
_FILLED_AT = 288.15  # K, at which filling pressures are told


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Gas, inlet rating, outlet range and rated flow of each line's regulator; range and flow also as set."""
    found: list[Finding] = []
    for line in figures.lines.values():
        now = figures.now(line.name)
        found += [
            _gas(figures, line),
            *_inlet(figures, line),
            *_over_cap(figures, line),
            *_range(figures, line, now),
            *_flow(figures, line, now),
        ]
    return tuple(found)


def _subject(line: LineFigures) -> str:
    return f"{word(line)} regulator"


def _gas(figures: Figures, line: LineFigures) -> Finding:
    gas, mark = gas_name(figures, line), line.line.regulator.gas
    blanks: dict[str, Quantity | str] = {"made_for": mark, "gas": gas}
    verdict, text = verdict_of(fit(mark, gas))
    return Finding("regulator-gas", verdict, _subject(line), sources=(_SOURCE, mark_source(mark)), blanks=blanks, text=text)


def _inlet(figures: Figures, line: LineFigures) -> list[Finding]:
    """The reading, and a full cylinder at its filling temperature, against the inlet rating: the next full one comes onto it too.

    One that only this day's warmth brings over it is go; one whose gauge nobody has read, and which the doubt of a weighing does, a caution.
    """
    rating, supply = line.line.regulator.inlet_rating, line.line.supply
    filled, pressure = line.supply.filled_to, line.supply.pressure
    if rating is None:
        return [
            Finding("regulator-inlet", "caution", _subject(line), pressure, unknown("gauge pressure"), None, (_SOURCE,), {}, "no rating")
        ]
    highest = rating.gauge(figures.atmosphere)
    if filled is not None and (full := ends(filled)) and full.value > highest:
        text = "full" if supply.filling_pressure else "usual full"
        finding = not_above("regulator-inlet", _subject(line), filled, stop=highest, sources=(_SOURCE, "inlet-filling"))
        return [replace(finding, text=text)] if finding.verdict == "stop" else [finding]
    known = ends(pressure)
    if known is None:
        return []  # contents-unknown or supply-pressure-low says it
    finding = not_above("regulator-inlet", _subject(line), pressure, stop=highest, sources=(_SOURCE,))
    if finding.verdict == "stop" and not supply.has_cylinders:
        return [replace(finding, text="stop pipe")]
    if finding.verdict == "stop" and filled is not None and (warm := _only_warm(figures, line, highest)):
        return [warm]
    if finding.verdict == "stop" and supply.pressure is None and (filled is not None or known.value <= highest):
        return [replace(finding, verdict="caution", text="not read")]
    return [finding]


def _only_warm(figures: Figures, line: LineFigures, highest: float) -> Finding | None:
    """Over the rating [Pa gauge] only because the day is warm, or the gauge may be off: a rating is a filling pressure at 15 °C.

    What a full cylinder of this filling stands at is known, so the reading counts as read. None where it is over the rating at 15 °C too, or so far over it that the proof is near.
    """
    air, pressure = figures.atmosphere, line.supply.pressure
    if pressure.value is None or pressure.high is None or pressure.high > limit("inlet-warm-most").si * highest:
        return None
    if line.name == "fuel" and is_acetylene(figures):
        colder = (pressure.value + air) / warming(_FILLED_AT, figures.ambient)
    else:
        colder = warmed_pressure(line.gas, pressure.value + air, figures.ambient, _FILLED_AT)
    cooled = exact(colder - air, "gauge pressure")
    found = not_above("regulator-inlet", _subject(line), cooled, stop=highest, sources=(_SOURCE, "inlet-filling"))
    blanks: dict[str, Quantity | str] = {"warm": exact(pressure.value, "gauge pressure"), "ambient": exact(figures.ambient, "temperature")}
    return replace(found, blanks=blanks, text="go warm") if found.verdict == "go" else None


def _over_cap(figures: Figures, line: LineFigures) -> list[Finding]:
    """An acetylene regulator whose range ends over the cap can be screwed over it: held to the law's cap, not to a stricter house's.

    Over the largest range any acetylene regulator is made for it is another gas's: a stop.
    """
    if line.name != "fuel" or not is_acetylene(figures) or figures.cap.gauge <= 0:
        return []  # in such compressed air no regulator serves: acetylene-pressure says it
    made, (lawful, source) = limit("acetylene-range-most"), lawful_cap(figures)
    rating = exact(line.line.regulator.outlet_rating.gauge(figures.atmosphere), "gauge pressure")
    stop = max(made.si, lawful)
    return [not_above("regulator-over-cap", _subject(line), rating, stop=stop, caution=lawful, sources=(source, made.source))]


def _range(figures: Figures, line: LineFigures, now: AsSetLine | None) -> list[Finding]:
    """Flowing, as a person can set it, against the outlet rating; with the valves shut, against the closing pressure."""
    rating = line.line.regulator.outlet_rating.gauge(figures.atmosphere)
    closing, source = closing_pressure(figures.setup, line.name, figures.atmosphere)
    looks = [(_subject(line), higher(line.flowing, line.set_pressure), line.static)]
    if now:
        looks.append((_subject(line) + AS_SET, now.regulator, now.regulator_static))
    found = []
    for subject, flowing, shut in looks:
        if ends(flowing):
            found.append(_told(not_above("regulator-range", subject, flowing, stop=rating, sources=(_SOURCE,))))
        if ends(shut):
            found.append(_told(not_above("regulator-closing", subject, shut, stop=closing, sources=(source,))))
    return found


def _told(finding: Finding) -> Finding:
    """As set, the remedy is the screw and not the hose."""
    return replace(finding, text="stop as set") if finding.verdict == "stop" and finding.subject.endswith(AS_SET) else finding


def _flow(figures: Figures, line: LineFigures, now: AsSetLine | None) -> list[Finding]:
    """What this torch takes and what others take through the same regulator, against what it is trusted to pass."""
    subject = _subject(line)
    others = through_regulator(line.line, line.gas.molar_mass)
    if line.line.regulator.rated_flow is None:
        flow = line.flow if ends(line.flow) is None else line.flow.map(lambda own: own + others)
        return [Finding("regulator-flow", "caution", subject, flow, unknown("flow"), None, (_SOURCE,), {}, "no rating")]
    rated = ends(line.rated_here)
    if rated is None:
        return []
    found = []
    if ends(line.flow):
        found.append(_passes(subject, line, line.flow, others, rated.low))
    if now and ends(now.flow):
        most = rated.low * _share_of_rating(figures, line.flowing, now.regulator)
        found.append(_passes(subject + AS_SET, line, now.flow, others, most))
    return found


def _passes(subject: str, line: LineFigures, own: Quantity, others: float, most: float) -> Finding:
    sources = (_SOURCE, "regulator-capacity")
    if not others:
        return not_above("regulator-flow", subject, own, stop=most, sources=sources)
    finding = not_above("regulator-flow", subject, own.map(lambda flow: flow + others), stop=most, sources=sources)
    where = "unplaced" if place_unknown(line.line.supply) else "shared"
    return replace(finding, text=f"{finding.verdict} {where}", blanks={"others": exact(others, "flow")})


def _share_of_rating(figures: Figures, chart: Quantity, now: Quantity) -> float:
    """A regulator set lower passes less, by the ratio of absolute pressures; nothing is gained by one set higher (judged)."""
    asked, set_to = ends(chart), ends(now)
    if asked is None or set_to is None:
        return 1.0
    return min(1.0, (set_to.low + figures.atmosphere) / (asked.value + figures.atmosphere))
