"""A hose: steady isothermal flow with friction, tails, the work of speeding up, and choking at its end.

Along the bore  rho dp + G² rho d(1/rho) + G² (f/2D) dx = 0.  With I(p) the integral of rho dp (a polynomial, see stream.py):

    I(p1) - I(p2) = (G²/2) (f L/D + K + 2 ln(rho1/rho2)),   G = flow / bore area

The end plane cannot fall below the pressure where G² d(1/rho)/dp = -1 (for an ideal gas p = G sqrt(RT)): there the hose is
choked and lowering the pressure beyond it changes nothing. Marching upstream therefore has an answer for every flow.

Adiabatic flow ends 0.05 to 2.5 per cent lower in pressure up to Mach 0.2, which is why isothermal is enough (tests/reference).
"""

import math
from dataclasses import dataclass, field

from steadycone.errors import OutOfRange
from steadycone.physics.flow.friction import bridge_exponent, friction_and_slope
from steadycone.physics.flow.root import bracketed_root, rising_root
from steadycone.physics.flow.stream import Stream


@dataclass(frozen=True, slots=True)
class Hose:
    """A hose or pipe of one bore.

    stream : the gas; bore, length, roughness [m]; loss_coefficient: K of tails and fittings together, on the bore's velocity head.

    Raises OutOfRange when bore or length is not above zero, or roughness or loss_coefficient is below it.
    Source      isothermal-pipe; Z from stream.py
    """

    stream: Stream
    bore: float
    length: float
    roughness: float = 1e-5
    loss_coefficient: float = 0.0
    _flux: float = field(init=False, repr=False, compare=False)  # A = flux m² is G² R T
    _reynolds: float = field(init=False, repr=False, compare=False)  # Re = reynolds m
    _slender: float = field(init=False, repr=False, compare=False)  # L/D
    _rough: float = field(init=False, repr=False, compare=False)
    _bridge: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if not (self.bore > 0.0 and self.length > 0.0):
            raise OutOfRange(f"bore {self.bore} m and length {self.length} m must be above 0", where="hose")
        if not (self.roughness >= 0.0 and self.loss_coefficient >= 0.0):
            raise OutOfRange("roughness and loss coefficient must not be below 0", where="hose")
        area = math.pi / 4.0 * self.bore**2
        rough = self.roughness / self.bore
        derived = {
            "_flux": self.stream.gas_constant * self.stream.temperature / area**2,
            "_reynolds": 4.0 / (math.pi * self.bore * self.stream.viscosity),
            "_slender": self.length / self.bore,
            "_rough": rough,
            "_bridge": bridge_exponent(rough),
        }
        for name, value in derived.items():
            object.__setattr__(self, name, value)

    def reynolds(self, mass_flow: float) -> float:
        """Reynolds number [-] at a flow [kg/s]."""
        return self._reynolds * mass_flow

    def friction_factor(self, mass_flow: float) -> float:
        """Darcy friction factor [-] at a flow [kg/s] above zero."""
        return friction_and_slope(self._reynolds * mass_flow, self._rough, self._bridge)[0]

    def chokes(self, outlet_pressure: float, mass_flow: float) -> bool:
        """Whether the end plane is at its lowest possible pressure, above the pressure [Pa] beyond it, at this flow [kg/s]."""
        return _too_fast(outlet_pressure, self._flux * mass_flow * mass_flow, self.stream.virial_slope)

    def upstream(self, outlet_pressure: float, mass_flow: float) -> float:
        """Inlet pressure [Pa] that drives a flow [kg/s, 0 or more] against an outlet pressure [Pa]. Exists for every flow."""
        return self.upstream_slopes(outlet_pressure, mass_flow)[0]

    def upstream_slopes(self, outlet_pressure: float, mass_flow: float) -> tuple[float, float, float]:
        """Inlet pressure [Pa], and its derivatives by outlet pressure [-] and by flow [Pa s/kg]."""
        if mass_flow <= 0.0:
            return outlet_pressure, 1.0, 0.0
        slope = self.stream.virial_slope
        flux = self._flux * mass_flow * mass_flow
        friction, exponent = friction_and_slope(self._reynolds * mass_flow, self._rough, self._bridge)
        friction *= self._slender
        loss = friction + self.loss_coefficient
        end, by_end = outlet_pressure, 0.0
        x = slope * end
        density = end * (1.0 - x + x * x)
        bend = 1.0 - 2.0 * x + 3.0 * x * x
        if density * density <= flux * bend:
            end = _choking_pressure(flux, slope)
            x = slope * end
            density = end * (1.0 - x + x * x)
        else:
            by_end = density - flux * bend / density
        target = end * end * (0.5 - x / 3.0 + 0.25 * x * x) + 0.5 * flux * loss
        squared = end * end + flux * loss * end / density
        inlet = math.sqrt(squared + flux * math.log(squared / (end * end)))
        for _ in range(60):
            x = slope * inlet
            there = inlet * (1.0 - x + x * x)
            log_ratio = math.log(there / density)
            rise = there - flux * (1.0 - 2.0 * x + 3.0 * x * x) / there
            step = (target + flux * log_ratio - inlet * inlet * (0.5 - x / 3.0 + 0.25 * x * x)) / rise
            inlet += step
            if abs(step) < 3e-9 * inlet:  # Newton doubles its digits: what is left is below rounding
                break
        by_flow = flux * (2.0 * log_ratio + loss + 0.5 * friction * exponent) / (mass_flow * rise)
        return inlet, by_end / rise, by_flow

    def downstream(self, inlet_pressure: float, mass_flow: float) -> float | None:
        """Outlet pressure [Pa] left of an inlet pressure [Pa] at a flow [kg/s], or None: choked, the hose cannot pass that flow."""
        if mass_flow <= 0.0:
            return inlet_pressure
        slope = self.stream.virial_slope
        flux = self._flux * mass_flow * mass_flow
        if _too_fast(inlet_pressure, flux, slope):
            return None
        loss = self.friction_factor(mass_flow) * self._slender + self.loss_coefficient
        start = _integral(inlet_pressure, slope) - 0.5 * flux * loss
        density = _density(inlet_pressure, slope)

        def excess(pressure: float) -> float:
            return start - _integral(pressure, slope) - flux * math.log(density / _density(pressure, slope))

        lowest = _choking_pressure(flux, slope)
        at_lowest = excess(lowest)
        if at_lowest < 0.0:
            return None
        return bracketed_root(excess, lowest, inlet_pressure, value_low=at_lowest)

    def largest_flow(self, inlet_pressure: float, outlet_pressure: float) -> tuple[float, bool]:
        """Flow [kg/s] between two pressures [Pa], and whether the hose is choked at it. Zero when the inlet is not the higher."""
        if inlet_pressure <= outlet_pressure:
            return 0.0, False
        guess = math.sqrt((inlet_pressure**2 - outlet_pressure**2) / (self._flux * (0.03 * self._slender + self.loss_coefficient)))
        flow = rising_root(lambda trial: self.upstream(outlet_pressure, trial) - inlet_pressure, guess)
        return flow, self.chokes(outlet_pressure, flow)

    def resistance(self) -> float:
        """Rough (p1² - p2²) / m² [Pa² s²/kg²], for first guesses only."""
        return self._flux * (0.03 * self._slender + self.loss_coefficient)


