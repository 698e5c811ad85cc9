"""Acetylene dissolved in acetone: pressure from mass and temperature, mass from pressure, and the cold that drawing makes.

Weighing tells the contents; pressure only hints at them. The relation below was fitted by us to nine measured points published
in 1909 (three closed vessels at two temperatures each, three solubilities), by least squares of the logarithm. It misses none by more
than 10 %, most by less than 6 %.
"""

import math
from typing import NamedTuple

from steadycone.errors import OutOfRange, SolveError

ACETYLENE_MOLAR_MASS = 0.026038  # kg/mol
ACETONE_MOLAR_MASS = 0.05808  # kg/mol

# P [atm abs] = x exp(A + B x - C (1/T - 1/288.15 K)), x mole fraction of acetylene: acetylene-over-acetone
_A, _B, _C = 2.505, 1.661, 1981.0
_ATMOSPHERE = 101325.0  # Pa, the unit of the fit
_REFERENCE_TEMPERATURE = 288.15  # K
PRESSURE_DOUBT = 0.15  # relative: the largest miss, 9.2 %, and what the vessels' unstated gas space may hide: acetylene-over-acetone
_ROUNDING = 1e-6  # K: -30 °C and -22 °F are the same end, written two ways
_COLDEST, _HOTTEST = 243.15, 343.15  # K; measured 286 to 323 K, beyond that the fit is carried on

SOLVENT_PER_CONTENT = 1.59  # kg acetone for one kg of full content, 12.7 kg for 8 kg: acetone-share
SOLVENT_PER_CONTENT_BAND = (1.45, 1.75)  # acetone-share

# Cooling by drawing, for a cylinder of 8 kg full content: acetylene-cooling
HEAT_OF_DESORPTION = 15e3  # J/mol
MODEL_HEAT_CAPACITY = 61e3  # J/K, of steel, mass, acetone and gas together
MODEL_WALL = 6.4  # W/K to still air
MODEL_CONTENT = 8.0  # kg


class MassBand(NamedTuple):
    """Acetylene in a cylinder [kg]: best estimate and its ends."""

    value: float
    low: float
    high: float


def pressure_over_solution(mass_acetylene: float, mass_acetone: float, temperature: float) -> float:
    """Settled pressure over acetylene dissolved in acetone.

    Parameters
    ----------
    mass_acetylene, mass_acetone : float   [kg], 0 or more and above 0; the gas space is neglected
    temperature : float   [K], of the liquid, settled

    Returns
    -------
    float   [Pa absolute]

    Raises
    ------
    OutOfRange : a mass is not positive, or the temperature is outside -30..70 °C.

    Holds for   13 to 50 °C as measured, carried on to -30..70 °C; up to 0.65 mole fraction (0.84 kg/kg); within 15 %.
    Source      acetylene-over-acetone
    """
    _check(mass_acetone, temperature)
    if not mass_acetylene >= 0.0:
        raise OutOfRange(f"a mass of acetylene of {mass_acetylene:g} kg must not be below 0", where="mass")
    moles = mass_acetylene / ACETYLENE_MOLAR_MASS
    return _pressure(moles / (moles + mass_acetone / ACETONE_MOLAR_MASS), temperature)


def mass_from_pressure(pressure: float, mass_acetone: float, temperature: float) -> float:
    """Acetylene dissolved in acetone at a settled pressure [kg]: the inverse of `pressure_over_solution`.

    Parameters
    ----------
    pressure : float   [Pa absolute], 0 or more
    mass_acetone : float   [kg], above 0
    temperature : float   [K]

    Raises
    ------
    OutOfRange : as above, or the pressure is one that no loading of acetone reaches.
    """
    _check(mass_acetone, temperature)
    if not 0.0 <= pressure < _pressure(0.9, temperature):
        raise OutOfRange(
            f"{pressure / 1e5:.3g} bar abs at {temperature - 273.15:.0f} °C is no pressure of acetylene in acetone",
            where="pressure",
            try_="Check the pressure and the cylinder's temperature.",
        )
    share = _mole_fraction(pressure, temperature)
    return share / (1.0 - share) * mass_acetone / ACETONE_MOLAR_MASS * ACETYLENE_MOLAR_MASS


