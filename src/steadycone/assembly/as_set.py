"""What really flows with the gauges as they stand.

The band of a flow comes from hose, parts and the mixing point. A gauge's own error is put on the pressures alone, where a cap or a
rating is judged: the chart's flow was set by just such a gauge, and counting its error against the tip would call every tip
starved (docs/decisions/0009).
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from steadycone.assembly.corner import Corner
from steadycone.assembly.elements import FlowLines, part_subject
from steadycone.assembly.figures import AsSet, AsSetLine, PartFigure
from steadycone.assembly.gauges import gauges
from steadycone.assembly.lines import droop_end, lockup_of, static_of
from steadycone.assembly.station import connected
from steadycone.physics.flow import Openings, Profile, Solution, profiles, solve
from steadycone.physics.gas import Gas
from steadycone.quantity import Quantity, band, spread, unknown
from steadycone.station.setup import Line, Setup


@dataclass(frozen=True, slots=True)
class _Look:
    """One solve and its profiles by line."""

    solution: Solution
    profiles: dict[str, Profile]


def gauge_settings(setup: Setup, atmosphere: float) -> dict[str, tuple[float, float]]:
    """Flowing and static gauge pressure [Pa] of each line as the gauges stand."""
    settings = setup.station.settings
    assert settings is not None
    found = {}
    for name, line in setup.lines.items():
        reading = getattr(settings, name)
        if reading is None:
            continue
        shown, rise = reading.gauge(atmosphere), 1 + lockup_of(line)
        found[name] = (shown / rise, shown) if settings.when == "static" else (shown, shown * rise)
    return found


def as_set(
    setup: Setup, fuel: Gas, oxygen: Gas, fitted: Callable[[float], Openings], corners: tuple[Corner, Corner, Corner],
    mixing_shares: tuple[float, float, float], built: FlowLines, rises: dict[str, Quantity], in_air: Callable[[float], Solution | None],
) -> AsSet:  # fmt: skip
    """Solve at the middle and at the eight outer corners: each gas's line kind or unkind, the mixing point low or high.

    The two gases meet at the mixing point, so one line at its kind end beside the other at its unkind end is where flows and their
    ratio lie furthest out. `fitted` gives the openings for a mixing share; `in_air` what those pass in this air at the chart's pressures;
    `rises` by how far each line's supply lifts its outlet.
    """
    atmosphere = built.atmosphere
    settings = gauge_settings(setup, atmosphere)
    low, middle, high = mixing_shares
    ends = corners[1:]
    outer = [(ours, theirs, share) for ours in ends for theirs in ends for share in (low, high)]
    every = ((corners[0], corners[0], middle), *outer)
    looks = [_look(built, fitted(share), ours, theirs, settings) for ours, theirs, share in every]
    charted = {share: in_air(share) for share in mixing_shares}
    wanted = [charted[share] for _, _, share in every]
    gases = {"oxygen": oxygen, "fuel": fuel, "preheat_oxygen": oxygen}
    lines = {
        name: replace(
            _line(setup, name, looks, settings[name], gases[name], atmosphere, rises[name]),
            trimmed=_trimmed(name, looks, wanted, gases[name]),
        )
        for name in settings
    }
    return AsSet(lines, _ratio(looks, fuel, oxygen))


def _trimmed(name: str, looks: list[_Look], wanted: list[Solution | None], gas: Gas) -> tuple[tuple[float, float], ...]:
    """Like with like: the same unknown mixing point in what flows and in what the chart's pressures would give."""
    what = "fuel_flow" if name == "fuel" else "preheat_flow"
    return tuple(
        (getattr(look.solution, what) / gas.molar_mass, getattr(chart, what) / gas.molar_mass)
        for look, chart in zip(looks, wanted, strict=True)
        if chart is not None
    )


def as_read(setup: Setup, gases: dict[str, Gas], atmosphere: float, rises: dict[str, Quantity]) -> dict[str, AsSetLine]:
    """What the gauges show where no flow can be told: caps and ratings hold of that too. A stated droop counts as at its rated flow."""
    return {
        name: _read_alone(setup, name, setting, gases[name], rises[name]) for name, setting in gauge_settings(setup, atmosphere).items()
    }


def _read_alone(setup: Setup, name: str, setting: tuple[float, float], gas: Gas, rise: Quantity) -> AsSetLine:
    line = setup.lines[name]
    rated = line.regulator.rated_flow
    most = rated.amount(gas.molar_mass) * gas.molar_mass if rated else 0.0
    regulator, static = _pressures(setup, line, setting, droop_end(line, gas, most), rise.high or 0.0)
    parts = _shut_parts(setup, name, static)
    return AsSetLine(regulator, static, unknown("gauge pressure"), unknown("flow"), None, None, parts, "unknown")


