"""The tip: a chart to go by, a mixer for this fuel, and, as set, the gas it is meant to get."""

from dataclasses import replace

from steadycone.assembly.figures import AsSetLine, Figures, LineFigures
from steadycone.assembly.target import CHART_AIR
from steadycone.physics.gas import burns, neutral_ratio
from steadycone.practice.compatible import verdict_of
from steadycone.practice.finding import Finding
from steadycone.practice.judging import AS_SET, ends, not_above, word
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, exact, spread
from steadycone.station.marks import fit_of_any, mark_source

_SAME_AIR = 0.01  # an air this near to the chart's, as a share, is the chart's
# State of a line as set that no flame can live with, and the wording for it.
_DEAD = ("blocked", "locked", "below atmosphere")


def judge(figures: Figures) -> tuple[Finding, ...]:
    """Chart there and complete, mixer's fuel, flame ratio; flows and pressures as set."""
    found = [*_chart(figures), *_complete(figures), *_mixer(figures), *_flame(figures, figures.flame_ratio, "")]
    found += _thin_air(figures, figures.lines["oxygen"])
    if figures.as_set:
        for name, now in figures.as_set.lines.items():
            found += _state(name, now)
            if now.state not in _DEAD:
                found += _starved(figures, figures.lines[name], now) + _over(figures.lines[name], now)
        found += _flame(figures, figures.as_set.oxygen_to_fuel, AS_SET)
    return tuple(found)


def _chart(figures: Figures) -> list[Finding]:
    chart, tip = figures.setup.chart, figures.tip
    if tip.estimate or (chart is not None and chart.estimate):
        return [Finding("chart-estimate", "caution", "tip", sources=("estimated-tip",))]
    if chart is None:
        return [Finding("no-chart", "stop", "tip", sources=("maker-chart",))]
    return [Finding("no-chart", "go", "tip", sources=("maker-chart",), blanks={"chart": chart.name})]


def _complete(figures: Figures) -> list[Finding]:
    """A row that lacks a figure the card needs: stop where the card could not work it out, caution where it did."""
    row = figures.tip.row
    if row is None:
        return []
    needed = {"oxygen pressure": row.oxygen_pressure, "fuel pressure": row.fuel_pressure, "fuel flow": row.fuel_flow}
    needed["preheat oxygen"] = row.preheat_oxygen
    if figures.setup.station.torch.attachment == "cutting":
        needed["cutting oxygen"] = row.cutting_oxygen
    if "preheat_oxygen" in figures.lines:
        needed["preheat oxygen pressure"] = row.preheat_oxygen_pressure
    missing = [name for name, cell in needed.items() if cell is None]
    worked_out = all(ends(line.flowing) and ends(line.flow) for line in figures.lines.values())
    if worked_out and not missing:
        return [Finding("chart-incomplete", "go", "tip", sources=("maker-chart",))]
    blanks: dict[str, Quantity | str] = {"missing": ", ".join(missing) or "a pressure or a flow"}
    return [Finding("chart-incomplete", "caution" if worked_out else "stop", "tip", sources=("maker-chart",), blanks=blanks)]


def _mixer(figures: Figures) -> list[Finding]:
    made_for, fuel = figures.setup.station.torch.fuels, figures.setup.station.station.fuel
    blanks: dict[str, Quantity | str] = {"made_for": ", ".join(made_for), "fuel": fuel}
    if not made_for:
        return [Finding("gas-mark-missing", "caution", "torch", sources=("gas-letters",), blanks=blanks, text="torch")]
    verdict, text = verdict_of(fit_of_any(made_for, fuel))
    return [Finding("mixer-fuel", verdict, "torch", sources=("gear-rating", mark_source(made_for[0])), blanks=blanks, text=text)]


def _state(name: str, now: AsSetLine) -> list[Finding]:
    code = "fuel-blocked" if name == "fuel" else "oxygen-blocked"
    subject = f"{word(name)} line{AS_SET}"
    if now.state in _DEAD:
        return [Finding(code, "stop", subject, now.regulator, sources=("reverse-flow",), text=f"stop {now.state}")]
    return [Finding(code, "go", subject, now.regulator, sources=("reverse-flow",))]


def _starved(figures: Figures, line: LineFigures, now: AsSetLine) -> list[Finding]:
    """How far each flow falls short, at its low end: cutting oxygen of the chart's own, which the kerf burns in any air.

    In another air than the chart's, preheat and fuel are held against what the chart's pressures give there at the same mixing point: the
    torch valves trim them, and thin air carries the mixture out of the tip no slower.
    """
    if line.name != "oxygen" or line.cutting_flow is None:
        return _trimmed(figures, word(line), line.flow, now, now.flow)
    charted = line.cutting_charted or line.cutting_flow
    found = _short("cutting oxygen", charted, now.cutting_flow)
    return found + _trimmed(figures, "preheat oxygen", line.preheat_flow, now, now.preheat_flow)


