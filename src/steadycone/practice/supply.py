"""Whether the gas is there, lasts, comes at enough pressure and evaporates fast enough."""

from dataclasses import replace

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.assembly.sharing import place_unknown
from steadycone.practice import supply_gives
from steadycone.practice.compatible import chart_serves
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, is_acetylene, not_above, not_below, word
from steadycone.quantity import Quantity, unknown

# Findings that a number of like cylinders can change. A line's own are those whose subject is its supply.
COUNTED = ("fuel-draw", "contents-short", "oxygen-first-out", "supply-pressure-low", "lpg-vaporisation")
_MIXED = ("lpg", "natural gas")
_NO_TABLE = ("mps",)  # mixtures for one part of which there is no table of ours
_ENDLESS = float("inf")


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Contents, duration, pressure, evaporation and flow of each line's supply."""
    found: list[Finding] = []
    for line in figures.lines.values():
        found += (
            _contents(line)
            + _short(figures, line)
            + supply_gives.pressure(figures, line)
            + supply_gives.vaporisation(figures, line)
            + _flow(figures, line)
            + _shared(line)
        )
    return (*found, *_oxygen_first(figures), *_mix(figures), *_tare(figures))


def counted(figures: Figures, name: str) -> tuple[Finding, ...]:
    """Of one line's supply, the findings of this theme that a number of like cylinders can change."""
    line = figures.lines[name]
    return (
        *_short(figures, line),
        *supply_gives.pressure(figures, line),
        *supply_gives.vaporisation(figures, line),
        *_first(figures, line),
    )


def subject_of(line: LineFigures | str) -> str:
    """What findings call the supply of a line: "fuel supply"."""
    return f"{word(line)} supply"


def _contents(line: LineFigures) -> list[Finding]:
    if not line.line.supply.has_cylinders:
        return []
    known = ends(line.supply.contents) is not None
    return [Finding("contents-unknown", "go" if known else "caution", subject_of(line), line.supply.contents)]


def _short(figures: Figures, line: LineFigures) -> list[Finding]:
    """The job outlasts the gas above the reserve. Without a time there is nothing to judge; the card shows the duration."""
    time, lasts = ends(figures.job.time), ends(line.supply.duration)
    if time is None or lasts is None or not line.line.supply.has_cylinders:
        return []
    finding = not_below("contents-short", subject_of(line), line.supply.duration, stop=time.high)
    if finding.verdict == "stop" and _first_out(figures) == line.name:
        return [replace(finding, text="stop first")]
    return [finding]


def _first_out(figures: Figures) -> str | None:
    """The line whose gas may end first, by the low ends."""
    lasting = {name: known.low for name, line in figures.lines.items() if (known := ends(line.supply.duration))}
    return min(lasting, key=lasting.__getitem__, default=None)


def _oxygen_first(figures: Figures) -> list[Finding]:
    """Oxygen that may end before the fuel and inside the job: fuel can then press back up the oxygen hose."""
    return [finding for line in figures.lines.values() for finding in _first(figures, line)]


def _first(figures: Figures, line: LineFigures) -> list[Finding]:
    time, fuel = ends(figures.job.time), figures.lines["fuel"]
    if time is None or line.name == "fuel" or not line.line.supply.has_cylinders or ends(line.supply.duration) is None:
        return []
    fuel_lasts = ends(fuel.supply.duration)
    fuel_end = fuel_lasts.high if fuel_lasts and fuel.line.supply.has_cylinders else _ENDLESS
    blanks: dict[str, Quantity | str] = {"fuel_lasts": fuel.supply.duration.at("high")}
    fails_below = min(time.high, fuel_end)
    return [
        not_below("oxygen-first-out", subject_of(line), line.supply.duration, stop=fails_below, sources=("reverse-flow",), blanks=blanks)
    ]


def _flow(figures: Figures, line: LineFigures) -> list[Finding]:
    """A supply that states what it can give, and one that should: pipeline, bulk and liquid."""
    supply = line.line.supply
    if supply.available_flow is None:
        if supply.has_cylinders:
            return []
        return [Finding("supply-flow", "caution", subject_of(line), line.supply.drawn, unknown("flow"), unknown("flow"), (), {}, "unknown")]
    if ends(line.supply.drawn) is None:
        return []
    return [not_above("supply-flow", subject_of(line), line.supply.drawn, stop=supply.available_flow.amount(line.gas.molar_mass))]


def _shared(line: LineFigures) -> list[Finding]:
    """Says that other torches draw on it and where they are counted; not said where, it is to be settled."""
    shared, supply = ends(line.supply.shared), line.line.supply
    if shared is None or shared.high <= 0:
        return []
    if place_unknown(supply):
        return [Finding("shared-draw", "caution", subject_of(line), line.supply.shared, sources=("shared-place",), text="unplaced")]
    text = f"go at {supply.shared_at}" if supply.shared_at in ("regulator", "hose") else ""
    return [Finding("shared-draw", "go", subject_of(line), line.supply.shared, sources=("shared-place",), text=text)]


def _mix(figures: Figures) -> list[Finding]:
    fuel = figures.setup.station.station.fuel
    if fuel in _NO_TABLE:
        return [_stand_in(figures)]
    if fuel not in _MIXED:
        return []
    return [
        Finding("fuel-mix-unknown", "go" if figures.fuel_known else "caution", subject_of(figures.lines["fuel"]), sources=("lpg-unknown",))
    ]


def _stand_in(figures: Figures) -> Finding:
    """A gas that others stand in for: what the maker's own chart gives holds; without it every flow is the stand-in's."""
    chart = figures.setup.chart
    held = chart is not None and chart.fuel is not None and chart_serves(chart.fuel, figures.setup.station.station.fuel) == "yes"
    sure = held and not figures.tip.estimate and figures.tip.row is not None
    return Finding("fuel-stand-in", "go" if sure else "caution", subject_of(figures.lines["fuel"]), sources=("mps-stand-in",))


def _tare(figures: Figures) -> list[Finding]:
    """A tare that counts the gas held at rest makes the weighed gas less than what is dissolved: said, not judged."""
    line = figures.lines["fuel"]
    supply = line.line.supply
    if not is_acetylene(figures) or line.supply.by != "weight" or supply.tare_basis != "with saturation gas":
        return []
    return [Finding("tare-basis", "go", subject_of(line), line.supply.contents_mass, sources=("saturation-gas",))]
