"""An arrestor, check valve or valve known by its flow curve: ISO 6358's sonic conductance and critical ratio.

    m = C rho0 p1 sqrt(T0/T) w(r),   w = 1 for r = p2/p1 <= b,   else sqrt(1 - ((r - b)/(1 - b))²)

C belongs to the part, not to the gas, once it is written for the reference air. For another gas the flow goes with
1/sqrt(R T); where it is sonic also with the gamma factor g = C*(gamma)/C*(1.4). The loss at small drops knows nothing of gamma,
so b moves with g such that the small-drop loss stays: 1 - b' = g² (1 - b). For a sharp opening with acetylene that gives 0.570
where theory has 0.560.

The curve knows no Reynolds number. A part so fine that flow in it is laminar loses more than the curve says far below the flows
it was fitted at, and another viscosity is not allowed for (one such valve: 28 per cent, tests/published).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from steadycone.errors import OutOfRange
from steadycone.physics.flow.orifice import critical_coefficient, critical_ratio
from steadycone.physics.flow.stream import Stream

REFERENCE_DENSITY = 1.185  # kg/m³ at 1 bar absolute, 20 °C, 65 % relative humidity: iso-6358
REFERENCE_PRESSURE = 1e5  # Pa
AIR_GAMMA = 1.4
ASSUMED_CRITICAL_RATIO = 0.3  # one-point-ratio
ASSUMED_CRITICAL_BAND = (0.2, 0.5)
# rho0 sqrt(R0 T0) with R0 T0 = p0/rho0: the reference temperature drops out
_REFERENCE = math.sqrt(REFERENCE_DENSITY * REFERENCE_PRESSURE)
_AIR_CHOKED = critical_coefficient(AIR_GAMMA)


def _service(stream: Stream, critical_ratio: float) -> tuple[float, float]:
    """Choked flow per inlet pressure and conductance [kg/m³], and critical ratio, for a gas."""
    factor = critical_coefficient(stream.gamma) / _AIR_CHOKED
    ratio = max(0.0, 1.0 - factor * factor * (1.0 - critical_ratio))
    return factor * _REFERENCE / math.sqrt(stream.gas_constant * stream.temperature), ratio


def _share(ratio: float, critical_ratio: float) -> float:
    """w(r): flow over choked flow."""
    if ratio <= critical_ratio:
        return 1.0
    return math.sqrt(max(0.0, 1.0 - ((ratio - critical_ratio) / (1.0 - critical_ratio)) ** 2))


@dataclass(frozen=True, slots=True)
class Resistance:
    """A part known by its flow curve.

    stream : the gas; conductance : sonic conductance C for the reference air [m³/(s Pa)]; critical_ratio : b for air [-, 0 to 1);
    cracking : pressure that holds the part shut, lost at every flow [Pa].

    Raises OutOfRange for a conductance not above zero, a ratio outside 0 <= b < 1, or a cracking pressure below zero.
    Source      iso-6358; gas-conversion
    """

    stream: Stream
    conductance: float
    critical_ratio: float
    cracking: float = 0.0
    _factor: float = field(init=False, repr=False, compare=False)  # choked flow per inlet pressure [kg/(s Pa)]
    _ratio: float = field(init=False, repr=False, compare=False)  # b for this gas

    def __post_init__(self) -> None:
        if not self.conductance > 0.0:
            raise OutOfRange(f"sonic conductance {self.conductance} m³/(s Pa) must be above 0", where="part")
        if not 0.0 <= self.critical_ratio < 1.0:
            raise OutOfRange(f"critical ratio {self.critical_ratio} must be 0 or more and below 1", where="part")
        if not self.cracking >= 0.0:
            raise OutOfRange(f"cracking pressure {self.cracking} Pa must not be below 0", where="part")
        factor, ratio = _service(self.stream, self.critical_ratio)
        object.__setattr__(self, "_factor", factor * self.conductance)
        object.__setattr__(self, "_ratio", ratio)

    def mass_flow(self, inlet_pressure: float, outlet_pressure: float) -> float:
        """Flow [kg/s] between two pressures [Pa]; zero when the inlet less the cracking pressure is not the higher."""
        inlet = inlet_pressure - self.cracking
        if inlet <= outlet_pressure:
            return 0.0
        return self._factor * inlet * _share(outlet_pressure / inlet, self._ratio)

    def chokes(self, outlet_pressure: float, mass_flow: float) -> bool:
        """Whether the part is sonic at this flow [kg/s] against this pressure [Pa]."""
        return mass_flow > 0.0 and outlet_pressure <= self._ratio * mass_flow / self._factor

    def upstream(self, outlet_pressure: float, mass_flow: float) -> float:
        """Inlet pressure [Pa] that drives a flow [kg/s, 0 or more] against an outlet pressure [Pa]; cracking pressure included."""
        return self.upstream_slopes(outlet_pressure, mass_flow)[0]

    def upstream_slopes(self, outlet_pressure: float, mass_flow: float) -> tuple[float, float, float]:
        """Inlet pressure [Pa], and its derivatives by outlet pressure [-] and by flow [Pa s/kg]. Closed form."""
        if mass_flow <= 0.0:
            return outlet_pressure + self.cracking, 1.0, 0.0
        factor, ratio = self._factor, self._ratio
        choked = mass_flow / factor
        if outlet_pressure <= ratio * choked:
            return choked + self.cracking, 0.0, 1.0 / factor
        rest, twice = 1.0 - ratio, 1.0 - 2.0 * ratio
        root = math.sqrt(outlet_pressure * outlet_pressure + twice * choked * choked)
        below = ratio * outlet_pressure + rest * root
        inlet = (outlet_pressure * outlet_pressure + rest * rest * choked * choked) / below
        by_choked = rest * choked * (2.0 * rest - inlet * twice / root) / below
        return inlet + self.cracking, (inlet - choked * by_choked) / outlet_pressure, by_choked / factor

    def downstream(self, inlet_pressure: float, mass_flow: float) -> float | None:
        """Outlet pressure [Pa] left of an inlet pressure [Pa], or None: choked, the part cannot pass that flow."""
        inlet = inlet_pressure - self.cracking
        choked = mass_flow / self._factor
        if choked > inlet or inlet <= 0.0:
            return None
        return inlet * (self._ratio + (1.0 - self._ratio) * math.sqrt(1.0 - (choked / inlet) ** 2))

    def resistance(self) -> float:
        """Rough (p1² - p2²) / m² [Pa² s²/kg²], for first guesses only."""
        return (1.0 - self._ratio) / self._factor**2


class FlowPoint(NamedTuple):
    """One point of a flow curve: inlet_pressure [Pa absolute], drop [Pa], mass_flow [kg/s], stream of the test gas."""

    inlet_pressure: float
    drop: float
    mass_flow: float
    stream: Stream


class Fit(NamedTuple):
    """conductance [m³/(s Pa)], critical_ratio [-], and spread: the worst relative miss of a point's flow [-]."""

    conductance: float
    critical_ratio: float
    spread: float


