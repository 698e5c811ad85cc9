"""Text with a unit to SI, and SI back to a unit. One class a kind of value; the text as written is kept."""

import math
import re
from functools import cache
from typing import ClassVar, Self

from steadycone.errors import BadUnit, OutOfRange
from steadycone.given_date import GivenDate as GivenDate  # read by others from here, as are the next two
from steadycone.measure import Measure as Measure
from steadycone.numerals import split as split

GAS_CONSTANT = 8.314462618  # J/(mol K), exact by the 2019 SI
ATMOSPHERE = 101325.0  # Pa, standard atmosphere, exact
NORMAL_MOLAR_VOLUME = 22.41397e-3  # m³/mol, ideal gas at 0 °C and 1.01325 bar (CODATA 2018: 22.413 969 54)
ZERO_CELSIUS = 273.15
_INCH, _POUND = 0.0254, 0.45359237
_PSI = _POUND * 9.80665 / _INCH**2
_CUBIC_FOOT = (12 * _INCH) ** 3


class Length(Measure):
    kind, example = "length", "6.3 mm"
    smallest = 1e-8
    units: ClassVar = {
        "mm": 1e-3,
        "m": 1.0,
        "cm": 1e-2,
        "in": _INCH,
        "ft": 12 * _INCH,
        "µm": 1e-6,
        "um": 1e-6,
        "km": 1e3,
        "inch": _INCH,
        '"': _INCH,
        "yd": 36 * _INCH,
    }
    least, most, above_least = 0.0, 1e5, True


class Roughness(Length):
    kind, example = "roughness", "0.01 mm"
    least, most, above_least = 0.0, 1e-3, False


class Volume(Measure):
    """A geometric volume, such as a cylinder's water volume."""

    kind, example = "volume", "50 L"
    smallest = 1e-9
    units: ClassVar = {
        "L": 1e-3,
        "m3": 1.0,
        "mL": 1e-6,
        "ml": 1e-6,
        "l": 1e-3,
        "cm3": 1e-6,
        "ft3": _CUBIC_FOOT,
        "in3": _INCH**3,
        "dm3": 1e-3,
        "cu ft": _CUBIC_FOOT,
    }
    least, most, above_least = 0.0, 1e7, True


class Mass(Measure):
    kind, example = "mass", "8 kg"
    smallest = 1e-6
    units: ClassVar = {"kg": 1.0, "g": 1e-3, "lb": _POUND, "lbs": _POUND, "t": 1e3, "oz": _POUND / 16}
    least, most = 0.0, 1e6

    @classmethod
    def _from(cls, value: float, unit: str, half: float, text: str, reference: "ReferenceState | None") -> Self:
        """A mass in pounds may go on in ounces, as a cylinder is stamped: "62 lb 8 oz"."""
        pounds, mark, rest = unit.partition(" ")
        if not mark or pounds not in ("lb", "lbs"):
            return super()._from(value, unit, half, text, reference)
        ounces, rest_unit, rest_half = split(rest)
        if rest_unit not in ("oz", "ounces") or not value.is_integer():
            raise BadUnit(f'"{text}": whole pounds and then ounces are read, nothing else', try_='Write for example "62 lb 8 oz".')
        if not 0 <= ounces < 16:
            raise OutOfRange(f'"{text}": {ounces:g} ounces; a pound has 16', try_='Write for example "62 lb 8 oz".')
        ounce = cls.units["oz"]
        return cls(value * cls.units["lb"] + math.copysign(ounces * ounce, value), text, rest_half * ounce, "lb")


class Duration(Measure):
    kind, example = "time", "40 min"
    smallest = 1e-3
    units: ClassVar = {
        "min": 60.0,
        "s": 1.0,
        "h": 3600.0,
        "hours": 3600.0,
        "hour": 3600.0,
        "minutes": 60.0,
        "seconds": 1.0,
        "days": 86400.0,
        "day": 86400.0,
    }
    least, most = 0.0, 1e8


class Speed(Measure):
    kind, example = "speed", "400 mm/min"
    smallest = 1e-8
    units: ClassVar = {
        "mm/min": 1e-3 / 60, "m/min": 1 / 60, "cm/min": 1e-2 / 60, "mm/s": 1e-3, "m/h": 1 / 3600, "in/min": _INCH / 60, "ipm": _INCH / 60,
        "ft/min": 12 * _INCH / 60, "ft/h": 12 * _INCH / 3600, "m/s": 1.0,
    }  # fmt: skip
    least, most, above_least = 0.0, 10.0, True


