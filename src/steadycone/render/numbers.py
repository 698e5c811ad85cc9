"""Numbers as a region writes them: unit, decimal mark, and no more digits than mean something."""

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any, Literal

from steadycone.data import reader
from steadycone.errors import UnknownName, nearest
from steadycone.quantity import Quantity
from steadycone.units import NORMAL, US_70F, ZERO_CELSIUS, AirFlow, GasAmount, GasFlow, Length, Mass, Pressure, Speed, Volume

Direction = Literal["nearest", "down", "up"]
# kind of quantity: the key of the region's [units] that a person reads it in
_UNIT_KEYS = {
    "gauge pressure": "pressure", "pressure difference": "pressure", "flow": "flow", "amount": "gas", "leak": "leak", "released": "released",
    "volume": "volume", "room": "room", "mass": "mass", "temperature": "temperature",
    "temperature difference": "temperature", "thickness": "small_length", "length": "length",
    "speed": "speed",
}  # fmt: skip
_FIXED = {
    "seconds": "s",
    "minutes": "min",
    "days": "days",
    "angle": "°",
    "share": "%",
    "air share": "%",
    "number": "",
    "count": "",
    "mass flow": "kg/h",
    "velocity": "m/s",
    "gradient": "m/s per mm",
}
_FIXED_SIZE = {
    "s": 1.0,
    "min": 60.0,
    "days": 86400.0,
    "°": 1.0,
    "%": 0.01,
    "": 1.0,
    "kg/h": 1 / 3600,
    "m/s": 1.0,
    "ft/s": 0.3048,
    "m/s per mm": 1e3,
    "ft/s per thou": 12e3,
}
_MOST_DECIMALS = {
    "bar": 2, "psi": 1, "kPa": 0, "m3/h": 2, "L/min": 1, "L/h": 1, "CFH": 1, "CFM": 0, "m3": 1, "ft3": 1, "L": 1, "in3": 0, "kg": 1, "lb": 1,
    "kg/h": 2, "°C": 0, "°F": 0, "mm": 1, "in": 3, "m": 1, "ft": 0, "mm/min": 0, "in/min": 1, "s": 0, "°": 1, "min": 0, "days": 0, "%": 0, "": 2, "m/s": 1, "ft/s": 1, "m/s per mm": 0, "ft/s per thou": 0,
}  # fmt: skip
_FINER = {"air share": 1}  # decimals beyond those of the unit: an oxygen meter shows 20.9 %
_NOTHING = 1e-9  # in any unit that a person reads: told as 0, not as a row of noughts
_MOST_MORE = 9  # decimals beyond the usual that two numbers are told apart by
_SUPERSCRIPT = {"m3": "m³", "ft3": "ft³", "in3": "in³", "m3/h": "m³/h"}


