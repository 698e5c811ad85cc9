"""Trapped volumes and the purge of one line."""

import math

from steadycone.assembly.figures import ProvingFigures
from steadycone.data.reader import toml
from steadycone.physics.flow import stream_of
from steadycone.physics.gas import GAS_CONSTANT, Gas
from steadycone.physics.transient.purge import diffusivity, purge_time
from steadycone.quantity import Quantity, band, unknown
from steadycone.station.parts import Hose, Pipe
from steadycone.station.policy import Policy
from steadycone.station.regulator import Regulator
from steadycone.station.setup import Line
from steadycone.units import Volume


def hose_volume(part: Hose | Pipe) -> float:
    """Of a hose or pipe [m³]; a stated volume rules."""
    return part.volume.si if part.volume else math.pi / 4 * part.bore.si**2 * part.length.si


def small_volumes(line: Line) -> float:
    """Gas space of the regulator's low side and the small parts [m³]: what mixes in a purge rather than being swept."""
    return _small_volumes(line)[1]


def trapped_body(regulator: Regulator) -> tuple[float, float, float]:
    """Low side of a regulator's body [m³]: least, taken, most."""
    return _body(regulator.low_volume, "low_volume_L")


def _small_volumes(line: Line) -> tuple[float, float, float]:
    small = sum(part.volume.si for part in line.part if not isinstance(part, Hose | Pipe) and part.volume)
    low, taken, high = trapped_body(line.regulator)
    return low + small, taken + small, high + small


def _body(given: Volume | None, name: str) -> tuple[float, float, float]:
    """A side of a regulator's body [m³], least, taken and most: as stated, else what bodies usually hold."""
    if given is not None:
        return given.si, given.si, given.si
    least, taken, most = toml("defaults.toml")["regulator"][name]
    return least * 1e-3, taken * 1e-3, most * 1e-3


def trapped_volume(line: Line) -> Quantity:
    """Regulator seat to torch valve [m³]; a band where the body's volume is not stated."""
    hoses = sum(hose_volume(part) for part in line.part if isinstance(part, Hose | Pipe))
    low, taken, high = _small_volumes(line)
    return band(taken + hoses, low + hoses, high + hoses, "volume")


def high_volume(line: Line) -> Quantity:
    """Cylinder valve to regulator seat [m³]; a band where it is not stated."""
    low, taken, high = _body(line.regulator.high_volume, "high_volume_L")
    return band(taken, low, high, "volume")


def proving_figures(
    line: Line, gas: Gas, policy: Policy, setting: Quantity, purge_flow: Quantity, ambient: float, atmosphere: float
) -> ProvingFigures:
    """Volumes and purge. `setting` is the flowing pressure [Pa gauge], `purge_flow` mol/s with this gas alone."""
    time, released = _purge(line, gas, policy, setting, purge_flow, ambient, atmosphere)
    return ProvingFigures(
        trapped_volume=trapped_volume(line),
        high_volume=high_volume(line),
        purge_flow=purge_flow,
        purge_time=time,
        purge_released=released,
    )


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
        return 3 * (trapped_volume(line).value or 0.0) * pressure / (GAS_CONSTANT * ambient) / flow
    stream = stream_of(gas, ambient)
    main = max(gas.components, key=lambda name: gas.components[name])
    spread = diffusivity(pressure, ambient, main)
    pieces = [part for part in line.part if isinstance(part, Hose | Pipe)]
    total = 0.0
    for number, piece in enumerate(pieces):
        dead = small_volumes(line) if number == 0 else 0.0
        total += purge_time(flow, pressure, piece.bore.si, piece.length.si, stream, spread, dead_volume=dead).total
    return policy.purge.margin.si * total