class Angle(Measure):
    """Degrees: SI would be radians, but nobody at a bench thinks in them."""

    kind, example = "angle", "30°"
    units: ClassVar = {"°": 1.0, "deg": 1.0, "degrees": 1.0}
    least, most = 0.0, 80.0


class Number(Measure):
    kind, example = "number", "2.5"
    smallest = 1e-9
    units: ClassVar = {"": 1.0}
    least, most = 0.0, 1e9

    @classmethod
    def _bare(cls, given: float) -> Self:
        return cls(float(given), f"{given:g}")


class Share(Measure):
    """A share of one: "30 %", 0.3 or a fraction such as "1/7"."""

    kind, example = "share", "30 %"
    smallest = 1e-9
    units: ClassVar = {"%": 0.01, "": 1.0, "per cent": 0.01}
    least, most = 0.0, 10.0

    @classmethod
    def _bare(cls, given: float) -> Self:
        return cls(float(given), f"{given:g}")


class Temperature(Measure):
    kind, example = "temperature", "12 °C"
    units: ClassVar = {"°C": 1.0, "°F": 5 / 9, "K": 1.0, "C": 1.0, "F": 5 / 9, "degC": 1.0, "degF": 5 / 9}
    _zero: ClassVar = {
        "°C": 273.15,
        "C": 273.15,
        "degC": 273.15,
        "K": 0.0,
        "°F": 459.67 * 5 / 9,
        "F": 459.67 * 5 / 9,
        "degF": 459.67 * 5 / 9,
    }
    least, most, above_least = 0.0, 5000.0, True

    @classmethod
    def _from(cls, value: float, unit: str, half: float, text: str, reference: "ReferenceState | None") -> Self:
        size = cls.size_of(unit, text)
        return cls(value * size + cls._zero[unit], text, half * size, unit)

    def _allowed(self) -> str:
        return "above absolute zero (-273.15 °C, -459.67 °F)" if self.si <= 0 else "at most 5000 K"


_PRESSURE_UNITS = {
    "bar": 1e5, "psi": _PSI, "kPa": 1e3, "MPa": 1e6, "mbar": 100.0, "Pa": 1.0, "kgf/cm2": 98066.5, "kg/cm2": 98066.5, "atm": ATMOSPHERE,
    "inHg": 3386.389, "mmHg": 133.322387, "inH2O": 249.08891, "mmH2O": 9.80665, "hPa": 100.0,
}  # fmt: skip
_SHORT = {
    "barg": "bar",
    "bara": "bar abs",
    "psig": "psi",
    "psia": "psi abs",
    "bar(g)": "bar",
    "bar(a)": "bar abs",
    "kPag": "kPa",
    "kPaa": "kPa abs",
}
_GAUGE_WORDS = re.compile(r"^(.*?)[ (]*\b(g|gauge|a|abs|absolute)\b\)?\.?$")


class Pressure(Measure):
    """Gauge unless the text says abs. `si` is as written; `absolute` says which."""

    kind, example = "pressure", "3.5 bar"
    smallest = 0.1
    units: ClassVar = _PRESSURE_UNITS
    least, most = -ATMOSPHERE, 1e8
    __slots__ = ("absolute",)

    def __init__(self, si: float, text: str = "", half_digit: float = 0.0, unit: str = "", absolute: bool = False) -> None:
        self.absolute = absolute
        super().__init__(si, text, half_digit, unit)

    def _check(self) -> None:
        if self.si < (0.0 if self.absolute else self.least):
            raise OutOfRange(
                f'pressure "{self.text or self.si}" is below vacuum',
                try_="The lowest gauge pressure is -1.013 bar; absolute pressure starts at 0.",
            )
        if not self.si <= self.most:
            raise OutOfRange(f'pressure "{self.text or self.si}" is over 1000 bar', try_='Check the unit; write for example "140 bar".')

    @classmethod
    def _from(cls, value: float, unit: str, half: float, text: str, reference: "ReferenceState | None") -> Self:
        unit = _SHORT.get(unit, unit)
        absolute = False
        if unit not in cls.units and (said := _GAUGE_WORDS.match(unit)):
            unit, absolute = said[1].strip(), said[2].startswith("a")
        size = cls.size_of(unit, text)
        return cls(value * size, text, half * size, unit, absolute)

    def gauge(self, atmosphere: float) -> float:
        """Pa above the station's atmosphere."""
        return self.si - atmosphere if self.absolute else self.si

    def abs(self, atmosphere: float) -> float:
        """Pa absolute."""
        return self.si if self.absolute else self.si + atmosphere

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Pressure) and (self.si, self.absolute) == (other.si, other.absolute)

    __hash__ = Measure.__hash__