def _shut_parts(setup: Setup, name: str, static: Quantity) -> tuple[PartFigure, ...]:
    """A line's parts where no flow is told: each sees the shut pressure all the same."""
    nothing, lost = unknown("gauge pressure"), unknown("pressure difference")
    return tuple(
        PartFigure(part_subject(name, i, part), part, nothing, nothing, lost, "ok", static)
        for i, part in enumerate(setup.lines[name].part, start=1)
    )


def _look(built: FlowLines, fitted: Openings, oxygen: Corner, fuel: Corner, settings: dict[str, tuple[float, float]]) -> _Look:
    station = connected(built, fitted, oxygen, fuel)
    pressures = {name: flowing + built.atmosphere for name, (flowing, _) in settings.items()}
    solution = solve(station, pressures["oxygen"], pressures["fuel"], pressures.get("preheat_oxygen"))
    if oxygen is not fuel:  # crossed looks are for flows and their ratio: along a line they differ by less than a thousandth
        return _Look(solution, {})
    along = profiles(station, solution)
    found = {name: profile for name, profile in zip(("oxygen", "fuel", "preheat_oxygen"), along, strict=True) if profile is not None}
    return _Look(solution, found)


def _line(
    setup: Setup, name: str, looks: list[_Look], setting: tuple[float, float], gas: Gas, atmosphere: float, rise: Quantity
) -> AsSetLine:
    line = setup.lines[name]
    three = "preheat_oxygen" in setup.lines
    state = getattr(looks[0].solution, {"oxygen": "oxygen_state", "fuel": "fuel_state", "preheat_oxygen": "preheat_state"}[name])
    cutting = _flows(looks, "cutting_flow", gas) if name == "oxygen" and setup.station.torch.attachment == "cutting" else None
    preheat = _flows(looks, "preheat_flow", gas) if name == "preheat_oxygen" or (name == "oxygen" and not three) else None
    if name == "fuel":
        flow = _flows(looks, "fuel_flow", gas)
    elif three:
        flow = (cutting if name == "oxygen" else preheat) or unknown("flow")
    else:
        flow = _flows(looks, "oxygen_flow", gas)
    still = flow.value == 0.0
    regulator, static = _pressures(setup, line, setting, droop_end(line, gas, (flow.high or 0.0) * gas.molar_mass), rise.high or 0.0)
    return AsSetLine(
        regulator=regulator,
        regulator_static=static,
        torch_inlet=unknown("gauge pressure") if still else _node(looks, name, -1, atmosphere),
        flow=flow,
        cutting_flow=cutting,
        preheat_flow=preheat,
        parts=_shut_parts(setup, name, static) if still else _parts(looks, name, setup, atmosphere, static),
        state="ok" if state == "shut" else state,
    )


def _pressures(setup: Setup, line: Line, setting: tuple[float, float], droop: float, rise: float) -> tuple[Quantity, Quantity]:
    """Flowing and shut, as the gauge shows them and may hide them; shut also counts what droop and supply give back."""
    settings = setup.station.settings
    error, lockup = gauges(line.regulator, setup.station.station.region).outlet_error, lockup_of(line)

    def read(shown: float, off: float) -> Quantity:
        return band(shown, max(0.0, shown - off), shown + off, "gauge pressure")

    flowing, static = setting
    if settings is not None and settings.when == "static":  # shut was read, so lock-up and droop are in it
        regulator, shut = read(flowing, error / (1 + lockup)), read(static, error)
    else:
        regulator = read(flowing, error)
        shut = static_of(regulator, lockup, droop)
    assert shut.high is not None
    return regulator, band(static, shut.low or 0.0, shut.high + rise, "gauge pressure")


def _flows(looks: list[_Look], what: str, gas: Gas) -> Quantity:
    flows = [getattr(look.solution, what) / gas.molar_mass for look in looks]
    return spread(flows, "flow")


def _node(looks: list[_Look], name: str, node: int, atmosphere: float) -> Quantity:
    ends = [look.profiles[name].pressures[node] for look in looks if look.profiles]
    known = [end - atmosphere for end in ends if end is not None]
    return spread(known, "gauge pressure")


def _parts(looks: list[_Look], name: str, setup: Setup, atmosphere: float, static: Quantity) -> tuple[PartFigure, ...]:
    figures = []
    for i, part in enumerate(setup.lines[name].part):
        losses = [look.profiles[name].losses[i] or 0.0 for look in looks if look.profiles]
        figures.append(
            PartFigure(
                part_subject(name, i + 1, part),
                part,
                _node(looks, name, i, atmosphere),
                _node(looks, name, i + 1, atmosphere),
                spread(losses, "pressure difference"),
                looks[0].profiles[name].states[i],
                static,
            )
        )
    return tuple(figures)


def _ratio(looks: list[_Look], fuel: Gas, oxygen: Gas) -> Quantity | None:
    ratios = []
    for look in looks:
        if look.solution.fuel_flow <= 0.0:
            return unknown("number")
        ratios.append(look.solution.preheat_flow / oxygen.molar_mass * fuel.molar_mass / look.solution.fuel_flow)
    return spread(ratios, "number")
