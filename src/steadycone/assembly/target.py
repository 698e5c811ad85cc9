"""The chart row as pressures and flows at the torch inlet: SI, absolute, with the row's own band."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from steadycone.assembly.corner import Corner, rounding
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

    A range is read along the row's thickness band where that sets it (cutting oxygen rises with the plate), else at its middle;
    its ends are the band.
    """
    along = _share_of_band(row, thickness)

    def pressure(ends: tuple[Pressure, Pressure] | None, share: float) -> float | None:
        return _between(ends, share, corner, lambda m: m.abs(CHART_AIR), lambda m: rounding(m, m.gauge(CHART_AIR), m.half_digit))

    def flow(ends: tuple[GasFlow, GasFlow] | None, molar_mass: float, share: float = 0.5) -> float | None:
        amount = _between(
            ends, share, corner, lambda m: m.amount(molar_mass), lambda m: rounding(m, m.amount(molar_mass), m.half(molar_mass))
        )
        return None if amount is None else amount * molar_mass

    return Target(
        oxygen_pressure=pressure(row.oxygen_pressure, along),
        fuel_pressure=pressure(row.fuel_pressure, 0.5),
        preheat_pressure=pressure(row.preheat_oxygen_pressure, 0.5),
        cutting_flow=flow(row.cutting_oxygen, oxygen_molar_mass, along),
        preheat_flow=flow(row.preheat_oxygen, oxygen_molar_mass),
        fuel_flow=flow(row.fuel_flow, fuel_molar_mass),
    )


def _share_of_band(row: Row, thickness: float | None) -> float:
    if thickness is None or row.thickness_from is None or row.thickness_to is None:
        return 0.5
    low, high = row.thickness_from.si, row.thickness_to.si
    return 0.5 if high <= low else min(1.0, max(0.0, (thickness - low) / (high - low)))


def _between(
    ends: tuple[M, M] | None, share: float, corner: Corner, size: Callable[[M], float], half: Callable[[M], float]
) -> float | None:
    if ends is None:
        return None
    low, high = size(ends[0]), size(ends[1])
    middle = low + share * (high - low)
    return corner.pick(low - half(ends[0]), middle, high + half(ends[1]))


def at_torch_inlet(chart: Chart, regulator_pressure: float, flow: float, stream: Stream, corner: Corner) -> float | None:
    """Pressure [Pa abs] at the torch inlet for a chart that holds at the regulator with its own hose; None: that hose chokes.

    A chart without a basis, or one that names no hose, is read as holding at the torch inlet: more is then asked of the regulator.
    """
    if chart.basis != "regulator" or chart.basis_hose is None:
        return regulator_pressure
    length, bore = chart.basis_hose
    # The chart's hose is kind when ours is unkind: less lost there leaves more to bring to the torch.
    roughness = corner.pick_less(0.0, 1e-5, 3e-5)
    return Hose(stream, bore.si, length.si, roughness, corner.pick_less(0.0, 6.0, 8.0)).downstream(regulator_pressure, flow)
