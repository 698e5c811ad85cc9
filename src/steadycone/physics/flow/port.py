"""Whether a flame stays on a port: the wall's velocity gradient of the outflow against the one up which the flame could run.

A flame runs back along the wall, where gas is slow. The outflow's gradient there is g = (f/8) u² / nu, in laminar flow 8 u / d. The
flame needs it below about S² / (15 alpha), S the burning velocity and alpha the thermal diffusivity. The constant was fitted by us to
flames in air; oxygen is an extrapolation by a factor of ten, so a margin here is an order of magnitude.

Source: port-gradient
"""

import math
from dataclasses import dataclass

from steadycone.errors import OutOfRange
from steadycone.physics.flow.friction import friction_factor

CONSTANT, CONSTANT_BAND = 15.0, (12.0, 16.0)  # port-gradient
_LAMINAR_END = 2000.0


@dataclass(frozen=True, slots=True)
class PortFlow:
    """Outflow of one port: speed [m/s], Reynolds number [-], velocity gradient at the wall [1/s]."""

    speed: float
    reynolds: float
    gradient: float


def wall_gradient(speed: float, bore: float, kinematic_viscosity: float) -> PortFlow:
    """The outflow of one smooth port at its wall.

    Parameters
    ----------
    speed : float   [m/s], mean, above 0
    bore : float   [m], above 0
    kinematic_viscosity : float   [m²/s], above 0

    Raises
    ------
    OutOfRange : one of them is not above 0.

    Holds for   developed flow; a short port's gradient is steeper, which is the safe side.
    Source      wall friction, colebrook-1939 for a smooth wall
    """
    if not (speed > 0.0 and bore > 0.0 and kinematic_viscosity > 0.0):
        raise OutOfRange("speed, bore and viscosity must be above 0", where="port")
    reynolds = speed * bore / kinematic_viscosity
    if reynolds <= _LAMINAR_END:
        return PortFlow(speed, reynolds, 8.0 * speed / bore)
    return PortFlow(speed, reynolds, friction_factor(reynolds, 0.0) / 8.0 * speed * speed / kinematic_viscosity)


def critical_gradient(velocity: float, diffusivity: float, constant: float = CONSTANT) -> float:
    """Wall gradient [1/s] under which a flame of a burning velocity [m/s] runs back; diffusivity of heat [m²/s].

    Source      port-gradient
    """
    return velocity * velocity / (constant * diffusivity)


def bore_of(area: float, ports: int, coefficient: float) -> float:
    """Bore [m] of one of some equal ports of an effective area [m²] together, with a discharge coefficient."""
    if not (area > 0.0 and ports > 0 and coefficient > 0.0):
        raise OutOfRange("area, number of ports and coefficient must be above 0", where="port")
    return math.sqrt(4.0 * area / (math.pi * coefficient * ports))