def mass_band(pressure: float, mass_acetone: tuple[float, float, float], temperature: float) -> MassBand:
    """Acetylene from a pressure reading with all that is not known about it.

    Parameters
    ----------
    pressure : float   [Pa absolute]
    mass_acetone : (low, value, high)   [kg]; three equal figures when the solvent is stamped on the cylinder
    temperature : float   [K]

    Source      acetylene-over-acetone; the ends are 15 % of pressure and the solvent's own ends together
    """
    low, value, high = mass_acetone
    return MassBand(
        mass_from_pressure(pressure, value, temperature),
        mass_from_pressure(pressure / (1.0 + PRESSURE_DOUBT), low, temperature),
        mass_from_pressure(pressure / (1.0 - PRESSURE_DOUBT), high, temperature),
    )


def solvent_of(full_content: float) -> tuple[float, float, float]:
    """Acetone (low, value, high) [kg] in a cylinder of a full content [kg] whose stamp is not to hand. Source: acetone-share."""
    if not full_content > 0.0:
        raise OutOfRange(f"a full content of {full_content:g} kg must be above 0", where="content")
    low, high = SOLVENT_PER_CONTENT_BAND
    return low * full_content, SOLVENT_PER_CONTENT * full_content, high * full_content


def warming(before: float, after: float) -> float:
    """Factor on the absolute pressure of one and the same cylinder from a temperature [K] to another [K]; what it holds does not matter.

    Holds for   -30 to 70 °C as `pressure_over_solution`; carried on beyond, where it errs by the doubt of one figure.
    Source      acetylene-over-acetone
    """
    return math.exp(-_C * (1.0 / after - 1.0 / before))


def saturation_mass(mass_acetone: float, temperature: float = _REFERENCE_TEMPERATURE, atmosphere: float = _ATMOSPHERE) -> float:
    """Acetylene that stays in the acetone at atmospheric pressure [kg]: it never leaves through a regulator.

    A tare stamped "with saturation gas" holds it already, so gross less that tare is all usable; of gross less a tare without it,
    this much stays behind. About 0.48 kg for 12.7 kg of acetone at 15 °C.
    """
    return mass_from_pressure(atmosphere, mass_acetone, temperature)


def usable_mass(gross: float, tare: float, mass_acetone: float, tare_holds_saturation: bool) -> float:
    """Acetylene that can be drawn down to atmospheric pressure [kg], 0 at least, from weighing [kg]."""
    stays = 0.0 if tare_holds_saturation else saturation_mass(mass_acetone)
    return max(0.0, gross - tare - stays)


def cooling(draw: float, time: float, full_content: float = MODEL_CONTENT) -> float:
    """How much colder a cylinder gets while acetylene is drawn [K, 0 or more].

    Parameters
    ----------
    draw : float   [mol/s] from this one cylinder, steady
    time : float   [s] since the draw began; math.inf for the steady end
    full_content : float   [kg]; heat capacity goes with it, wall with its two-thirds power

    Returns
    -------
    float   [K]

    Holds for   still air, the whole cylinder at one temperature; an order of magnitude for what it means at the valve.
    Source      acetylene-cooling
    """
    if not (draw >= 0.0 and time >= 0.0 and full_content > 0.0):
        raise OutOfRange("draw and time must not be below 0, and the full content must be above 0", where="draw")
    size = full_content / MODEL_CONTENT
    wall, capacity = MODEL_WALL * float(size ** (2.0 / 3.0)), MODEL_HEAT_CAPACITY * size
    return draw * HEAT_OF_DESORPTION / wall * -math.expm1(-time * wall / capacity)


def _check(mass_acetone: float, temperature: float) -> None:
    if not mass_acetone > 0.0:
        raise OutOfRange(f"a mass of acetone of {mass_acetone:g} kg must be above 0", where="acetone")
    if not _COLDEST - _ROUNDING <= temperature <= _HOTTEST + _ROUNDING:
        raise OutOfRange(
            f"{temperature - 273.15:.0f} °C is outside what is known of dissolved acetylene, -30 to 70 °C", where="temperature"
        )


def _pressure(share: float, temperature: float) -> float:
    return _ATMOSPHERE * share * math.exp(_A + _B * share - _C * (1.0 / temperature - 1.0 / _REFERENCE_TEMPERATURE))


def _mole_fraction(pressure: float, temperature: float) -> float:
    if pressure == 0.0:
        return 0.0
    wanted = math.log(pressure / _pressure(1e-300, temperature) * 1e-300)  # ln(x exp(B x))
    share = 0.5
    for _ in range(50):
        step = (math.log(share) + _B * share - wanted) / (1.0 / share + _B)
        share = max(share - step, share / 10.0)
        if abs(step) < 1e-13 * share:
            return share
    raise SolveError(f"mole fraction at {pressure:.0f} Pa and {temperature:.1f} K did not settle", where="acetylene")
