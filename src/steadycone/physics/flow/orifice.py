"""A sharp opening: ideal isentropic flow from a still upstream to a throat (St Venant-Wantzel), through choking.

Area is the effective area, after the discharge coefficient. Upstream pressure and temperature are total ones; nothing of the
jet's speed is recovered behind it. Real gases flow 0.2 to 1.3 per cent more than this at torch pressures (tests/reference);
9.7 per cent more for oxygen at 200 bar, where it must not be used.
"""

import math
from dataclasses import dataclass, field

from steadycone.errors import OutOfRange
from steadycone.physics.flow.root import bracketed_root
from steadycone.physics.flow.stream import Stream

LEAST_AREA = 1e-15  # m², a hole of 36 nm: below it there is no opening, and squares would run out of digits


def critical_ratio(gamma: float) -> float:
    """Outlet over inlet pressure below which the throat is sonic [-]. Source: nozzle-ideal."""
    return float((2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0)))


def critical_coefficient(gamma: float) -> float:
    """C* [-] in choked flow = area x inlet pressure x C* / sqrt(R T). Source: nozzle-ideal; 40 CFR 1065.640 calls it Cf."""
    return float(math.sqrt(gamma) * (2.0 / (gamma + 1.0)) ** ((gamma + 1.0) / (2.0 * (gamma - 1.0))))


def is_choked(inlet_pressure: float, outlet_pressure: float, stream: Stream) -> bool:
    """Whether the throat is sonic between two pressures [Pa]."""
    return outlet_pressure <= critical_ratio(stream.gamma) * inlet_pressure


def mass_flux(inlet_pressure: float, outlet_pressure: float, stream: Stream) -> float:
    """Flow per effective area [kg/(s m²)] between two pressures [Pa]; zero when the inlet is not the higher."""
    if inlet_pressure <= outlet_pressure:
        return 0.0
    gamma = stream.gamma
    speed = math.sqrt(stream.gas_constant * stream.temperature)
    if outlet_pressure <= critical_ratio(gamma) * inlet_pressure:
        return critical_coefficient(gamma) * inlet_pressure / speed
    # log1p of the difference: a plain ratio loses its digits where the drop is small
    log_ratio = math.log1p((inlet_pressure - outlet_pressure) / outlet_pressure)
    mach_squared = 2.0 / (gamma - 1.0) * math.expm1((gamma - 1.0) / gamma * log_ratio)
    return outlet_pressure / speed * math.sqrt(gamma * mach_squared * (1.0 + 0.5 * (gamma - 1.0) * mach_squared))


def mass_flow(inlet_pressure: float, outlet_pressure: float, area: float, stream: Stream) -> float:
    """Flow through an opening.

    Parameters
    ----------
    inlet_pressure, outlet_pressure : float   [Pa absolute]
    area : float   [m²], effective
    stream : Stream

    Returns
    -------
    float   [kg/s], zero when the inlet pressure is not the higher.

    Holds for   an ideal gas of constant gamma, inlet below about 15 bar.
    Source      nozzle-ideal
    """
    return area * mass_flux(inlet_pressure, outlet_pressure, stream)


def upstream_pressure(outlet_pressure: float, mass_flow: float, area: float, stream: Stream) -> float:
    """Inlet pressure [Pa] that drives a flow [kg/s] through an effective area [m²]; closed form, for every flow."""
    return Orifice(stream, area).upstream(outlet_pressure, mass_flow)


def downstream_pressure(inlet_pressure: float, mass_flow: float, area: float, stream: Stream) -> float | None:
    """Outlet pressure [Pa] left at a flow [kg/s], or None: the opening cannot pass it."""
    return Orifice(stream, area).downstream(inlet_pressure, mass_flow)