def _trimmed(figures: Figures, name: str, asked: Quantity | None, now: AsSetLine, got: Quantity | None) -> list[Finding]:
    """A flow that the torch valves trim: in another air by its worst look, what flows beside what the chart's pressures give in that look."""
    pairs = [pair for pair in now.trimmed if pair[1] > 0]
    if abs(figures.atmosphere - CHART_AIR) <= _SAME_AIR * CHART_AIR or not pairs or got is None or ends(got) is None:
        return _short(name, asked, got)
    flow, wanted = min(pairs, key=lambda pair: pair[0] / pair[1])
    short = spread([1 - flowing / charted for flowing, charted in pairs], "share")
    found = _judged(name, short, exact(flow, got.kind), exact(wanted, got.kind))
    return [replace(found, text=f"{found.verdict} other air")]


def _short(name: str, asked: Quantity | None, got: Quantity | None) -> list[Finding]:
    chart = ends(asked)
    if chart is None or chart.value <= 0 or got is None or ends(got) is None:
        return []
    wanted = chart.value
    short = got.map(lambda flow: 1 - flow / wanted, "share")
    return [_judged(name, short, got.at("low"), exact(wanted, got.kind))]


def _judged(name: str, short: Quantity, flow: Quantity, wanted: Quantity) -> Finding:
    """A share that is missing; `flow` and `wanted` are said beside it."""
    caution, stop = limit("tip-short-caution"), limit("tip-short-stop")
    blanks: dict[str, Quantity | str] = {"flow": flow, "wanted": wanted}
    return not_above("tip-starved", name + AS_SET, short, caution=caution.si, stop=stop.si, sources=(caution.source,), blanks=blanks)


def _thin_air(figures: Figures, line: LineFigures) -> list[Finding]:
    """Cutting oxygen at the chart's pressure in air thinner than the chart's: no burn-back, but a cut that lacks oxygen."""
    charted, here = ends(line.cutting_charted), line.cutting_flow
    if charted is None or charted.value <= 0 or here is None or here.value is None or figures.atmosphere > (1 - _SAME_AIR) * CHART_AIR:
        return []
    caution = limit("tip-short-caution")
    short = exact(1 - here.value / charted.value, "share")  # both of the same row: its own rounding is in neither
    blanks: dict[str, Quantity | str] = {
        "flow": exact(here.value, here.kind),
        "wanted": exact(charted.value, here.kind),
        "more": exact(CHART_AIR - figures.atmosphere, "pressure difference"),
    }
    sources = (caution.source, "judged-chart-air")
    found = not_above("tip-starved", "cutting oxygen", short, caution=caution.si, sources=sources, blanks=blanks)
    return [replace(found, text="thin air" if found.verdict == "caution" else "")]


def _over(line: LineFigures, now: AsSetLine) -> list[Finding]:
    """Pressure at the torch inlet far over the chart's: a share of it, but at least what an ordinary gauge can tell."""
    chart = ends(line.torch_inlet)
    if chart is None or ends(now.torch_inlet) is None:
        return []
    limits = [chart.high + max(limit(name).si * chart.high, limit(f"{name}-least").si) for name in ("tip-over-caution", "tip-over-stop")]
    subject = f"{word(line)} at the torch{AS_SET}"
    source = limit("tip-over-stop").source
    return [not_above("tip-over-pressure", subject, now.torch_inlet, caution=limits[0], stop=limits[1], sources=(source,))]


def _flame(figures: Figures, ratio: Quantity | None, suffix: str) -> list[Finding]:
    """Preheat oxygen over fuel against the neutral range, widened by what the torch valves trim."""
    known = ends(ratio)
    if ratio is None or known is None or not burns(figures.fuel):
        return []
    neutral, trim = neutral_ratio(figures.fuel), limit("flame-ratio-trim")
    lean, rich = neutral.high * (1 + trim.si), neutral.low * (1 - trim.si)
    sources = ("torch-ratios", trim.source)
    blanks: dict[str, Quantity | str] = {"neutral": Quantity(neutral.typical, neutral.low, neutral.high, "number")}
    about = figures.setup.station
    lever = " lever" if about.torch.attachment == "cutting" and about.preheat_oxygen is None else ""
    finding = not_above("flame-ratio", f"flame{suffix}", ratio, caution=lean, sources=sources, blanks=blanks)
    if finding.verdict == "caution":
        return [replace(finding, text=f"oxidising{lever}")]
    if known.low < rich:
        shown, margin = exact(rich, "number"), ratio.map(lambda x: x - rich)
        return [replace(finding, verdict="caution", limit=shown, margin=margin, text=f"carburising{lever}", end="low")]
    return [finding]
