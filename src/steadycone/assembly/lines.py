"""One line worked back from the torch: the three marches, what to set, and what it is when the valves shut."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf

from steadycone.assembly.corner import Corner
from steadycone.assembly.elements import FlowLines, part_subject
from steadycone.assembly.figures import PartFigure
from steadycone.assembly.gauges import Gauges, gauges, settable
from steadycone.data.reader import toml
from steadycone.physics.flow import Profile, march_up
from steadycone.physics.flow.regulator import capacity, supply_rise
from steadycone.physics.gas import Gas
from steadycone.quantity import Quantity, band, exact, spread, unknown
from steadycone.station.parts import Hose
from steadycone.station.setup import Line


@dataclass(frozen=True, slots=True)
class Marched:
    """A line at the chart's flow. Quantities gauge; flow mol/s."""

    torch_inlet: Quantity
    flowing: Quantity
    static: Quantity
    set_pressure: Quantity
    flow: Quantity
    parts: tuple[PartFigure, ...]
    loss_hoses: Quantity
    loss_parts: Quantity
    rated_here: Quantity | None
    state: str
    gauge: Gauges


def lockup_of(line: Line) -> float:
    """Share by which the outlet rises when the flow stops."""
    given = line.regulator.lockup
    return given.si if given else float(toml("defaults.toml")["regulator"]["lockup"])


def march_line(
    name: str,
    line: Line,
    gas: Gas,
    corners: tuple[Corner, Corner, Corner],
    wanted: Callable[[Corner], tuple[float | None, float | None]],
    built: FlowLines,
    ceilings: tuple[float, float],
) -> Marched:
    """March one line up at each corner.

    `built` holds the station's lines as what a march understands.
    `wanted` gives torch-inlet pressure [Pa abs] and flow [kg/s] at a corner, None where the chart does not tell.
    `ceilings` are the lowest limits on the flowing and on the static pressure [Pa gauge].
    """
    atmosphere = built.atmosphere
    gauge = gauges(line.regulator)
    aims = [wanted(corner) for corner in corners]
    profiles: list[Profile] = []
    for corner, (pressure, flow) in zip(corners, aims, strict=True):
        if pressure is not None and flow is not None:
            profiles.append(march_up(built.at(name, corner), pressure, flow))
    if len(profiles) < 3:
        return _unknown(name, line, aims, gas, atmosphere, gauge)
    lockup = lockup_of(line)
    nodes = [_gauge_band(profiles, i, atmosphere) for i in range(len(line.part) + 1)]
    flowing, torch_inlet = nodes[0], nodes[-1]
    set_pressure = settable(flowing, gauge, min(ceilings[0], ceilings[1] / (1 + lockup)))
    static = _static(flowing, set_pressure, lockup, _droop_end(line, gas, aims))
    parts = tuple(
        PartFigure(
            part_subject(name, i + 1, part),
            part,
            nodes[i],
            nodes[i + 1],
            _loss(profiles, [i]),
            profiles[0].states[i] if profiles[2].states[i] == "ok" else profiles[2].states[i],
            static,
        )
        for i, part in enumerate(line.part)
    )
    hoses = [i for i, part in enumerate(line.part) if isinstance(part, Hose)]
    others = [i for i in range(len(line.part)) if i not in hoses]
    flows = [flow / gas.molar_mass for _, flow in aims if flow is not None]
    return Marched(
        torch_inlet=torch_inlet,
        flowing=flowing,
        static=static,
        set_pressure=set_pressure,
        flow=band(flows[0], flows[1], flows[2], "flow"),
        parts=parts,
        loss_hoses=_loss(profiles, hoses),
        loss_parts=_loss(profiles, others),
        rated_here=rated_here(line, gas, flowing, atmosphere),
        state="choked" if any(part.state == "choked" for part in parts) else "ok",
        gauge=gauge,
    )


def _gauge_band(profiles: list[Profile], node: int, atmosphere: float) -> Quantity:
    ends = [profile.pressures[node] for profile in profiles]
    described, kind, unkind = (end - atmosphere for end in ends if end is not None)
    return band(described, kind, unkind, "gauge pressure")


def _loss(profiles: list[Profile], elements: list[int]) -> Quantity:
    sums = [sum(profile.losses[i] or 0.0 for i in elements) for profile in profiles]
    return band(sums[0], sums[1], sums[2], "pressure difference")