@dataclass(frozen=True, slots=True, eq=False)
class Numbers:
    """How one region writes numbers. There is one a region, and it is told from others by what it is, not by what it holds."""

    units: dict[str, str]
    decimal: str
    thousands: str

    @classmethod
    def of(cls, region: str) -> "Numbers":
        return _numbers(region)

    @property
    def reference_state(self) -> str:
        """The state that flows and volumes of gas are shown at."""
        if self._imperial_gas:
            return self.mark("70 °F, 14.696 psi")
        return self.mark("0 °C, 1.01325 bar")

    @property
    def _imperial_gas(self) -> bool:
        return self.units["gas"] == "ft3"

    def mark(self, plain: str) -> str:
        """Decimal points of a plain text of numbers to the region's own."""
        return plain.replace(".", self.decimal)

    def unit(self, kind: str) -> str:
        """The unit's name for the tables of this program, such as m3."""
        if kind == "air flow":
            return "CFM" if self._imperial_gas else "m3/h"
        if kind == "velocity" and self._imperial_gas:
            return "ft/s"
        if kind == "gradient" and self._imperial_gas:
            return "ft/s per thou"
        return self.units[_UNIT_KEYS[kind]] if kind in _UNIT_KEYS else _FIXED[kind]

    def most_decimals(self, kind: str) -> int:
        """The finest a kind is read to."""
        return _MOST_DECIMALS[self.unit(kind)]

    def unit_shown(self, kind: str) -> str:
        unit = self.unit(kind)
        return _SUPERSCRIPT.get(unit, unit)

    def convert(self, si: float, kind: str, unit: str = "") -> float:
        """An SI value in the region's unit (or the one given)."""
        unit = unit or self.unit(kind)
        if kind == "temperature difference":
            return si * (1.8 if unit == "°F" else 1.0)
        if kind == "temperature":
            return (si - ZERO_CELSIUS) * (1.8 if unit == "°F" else 1.0) + (32.0 if unit == "°F" else 0.0)
        return si / _size(kind, unit, self._imperial_gas)

    def text(self, x: float, decimals: int, direction: Direction = "nearest") -> str:
        """A number with this many decimals, rounded to the nearest or to one side."""
        step = 10.0**decimals
        scaled = x * step
        tolerance = 1e-9 * max(1.0, abs(scaled))  # 4.3 must not become 4.4 for its last binary digit
        whole = {"nearest": round(scaled), "down": math.floor(scaled + tolerance), "up": math.ceil(scaled - tolerance)}[direction]
        plain = f"{abs(whole) / step:.{max(decimals, 0)}f}"
        head, point, tail = plain.partition(".")
        if len(head) > 4:
            head = f"{int(head):,}".replace(",", self.thousands)
        return ("−" if whole < 0 else "") + head + (self.decimal + tail if point else "")

    def decimals(self, x: float, unit: str) -> int:
        """Three figures, but no more decimals than the unit is read to; a small number keeps one figure."""
        if abs(x) < _NOTHING or not math.isfinite(x):
            return 0
        size = math.floor(math.log10(abs(x)))
        most = _MOST_DECIMALS[unit]
        if abs(x) < 0.5 * 10.0**-most:
            return -size
        return max(0, min(most, 2 - size))

    def bare(self, si: float, kind: str, direction: Direction = "nearest", *, more: int = 0) -> str:
        """The number without its unit. `more` asks for so many more decimals."""
        return _bare(self, si, kind, direction, more)

    def _bare(self, si: float, kind: str, direction: Direction, more: int) -> str:
        unit = self.unit(kind)
        x = self.convert(si, kind)
        if unit == "in" and kind == "thickness" and not more and (fraction := _fraction(x)):
            return fraction
        places = self.decimals(x, unit) + more + _FINER.get(kind, 0)
        shown = self.text(x, places, direction)
        return _short(shown, self.decimal) if kind in ("thickness", "length", "angle", "count") else shown

    def show(self, number: Quantity | None, direction: Direction = "nearest") -> str:
        """Number and unit; "?" for what is not known, "—" where nothing applies."""
        if number is None:
            return "—"
        if number.value is None:
            return "?"
        if number.kind == "minutes":
            return " ".join(self.duration(number.value, direction))
        return self.joined(self.bare(number.value, number.kind, direction), number.kind)

    def joined(self, shown: str, kind: str) -> str:
        unit = self.unit_shown(kind)
        if unit in ("", "°"):
            return shown + unit
        return f"{shown}\u00a0{unit}"

    def duration(self, seconds: float, direction: Direction = "nearest", *, more: int = 0) -> tuple[str, str]:
        """A time as (number, unit): seconds below a minute, hours from three hours on. `more` asks for so many more decimals."""
        if seconds >= 3 * 3600 - 30:
            return self.text(seconds / 3600, (1 if seconds < 36000 else 0) + more, direction), "h"
        if 0 < seconds < 59.5:
            return self.text(seconds, more, direction), "s"
        return self.text(seconds / 60, more, direction), "min"

    def pair(self, value: Quantity, limit: Quantity) -> tuple[str, str]:
        """Value and limit, each with its unit, with digits enough that the larger one reads larger."""
        return _pair(self, value, limit)

    def _pair(self, value: Quantity, limit: Quantity) -> tuple[str, str]:
        if value.value is None or limit.value is None or value.kind != limit.kind:
            return self.show(value), self.show(limit)
        for more in range(_MOST_MORE):
            one, one_read = self._read(value.value, value.kind, more)
            other, other_read = self._read(limit.value, limit.kind, more)
            if value.value == limit.value or (one_read - other_read) * (value.value - limit.value) > 0:
                break
        return one, other

    def _read(self, si: float, kind: str, more: int) -> tuple[str, float]:
        """A number with its unit, and how large it reads, in one unit for the kind."""
        if kind == "minutes":
            number, unit = self.duration(si, more=more)
            return f"{number} {unit}", self._number(number) * _FIXED_SIZE.get(unit, 3600.0) / 60.0
        shown = self.bare(si, kind, more=more)
        return self.joined(shown, kind), self.convert(si, kind) if "/" in shown else self._number(shown)

    def _number(self, shown: str) -> float:
        return float(shown.replace(self.thousands, "").replace(self.decimal, ".").replace("−", "-"))