class PressureDifference(Measure):
    kind, example = "pressure difference", "0.2 bar"
    smallest = 0.01
    units: ClassVar = _PRESSURE_UNITS
    least, most = 0.0, 1e8


class ReferenceState:
    """Temperature [K] and pressure [Pa abs] that a stated gas volume refers to."""

    __slots__ = ("pressure", "temperature", "text")

    def __init__(self, temperature: float, pressure: float, text: str) -> None:
        self.temperature, self.pressure, self.text = temperature, pressure, text

    @classmethod
    def parse(cls, given: object) -> "ReferenceState":
        """ "15 °C, 1.01325 bar"; the pressure is absolute by its nature."""
        parts = str(given).split(",")
        if not isinstance(given, str) or len(parts) != 2:
            raise BadUnit(f"{given!r} is not a reference state", try_='Write temperature and pressure: "15 °C, 1.01325 bar".')
        temperature, pressure = Temperature.parse(parts[0].strip()), Pressure.parse(parts[1].strip())
        if not (200 < temperature.si < 350 and 5e4 < pressure.si < 2e5):
            raise OutOfRange(f'reference state "{given}" is far from any in use', try_='Write for example "15 °C, 1.01325 bar".')
        return cls(temperature.si, pressure.si, given)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ReferenceState) and self._key == other._key

    def __hash__(self) -> int:
        return hash(self._key)

    @property
    def _key(self) -> tuple[float, float, str]:
        return self.temperature, self.pressure, self.text

    @property
    def moles_per_cubic_metre(self) -> float:
        return 1 / NORMAL_MOLAR_VOLUME if self.text == "normal" else self.pressure / (GAS_CONSTANT * self.temperature)


NORMAL = ReferenceState(ZERO_CELSIUS, ATMOSPHERE, "normal")
US_70F = ReferenceState((70 + 459.67) * 5 / 9, 14.696 * _PSI, "70 °F, 14.696 psi")

# Volume units of gas: cubic metres of one, and the state meant where nothing else is stated.
_GAS_VOLUMES: dict[str, tuple[float, ReferenceState]] = {
    "m3": (1.0, NORMAL), "L": (1e-3, NORMAL), "l": (1e-3, NORMAL), "mL": (1e-6, NORMAL), "cm3": (1e-6, NORMAL), "dm3": (1e-3, NORMAL),
    "ft3": (_CUBIC_FOOT, US_70F), "cu ft": (_CUBIC_FOOT, US_70F), "cf": (_CUBIC_FOOT, US_70F),
}  # fmt: skip
_FIXED_NORMAL = {"Nm3": 1.0, "NL": 1e-3, "N m3": 1.0, "N L": 1e-3}
_FLOW_WORDS = {
    "CFH": "ft3/h",
    "SCFH": "ft3/h",
    "CFM": "ft3/min",
    "SCFM": "ft3/min",
    "cfh": "ft3/h",
    "LPM": "L/min",
    "lpm": "L/min",
    "cm3/min": "cm3/min",
}
_PER = {"h": 3600.0, "hr": 3600.0, "min": 60.0, "s": 1.0}


def _gas_volume(unit: str, reference: ReferenceState | None) -> float | None:
    """Moles in one of this volume unit, or None when it is no volume unit."""
    if unit in _FIXED_NORMAL:
        return _FIXED_NORMAL[unit] * NORMAL.moles_per_cubic_metre
    if unit in _GAS_VOLUMES:
        size, usual = _GAS_VOLUMES[unit]
        return size * (reference or usual).moles_per_cubic_metre
    return None


