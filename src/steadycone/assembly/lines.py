"""One line worked back from the torch: the three marches, what to set, and what it is when the valves shut."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf

from steadycone.assembly.corner import Corner
from steadycone.assembly.elements import FlowLines, part_subject
from steadycone.assembly.figures import PartFigure
from steadycone.assembly.gauges import Gauges, gauges, settable
from steadycone.assembly.sharing import through_regulator
from steadycone.data.reader import toml
from steadycone.physics.flow import Profile, Resistance, Shared, march_up
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
    region: str,
) -> Marched:
    """March one line up at each corner.

    `built` holds the station's lines as what a march understands.
    `wanted` gives torch-inlet pressure [Pa abs] and flow [kg/s] at a corner, None where the chart does not tell.
    `ceilings` are the lowest limits on the flowing and on the static pressure [Pa gauge].
    """
    atmosphere = built.atmosphere
    gauge = gauges(line.regulator, region)
    aims = [wanted(corner) for corner in corners]
    known = [(pressure, flow) for pressure, flow in aims if pressure is not None and flow is not None]
    if len(known) < 3:
        return _unknown(name, line, aims, gas, atmosphere, gauge)
    profiles = [march_up(built.at(name, corner), pressure, flow) for corner, (pressure, flow) in zip(corners, known, strict=True)]
    lockup = lockup_of(line)
    nodes = [_gauge_band(profiles, i, atmosphere) for i in range(len(line.part) + 1)]
    flowing, torch_inlet = nodes[0], nodes[-1]
    set_pressure = settable(flowing, gauge, min(ceilings[0], ceilings[1] / (1 + lockup)))
    losses = _losses(name, corners, known, built, profiles[0], nodes)
    static = static_of(set_pressure, lockup, droop_end(line, gas, max(flow for _, flow in known)))
    parts = tuple(
        PartFigure(
            part_subject(name, i + 1, part),
            part,
            nodes[i],
            nodes[i + 1],
            losses[i],
            profiles[0].states[i] if profiles[2].states[i] == "ok" else profiles[2].states[i],
            static,
        )
        for i, part in enumerate(line.part)
    )
    hoses = [i for i, part in enumerate(line.part) if isinstance(part, Hose)]
    others = [i for i in range(len(line.part)) if i not in hoses]
    flows = [flow / gas.molar_mass for _, flow in known]
    return Marched(
        torch_inlet=torch_inlet,
        flowing=flowing,
        static=static,
        set_pressure=set_pressure,
        flow=band(flows[0], flows[1], flows[2], "flow"),
        parts=parts,
        loss_hoses=_sum(losses, hoses),
        loss_parts=_sum(losses, others),
        rated_here=rated_here(line, gas, torch_inlet, atmosphere),
        state="choked" if any(part.state == "choked" for part in parts) else "ok",
        gauge=gauge,
    )


def _gauge_band(profiles: list[Profile], node: int, atmosphere: float) -> Quantity:
    ends = [profile.pressures[node] for profile in profiles]
    described, kind, unkind = (end - atmosphere for end in ends if end is not None)
    return band(described, kind, unkind, "gauge pressure")


def _losses(
    name: str,
    corners: tuple[Corner, Corner, Corner],
    known: list[tuple[float, float]],
    built: FlowLines,
    taken: Profile,
    nodes: list[Quantity],
) -> list[Quantity]:
    """Of each part: least where it is kind and passes little at the most pressure behind it, most the other way about.

    The corners of the line pair the ends that ask most of the regulator; more pressure in a part means less lost in it.
    """
    _, kind, unkind = corners
    (_, little), (_, much) = known[1], known[2]
    found = []
    for i, (easy, hard) in enumerate(zip(built.at(name, kind).elements, built.at(name, unkind).elements, strict=True)):
        least_behind, most_behind = (nodes[i + 1].low or 0.0) + built.atmosphere, (nodes[i + 1].high or 0.0) + built.atmosphere
        part = easy.element if isinstance(easy, Shared) else easy
        both = (easy, hard) if isinstance(part, Resistance) else ()  # a flow curve of one point turns over below that point
        least = min(one.upstream(most_behind, little) for one in both or (easy,)) - most_behind
        most = max(one.upstream(least_behind, much) for one in both or (hard,)) - least_behind
        found.append(band(taken.losses[i] or 0.0, least, most, "pressure difference"))
    return found


def _sum(losses: list[Quantity], parts: list[int]) -> Quantity:
    value, low, high = (sum(getattr(losses[i], end) for i in parts) for end in ("value", "low", "high"))
    return band(value, low, high, "pressure difference")


def droop_end(line: Line, gas: Gas, most: float) -> float:
    """What a stated droop gives back when the flow stops [Pa]: its share of the rated flow, at the largest flow [kg/s]."""
    regulator = line.regulator
    if regulator.droop is None or regulator.rated_flow is None:
        return 0.0
    rated = regulator.rated_flow.amount(gas.molar_mass)
    passed = most / gas.molar_mass + through_regulator(line, gas.molar_mass)
    return regulator.droop.si * min(1.0, passed / rated) if rated > 0 else regulator.droop.si


def static_of(setting: Quantity, lockup: float, droop: float) -> Quantity:
    """With the valves shut, from what is set: at most setting x (1 + lock-up), or a stated droop more where that is higher.

    Both ends count what the gauge may hide; the low end is a regulator that does not lock up at all.
    """
    assert setting.value is not None
    assert setting.low is not None
    assert setting.high is not None
    high = max(setting.high * (1 + lockup), setting.high + droop)
    return band(setting.value * (1 + lockup), setting.low, high, "gauge pressure")


def rated_here(line: Line, gas: Gas, torch_inlet: Quantity, atmosphere: float) -> Quantity | None:
    """Flow the regulator is trusted to pass for this torch [mol/s]: the low end is what is judged.

    Taken at the torch's pressure and not at the setting: a setting that a worse hose drives up buys no capacity.
    """
    rated = line.regulator.rated_flow
    if rated is None or torch_inlet.value is None or torch_inlet.low is None:
        return None
    full = rated.amount(gas.molar_mass)
    rating = line.regulator.outlet_rating.abs(atmosphere)
    here, low = (capacity(full, rating, pressure + atmosphere) for pressure in (torch_inlet.value, torch_inlet.low))
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
    stated = line.regulator.supply_effect
    two_stage = line.regulator.stages == 2 and stated is None
    if two_stage or not line.supply.has_cylinders or now.value is None or at_end.value is None:
        return exact(0.0, "pressure difference")
    fall = max(0.0, now.value - at_end.value)
    if stated is not None:
        return exact(supply_rise(fall, stated.si), "pressure difference")
    *effects, most = supply_effect_of(line, region)
    taken, low, high = (supply_rise(fall, effect, most) for effect in effects)
    return band(taken, low, high, "pressure difference")


def supply_effect_of(line: Line, region: str) -> tuple[float, float, float, float]:
    """Outlet rise for each pascal that the cylinder falls, where the file does not say: as taken, low, high; and the most of it [Pa].

    Source      supply-effect, regulator-irregularity
    """
    usual = toml("defaults.toml")["supply_effect"]
    most = usual["most_of_rating"] * line.regulator.outlet_rating.si if region in usual["regions"] else inf
    low, high = usual["band"]
    return usual["taken"], low, high, most


def with_rise(found: Marched, rise: Quantity) -> Marched:
    """The same with the static pressure's high end, of the line and of each part, raised by it."""
    if found.static.high is None or not rise.high:
        return found
    static = Quantity(found.static.value, found.static.low, found.static.high + rise.high, found.static.kind)
    return replace(found, static=static, parts=tuple(replace(part, static=static) for part in found.parts))