def _droop_end(line: Line, gas: Gas, aims: list[tuple[float | None, float | None]]) -> float:
    """What a stated droop gives back when the flow stops [Pa]: its share of the rated flow, at the largest flow."""
    regulator = line.regulator
    if regulator.droop is None or regulator.rated_flow is None:
        return 0.0
    most = max(flow or 0.0 for _, flow in aims) / gas.molar_mass
    rated = regulator.rated_flow.amount(gas.molar_mass)
    return regulator.droop.si * min(1.0, most / rated) if rated > 0 else regulator.droop.si


def _static(flowing: Quantity, set_pressure: Quantity, lockup: float, droop: float) -> Quantity:
    """With the valves shut: flowing x (1 + lock-up). The high end counts what the gauge may hide of the pressure that was set, and
    a stated droop where that gives back more than the lock-up does.
    """
    assert flowing.value is not None
    assert flowing.low is not None
    assert flowing.high is not None
    high = max(flowing.high, set_pressure.high or 0.0)
    return band(flowing.value * (1 + lockup), flowing.low * (1 + lockup), max(high * (1 + lockup), high + droop), "gauge pressure")


def rated_here(line: Line, gas: Gas, flowing: Quantity, atmosphere: float) -> Quantity | None:
    """Flow the regulator is trusted to pass at this setting [mol/s]: the low end is what is judged."""
    rated = line.regulator.rated_flow
    if rated is None or flowing.value is None or flowing.low is None:
        return None
    full = rated.amount(gas.molar_mass)
    rating = line.regulator.outlet_rating.abs(atmosphere)
    here, low = (capacity(full, rating, pressure + atmosphere) for pressure in (flowing.value, flowing.low))
    return band(here, low, full, "flow")


def _unknown(name: str, line: Line, aims: list[tuple[float | None, float | None]], gas: Gas, atmosphere: float, gauge: Gauges) -> Marched:
    """A line whose pressure or flow the chart does not tell: no number is made up."""
    pressure, difference = unknown("gauge pressure"), unknown("pressure difference")
    parts = tuple(
        PartFigure(part_subject(name, i, part), part, pressure, pressure, difference, "ok", pressure)
        for i, part in enumerate(line.part, start=1)
    )
    pressures = [p - atmosphere for p, _ in aims if p is not None]
    flows = [f / gas.molar_mass for _, f in aims if f is not None]
    return Marched(
        torch_inlet=spread(pressures, "gauge pressure") if len(pressures) == 3 else pressure,
        flowing=pressure,
        static=pressure,
        set_pressure=pressure,
        flow=spread(flows, "flow") if len(flows) == 3 else unknown("flow"),
        parts=parts,
        loss_hoses=difference,
        loss_parts=difference,
        rated_here=None,
        state="unknown",
        gauge=gauge,
    )


def supply_rise_over_job(line: Line, region: str, now: Quantity, at_end: Quantity) -> Quantity:
    """How far a single-stage outlet climbs from now to the end of the job [Pa], the screw untouched; nothing where it can't be told.

    The cylinder's fall is taken between the middle values: an error of its gauge is in both. A maker's figure stands as it is; the
    usual band ends at what the regulator's standard allows over its whole inlet.
    """
    stated, usual = line.regulator.supply_effect, toml("defaults.toml")["supply_effect"]
    two_stage = line.regulator.stages == 2 and stated is None
    if two_stage or not line.supply.has_cylinders or now.value is None or at_end.value is None:
        return exact(0.0, "pressure difference")
    fall = max(0.0, now.value - at_end.value)
    if stated is not None:
        return exact(supply_rise(fall, stated.si), "pressure difference")
    most = usual["most_of_rating"] * line.regulator.outlet_rating.si if region in usual["regions"] else inf
    taken, low, high = (supply_rise(fall, effect, most) for effect in (usual["taken"], *usual["band"]))
    return band(taken, low, high, "pressure difference")


def with_rise(found: Marched, rise: Quantity) -> Marched:
    """The same with the static pressure's high end, of the line and of each part, raised by it."""
    if found.static.high is None or not rise.high:
        return found
    static = Quantity(found.static.value, found.static.low, found.static.high + rise.high, found.static.kind)
    return replace(found, static=static, parts=tuple(replace(part, static=static) for part in found.parts))
