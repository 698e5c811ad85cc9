"""Purging a hose: when the last of the old gas has left its end, dead corners included, and what was let go for it."""

import math
from typing import NamedTuple

from steadycone.errors import OutOfRange
from steadycone.physics.flow.friction import friction_factor
from steadycone.physics.flow.stream import Stream
from steadycone.units import GAS_CONSTANT

CLEARED = 0.99  # share of new gas at the end of the hose that counts as purged
LAMINAR_BELOW = 2300.0  # Reynolds number; between here and 4000 a hose may be either

# Diffusion volumes of Fuller, Schettler and Giddings, and molar masses [kg/mol]: diffusion-volumes
_DIFFUSION: dict[str, tuple[float, float]] = {
    "oxygen": (16.3, 0.0319988), "acetylene": (35.7, 0.026038), "propane": (66.2, 0.0440956), "propylene": (61.6, 0.0420797),
    "methane": (25.1, 0.0160425), "hydrogen": (6.12, 0.0020159), "nitrogen": (18.5, 0.0280134), "air": (19.7, 0.0289652),
    "butane": (86.7, 0.0581222), "isobutane": (86.7, 0.0581222), "ethane": (45.7, 0.030069), "carbon dioxide": (26.9, 0.0440095),
}  # fmt: skip


class Purge(NamedTuple):
    """plug: the front alone arrives [s]; hose: the hose's end is cleared [s]; total: dead corners too [s]; reynolds [-]; dispersion [m²/s]."""

    plug: float
    hose: float
    total: float
    reynolds: float
    dispersion: float


def diffusivity(pressure: float, temperature: float, gas: str, other: str = "air") -> float:
    """Molecular diffusion of one gas in another [m²/s] at a pressure [Pa absolute] and temperature [K].

    Gases by their names here; a mixture counts as its main part.

    Raises
    ------
    OutOfRange : a gas without a diffusion volume, or pressure or temperature not above 0.

    Holds for   within 10 %
    Source      diffusion-volumes
    """
    if gas not in _DIFFUSION or other not in _DIFFUSION:
        raise OutOfRange(f"no diffusion volume for {gas if gas not in _DIFFUSION else other}", where="gas", try_="Name a pure gas.")
    if not (pressure > 0.0 and temperature > 0.0):
        raise OutOfRange("pressure and temperature must be above 0", where="diffusivity")
    (volume, mass), (volume_other, mass_other) = _DIFFUSION[gas], _DIFFUSION[other]
    masses = math.sqrt(1e-3 / mass + 1e-3 / mass_other)
    widths = math.cbrt(volume) + math.cbrt(volume_other)
    return 1.0e-7 * math.pow(temperature, 1.75) * masses / (pressure / 101325.0 * widths**2)


def dispersion(speed: float, bore: float, reynolds: float, molecular: float, relative_roughness: float = 0.0) -> float:
    """How fast a front smears along a hose [m²/s].

    Parameters
    ----------
    speed : float   [m/s], mean
    bore : float   [m]
    reynolds : float   [-]
    molecular : float   [m²/s], see `diffusivity`
    relative_roughness : float   [-]

    Returns
    -------
    float   [m²/s]: laminar D + (u d)²/(192 D), turbulent 5.05 d u*, u* the friction speed

    Source      taylor-dispersion
    """
    if reynolds < LAMINAR_BELOW:
        return molecular + (speed * bore) ** 2 / (192.0 * molecular)
    return 5.05 * bore * speed * math.sqrt(friction_factor(reynolds, relative_roughness) / 8.0)


def front_time(speed: float, length: float, spreading: float, share: float = CLEARED) -> float:
    """Time [s] until a share of new gas has reached the end of a hose [m], the front spreading with a dispersion [m²/s] as it moves.

    Solves 0.5 erfc((L - u t) / sqrt(4 E t)) = share: a quadratic in the root of t. Never later than the slowest streamlines of
    laminar flow without any mixing, where the cup-mixed share is 1 - (L / 2 u t)².
    """
    depth = _depth(share)
    root = (depth * math.sqrt(spreading) + math.sqrt(depth * depth * spreading + speed * length)) / speed
    return min(root * root, length / speed * max(1.0, 0.5 / math.sqrt(1.0 - share)))


def purge_time(
    flow: float, pressure: float, bore: float, length: float, stream: Stream, molecular: float,
    *, dead_volume: float = 0.0, roughness: float = 1e-5, share: float = CLEARED,
) -> Purge:  # fmt: skip
    """Times to purge a hose.

    Parameters
    ----------
    flow : float   [mol/s] of the new gas, from the station with one torch valve open, not from a tip's nominal figure
    pressure : float   [Pa absolute] in the hose
    bore, length : float   [m]
    stream : Stream   the new gas at the hose's temperature
    molecular : float   [m²/s] at this pressure and temperature
    dead_volume : float   [m³]; corners that mix with the flow (regulator body, side branch): (V/q) ln(1/(1-share)) more
    roughness : float   [m]; share : float   [-], 0.5 to below 1

    Raises
    ------
    OutOfRange : flow, pressure, bore, length or molecular not above 0, dead_volume below 0, share outside 0.5..1.

    Holds for   the 99 % time within 5 % of the closed forms; laminar flow in short wide hoses only roughly
    Source      taylor-dispersion
    """
    if not (flow > 0.0 and pressure > 0.0 and bore > 0.0 and length > 0.0 and molecular > 0.0 and dead_volume >= 0.0):
        raise OutOfRange("flow, pressure, bore, length and diffusion must be above 0, and a dead volume not below 0", where="purge")
    volume_flow = flow * GAS_CONSTANT * stream.temperature / pressure
    speed = volume_flow / (math.pi / 4.0 * bore * bore)
    reynolds = 4.0 * flow * stream.molar_mass / (math.pi * bore * stream.viscosity)
    spreading = dispersion(speed, bore, reynolds, molecular, roughness / bore)
    hose = front_time(speed, length, spreading, share)
    return Purge(length / speed, hose, hose + mixing_time(dead_volume, volume_flow, share), reynolds, spreading)


def mixing_time(volume: float, volume_flow: float, share: float = CLEARED) -> float:
    """Time [s] until a well-mixed volume [m³] holds a share of new gas, at a volume flow there [m³/s]: e^-N is left after N volumes."""
    return volume / volume_flow * -math.log1p(-share)


def _depth(share: float) -> float:
    """z with erf(z) = 2 share - 1, by bisection: once a call and without the statistics module."""
    if not 0.5 <= share < 1.0:
        raise OutOfRange(f"a cleared share of {share:g} must be from 0.5 to below 1", where="purge")
    if share == CLEARED:
        return 1.6449763571331872
    low, high = 0.0, 6.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if math.erf(middle) < 2.0 * share - 1.0 else (low, middle)
    return low
