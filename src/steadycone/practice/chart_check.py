"""A maker's chart is the truth, and it is checked before it is believed: what in it can't be right as it stands.

Every check leaves a finding for each row it doubts, caution by itself; practice/chart.py makes it a stop where the card would use
the figure. Charts are believed where they say nothing: a missing cell is doubted by nobody here.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from steadycone.assembly.fuels import MIXED, gas_named
from steadycone.physics.flow import stream_of
from steadycone.physics.flow.orifice import mass_flow
from steadycone.physics.gas import Gas, complete_oxygen, load, neutral_ratio
from steadycone.practice import chart_neighbours, chart_trade
from steadycone.practice.chart_doubt import ends_of, gauges, is_cutting, suspect
from steadycone.practice.finding import Finding
from steadycone.quantity import band, exact
from steadycone.station.chart import Chart, Row
from steadycone.units import ATMOSPHERE, GasFlow, Length

LOWEST_CUTTING, HIGHEST_CUTTING = 0.65e5, 15e5  # Pa gauge: chart-pressure-plausible
LEAST_OF_IDEAL, MOST_OF_IDEAL = 0.40, 1.15  # chart-flow-plausible
LEAST_OF_NEUTRAL, MOST_OF_COMPLETE = 0.6, 1.15  # chart-ratio-plausible
_MOST_ROUNDING = 0.05  # a bore or flow printed to one figure is not off by half of it: judged, the step between drill sizes
_SAME_END = 1e-6  # two ends this near, relative, are one end written in two ways


@dataclass(frozen=True, slots=True)
class _Look:
    """What the checks of one chart share."""

    chart: Chart
    fuel: Gas | None
    oxygen: Gas
    cap: float | None
    atmosphere: float
    temperature: float


def check_chart(
    chart: Chart, fuel: Gas | None, cap: float | None, *, atmosphere: float = ATMOSPHERE, temperature: float = 288.15
) -> tuple[Finding, ...]:
    """Everything doubtful in a chart, each finding a caution that names its row.

    Parameters
    ----------
    chart : Chart
    fuel : Gas, or None where the chart's fuel is not known: the flame is then not checked
    cap : float   [Pa gauge], acetylene's cap in this region; None for another fuel
    atmosphere, temperature : float   [Pa absolute, K]

    Returns
    -------
    tuple of Finding, code chart-suspect; `text` one of overlap, gap, low-pressure, high-pressure, flow-high, flow-low, ratio-high,
    ratio-low, over-cap, and those of chart_trade and chart_neighbours.
    Blanks: size, line (row of the file), figures (Row fields, comma between); overlap and gap: other_size, other_line. Empty when nothing is doubtful.
    """
    look = _Look(chart, _own_fuel(chart, fuel), load("oxygen"), cap, atmosphere, temperature)
    checks: tuple[Callable[[_Look, Row], Finding | None], ...] = (_pressure, _flow, _ratio, _over_cap)
    found = [finding for row in chart.rows for check in checks if (finding := check(look, row))]
    trade = [finding for row in chart.rows for finding in chart_trade.doubts(chart, row, atmosphere)]
    return (*_bands(chart), *_first_of_each_figure([*found, *trade, *chart_neighbours.doubts(chart)]))


def _first_of_each_figure(doubts: list[Finding]) -> list[Finding]:
    """One slip often fails several checks: a row's figure is doubted once, by the check that knows most about it."""
    seen: set[tuple[str, str]] = set()
    found = []
    for doubt in doubts:
        first = doubt.subject, str(doubt.blanks["figures"]).partition(",")[0]
        if first not in seen:
            found.append(doubt)
        seen.add(first)
    return found


def _own_fuel(chart: Chart, fuel: Gas | None) -> Gas | None:
    """The gas that the chart was made for, where that is another than the station's."""
    if chart.fuel is None or (fuel and fuel.name in chart.fuel.split(", ")):
        return fuel
    first = chart.fuel.split(", ")[0]
    if first in MIXED:
        return fuel if fuel and fuel.name != "acetylene" else None
    return gas_named(first)


def _bands(chart: Chart) -> list[Finding]:
    """Bands that overlap by more than a shared end, and gaps between bands."""
    banded = sorted(((ends, row) for row in chart.rows if (ends := ends_of(row))), key=lambda item: item[0])
    if all(low == high for (low, high), _ in banded):
        return []  # a chart of single thicknesses has nothing between them
    found = []
    for (low, high), row in banded:
        for (other_low, other_high), other in banded:
            shared = (max(low, other_low), min(high, other_high))
            if row.line < other.line and shared[1] - shared[0] > _SAME_END * high:
                found.append(
                    suspect(
                        row,
                        "overlap",
                        ("thickness",),
                        band(shared[0], *shared, "thickness"),
                        exact(shared[1], "thickness"),
                        "chart-bands-checked",
                        other,
                    )
                )
    reach, last = 0.0, None
    for (low, high), row in banded:
        if last and low - reach > _SAME_END * low:
            found.append(
                suspect(last, "gap", ("thickness",), exact(reach, "thickness"), exact(low, "thickness"), "chart-bands-checked", row)
            )
        if last is None or high > reach:
            reach, last = high, row
    return found


