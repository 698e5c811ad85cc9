"""What the hoses cost: loss on the way, choking, and cold. Where they cost too much, the next bore or length that can."""

from dataclasses import dataclass, replace
from functools import reduce
from math import floor

from steadycone.assembly.corner import corners
from steadycone.assembly.elements import flow_unknown
from steadycone.assembly.figures import AsSetLine, Figures, LineFigures, PartFigure
from steadycone.assembly.sharing import others
from steadycone.data.reader import toml
from steadycone.physics.flow import hose as physics
from steadycone.physics.flow.stream import Stream, stream_of
from steadycone.practice.finding import Finding
from steadycone.practice.judging import AS_SET, ends, not_above, not_below, total, word
from steadycone.practice.limits import limit
from steadycone.practice.part_flow import no_stop_on_a_guess
from steadycone.quantity import Quantity, exact, spread
from steadycone.station.parts import Hose
from steadycone.units import Length

_ALIKE = 0.02  # bores this near to each other are one bore


@dataclass(frozen=True, slots=True)
class Cure:
    """What would bring a line's loss within the limit: a bore for every narrower hose, or a total length of its narrowest; None where
    that can't."""

    bore: str | None
    bore_loss: Quantity | None  # Pa, of the whole line with that bore
    length: Quantity | None
    narrowest: Quantity | None = None  # bore, where joined hoses have several
    parts_unknown: bool = False  # no hose helps as its parts may be; what they pass is not known
    usual_bore: str | None = None  # that would do with such parts as they usually are


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Loss and choking of each line, as the chart asks and as set; cold once."""
    found: list[Finding] = []
    for line in figures.lines.values():
        found += _loss(figures, line) + _choked(figures, line)
        now = figures.as_set.lines.get(line.name) if figures.as_set else None
        if now:
            found += _loss_as_set(figures, line, now) + _choked_as_set(line, now)
    return (*found, _cold(figures))


def _subject(line: LineFigures) -> str:
    return f"{word(line)} line"


def _loss(figures: Figures, line: LineFigures) -> list[Finding]:
    """Of the flowing pressure needed, not of the mark of the gauge that it is rounded to: a coarse gauge mends no hose."""
    lost, torch = ends(total(line.loss_hoses, line.loss_parts)), ends(line.torch_inlet)
    if lost is None or torch is None:
        return []
    pairs = ((lost.value, torch.value), (lost.low, torch.high), (lost.high, torch.low))
    shares = [_share(less, max(left, 0.0)) for less, left in pairs]  # most is lost where least is left
    finding = _judged(figures, line, _subject(line), spread(shares, "share"), lost.high)
    return [_with_cure(finding, cure(figures, line)) if finding.verdict != "go" else finding]


def _share(lost: float, left: float) -> float:
    return lost / (lost + left) if lost > 0 else 0.0


def _loss_as_set(figures: Figures, line: LineFigures, now: AsSetLine) -> list[Finding]:
    """Of what the gauge shows; its error is in both."""
    regulator = ends(now.regulator)
    if regulator is None or regulator.value <= 0 or not now.parts or now.state not in ("ok", "choked"):
        return []
    lost = reduce(total, (part.loss for part in now.parts))
    known = ends(lost)
    if known is None:
        return []
    share = lost.map(lambda pascals: pascals / regulator.value, "share")
    finding = _judged(figures, line, _subject(line) + AS_SET, share, known.high)
    return [replace(finding, text="as set") if finding.verdict != "go" else finding]


def _judged(figures: Figures, line: LineFigures, subject: str, share: Quantity, most_lost: float) -> Finding:
    """Caution at the policy's share; stop at half, since letting the lever go then doubles the pressure at the torch."""
    policy, half = figures.setup.policy, limit("hose-loss-stop")
    found = not_above(
        "hose-loss-high",
        subject,
        share,
        caution=min(policy.loss.si, half.si),
        stop=half.si,
        sources=(policy.source("loss"), half.source),
        blanks={"loss": exact(most_lost, "pressure difference")},
    )
    return no_stop_on_a_guess(found, line.parts, min(policy.loss.si, half.si))


