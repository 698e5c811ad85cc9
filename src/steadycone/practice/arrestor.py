"""Flashback arrestors: there, where they are asked for, and not costing the tip its gas.

A check valve is not an arrestor: it holds gas back and lets a flame through.
"""

from dataclasses import replace
from math import sqrt

from steadycone.assembly.elements import flow_unknown
from steadycone.assembly.figures import Figures, LineFigures, PartFigure
from steadycone.data.reader import toml
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, higher, is_acetylene, not_above, word
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, band, exact
from steadycone.station.parts import Arrestor, CheckValve, Hose


def judge(figures: Figures) -> tuple[Finding, ...]:
    """arrestor-missing and arrestor-starves of each line."""
    found: list[Finding] = []
    for line in figures.lines.values():
        found += [_missing(figures, line), *_starves(figures, line)]
    return tuple(found)


def places(line: LineFigures) -> tuple[str, ...]:
    """Where this line has an arrestor: "regulator" before the first hose, "torch" after the last, else "between hoses"."""
    hoses = [number for number, part in enumerate(line.parts) if isinstance(part.part, Hose)]
    first, last = (hoses[0], hoses[-1]) if hoses else (len(line.parts), -1)
    found = []
    for number, part in enumerate(line.parts):
        if isinstance(part.part, Arrestor):
            found.append("regulator" if number < first else "torch" if number > last else "between hoses")
    return tuple(dict.fromkeys(found))


def _missing(figures: Figures, line: LineFigures) -> Finding:
    policy, subject = figures.setup.policy, f"{word(line)} line"
    at, asked = places(line), policy.arrestors.at
    source = policy.source("arrestors.at")
    if not at:
        return _none_at_all(figures, line, Finding("arrestor-missing", "stop", subject, sources=(source, "check-valve-no-flame")))
    lacking = [place for place in asked if place != "either" and place not in at]
    if lacking:
        return Finding("arrestor-missing", "caution", subject, sources=(source,), blanks={"place": " and ".join(lacking)}, text="place")
    return Finding("arrestor-missing", "go", subject, sources=(source,))


def _none_at_all(figures: Figures, line: LineFigures, finding: Finding) -> Finding:
    """Stop everywhere; in the US a caution where check valves are there: no law was found that asks a portable outfit for more."""
    policy = figures.setup.policy
    checked = any(isinstance(part.part, CheckValve) for part in line.parts)
    if line.name == "fuel" and is_acetylene(figures) and policy.acetylene_arrestor_from is not None:
        pressure = ends(higher(line.static, line.flowing))
        start = policy.acetylene_arrestor_from.gauge(figures.atmosphere)
        if pressure is not None and pressure.high >= start:
            law = (policy.source("acetylene_arrestor_from"), *finding.sources)
            value = higher(line.static, line.flowing)
            return replace(
                finding, value=value, limit=exact(start, "gauge pressure"), margin=value.map(lambda p: start - p, value.difference),
                sources=law, text="law", end="high",
            )  # fmt: skip
    if checked and figures.setup.station.station.region == "us":
        piped = line.line.supply.kind == "pipeline" and line.name == "fuel"
        return replace(finding, verdict="caution", text="check valves on piping" if piped else "check valves only")
    return replace(finding, text="stop check valves" if checked else "")


def _starves(figures: Figures, line: LineFigures) -> list[Finding]:
    """The flow this line would gain with its arrestors taken out and the regulator left alone, as a share of that flow."""
    arrestors = [part for part in line.parts if isinstance(part.part, Arrestor)]
    lost = flow_lost(figures, line, arrestors) if arrestors else None
    if lost is None:
        return []
    policy, times = figures.setup.policy, limit("arrestor-stop-times")
    allowed = policy.arrestors.largest_flow_loss.si
    subject = arrestors[0].subject if len(arrestors) == 1 else f"{word(line)} arrestors"
    sources = (policy.source("arrestors.largest_flow_loss"), times.source, "judged-mixing-point")
    found = not_above("arrestor-starves", subject, lost, caution=allowed, stop=times.si * allowed, sources=sources)
    if found.verdict != "go" and any(flow_unknown(part.part) for part in arrestors):
        return [_guessed(found, lost, allowed, times.si * allowed)]
    return [found]


def _guessed(found: Finding, lost: Quantity, allowed: float, stop: float) -> Finding:
    """A stop must not rest on a guess: only where even the kind end is over does a part of unknown flow stop. See decision 12."""
    known = ends(lost)
    if known is None or known.low > stop:
        return found
    margin = lost.map(lambda share: allowed - share, lost.difference)
    return replace(found, verdict="caution", limit=exact(allowed, lost.kind), margin=margin, text="flow unknown")


def flow_lost(figures: Figures, line: LineFigures, taken_out: list[PartFigure]) -> Quantity | None:
    """Share of the flow that parts cost at an unchanged regulator; None when a pressure is not known.

    Every element of a line passes m with p1² - p2² = R m² nearly, and the torch behind it ends at a pressure e: nothing where a
    choked nozzle makes flow go with inlet pressure, else the mixing point. Taking out parts of resistance A from p_reg to e:

        (m / m_without)² = 1 - sum(p_in² - p_out²) / (p_reg² - e²),   p_reg² = p_torch² + the same sum over all parts

    Holds for   the mixing pressure unchanged, which overstates the loss a little (it rises with the flow).
    Source      derived; the mixing point's share of the fuel's inlet pressure by judged-mixing-point
    """
    torch, fuel = ends(line.torch_inlet), ends(figures.lines["fuel"].torch_inlet)
    known = [(outlet, loss) for part in line.parts if (outlet := ends(part.outlet)) and (loss := ends(part.loss))]
    if torch is None or fuel is None or len(known) < len(line.parts):
        return None
    subjects = {part.subject for part in taken_out}
    out = [part.subject in subjects for part in line.parts]
    low, middle, high = toml("defaults.toml")["chart"]["mixing_share"]
    chokes = line.name == "oxygen" and figures.setup.station.torch.attachment == "cutting"
    air = figures.atmosphere

    def share(left: float, mixing: float, outlet: int, loss: int) -> float:
        """With the parts at one end (0 value, 1 low, 2 high) and all else of the line at the other."""
        behind = 0.0 if chokes else air + mixing
        taken = sum(_squares(o[outlet] + air, lost[loss]) for (o, lost), gone in zip(known, out, strict=True) if gone)
        stays = sum(_squares(o[loss] + air, lost[outlet]) for (o, lost), gone in zip(known, out, strict=True) if not gone)
        drive = (left + air) ** 2 - behind**2 + stays
        return 1.0 if drive <= 0 else 1 - sqrt(drive / (drive + taken))

    # Most is lost where least is left to drive the flow: little at the torch, little lost elsewhere, much at the mixing point.
    kind, unkind = (torch.high, torch.low) if line.name == "fuel" else (fuel.low, fuel.high)
    least = share(torch.high, low * kind, 2, 1)
    return band(share(torch.value, middle * fuel.value, 0, 0), least, share(torch.low, high * unkind, 1, 2), "share")


def _squares(outlet: float, lost: float) -> float:
    """p_in² - p_out² of a part [Pa²], from its outlet [Pa absolute] and loss [Pa]."""
    return (outlet + lost) ** 2 - outlet**2
