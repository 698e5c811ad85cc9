"""Trapped volumes and the purge of one line."""

import math

from steadycone.assembly.bores import bore_doubt
from steadycone.assembly.figures import LEAST_PURGE, ProvingFigures
from steadycone.data.reader import toml
from steadycone.physics.flow import stream_of
from steadycone.physics.gas import GAS_CONSTANT, Gas
from steadycone.physics.transient.purge import diffusivity, purge_time
from steadycone.quantity import Quantity, band, spread, unknown
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
    """Regulator seat to torch valve [m³]; a band where the body's volume is not stated, and of what a hose's bore may be off."""
    low, taken, high = _small_volumes(line)
    for part in line.part:
        if isinstance(part, Hose | Pipe):
            volume = hose_volume(part)
            low, taken, high = low + volume * _widened(part, -1) ** 2, taken + volume, high + volume * _widened(part, 1) ** 2
    return band(taken, low, high, "volume")


def high_volume(line: Line) -> Quantity:
    """Cylinder valve to regulator seat [m³]; a band where it is not stated."""
    low, taken, high = _body(line.regulator.high_volume, "high_volume_L")
    return band(taken, low, high, "volume")


def proving_figures(
    line: Line, gas: Gas, policy: Policy, setting: Quantity, purge_flow: Quantity, ambient: float, atmosphere: float
) -> ProvingFigures:
    """Volumes and purge. `setting` is what is set [Pa gauge], `purge_flow` mol/s with this gas alone, end by end."""
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
    """Seconds by the policy's rule, and mol let go in the least that a person is told. The long end: little pressure, the slow flow it drives, the most to fill."""
    flows = (purge_flow.value, purge_flow.low, purge_flow.high)
    settings = (setting.value, setting.low, setting.high)
    if None in settings or not all(flows):
        return unknown("seconds"), unknown("released")
    least, taken, most = _small_volumes(line)
    found, released = [], []
    for pressure, flow, small, wide in zip(settings, flows, (taken, most, least), (0, 1, -1), strict=True):
        assert pressure is not None
        assert flow is not None
        found.append(_seconds(line, gas, policy, pressure, flow, ambient, atmosphere, small, wide))
        released.append(max(found[-1], LEAST_PURGE) * flow)
    return spread(found, "seconds"), spread(released, "released")


def _seconds(
    line: Line, gas: Gas, policy: Policy, setting: float, flow: float, ambient: float, atmosphere: float, small: float, wide: int
) -> float:
    """`small` is the small parts' gas space [m³]; `wide` is +1 for hoses at their widest, -1 at their narrowest."""
    pressure = setting + atmosphere
    pieces = [part for part in line.part if isinstance(part, Hose | Pipe)]
    if policy.purge.rule == "three volumes":
        hoses = sum(hose_volume(piece) * _widened(piece, wide) ** 2 for piece in pieces)
        return 3 * (small + hoses) * pressure / (GAS_CONSTANT * ambient) / flow
    stream = stream_of(gas, ambient)
    main = max(gas.components, key=lambda name: gas.components[name])
    mixing = diffusivity(pressure, ambient, main)
    total = 0.0
    for number, piece in enumerate(pieces):
        bore = piece.bore.si * _widened(piece, wide)
        total += purge_time(flow, pressure, bore, piece.length.si, stream, mixing, dead_volume=0.0 if number else small).total
    return policy.purge.margin.si * total


def _widened(piece: Hose | Pipe, wide: int) -> float:
    """The bore at its widest (+1) or narrowest (-1), over what it is called; a pipe, and a hose of stated volume, are as called."""
    if isinstance(piece, Pipe) or piece.volume is not None:
        return 1.0
    return 1.0 + wide * bore_doubt(piece) / piece.bore.si
