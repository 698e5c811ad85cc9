"""Friction in a round hose over all three regimes, without a jump.

A torch hose runs at Reynolds numbers from some hundreds to a hundred thousand. Loss must never fall when the flow rises, or a
search for the flow could find two answers; so the gap between laminar and turbulent is bridged by a straight line in logarithms.
"""

import math

LAMINAR_END = 2000.0
TURBULENT_START = 4000.0
_TWO_OVER_LN_TEN = 2.0 / math.log(10.0)
_LAMINAR_AT_END = 64.0 / LAMINAR_END
_LOG_TWO = math.log(TURBULENT_START / LAMINAR_END)


def colebrook(reynolds: float, relative_roughness: float) -> tuple[float, float]:
    """Turbulent Darcy factor and its logarithmic slope d ln f / d ln Re.

    Two Newton steps from an explicit first guess solve Colebrook's implicit formula to 1e-9.

    Source      colebrook-1939
    """
    rough = relative_roughness / 3.7
    smooth = 2.51 / reynolds
    x = -_TWO_OVER_LN_TEN * math.log(rough + 5.74 * reynolds**-0.9)  # x is 1 / sqrt(f)
    inner = rough + smooth * x
    x -= (x + _TWO_OVER_LN_TEN * math.log(inner)) / (1.0 + _TWO_OVER_LN_TEN * smooth / inner)
    inner = rough + smooth * x
    slope = _TWO_OVER_LN_TEN * smooth / inner
    x -= (x + _TWO_OVER_LN_TEN * math.log(inner)) / (1.0 + slope)
    return 1.0 / (x * x), -2.0 * slope / (1.0 + slope)


def bridge_exponent(relative_roughness: float) -> float:
    """Exponent n of f = 0.032 (Re/2000)^n between Re 2000 and 4000, for one roughness."""
    return math.log(colebrook(TURBULENT_START, relative_roughness)[0] / _LAMINAR_AT_END) / _LOG_TWO


def friction_and_slope(reynolds: float, relative_roughness: float, bridge: float) -> tuple[float, float]:
    """Darcy factor and d ln f / d ln Re, with the bridge exponent worked out beforehand. Reynolds above zero."""
    if reynolds >= TURBULENT_START:
        return colebrook(reynolds, relative_roughness)
    if reynolds <= LAMINAR_END:
        return 64.0 / reynolds, -1.0
    return _LAMINAR_AT_END * math.exp(bridge * math.log(reynolds / LAMINAR_END)), bridge


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Darcy friction factor.

    Parameters
    ----------
    reynolds : float   above 0
    relative_roughness : float   roughness over bore, 0 to 0.05

    Returns
    -------
    float : 64/Re to 2000, Colebrook from 4000, a power of Re between; continuous, and f Re² always rises.

    Source      colebrook-1939; friction-bridge
    """
    return friction_and_slope(reynolds, relative_roughness, bridge_exponent(relative_roughness))[0]