def _pressure(look: _Look, row: Row) -> Finding | None:
    """Cutting oxygen that reads like bar under a psi heading, or the reverse."""
    if row.oxygen_pressure is None or not is_cutting(look.chart):
        return None
    low, high = gauges(row.oxygen_pressure, look.atmosphere)
    value = band(high, low, high, "gauge pressure")
    if low < LOWEST_CUTTING:
        return suspect(
            row, "low-pressure", ("oxygen_pressure",), value, exact(LOWEST_CUTTING, "gauge pressure"), "chart-pressure-plausible"
        )
    if high > HIGHEST_CUTTING:
        return suspect(
            row, "high-pressure", ("oxygen_pressure",), value, exact(HIGHEST_CUTTING, "gauge pressure"), "chart-pressure-plausible"
        )
    return None


def _slack(si: float, half: float) -> float:
    return min(half, _MOST_ROUNDING * abs(si))


def _moles(ends: tuple[GasFlow, GasFlow], gas: Gas) -> tuple[float, float]:
    """Both ends [mol/s], rounding outward."""
    low, high = ends
    least, most = low.amount(gas.molar_mass), high.amount(gas.molar_mass)
    return least - _slack(least, low.half(gas.molar_mass)), most + _slack(most, high.half(gas.molar_mass))


def _flow(look: _Look, row: Row) -> Finding | None:
    """Cutting oxygen against what its bore can pass at its pressure."""
    if row.cutting_oxygen is None or row.cutting_bore is None or row.oxygen_pressure is None:
        return None
    low, high = gauges(row.oxygen_pressure, look.atmosphere)
    least_ideal = _ideal(look, row.cutting_bore, low, -1)
    most_ideal = _ideal(look, row.cutting_bore, high, +1)
    least, most = _moles(row.cutting_oxygen, look.oxygen)
    figures = ("cutting_oxygen", "cutting_bore", "oxygen_pressure")
    value = band(most, least, most, "flow")
    if least > MOST_OF_IDEAL * most_ideal:
        return suspect(row, "flow-high", figures, value, exact(MOST_OF_IDEAL * most_ideal, "flow"), "chart-flow-plausible")
    if most < LEAST_OF_IDEAL * least_ideal:
        return suspect(row, "flow-low", figures, value, exact(LEAST_OF_IDEAL * least_ideal, "flow"), "chart-flow-plausible")
    return None


def _ideal(look: _Look, bore: Length, pressure: float, side: int) -> float:
    """Ideal flow [mol/s] of the bore, its rounding taken to one side, at a gauge pressure [Pa]."""
    width = bore.si + side * _slack(bore.si, bore.half_digit)
    inlet = max(pressure, 0.0) + look.atmosphere
    flow = mass_flow(inlet, look.atmosphere, math.pi / 4 * width**2, stream_of(look.oxygen, look.temperature))
    return flow / look.oxygen.molar_mass


def _ratio(look: _Look, row: Row) -> Finding | None:
    """An oxygen-to-fuel ratio that no flame has."""
    if row.preheat_oxygen is None or row.fuel_flow is None or look.fuel is None:
        return None
    oxygen = [end.amount(look.oxygen.molar_mass) for end in row.preheat_oxygen]
    fuel = [end.amount(look.fuel.molar_mass) for end in row.fuel_flow]
    if fuel[0] <= 0:
        return suspect(row, "ratio-high", ("fuel_flow",), exact(fuel[0], "flow"), exact(0.0, "flow"), "chart-ratio-plausible")
    ratios = (oxygen[0] / fuel[0], oxygen[1] / fuel[1])  # the low ends belong together, and the high ones
    value = band(sum(ratios) / 2, *ratios, "number")
    least, most = LEAST_OF_NEUTRAL * neutral_ratio(look.fuel).low, MOST_OF_COMPLETE * complete_oxygen(look.fuel)
    if max(ratios) > most:
        return suspect(row, "ratio-high", ("preheat_oxygen", "fuel_flow"), value, exact(most, "number"), "chart-ratio-plausible")
    if min(ratios) < least:
        return suspect(row, "ratio-low", ("preheat_oxygen", "fuel_flow"), value, exact(least, "number"), "chart-ratio-plausible")
    return None


def _over_cap(look: _Look, row: Row) -> Finding | None:
    """Acetylene over the region's cap."""
    if look.cap is None or row.fuel_pressure is None or (look.fuel and look.fuel.name != "acetylene"):
        return None
    low, high = gauges(row.fuel_pressure, look.atmosphere)
    if high <= look.cap:
        return None
    return suspect(
        row, "over-cap", ("fuel_pressure",), band(high, low, high, "gauge pressure"), exact(look.cap, "gauge pressure"), "maker-chart"
    )
