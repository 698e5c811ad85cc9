"""What a regulator's gauges can show, and what a person can set on them."""

import math
from dataclasses import dataclass
from typing import Any

from steadycone.data.reader import toml
from steadycone.quantity import Quantity, band, unknown
from steadycone.station.regulator import Regulator
from steadycone.units import Pressure, PressureDifference, unit_size


@dataclass(frozen=True, slots=True)
class Gauges:
    """Full scales, smallest readable changes and errors of both gauges, Pa."""

    inlet_scale: float
    outlet_scale: float
    inlet_division: float
    outlet_division: float
    inlet_error: float
    outlet_error: float
    step: float  # what one turns the screw by: the outlet division if stated, else a round one below it


def gauge_class(region: str) -> float:
    """Error of a gauge whose class is not stated [per cent of full scale].

    Source      memory-regulator-defaults; gauge-class-us
    """
    defaults = toml("defaults.toml")["regulator"]
    return float(defaults["gauge_class_region"].get(region, defaults["gauge_class"]))


def gauges(regulator: Regulator, region: str) -> Gauges:
    """The gauges as stated, else the usual ones for the ratings and the region."""
    defaults = toml("defaults.toml")["regulator"]
    share = (regulator.gauge_class.si if regulator.gauge_class else gauge_class(region)) / 100
    inlet = _scale(regulator.inlet_scale, regulator.inlet_rating or _largest_inlet(regulator.gas, defaults))
    outlet = _scale(regulator.outlet_scale, regulator.outlet_rating)
    return Gauges(
        inlet_scale=inlet,
        outlet_scale=outlet,
        inlet_division=_division(regulator.inlet_division, inlet / divisions()),
        outlet_division=_division(regulator.outlet_division, outlet / divisions()),
        inlet_error=share * inlet,
        outlet_error=share * outlet,
        step=regulator.outlet_division.si if regulator.outlet_division else round_step(outlet / divisions(), regulator.outlet_rating.unit),
    )


def divisions() -> float:
    """How many readable steps a scale has where the file does not say. Source: memory-regulator-defaults."""
    return float(toml("defaults.toml")["regulator"]["divisions"])


def _division(given: PressureDifference | None, default: float) -> float:
    return given.si if given else default


def _largest_inlet(gas: str, defaults: dict[str, Any]) -> Pressure:
    """Of a regulator without an inlet rating: the largest usual one, whose gauge shows least."""
    usual = defaults["inlet_rating"]
    return Pressure.parse(usual.get(gas, usual["other"]))


def _scale(given: Pressure | None, rating: Pressure) -> float:
    """Full scale [Pa]: as given, else the next usual scale above the rating in the rating's own family of units."""
    if given is not None:
        return given.si
    defaults = toml("defaults.toml")["regulator"]
    unit = "psi" if rating.unit == "psi" else "bar"
    size = unit_size(Pressure, unit)
    wanted = defaults["scale_over_rating"] * rating.si / size
    return float(next((scale for scale in defaults[f"scales_{unit}"] if scale >= wanted), wanted) * size)


def round_step(division: float, unit: str) -> float:
    """The largest 1-2-5 step [Pa], in the gauge's own unit, that is not coarser than a division [Pa]."""
    size = unit_size(Pressure, unit if unit in ("psi", "kPa") else "bar")
    power = 10.0 ** math.floor(math.log10(division / size))
    return max(step * power for step in (1, 2, 5) if step * power <= division / size * (1 + 1e-9)) * size


def settable(flowing: Quantity, gauge: Gauges, ceiling: float) -> Quantity:
    """What to read on the outlet gauge for a wanted flowing pressure; low and high = the true pressure it may then be.

    The nearest step, or the next one up where the nearest would starve the tip, or the one below where the step up would pass
    the ceiling [Pa gauge: cap or rating, before lock-up] and the wanted pressure itself would not.
    """
    if flowing.value is None:
        return unknown("gauge pressure")
    slack: float = toml("defaults.toml")["setting"]["slack"]
    step, wanted = gauge.step, flowing.value
    reading = round(wanted / step) * step
    if reading < wanted * (1 - slack):
        reading = math.ceil(wanted / step - 1e-9) * step
    if reading > ceiling >= wanted and reading - step >= wanted * (1 - slack):
        reading -= step
    return band(reading, max(0.0, reading - gauge.outlet_error), reading + gauge.outlet_error, "gauge pressure")
