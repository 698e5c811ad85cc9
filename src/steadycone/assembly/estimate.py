"""What a chart row leaves out and its other figures can stand in for. Every such number makes the card an estimate, never a go."""

from steadycone.assembly.corner import Corner
from steadycone.assembly.target import CHART_AIR, Target
from steadycone.physics.flow import equivalent_bore, stream_of
from steadycone.physics.flow.orifice import mass_flow
from steadycone.physics.gas import Gas, neutral_ratio
from steadycone.station.chart import Row

NOZZLE_COEFFICIENT = (0.80, 0.90, 1.0)  # of a cutting bore: judged-nozzle-coefficient


def completed(raw: Target, row: Row, fuel: Gas, oxygen: Gas, ambient: float, corner: Corner, cutting: bool) -> tuple[Target, bool]:
    """The target with cutting oxygen from bore and pressure, and preheat oxygen (or fuel) from a neutral flame, where the row has none.

    Returns the target and whether anything was estimated.
    """
    cut, preheat, burnt = raw.cutting_flow, raw.preheat_flow, raw.fuel_flow
    if cutting and cut is None and row.cutting_bore is not None and raw.oxygen_pressure is not None:
        area = equivalent_bore(row.cutting_bore.si, corner.pick(*NOZZLE_COEFFICIENT))
        cut = mass_flow(raw.oxygen_pressure, CHART_AIR, area, stream_of(oxygen, ambient))
    ratio = neutral_ratio(fuel)
    per_mass = oxygen.molar_mass / fuel.molar_mass
    if preheat is None and burnt is not None:
        preheat = burnt * per_mass * corner.pick(ratio.low, ratio.typical, ratio.high)
    elif burnt is None and preheat is not None:
        burnt = preheat / per_mass / corner.pick_less(ratio.low, ratio.typical, ratio.high)
    estimated = (cut, preheat, burnt) != (raw.cutting_flow, raw.preheat_flow, raw.fuel_flow)
    found = Target(raw.oxygen_pressure, raw.fuel_pressure, raw.preheat_pressure, cut, preheat, burnt)
    return found, estimated
