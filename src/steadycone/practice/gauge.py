"""Whether the regulator's own gauges can show what is asked of them: fine enough for the setting, and a scale that holds it.

Only what the file states of a gauge is judged: the usual one for a rating is a guess, and no reason to send anybody for another.
"""

from dataclasses import replace

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.assembly.gauges import gauges
from steadycone.practice.finding import Finding
from steadycone.practice.judging import AS_SET, ends, not_above, not_below, word
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, exact


def judge(figures: Figures) -> tuple[Finding, ...]:
    """gauge-coarse and gauge-scale of each line's regulator, the scale also as set."""
    found: list[Finding] = []
    for line in figures.lines.values():
        found += _coarse(figures, line) + _outlet(figures, line) + _inlet(figures, line) + _far(figures, line)
    return tuple(found)


def _subject(line: LineFigures) -> str:
    return f"{word(line)} regulator"


def _coarse(figures: Figures, line: LineFigures) -> list[Finding]:
    """What the tip asks lies some marks above zero, and the gauge's error is no large share of it."""
    setting, regulator = ends(line.set_pressure), line.line.regulator
    if setting is None or setting.value <= 0 or (regulator.outlet_scale is None and regulator.outlet_division is None):
        return []
    gauge = gauges(regulator, figures.setup.station.station.region)
    needed = ends(line.torch_inlet)  # a coarse mark rounds the setting up, and no longer hose makes a coarse gauge a fine one
    asked = min(setting.value, needed.value) if needed and needed.value > 0 else setting.value
    told = {"setting": exact(asked, "gauge pressure")}
    marks, error = limit("gauge-marks"), limit("gauge-error")
    from_zero = exact(asked / gauge.outlet_division, "number")
    finding = not_below("gauge-coarse", _subject(line), from_zero, caution=marks.si, sources=(marks.source,))
    if finding.verdict != "go":
        return [_said(finding, "marks", {**told, "division": exact(gauge.outlet_division, "pressure difference")})]
    if regulator.outlet_scale is None:
        return [_said(finding, "go marks", told)]
    off = exact(gauge.outlet_error / setting.value, "share")
    judged = not_above("gauge-coarse", _subject(line), off, caution=error.si, sources=(error.source,))
    told |= {"setting": exact(setting.value, "gauge pressure")}
    told["error"] = exact(gauge.outlet_error, "pressure difference")
    return [_said(judged, "" if judged.verdict == "go" else "error", told)]


def _outlet(figures: Figures, line: LineFigures) -> list[Finding]:
    """The setting is on the scale, and so is what it may rise to with the valves shut."""
    stated = line.line.regulator.outlet_scale
    if stated is None:
        return []
    scale, sources, found = stated.gauge(figures.atmosphere), ("gauge-scale",), []
    looks = [(_subject(line), line.set_pressure, line.static)]
    if now := figures.now(line.name):
        looks.append((_subject(line) + AS_SET, now.regulator, now.regulator_static))
    for subject, setting, shut in looks:
        known = ends(setting)
        if known is None:
            continue
        finding = not_above("gauge-scale", subject, exact(known.value, "gauge pressure"), stop=scale, sources=sources)
        if finding.verdict == "go" and ends(shut):
            finding = not_above("gauge-scale", subject, shut, caution=scale, sources=sources)
        found.append(finding)
    return found


def _inlet(figures: Figures, line: LineFigures) -> list[Finding]:
    """The supply's pressure is on the scale, and so is a full cylinder's."""
    stated, supply = line.line.regulator.inlet_scale, line.supply
    if stated is None:
        return []
    subject = f"{word(line)} regulator inlet"
    known = [found.value for found in (ends(supply.pressure), ends(supply.filled_to)) if found]
    if not known:
        return []
    highest, scale = exact(max(known), "gauge pressure"), stated.gauge(figures.atmosphere)
    finding = not_above("gauge-scale", subject, highest, stop=scale, sources=("gauge-scale",))
    return [_said(finding, f"{finding.verdict} inlet", {})]


def _far(figures: Figures, line: LineFigures) -> list[Finding]:
    """A scale many times the rating is another place's gauge: its needle hardly leaves the pin."""
    regulator, most = line.line.regulator, limit("gauge-scale-times")
    pairs = (
        (regulator.outlet_scale, regulator.outlet_rating, "outlet"),
        (regulator.inlet_scale, regulator.inlet_rating, "inlet"),
    )
    found = []
    for scale, rating, place in pairs:
        if scale is not None and rating is not None and scale.gauge(figures.atmosphere) > most.si * rating.gauge(figures.atmosphere):
            ends_at, allowed = scale.gauge(figures.atmosphere), most.si * rating.gauge(figures.atmosphere)
            value, subject = exact(ends_at, "gauge pressure"), f"{word(line)} regulator {place} gauge"
            finding = not_above("gauge-scale", subject, value, caution=allowed, sources=(most.source,))
            found.append(_said(finding, "far", {"rating": exact(rating.gauge(figures.atmosphere), "gauge pressure")}))
    return found


def _said(finding: Finding, text: str, told: dict[str, Quantity]) -> Finding:
    return replace(finding, text=text, blanks={**finding.blanks, **told})