def _with_cure(finding: Finding, found: Cure) -> Finding:
    sources = (*finding.sources, str(toml("limits.toml")["hose-bores"]["source"]))
    blanks = dict(finding.blanks)
    if found.length is not None:
        blanks["length"] = found.length
    if found.bore is not None and found.bore_loss is not None:
        blanks |= {"bore": found.bore, "new_loss": found.bore_loss}
    text = {
        (True, True): "bore or length",
        (True, False): "bore",
        (False, True): "length",
        (False, False): "parts",
    }[found.bore is not None, found.length is not None]
    if text == "parts" and found.parts_unknown:
        text = "parts unknown"
        if found.usual_bore is not None:
            blanks["bore"], text = found.usual_bore, "parts unknown, bore"
    elif text != "parts" and found.narrowest is not None:
        blanks["narrow"], text = found.narrowest, f"joined, {text}"
    return replace(finding, blanks=blanks, sources=sources, text=text)


def cure(figures: Figures, line: LineFigures) -> Cure:
    """The next made bore, and the longest hose, that keep the loss within the policy's share at the chart's flow.

    A wider hose of a joined line stays as it is. Where parts of unknown flow leave no hose that would do, they are also tried as they
    usually are. With share s of the setting, loss may be s / (1 - s) of the pressure at the torch inlet.
    """
    share = figures.setup.policy.loss.si
    torch, flow = ends(line.torch_inlet), ends(line.flow)
    hosed = any(isinstance(part.part, Hose) for part in line.parts)
    known = all(ends(part.loss) and ends(part.outlet) for part in line.parts)
    if torch is None or flow is None or not hosed or not known or share >= 1:
        return Cure(None, None, None)
    shared = others(line.line, line.gas.molar_mass) if line.line.supply.shared_at == "hose" else 0.0
    mass_flow = (flow.high + shared) * line.gas.molar_mass
    trial = _Trial(stream_of(line.gas, figures.ambient), mass_flow, figures.atmosphere, torch.low, line.parts)
    room = share / (1 - share) * torch.low
    bore, lost = _next_bore(figures, trial, room)
    length = _length(trial, room)
    found = Cure(bore, None if lost is None else exact(lost, "pressure difference"), length, _narrowest(line))
    if bore is None and length is None and any(flow_unknown(part.part) for part in line.parts):
        return replace(found, parts_unknown=True, usual_bore=_next_bore(figures, replace(trial, usual=True), room)[0])
    return found


def _narrowest(line: LineFigures) -> Quantity | None:
    """The narrowest bore of hoses that have several; None where all are alike."""
    bores = {part.part.bore.si for part in line.parts if isinstance(part.part, Hose)}
    return exact(min(bores), "thickness") if max(bores) > (1 + _ALIKE) * min(bores) else None


