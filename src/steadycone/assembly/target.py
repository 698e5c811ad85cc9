"""The chart row as pressures and flows at the torch inlet: SI, absolute, with the row's own band."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from steadycone.assembly.corner import Corner, of_chart_hose, rounding
from steadycone.physics.flow import Hose, Stream
from steadycone.station.chart import Chart, Row
from steadycone.units import ATMOSPHERE, GasFlow, Measure, Pressure

M = TypeVar("M", bound=Measure)
CHART_AIR = ATMOSPHERE  # Pa absolute, of the air that a tip chart and a maker's flow curve hold in: judged-chart-air


@dataclass(frozen=True, slots=True)
class Target:
    """One corner of a row. Pressures [Pa abs] where the chart's basis holds, flows [kg/s]; None = the chart does not say."""

    oxygen_pressure: float | None
    fuel_pressure: float | None
    preheat_pressure: float | None  # of a third hose
    cutting_flow: float | None
    preheat_flow: float | None
    fuel_flow: float | None


def target(row: Row, thickness: float | None, oxygen_molar_mass: float, fuel_molar_mass: float, corner: Corner) -> Target:
    """The row's figures at one corner, in the chart's own air.

    A range of pressure, or of cutting oxygen, is a choice: the point along the row's thickness band where the plate stands (cutting oxygen
    rises with it), else the middle, doubted by its rounding alone. A range of a flame's flows is what the torch valves make of it: its ends
    are the band (docs/decisions/0032).
    """
    along = share_of_band(row, thickness)

    def pressure(ends: tuple[Pressure, Pressure] | None, share: float) -> float | None:
        point = _along(ends, share, lambda m: m.abs(CHART_AIR), lambda m: rounding(m, m.gauge(CHART_AIR), m.half_digit))
        return None if point is None else corner.pick(point[0] - point[1], point[0], point[0] + point[1])

    def cutting(ends: tuple[GasFlow, GasFlow] | None, molar_mass: float) -> float | None:
        point = _along(ends, along, *_amounts(molar_mass))
        return None if point is None else corner.pick(point[0] - point[1], point[0], point[0] + point[1]) * molar_mass

    def flame(ends: tuple[GasFlow, GasFlow] | None, molar_mass: float) -> float | None:
        if ends is None:
            return None
        size, half = _amounts(molar_mass)
        low, high = size(ends[0]), size(ends[1])
        return corner.pick(low - half(ends[0]), (low + high) / 2, high + half(ends[1])) * molar_mass

    return Target(
        oxygen_pressure=pressure(row.oxygen_pressure, along),
        fuel_pressure=pressure(row.fuel_pressure, 0.5),
        preheat_pressure=pressure(row.preheat_oxygen_pressure, 0.5),
        cutting_flow=cutting(row.cutting_oxygen, oxygen_molar_mass),
        preheat_flow=flame(row.preheat_oxygen, oxygen_molar_mass),
        fuel_flow=flame(row.fuel_flow, fuel_molar_mass),
    )


def flame_ratios(row: Row, oxygen_molar_mass: float, fuel_molar_mass: float) -> tuple[float, float] | None:
    """Least and most preheat oxygen over fuel by volume that the row's figures allow; None where it lacks one of the two.

    The low ends of two ranges belong together, and the high ends; their roundings are taken against each other.
    """
    if row.preheat_oxygen is None or row.fuel_flow is None:
        return None
    ratios = []
    for oxygen, fuel in zip(row.preheat_oxygen, row.fuel_flow, strict=True):
        (size, half), (size_fuel, half_fuel) = _amounts(oxygen_molar_mass), _amounts(fuel_molar_mass)
        burnt, off = size_fuel(fuel), half_fuel(fuel)
        if burnt <= off:
            return None
        ratios += [(size(oxygen) - half(oxygen)) / (burnt + off), (size(oxygen) + half(oxygen)) / (burnt - off)]
    return min(ratios), max(ratios)


def share_of_band(row: Row, thickness: float | None) -> float:
    """Where in the row's thickness band a plate [m] stands, 0 to 1; the middle where that can't be told."""
    if thickness is None or row.thickness_from is None or row.thickness_to is None:
        return 0.5
    low, high = row.thickness_from.si, row.thickness_to.si
    return 0.5 if high <= low else min(1.0, max(0.0, (thickness - low) / (high - low)))


def _amounts(molar_mass: float) -> tuple[Callable[[GasFlow], float], Callable[[GasFlow], float]]:
    """How a flow is read [mol/s], and by how much its rounding may be off."""
    return (lambda m: m.amount(molar_mass)), (lambda m: rounding(m, m.amount(molar_mass), m.half(molar_mass)))


def _along(ends: tuple[M, M] | None, share: float, size: Callable[[M], float], half: Callable[[M], float]) -> tuple[float, float] | None:
    """The point at a share of a range, and by how much its rounding may be off."""
    if ends is None:
        return None
    low, high, low_half, high_half = size(ends[0]), size(ends[1]), half(ends[0]), half(ends[1])
    return low + share * (high - low), low_half + share * (high_half - low_half)


def at_torch_inlet(chart: Chart, regulator_pressure: float, flow: float, stream: Stream, corner: Corner) -> float | None:
    """Pressure [Pa abs] at the torch inlet for a chart that holds at the regulator with its own hose; None: that hose chokes.

    A chart without a basis, or one that names no hose, is read as holding at the torch inlet: more is then asked of the regulator.
    """
    if chart.basis != "regulator" or chart.basis_hose is None:
        return regulator_pressure
    length, bore = chart.basis_hose
    return Hose(stream, bore.si, length.si, *of_chart_hose(corner)).downstream(regulator_pressure, flow)