def _density(pressure: float, slope: float) -> float:
    """Density times R T [Pa]."""
    x = slope * pressure
    return pressure * (1.0 - x + x * x)


def _integral(pressure: float, slope: float) -> float:
    """Integral of density times R T over pressure [Pa²]."""
    x = slope * pressure
    return pressure * pressure * (0.5 - x / 3.0 + 0.25 * x * x)


def _too_fast(pressure: float, flux: float, slope: float) -> bool:
    """Whether this flux would pass the isothermal sound speed at this pressure."""
    x = slope * pressure
    return bool(_density(pressure, slope) ** 2 <= flux * (1.0 - 2.0 * x + 3.0 * x * x))


def _choking_pressure(flux: float, slope: float) -> float:
    """End-plane pressure [Pa] at which a flux G² R T [Pa²] is sonic."""
    wanted = math.sqrt(flux)
    pressure = wanted
    if slope == 0.0:
        return pressure
    for _ in range(60):  # secant-free Newton on p q / sqrt(q2), close to p itself
        x = slope * pressure
        bend = 1.0 - 2.0 * x + 3.0 * x * x
        root = math.sqrt(bend)
        value = pressure * (1.0 - x + x * x) / root
        rise = root - value * (3.0 * x - 1.0) * slope / bend
        step = (value - wanted) / rise
        pressure -= step
        if abs(step) < 1e-9 * pressure:
            break
    return pressure