@dataclass(frozen=True, slots=True)
class _Trial:
    """The line, its hoses to be tried at another bore or length. Only ratios are computed: the losses stay the card's own."""

    stream: Stream
    mass_flow: float  # kg/s
    atmosphere: float
    torch_inlet: float  # Pa gauge
    parts: tuple[PartFigure, ...]
    usual: bool = False  # parts of unknown flow taken as they usually are, not at their unkind end

    def lost(self, bore: float | None = None, length_share: float = 1.0) -> float:
        """High end of the loss of the whole line [Pa], from the torch upstream.

        bore : of every hose that is narrower; length_share : of the present length of the narrowest hoses
        """
        pressure = self.torch_inlet + self.atmosphere
        start = pressure
        for figure in reversed(self.parts):
            pressure += self._part(figure, pressure, bore, length_share)
        return pressure - start

    @property
    def narrowest(self) -> float:
        """Bore [m]."""
        return min(figure.part.bore.si for figure in self.parts if isinstance(figure.part, Hose))

    def chokes(self, bore: float) -> bool:
        """Whether a hose of this bore is sonic at its end."""
        hoses = [part for part in self.parts if isinstance(part.part, Hose)]
        return any(self._hose(figure, bore, 1.0).chokes(self._outlet(figure), self.mass_flow) for figure in hoses)

    def _part(self, figure: PartFigure, outlet: float, bore: float | None, length_share: float) -> float:
        loss, before = ends(figure.loss), self._outlet(figure)
        assert loss is not None
        if not isinstance(figure.part, Hose):
            end = loss.value if self.usual and flow_unknown(figure.part) else loss.high
            return end * before / outlet  # less pressure in the line, more speed through the part
        present = self._hose(figure, None, 1.0).upstream(before, self.mass_flow) - before
        tried = self._hose(figure, bore, length_share).upstream(outlet, self.mass_flow) - outlet
        return loss.high * (tried / present if present > 0 else 1.0)

    def _outlet(self, figure: PartFigure) -> float:
        outlet = ends(figure.outlet)
        assert outlet is not None
        return outlet.value + self.atmosphere

    def _hose(self, figure: PartFigure, bore: float | None, length_share: float) -> physics.Hose:
        part, taken = figure.part, corners()[0]  # only the ratio of two losses is used here
        assert isinstance(part, Hose)
        return physics.Hose(
            self.stream,
            max(bore or 0.0, part.bore.si),
            part.length.si * (length_share if part.bore.si <= (1 + _ALIKE) * self.narrowest else 1.0),
            part.roughness.si if part.roughness else taken.roughness,
            part.fittings.si if part.fittings else taken.fittings,
        )


def bores(figures: Figures) -> tuple[tuple[str, float], ...]:
    """The bores that are made for this region, as people name them, with metres, rising."""
    region = "us" if figures.setup.station.station.region in ("us", "ca") else "iso"
    return tuple((text, Length.parse(text).si) for text in toml("limits.toml")["hose-bores"][region])


def _wider(figures: Figures, trial: _Trial) -> list[tuple[str, float]]:
    return [(text, bore) for text, bore in bores(figures) if bore > (1 + _ALIKE) * trial.narrowest]


def _next_bore(figures: Figures, trial: _Trial, room: float) -> tuple[str | None, float | None]:
    for text, bore in _wider(figures, trial):
        lost = trial.lost(bore)
        if lost <= room and not trial.chokes(bore):
            return text, lost
    return None, None


def _length(trial: _Trial, room: float) -> Quantity | None:
    """The longest the narrowest hoses may be together, rounded down to half a metre; None when even a short one costs too much."""
    hoses = [figure.part for figure in trial.parts if isinstance(figure.part, Hose)]
    whole = sum(hose.length.si for hose in hoses if hose.bore.si <= (1 + _ALIKE) * trial.narrowest)
    low, high = 0.0, 1.0
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (middle, high) if trial.lost(None, middle) <= room else (low, middle)
    metres = floor(2 * low * whole) / 2
    return exact(metres, "length") if metres >= 1 else None


def _choked(figures: Figures, line: LineFigures) -> list[Finding]:
    if ends(line.flow) is None:
        return []
    if line.state != "choked":
        return [Finding("hose-choked", "go", _subject(line), line.flow, sources=("isothermal-pipe",))]
    found = cure(figures, line)
    if found.bore is None:
        return [Finding("hose-choked", "stop", _subject(line), line.flow, sources=("isothermal-pipe",))]
    text = "bore" if found.narrowest is None else "joined"
    return [Finding("hose-choked", "stop", _subject(line), line.flow, None, None, ("isothermal-pipe",), {"bore": found.bore}, text)]


def _choked_as_set(line: LineFigures, now: AsSetLine) -> list[Finding]:
    verdict_stop = now.state == "choked"
    return [Finding("hose-choked", "stop" if verdict_stop else "go", _subject(line) + AS_SET, now.flow, sources=("isothermal-pipe",))]


def _cold(figures: Figures) -> Finding:
    coldest, hottest = limit("hose-coldest"), limit("hose-hottest")
    value = exact(figures.ambient, "temperature")
    warm = not_above("hose-cold", "hoses", value, caution=hottest.si, sources=(hottest.source,))
    if warm.verdict != "go":
        return replace(warm, text="hot")
    return not_below("hose-cold", "hoses", value, caution=coldest.si, sources=(coldest.source,))
