"""Trapped volumes, what the gauges can see of a leak, and the purge of one line."""

import math

from steadycone.assembly.figures import ProvingFigures
from steadycone.assembly.gauges import Gauges
from steadycone.data.reader import toml
from steadycone.errors import OutOfRange
from steadycone.physics.flow import stream_of
from steadycone.physics.gas import Gas, compressibility
from steadycone.physics.transient.leak import leak_floor, wait_needed
from steadycone.physics.transient.purge import diffusivity, purge_time
from steadycone.quantity import Quantity, exact, unknown
from steadycone.station.parts import Hose, Pipe
from steadycone.station.policy import Policy
from steadycone.station.setup import Line

_R = 8.314462618  # J/(mol K)


def hose_volume(part: Hose | Pipe) -> float:
    """Of a hose or pipe [m³]; a stated volume rules."""
    return part.volume.si if part.volume else math.pi / 4 * part.bore.si**2 * part.length.si


def small_volumes(line: Line) -> float:
    """Gas space of the regulator's low side and the small parts [m³]: what mixes in a purge rather than being swept."""
    given = line.regulator.low_volume
    body: float = given.si if given else toml("defaults.toml")["regulator"]["low_volume_L"] * 1e-3
    return body + sum(part.volume.si for part in line.part if not isinstance(part, Hose | Pipe) and part.volume)


def trapped_volume(line: Line) -> float:
    """Regulator seat to torch valve [m³]."""
    return small_volumes(line) + sum(hose_volume(part) for part in line.part if isinstance(part, Hose | Pipe))


def high_volume(line: Line) -> float:
    """Cylinder valve to regulator seat [m³]."""
    given = line.regulator.high_volume
    return given.si if given else float(toml("defaults.toml")["regulator"]["high_volume_L"]) * 1e-3


def proving_figures(
    line: Line, gas: Gas, gauge: Gauges, policy: Policy, high_pressure: Quantity, setting: Quantity, purge_flow: Quantity,
    ambient: float, atmosphere: float,
) -> ProvingFigures:  # fmt: skip
    """Leak-test and purge figures. `setting` is the flowing pressure [Pa gauge], `purge_flow` mol/s with this gas alone."""
    low, high = trapped_volume(line), high_volume(line)
    wait, reject = policy.leak.wait.si, policy.leak.reject.amount(gas.molar_mass)
    squeeze = _compressibility(gas, high_pressure, ambient, atmosphere)
    time, released = _purge(line, gas, policy, setting, purge_flow, ambient, atmosphere)
    return ProvingFigures(
        trapped_volume=exact(low, "volume"),
        high_volume=exact(high, "volume"),
        leak_floor=exact(leak_floor(gauge.outlet_division, low, wait, ambient), "leak"),
        leak_wait=exact(wait_needed(gauge.outlet_division, low, reject, ambient), "minutes"),
        high_leak_floor=exact(leak_floor(gauge.inlet_division, high, wait, ambient, squeeze), "leak"),
        high_leak_wait=exact(wait_needed(gauge.inlet_division, high, reject, ambient, squeeze), "minutes"),
        purge_flow=purge_flow,
        purge_time=time,
        purge_released=released,
    )


def _compressibility(gas: Gas, high_pressure: Quantity, ambient: float, atmosphere: float) -> float:
    """Of the gas trapped on the high side: below one it holds more moles a bar, which the floor must count."""
    if high_pressure.value is None:
        return 1.0
    try:
        return compressibility(gas, max(high_pressure.value, 0.0) + atmosphere, ambient)
    except OutOfRange:
        # At or past its dew point (a fuel over its liquid or solvent) no single Z holds; 1 is within the floor's own honesty.
        return 1.0


def _purge(
    line: Line, gas: Gas, policy: Policy, setting: Quantity, purge_flow: Quantity, ambient: float, atmosphere: float
) -> tuple[Quantity, Quantity]:
    """Seconds by the policy's rule, and mol let go. The slow flow and the high pressure are the long end."""
    if setting.value is None or setting.high is None or not purge_flow.value or not purge_flow.low or not purge_flow.high:
        return unknown("seconds"), unknown("released")
    middle = _seconds(line, gas, policy, setting.value, purge_flow.value, ambient, atmosphere)
    longest = _seconds(line, gas, policy, setting.high, purge_flow.low, ambient, atmosphere)
    shortest = _seconds(line, gas, policy, setting.low or setting.value, purge_flow.high, ambient, atmosphere)
    time = Quantity(middle, min(shortest, middle), max(longest, middle), "seconds")
    ends = sorted((shortest * purge_flow.high, middle * purge_flow.value, longest * purge_flow.low))
    return time, Quantity(middle * purge_flow.value, ends[0], ends[2], "released")


def _seconds(line: Line, gas: Gas, policy: Policy, setting: float, flow: float, ambient: float, atmosphere: float) -> float:
    pressure = setting + atmosphere
    if policy.purge.rule == "three volumes":
        return 3 * trapped_volume(line) * pressure / (_R * ambient) / flow
    stream = stream_of(gas, ambient)
    main = max(gas.components, key=lambda name: gas.components[name])
    spread = diffusivity(pressure, ambient, main)
    pieces = [part for part in line.part if isinstance(part, Hose | Pipe)]
    total = 0.0
    for number, piece in enumerate(pieces):
        dead = small_volumes(line) if number == 0 else 0.0
        total += purge_time(flow, pressure, piece.bore.si, piece.length.si, stream, spread, dead_volume=dead).total
    return policy.purge.margin.si * total
