"""Volume of the bubbles that leave a tube under water slowly, one after another."""

import math

from steadycone.errors import OutOfRange

SURFACE_TENSION = 0.0728  # N/m, clean water at 20 °C: bubble-balance
WATER_DENSITY = 998.2  # kg/m³ at 20 °C
GRAVITY = 9.80665  # m/s²


def bubble_volume(diameter: float, surface_tension: float = SURFACE_TENSION) -> float:
    """Volume [m³] at which a bubble's lift passes the surface tension round the rim it hangs on.

    Parameters
    ----------
    diameter : float   [m], of the rim: the outside of a square-ended tube that water wets
    surface_tension : float   [N/m]

    Raises
    ------
    OutOfRange : the diameter or the surface tension is not above 0.

    Holds for   slow bubbles (a leak of litres an hour, not of litres a minute) from tubes up to some 10 mm.
    Source      bubble-balance
    """
    if not (diameter > 0.0 and surface_tension > 0.0):
        raise OutOfRange("diameter and surface tension must be above 0", where="bubble")
    return math.pi * diameter * surface_tension / (WATER_DENSITY * GRAVITY)