# One card says the same number in several places, and the next card says most of them again. Each of these keeps a bounded number of
# short texts, by value.


@lru_cache(maxsize=4096)
def _bare(numbers: Numbers, si: float, kind: str, direction: Direction, more: int) -> str:
    return numbers._bare(si, kind, direction, more)


@lru_cache(maxsize=4096)
def _pair(numbers: Numbers, value: Quantity, limit: Quantity) -> tuple[str, str]:
    return numbers._pair(value, limit)


@lru_cache(maxsize=512)
def _size(kind: str, unit: str, imperial_gas: bool) -> float:
    """SI units in one of this unit."""
    reference = US_70F if imperial_gas else NORMAL
    if kind in ("flow", "leak"):
        return GasFlow.parse(f"1 {unit}", reference).si
    if kind in ("amount", "released"):
        return GasAmount.parse(f"1 {unit}", reference).si
    for measure, kinds in (
        (Pressure, ("gauge pressure", "pressure difference")),
        (Length, ("thickness", "length")),
        (Volume, ("volume", "room")),
        (AirFlow, ("air flow",)),
        (Mass, ("mass",)),
        (Speed, ("speed",)),
    ):
        if kind in kinds:
            return measure.units[unit]
    return _FIXED_SIZE[unit]


@lru_cache(maxsize=64)
def _numbers(region: str) -> Numbers:
    table = region_table(region)
    return Numbers(table["units"], table["numbers"]["decimal"], table["numbers"]["thousands"])


def region_table(region: str) -> dict[str, Any]:
    """The region's table. Raises UnknownName."""
    try:
        return reader.toml(f"regions/{region}.toml")
    except FileNotFoundError:
        known = [path.stem for path in (reader.FOLDER / "regions").glob("*.toml")]
        raise UnknownName(f'no region "{region}"', where="region", try_=nearest(region, known)) from None


def step_decimals(step: float) -> int:
    """Decimals that a gauge division of this size needs: 0.1 one, 0.05 two, 0.25 two, 2 none."""
    for places in range(4):
        scaled = step * 10.0**places
        if scaled >= 0.999 and abs(scaled - round(scaled)) < 1e-6 * scaled:
            return places
    return max(0, math.ceil(-math.log10(step))) if step < 1 else 0


def _fraction(x: float) -> str:
    """Inches in sixty-fourths, where that is what was meant: within six ten-thousandths of an inch (a bore given to 0.01 mm is)."""
    near = Fraction(round(x * 64), 64)
    if x <= 0 or not near or abs(float(near) - x) > 0.0006:
        return ""
    whole, rest = divmod(near.numerator, near.denominator)
    if near.denominator == 1:
        return str(whole)
    return f"{whole} {rest}/{near.denominator}" if whole else f"{rest}/{near.denominator}"


def _short(shown: str, decimal: str) -> str:
    return shown.rstrip("0").rstrip(decimal) if decimal in shown else shown