class _Gas(Measure):
    """Gas by amount or by mass: `si` in mol (mol/s) or, when `by_mass`, in kg (kg/s)."""

    least, most = 0.0, 1e9
    __slots__ = ("by_mass",)

    def __init__(self, si: float, text: str = "", half_digit: float = 0.0, unit: str = "", by_mass: bool = False) -> None:
        self.by_mass = by_mass
        super().__init__(si, text, half_digit, unit)

    def amount(self, molar_mass: float) -> float:
        """mol (mol/s) of a gas of this molar mass [kg/mol]."""
        return self.si / molar_mass if self.by_mass else self.si

    def half(self, molar_mass: float) -> float:
        """Half of the last digit written, mol (mol/s)."""
        return self.half_digit / molar_mass if self.by_mass else self.half_digit

    def _allowed(self) -> str:
        return "zero or more, and of a size a torch could use"


class GasAmount(_Gas):
    kind, example = "amount of gas", "8 kg"
    units: ClassVar = {"m3": 1.0, "L": 1e-3, "ft3": 1.0, "kg": 1.0, "lb": _POUND, "g": 1e-3}

    @classmethod
    def _from(cls, value: float, unit: str, half: float, text: str, reference: ReferenceState | None) -> Self:
        if (moles := _gas_volume(unit, reference)) is not None:
            return cls(value * moles, text, half * moles, unit)
        if unit in Mass.units:
            size = Mass.units[unit]
            return cls(value * size, text, half * size, unit, by_mass=True)
        cls.size_of(unit, text)
        raise BadUnit(f'"{text}" is not an amount of gas', try_=f'Write for example "{cls.example}".')


class GasFlow(_Gas):
    kind, example = "gas flow", "4 m3/h"
    units: ClassVar = {"m3/h": 1.0, "L/min": 1.0, "L/h": 1.0, "ft3/h": 1.0, "CFH": 1.0, "kg/h": 1.0, "lb/h": 1.0, "m3/min": 1.0, "g/s": 1.0}

    @classmethod
    def _from(cls, value: float, unit: str, half: float, text: str, reference: ReferenceState | None) -> Self:
        volume, _, per = _FLOW_WORDS.get(unit, unit).rpartition("/")
        if per in _PER and (moles := _gas_volume(volume, reference)) is not None:
            return cls(value * moles / _PER[per], text, half * moles / _PER[per], unit)
        if per in _PER and volume in Mass.units:
            size = Mass.units[volume] / _PER[per]
            return cls(value * size, text, half * size, unit, by_mass=True)
        if unit in cls.units:  # pragma: no cover - every listed unit is caught above
            raise AssertionError(unit)
        cls.size_of(unit, text)
        raise AssertionError(unit)  # size_of raises for every unknown unit


class AirFlow(Measure):
    """Fresh air of a room, m³/s at the room's own state. Nothing at all is a flow too."""

    kind, example = "air flow", "600 m3/h"
    units: ClassVar = {
        "m3/h": 1 / 3600, "m3/min": 1 / 60, "m3/s": 1.0, "L/s": 1e-3, "L/min": 1e-3 / 60, "ft3/min": _CUBIC_FOOT / 60,
        "CFM": _CUBIC_FOOT / 60, "cfm": _CUBIC_FOOT / 60, "ft3/h": _CUBIC_FOOT / 3600, "l/s": 1e-3,
    }  # fmt: skip
    least, most = 0.0, 300.0


class Conductance(Measure):
    """Sonic conductance of ISO 6358, m³/(s Pa) at the standard reference atmosphere."""

    kind, example = "sonic conductance", "2.1 L/(s bar)"
    smallest = 1e-14
    units: ClassVar = {"L/(s bar)": 1e-8, "dm3/(s bar)": 1e-8, "m3/(s Pa)": 1.0, "L/(min bar)": 1e-8 / 60, "l/(s bar)": 1e-8}
    least, most, above_least = 0.0, 1e-4, True


class Interval(Measure):
    """A span of the calendar; `si` is in months of a twelfth of a year."""

    kind, example = "interval", "5 years"
    units: ClassVar = {"years": 12.0, "year": 12.0, "months": 1.0, "month": 1.0}
    least, most, above_least = 0.0, 1200.0, True


MEASURES: tuple[type[Measure], ...] = (
    Length, Volume, Mass, Duration, Speed, Angle, Pressure, Temperature, GasFlow, AirFlow, Conductance, Interval, Share,
)  # fmt: skip
Measure.family = MEASURES


@cache
def unit_size(kind: type[Measure], unit: str) -> float:
    """SI size of one unit of a kind; for showing values. Raises BadUnit."""
    return kind.size_of(unit, unit)
