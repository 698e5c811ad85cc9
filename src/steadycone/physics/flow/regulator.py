"""What a regulator does to the pressure it was set to: droop, lock-up, supply effect, and how much it can pass.

Pressures [Pa absolute] unless the name says gauge.
"""

from dataclasses import dataclass
from math import inf


def outlet(set_pressure: float, mass_flow: float, droop: float) -> float:
    """Outlet pressure [Pa] at a flow [kg/s] when `set_pressure` is what it would be just before the flow stops.

    droop [Pa s/kg], how much a unit of flow costs, 0 or more.
    """
    return set_pressure - droop * mass_flow


def static_pressure(flowing_pressure: float, atmosphere: float, lockup: float) -> float:
    """Pressure [Pa] after the torch valves shut: flowing gauge pressure times (1 + lockup). lockup [-], 0.3 for 30 %."""
    return atmosphere + (flowing_pressure - atmosphere) * (1.0 + lockup)


def flowing_pressure(static: float, atmosphere: float, lockup: float) -> float:
    """Pressure [Pa] once gas flows, from the one seen with the torch valves shut; the inverse of static_pressure."""
    return atmosphere + (static - atmosphere) / (1.0 + lockup)


def capacity(
    rated_flow: float, rated_pressure: float, outlet_pressure: float, inlet_pressure: float | None = None, rated_inlet: float | None = None
) -> float:
    """Most a regulator is trusted to pass [kg/s] at another outlet pressure than it is rated for.

    Parameters
    ----------
    rated_flow : float   [kg/s], at rated_pressure
    rated_pressure, outlet_pressure : float   [Pa absolute]
    inlet_pressure, rated_inlet : float or None   [Pa absolute]; when both are given and the cylinder is lower, the flow falls with it

    Returns
    -------
    float : rated flow x outlet / rated pressure, absolute, and never more than the rated flow.

    Holds for   nothing exactly. The seat is sonic, so its flow follows the inlet and not the outlet; but at a low setting the
                spring opens the seat less, and makers' curves fall. Falling in proportion to the outlet's density is the unsafe end.
    Source      regulator-capacity
    """
    flow = rated_flow * min(1.0, outlet_pressure / rated_pressure)
    if inlet_pressure is not None and rated_inlet is not None:
        flow *= min(1.0, inlet_pressure / rated_inlet)
    return flow


def supply_rise(supply_fall: float, effect: float, most: float = inf) -> float:
    """How far the outlet pressure rises [Pa] as the cylinder falls by `supply_fall` [Pa]. Two stages: take effect 0.

    effect [-], outlet rise for each unit of fall; `most` [Pa], what the regulator's standard allows over its whole inlet range.

    Source      supply-effect, regulator-irregularity
    """
    return min(effect * supply_fall, most)


def seat_over_diaphragm(seat: float, diaphragm: float) -> float:
    """Supply effect of one stage [-]: the inlet pushes the seat open over its area, the outlet answers over the diaphragm's.

    seat, diaphragm : float   [m], diameters

    Holds for   a balanced stem left out: with one the effect is smaller.
    Source      supply-effect
    """
    return (seat / diaphragm) ** 2


@dataclass(frozen=True, slots=True)
class Droop:
    """Droop as the first element of a line: the march then gives the pressure to set at no flow. slope [Pa s/kg], 0 or more."""

    slope: float

    def upstream(self, outlet_pressure: float, mass_flow: float) -> float:
        """Pressure [Pa] to set for an outlet pressure [Pa] at a flow [kg/s]."""
        return outlet_pressure + self.slope * mass_flow

    def upstream_slopes(self, outlet_pressure: float, mass_flow: float) -> tuple[float, float, float]:
        """The same, with derivatives by outlet pressure [-] and flow [Pa s/kg]."""
        return outlet_pressure + self.slope * mass_flow, 1.0, self.slope

    def downstream(self, inlet_pressure: float, mass_flow: float) -> float | None:
        """Outlet pressure [Pa] at a flow [kg/s], or None when the droop uses the whole pressure up."""
        left = inlet_pressure - self.slope * mass_flow
        return left if left > 0.0 else None

    def chokes(self, outlet_pressure: float, mass_flow: float) -> bool:
        """Never."""
        return False

    def resistance(self) -> float:
        """Left out of first guesses."""
        return 0.0