def area_for(inlet_pressure: float, outlet_pressure: float, mass_flow: float, stream: Stream) -> float:
    """Effective area [m²] that passes a flow [kg/s] between two pressures [Pa].

    Raises
    ------
    OutOfRange : there is a flow and the inlet pressure is not the higher.
    """
    if mass_flow == 0.0:
        return 0.0
    flux = mass_flux(inlet_pressure, outlet_pressure, stream)
    if flux <= 0.0:
        raise OutOfRange(
            f"inlet pressure {inlet_pressure:.0f} Pa must be above outlet pressure {outlet_pressure:.0f} Pa (absolute)", where="opening"
        )
    return mass_flow / flux


@dataclass(frozen=True, slots=True)
class Orifice:
    """A sharp opening as a part of a line: stream; area, effective [m²], above LEAST_AREA.

    Raises OutOfRange when it is not.
    Source      nozzle-ideal
    """

    stream: Stream
    area: float
    _scale: float = field(init=False, repr=False, compare=False)  # R T / (gamma A²)
    _choke: float = field(init=False, repr=False, compare=False)  # inlet pressure per flow when choked
    _power: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if not self.area > LEAST_AREA:
            raise OutOfRange(f"area {self.area} m² must be above {LEAST_AREA}", where="opening")
        stream, gamma = self.stream, self.stream.gamma
        heat = stream.gas_constant * stream.temperature
        object.__setattr__(self, "_scale", heat / (gamma * self.area**2))
        object.__setattr__(self, "_choke", math.sqrt(heat) / (self.area * critical_coefficient(gamma)))
        object.__setattr__(self, "_power", gamma / (gamma - 1.0))

    def chokes(self, outlet_pressure: float, mass_flow: float) -> bool:
        """Whether the throat is sonic at this flow [kg/s] against this pressure [Pa]."""
        return outlet_pressure <= critical_ratio(self.stream.gamma) * self._choke * mass_flow

    def upstream(self, outlet_pressure: float, mass_flow: float) -> float:
        """Inlet pressure [Pa] that drives a flow [kg/s, 0 or more] against an outlet pressure [Pa]."""
        return self.upstream_slopes(outlet_pressure, mass_flow)[0]

    def upstream_slopes(self, outlet_pressure: float, mass_flow: float) -> tuple[float, float, float]:
        """Inlet pressure [Pa], and its derivatives by outlet pressure [-] and by flow [Pa s/kg]."""
        if mass_flow <= 0.0:
            return outlet_pressure, 1.0, 0.0
        less = self.stream.gamma - 1.0
        ratio = mass_flow / outlet_pressure
        y = self._scale * ratio * ratio
        mach_squared = 2.0 * y / (1.0 + math.sqrt(1.0 + 2.0 * less * y))
        if mach_squared >= 1.0:
            return self._choke * mass_flow, 0.0, self._choke
        stagnation = 1.0 + 0.5 * less * mach_squared
        inlet = outlet_pressure * stagnation**self._power
        # share = d ln p1 / d ln m; p1 is homogeneous of degree one in outlet pressure and flow
        share = self.stream.gamma * y / (stagnation * (1.0 + less * mach_squared))
        return inlet, (1.0 - share) * inlet / outlet_pressure, share * inlet / mass_flow

    def downstream(self, inlet_pressure: float, mass_flow: float) -> float | None:
        """Outlet pressure [Pa] left of an inlet pressure [Pa], or None: choked, the opening cannot pass that flow."""
        if mass_flow <= 0.0:
            return inlet_pressure
        if self._choke * mass_flow > inlet_pressure:
            return None
        lowest = critical_ratio(self.stream.gamma) * inlet_pressure
        at_lowest = self.upstream(lowest, mass_flow) - inlet_pressure
        if at_lowest >= 0.0:
            return lowest
        return bracketed_root(lambda p: self.upstream(p, mass_flow) - inlet_pressure, lowest, inlet_pressure, value_low=at_lowest)

    def resistance(self) -> float:
        """Rough (p1² - p2²) / m² [Pa² s²/kg²], for first guesses only."""
        return 1.3 * self._scale * self.stream.gamma
