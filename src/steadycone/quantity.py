"""A value with its low and high end, and the unit it leaves the program in."""

from collections.abc import Callable, Sequence
from typing import Literal

import msgspec

from steadycone.units import NORMAL_MOLAR_VOLUME, ZERO_CELSIUS

# kind: JSON unit, and how many SI units one of it is (a temperature also shifts).
KINDS: dict[str, tuple[str, float]] = {
    "gauge pressure": ("bar gauge", 1e5),  # Pa above atmosphere
    "pressure difference": ("bar", 1e5),  # Pa
    "flow": ("m3/h", 1 / (NORMAL_MOLAR_VOLUME * 3600)),  # mol/s
    "amount": ("m3", 1 / NORMAL_MOLAR_VOLUME),  # mol
    "leak": ("L/h", 1e-3 / (NORMAL_MOLAR_VOLUME * 3600)),  # mol/s
    "released": ("L", 1e-3 / NORMAL_MOLAR_VOLUME),  # mol
    "air flow": ("m3/h", 1 / 3600),  # m³/s, of a room's air at its own state
    "volume": ("L", 1e-3),  # m³, geometric
    "room": ("m3", 1.0),  # m³, geometric
    "mass": ("kg", 1.0),
    "mass flow": ("kg/h", 1 / 3600),
    "seconds": ("s", 1.0),
    "minutes": ("min", 60.0),
    "days": ("min", 60.0),  # s; a person reads days, the contract knows minutes
    "temperature": ("°C", 1.0),  # K
    "temperature difference": ("°C", 1.0),  # K, of two temperatures: nothing is taken off
    "thickness": ("mm", 1e-3),  # m
    "length": ("m", 1.0),
    "speed": ("mm/min", 1e-3 / 60),  # m/s, of a cut
    "velocity": ("m/s", 1.0),  # of gas or flame
    "gradient": ("1/s", 1.0),  # of velocity at a wall
    "angle": ("°", 1.0),
    "share": ("%", 0.01),
    "air share": ("%", 0.01),  # of a gas in a place's air, read to a tenth
    "number": ("1", 1.0),
    "count": ("1", 1.0),
}


# The kind of a difference of two values, where it is another than their own.
_DIFFERENCES = {"gauge pressure": "pressure difference", "temperature": "temperature difference"}
End = Literal["value", "low", "high"]


class Quantity(msgspec.Struct, frozen=True, gc=False):
    """SI value and its ends; `kind` is a key of KINDS. A value of None is applicable but unknown.

    A card makes hundreds: a struct is made five times as fast as a frozen dataclass, and holds nothing that could form a ring.
    """

    value: float | None
    low: float | None
    high: float | None
    kind: str

    @property
    def unit(self) -> str:
        return KINDS[self.kind][0]

    def map(self, change: Callable[[float], float], kind: str | None = None) -> "Quantity":
        """The same change made to value and both ends, ends kept in order."""
        if self.value is None or self.low is None or self.high is None:
            return Quantity(self.value, self.low, self.high, kind or self.kind)
        one, other = change(self.low), change(self.high)
        low, high = (other, one) if other < one else (one, other)
        return Quantity(change(self.value), low, high, kind or self.kind)

    def at(self, end: End) -> "Quantity":
        """One end of it alone, without a band."""
        x = getattr(self, end)
        return Quantity(x, x, x, self.kind)

    @property
    def difference(self) -> str:
        """The kind of what lies between two values of this kind."""
        return _DIFFERENCES.get(self.kind, self.kind)

    def out(self) -> dict[str, float | str | None]:
        """As JSON has it: value, low, high in the kind's fixed unit, and the unit."""
        unit, size = KINDS[self.kind]
        shift = ZERO_CELSIUS if self.kind == "temperature" else 0.0
        shown = [None if x is None else (x - shift) / size for x in (self.value, self.low, self.high)]
        return {"value": shown[0], "low": shown[1], "high": shown[2], "unit": unit}


def exact(value: float, kind: str) -> Quantity:
    """A value without a band."""
    return Quantity(value, value, value, kind)


def band(value: float, one_end: float, other_end: float, kind: str) -> Quantity:
    """Low and high from any numbers of which some may lie beyond: the band always holds the value."""
    return Quantity(value, min(value, one_end, other_end), max(value, one_end, other_end), kind)


def spread(values: Sequence[float], kind: str) -> Quantity:
    """The first value, with the least and the largest of all of them as its ends."""
    return Quantity(values[0], min(values), max(values), kind)


def unknown(kind: str) -> Quantity:
    return Quantity(None, None, None, kind)
