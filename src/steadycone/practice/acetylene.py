"""Acetylene's own rules: the pressure cap, cold, lying cylinders, and copper."""

import re
from dataclasses import replace

from steadycone.assembly.ceiling import in_compressed_air
from steadycone.assembly.figures import Figures, LineFigures
from steadycone.data.reader import toml
from steadycone.physics.supply.acetylene import warming
from steadycone.practice import draw
from steadycone.practice.finding import Finding
from steadycone.practice.judging import AS_SET, ends, higher, is_acetylene, not_above, not_below, word
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, exact
from steadycone.station.parts import Coupling, Pipe
from steadycone.units import Pressure, Share

_NO_COPPER = ("silver", "mercury")  # not copper, and no better: the table holds them to copper's limit


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Cap flowing and static, as the card sets it and as set, and of a pipe that brings the gas; ambient; stand-up time; copper. Nothing for another fuel."""
    if not is_acetylene(figures):
        return ()
    line = figures.lines["fuel"]
    return (*_pressures(figures, line), *_piped(figures, line), *_cold(figures, line), *_lay_down(figures, line), *_copper(figures))


def lawful_cap(figures: Figures) -> tuple[float, str]:
    """The region's own cap [Pa gauge] and its source, where a house's may be stricter; the absolute one in compressed-air work."""
    law = toml(f"regions/{figures.setup.station.station.region}.toml")["law"]
    gauge = Pressure.parse(law["acetylene_cap"]["most"]).gauge(figures.atmosphere)
    absolute = law.get("acetylene_cap_absolute")
    if figures.atmosphere < limit("compressed-air").si:
        return gauge, law["acetylene_cap"]["source"]
    if absolute is None:
        return in_compressed_air(gauge, figures.atmosphere), "acetylene-absolute-judged"
    return min((gauge, law["acetylene_cap"]["source"]), (Pressure.parse(absolute["most"]).gauge(figures.atmosphere), absolute["source"]))


def _pressures(figures: Figures, line: LineFigures) -> list[Finding]:
    subject = f"{word(line)} regulator"
    # What a person sets is rounded to the gauge's division, so it can lie above what the march asked for.
    found = [
        _capped(figures, "acetylene-pressure-flowing", subject, higher(line.flowing, line.set_pressure)),
        _capped(figures, "acetylene-pressure-static", subject, line.static),
    ]
    if now := figures.now("fuel"):
        found += [
            _capped(figures, "acetylene-pressure-flowing", subject + AS_SET, now.regulator),
            _capped(figures, "acetylene-pressure-static", subject + AS_SET, now.regulator_static),
        ]
    return found


def _capped(figures: Figures, code: str, subject: str, pressure: Quantity) -> Finding:
    cap = figures.cap
    finding = not_above(code, subject, pressure, stop=cap.gauge, sources=(cap.source,))
    if finding.verdict == "stop" and cap.absolute:
        return replace(finding, text="stop absolute" if cap.gauge > 0 else "stop no pressure")
    return replace(finding, text="stop as set") if finding.verdict == "stop" and subject.endswith(AS_SET) else finding


def _piped(figures: Figures, line: LineFigures) -> list[Finding]:
    """What stands in a pipe to the outlet point, cylinder manifolds apart: the law of one country forbids it over the cap."""
    if line.line.supply.has_cylinders or ends(line.supply.pressure) is None:
        return []
    cap, subject = figures.cap.gauge, f"{word(line)} supply"
    sources = (figures.cap.source, "acetylene-piped")
    if figures.setup.station.station.region == "us":
        return [not_above("acetylene-piped", subject, line.supply.pressure, stop=cap, sources=sources)]
    return [not_above("acetylene-piped", subject, line.supply.pressure, caution=cap, sources=sources)]


def _cold(figures: Figures, line: LineFigures) -> list[Finding]:
    """Below 10 °C the draw is held to the share in force times what the cold leaves of the pressure: a small draw is no caution."""
    if not line.line.supply.has_cylinders:
        return []
    coldest, subject = limit("acetylene-cold"), f"{word(line)} supply"
    ambient = exact(figures.ambient, "temperature")
    allowed = ends(draw.limit(figures))
    if figures.ambient >= coldest.si or ends(line.supply.average) is None or allowed is None:
        return [not_below("acetylene-cold", subject, ambient, caution=coldest.si, sources=(coldest.source,))]
    bears = allowed.low * warming(limit("draw-rules-at").si, figures.ambient)
    sources = (coldest.source, "acetylene-cold-draw")
    finding = not_above("acetylene-cold", subject, line.supply.average, caution=bears, sources=sources, blanks={"ambient": ambient})
    return [replace(finding, text=f"{finding.verdict} draw")]


def _lay_down(figures: Figures, line: LineFigures) -> list[Finding]:
    """Upright for the longer of the policy's time and twice the time it lay, a day at most. Nothing stated, nothing said."""
    supply, policy = line.line.supply, figures.setup.policy
    subject = f"{word(line)} supply"
    if not supply.has_cylinders or (supply.upright_for is None and supply.lay_for is None):
        return []
    times, longest = limit("lay-down-times"), limit("lay-down-longest")
    needed = policy.stand_up.si
    if supply.lay_for is not None:
        needed = max(needed, min(times.si * supply.lay_for.si, longest.si))
    sources = (policy.source("stand_up"), times.source)
    if supply.upright_for is None:
        return [Finding("cylinder-lay-down", "caution", subject, None, exact(needed, "minutes"), None, sources, {}, "unknown")]
    return [not_below("cylinder-lay-down", subject, exact(supply.upright_for.si, "minutes"), stop=needed, sources=sources)]


def _copper(figures: Figures) -> list[Finding]:
    line = figures.lines["fuel"]
    made_of = [(part.subject, part.part.material) for part in line.parts if isinstance(part.part, Coupling | Pipe)]
    made_of.append(("torch", figures.setup.station.torch.material))
    return [_copper_in(subject, material) for subject, material in made_of if material]


def _copper_in(subject: str, material: str) -> Finding:
    caution, stop = limit("copper-caution"), limit("copper-stop")
    share = copper_share(material)
    value = Quantity(share, share, share, "share")
    found = not_above(
        "copper-acetylene", subject, value, caution=caution.si, stop=stop.si, sources=(stop.source,), blanks={"material": material}
    )
    return replace(found, text="stop metal") if found.verdict == "stop" and material.lower().strip() in _NO_COPPER else found


def copper_share(material: str) -> float | None:
    """The most copper a material may hold, as a share of one: from a stated per cent of copper, else by its name; None = not known."""
    tidy = " ".join(material.lower().split())
    stated = re.search(r"(\d+(?:\.\d+)?)\s*%\s*(?:of\s+)?copper", tidy) or re.search(r"copper\s*:?\s*(\d+(?:\.\d+)?)\s*%", tidy)
    if stated:
        return float(stated[1]) / 100
    known = toml("materials.toml")["acetylene-gear"].get(tidy)
    return Share.parse(known).si if known else None