def fit(points: Sequence[FlowPoint], cracking: float = 0.0) -> Fit:
    """Sonic conductance and critical ratio from points of a flow curve.

    One point cannot tell both: the ratio is then assumed 0.3 (see fit_band for its band). Two or more are fitted by least squares
    of the relative flow; where they do not tell the ratio (all at small drops), it stays near 0.3.

    Raises
    ------
    OutOfRange : no points, or a drop, flow or inlet pressure that is not above zero, or a drop as large as the absolute inlet pressure.

    Source      iso-6358; one-point-ratio
    """
    return _fit(tuple(points), cracking)


@lru_cache(maxsize=512)  # many stations have the same few arrestors
def _fit(points: tuple[FlowPoint, ...], cracking: float) -> Fit:
    for number, point in enumerate(points, start=1):
        if not (0.0 < point.drop < point.inlet_pressure and point.mass_flow > 0.0 and point.drop > cracking):
            raise OutOfRange(
                "flow must be above 0, and drop above the cracking pressure and below the absolute inlet",
                where=f"flow point {number}",
                try_="Check the point's drop against its inlet and against the pressure that holds the part shut.",
            )
    if not points:
        raise OutOfRange("at least one flow point is needed", where="flow points")
    if len(points) == 1:
        return fit_at(points, ASSUMED_CRITICAL_RATIO, cracking)[0]
    best = min((n / 50.0 for n in range(48)), key=lambda b: fit_at(points, b, cracking)[1])
    low, high = max(0.0, best - 0.02), min(0.95, best + 0.02)
    for _ in range(60):  # golden section: the misfit has one valley between the grid's neighbours
        left, right = high - 0.6180339887498949 * (high - low), low + 0.6180339887498949 * (high - low)
        if fit_at(points, left, cracking)[1] < fit_at(points, right, cracking)[1]:
            high = right
        else:
            low = left
    return fit_at(points, 0.5 * (low + high), cracking)[0]


