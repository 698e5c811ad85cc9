"""Flashback arrestors: there, where they are asked for, and not costing the tip its gas.

A check valve is not an arrestor: it holds gas back and lets a flame through.
"""

from dataclasses import dataclass, replace
from functools import reduce
from math import sqrt

from steadycone.assembly.elements import flow_unknown
from steadycone.assembly.figures import Figures, LineFigures, PartFigure
from steadycone.data.reader import toml
from steadycone.practice.finding import Finding
from steadycone.practice.judging import Ends, ends, higher, is_acetylene, not_above, total, word
from steadycone.practice.limits import limit
from steadycone.practice.part_flow import no_stop_on_a_guess
from steadycone.quantity import Quantity, band, exact, unknown
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
    if found.verdict == "go":
        return [found]
    if (little := _little(line, arrestors, sources)) is not None:
        return [little]
    if len(arrestors) > 1:
        found = replace(found, text="several" if found.verdict == "caution" else "stop several")
    blanks: dict[str, Quantity | str] = {"most_drop": _most_drop(figures, line, arrestors, allowed), "flow": line.flow.at("high")}
    found = replace(found, blanks=blanks)
    found = no_stop_on_a_guess(found, arrestors, allowed)
    guessed = found.verdict == "caution" and any(flow_unknown(part.part) for part in arrestors)
    return [replace(found, text="flow unknown") if guessed else found]


def _little(line: LineFigures, arrestors: list[PartFigure], sources: tuple[str, ...]) -> Finding | None:
    """Go where arrestors of known flow take less than a mark of a fine gauge and little of the pressure: the setting gives it back.

    A tip that takes a few tenths of a bar loses a tenth of its flow to a valve's spring alone, and no arrestor is without one.
    """
    lost, left = reduce(total, (part.loss for part in arrestors)), ends(line.torch_inlet)
    if left is None or any(flow_unknown(part.part) for part in arrestors):
        return None
    most = min(limit("arrestor-little").si, limit("arrestor-little-share").si * left.low)
    found = not_above("arrestor-starves", arrestors[0].subject, lost, stop=most, sources=(*sources, limit("arrestor-little").source))
    return replace(found, text="go little") if found.verdict == "go" else None


def _most_drop(figures: Figures, line: LineFigures, arrestors: list[PartFigure], allowed: float) -> Quantity:
    """What the arrestors of a line may lose together [Pa] so that no more of the flow than allowed is gone, at the unkind ends.

    Source      derived: flow_lost, solved for the resistance taken out
    """
    drive = _Drive.of(figures, line, arrestors)
    if drive is None:
        return unknown("pressure difference")
    squares = max(0.0, drive.unkind()[0]) * (1 / (1 - allowed) ** 2 - 1)
    outlets = [known.high for part in arrestors if (known := ends(part.outlet))]
    pressure = max(outlets) + figures.atmosphere  # where the same resistance loses least
    return exact(sqrt(pressure**2 + squares) - pressure, "pressure difference")


def flow_lost(figures: Figures, line: LineFigures, taken_out: list[PartFigure]) -> Quantity | None:
    """Share of the flow that parts cost at an unchanged regulator; None when a pressure is not known.

    Every element of a line passes m with p1² - p2² = R m² nearly, and the torch behind it ends at a pressure e: nothing where a
    choked nozzle makes flow go with inlet pressure, else the mixing point. Taking out parts of resistance A from p_reg to e:

        (m / m_without)² = 1 - sum(p_in² - p_out²) / (p_reg² - e²),   p_reg² = p_torch² + the same sum over all parts

    Holds for   the mixing pressure unchanged, which overstates the loss a little (it rises with the flow).
    Source      derived; the mixing point's share of the fuel's inlet pressure by judged-mixing-point
    """
    drive = _Drive.of(figures, line, taken_out)
    if drive is None:
        return None
    return band(_share(*drive.usual()), _share(*drive.kind()), _share(*drive.unkind()), "share")


def _share(drive: float, taken: float) -> float:
    return 1.0 if drive <= 0 else 1 - sqrt(drive / (drive + taken))


@dataclass(frozen=True, slots=True)
class _Drive:
    """What drives a line's flow past the parts to be taken out, and what these take: both as squares of pressure [Pa²]."""

    torch: Ends
    fuel: Ends  # at the torch
    parts: list[tuple[Ends, Ends, bool]]  # outlet, loss, and whether it is taken out
    chokes: bool
    is_fuel: bool
    air: float

    @classmethod
    def of(cls, figures: Figures, line: LineFigures, taken_out: list[PartFigure]) -> "_Drive | None":
        """None when a pressure is not known."""
        torch, fuel = ends(line.torch_inlet), ends(figures.lines["fuel"].torch_inlet)
        subjects = {part.subject for part in taken_out}
        parts = [(o, lost, p.subject in subjects) for p in line.parts if (o := ends(p.outlet)) and (lost := ends(p.loss))]
        if torch is None or fuel is None or len(parts) < len(line.parts):
            return None
        chokes = line.name == "oxygen" and figures.setup.station.torch.attachment == "cutting"
        return cls(torch, fuel, parts, chokes, line.name == "fuel", figures.atmosphere)

    def usual(self) -> tuple[float, float]:
        return self._at(self.torch.value, _mixing()[1] * self.fuel.value, 0, 0)

    def kind(self) -> tuple[float, float]:
        return self._at(self.torch.high, _mixing()[0] * (self.torch.high if self.is_fuel else self.fuel.low), 2, 1)

    def unkind(self) -> tuple[float, float]:
        """Most is lost where least is left to drive the flow: little at the torch, much at the mixing point, and nothing lost elsewhere.

        A regulator set higher for a long hose gives the arrestor more to live on too; no hose is to mend an arrestor for that.
        """
        return self._at(self.torch.low, _mixing()[2] * (self.torch.low if self.is_fuel else self.fuel.high), 1, 2, elsewhere=False)

    def _at(self, left: float, mixing: float, outlet: int, loss: int, *, elsewhere: bool = True) -> tuple[float, float]:
        """With the parts at one end (0 value, 1 low, 2 high) and all else of the line at the other, or without loss."""
        behind = 0.0 if self.chokes else self.air + mixing
        taken = sum(_squares(o[outlet] + self.air, lost[loss]) for o, lost, gone in self.parts if gone)
        stays = sum(_squares(o[loss] + self.air, lost[outlet]) for o, lost, gone in self.parts if elsewhere and not gone)
        return (left + self.air) ** 2 - behind**2 + stays, taken


def _mixing() -> tuple[float, float, float]:
    """The mixing point's share of the fuel's inlet pressure: low, usual, high."""
    low, usual, high = toml("defaults.toml")["chart"]["mixing_share"]
    return low, usual, high


def _squares(outlet: float, lost: float) -> float:
    """p_in² - p_out² of a part [Pa²], from its outlet [Pa absolute] and loss [Pa]."""
    return (outlet + lost) ** 2 - outlet**2