def fit_at(points: Sequence[FlowPoint], critical_ratio: float, cracking: float = 0.0) -> tuple[Fit, float]:
    """The best conductance for a given critical ratio, and the misfit that is to be smallest."""
    shares = []
    for point in points:
        factor, ratio = _service(point.stream, critical_ratio)
        inlet = point.inlet_pressure - cracking
        shares.append(factor * inlet * _share((point.inlet_pressure - point.drop) / inlet, ratio) / point.mass_flow)
    conductance = sum(shares) / sum(share * share for share in shares)
    misses = [conductance * share - 1.0 for share in shares]
    # the tiny pull towards 0.3 settles the ratio where the points cannot; it moves no flow by more than 0.05 per cent
    misfit = sum(miss * miss for miss in misses) + 1e-6 * (critical_ratio - ASSUMED_CRITICAL_RATIO) ** 2
    return Fit(conductance, critical_ratio, max(abs(miss) for miss in misses)), misfit


def fit_band(points: Sequence[FlowPoint], cracking: float = 0.0) -> tuple[Fit, Fit]:
    """The fits that lose least and most pressure: for one point the ratio's band, for more the fit's spread on the conductance.

    With one point, a low ratio loses least beyond the point and a high one most; below the point it is the other way, by less.
    """
    return _fit_band(tuple(points), cracking)


@lru_cache(maxsize=512)
def _fit_band(points: tuple[FlowPoint, ...], cracking: float) -> tuple[Fit, Fit]:
    middle = _fit(points, cracking)
    if len(points) == 1:
        low, high = ASSUMED_CRITICAL_BAND
        return fit_at(points, low, cracking)[0], fit_at(points, high, cracking)[0]
    return (
        middle._replace(conductance=middle.conductance * (1.0 + middle.spread)),
        middle._replace(conductance=middle.conductance * (1.0 - middle.spread)),
    )


def equivalent_bore(bore: float, coefficient: float = 0.6) -> float:
    """Effective area [m²] of a sharp opening of a bore [m] with a discharge coefficient [-]: what an Orifice takes.

    Source      sharp-opening-coefficient
    """
    return coefficient * math.pi / 4.0 * bore * bore


def of_opening(area: float) -> tuple[float, float]:
    """Sonic conductance [m³/(s Pa)] and critical ratio [-] of a sharp opening of an effective area [m²].

    What an Orifice is when it is sonic; between there and a standstill its flow by the curve of ISO 6358 is up to 2.2 % off (tests/reference).

    Source      iso-6358; nozzle-ideal
    """
    return area * _AIR_CHOKED / _REFERENCE, critical_ratio(AIR_GAMMA)
