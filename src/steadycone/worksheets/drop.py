"""A pressure-drop test with two gauges."""

from math import hypot
from typing import TYPE_CHECKING, Any, ClassVar

from steadycone.errors import InputError
from steadycone.kinds import Choice
from steadycone.units import GasFlow, Pressure, PressureDifference, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, WithVolumes, ask, gas_of, shown, worksheet
from steadycone.worksheets.kinds import Minutes

if TYPE_CHECKING:
    from steadycone.physics.gas import Gas
    from steadycone.practice.drop import DropReading, Temperatures
    from steadycone.quantity import Quantity


class OtherPressure(Pressure):
    """The cylinder's own pressure, or the cap itself: no caution about acetylene's cap is due for these."""


# Why the verdict is what it is, and what to do; the keys are the words of practice/drop.
_SAYS = {
    "nothing moved": "No movement seen: each side loses less than its floor. That is not zero, and a cylinder valve that leaks "
    "through would have hidden a leak: fluid on every joint stays the primary test; then bleed, and watch both gauges stay at zero.",
    "floor above acceptance": "No movement seen, but these gauges could not show the rejected leak in this wait: wait longer, or use fluid.",
    "a leak was seen": "Shut, bleed, re-make and test again; find the place with fluid. Never tighten under pressure, never a flame.",
    "the seat passes": "The regulator's seat leaks through. Tap the glass and read again; moved by one mark only: test once more. If it rises again: shut the cylinder "
    "valve, bleed outdoors, tag the regulator, send it to a technician.",
    "the cylinder valve passes": "The cylinder valve feeds the high side and hides its leaks: bleed, shut it, and watch the gauge stay at zero.",
    "a gauge moved": "A side gained or lost gas and the cause is not clear: let everything settle, read the temperatures, and repeat.",
    "not clear": "This test shows nothing either way: repeat it, or prove every joint with fluid.",
    "liquid keeps the pressure": "A side at its vapour pressure holds liquid that makes good what leaks: the gauge can't show it. Use fluid.",
    "a side without pressure": "A side without pressure was not tested.",
    "gas still warming": "The gas was still warming, and warming hides a leak: wait until two readings agree, then start the clock.",
    "too small to be sure": "The change is between what rounding does and what proves a leak: wait longer.",
    "acetylene over its cap": "Acetylene stands over its cap. First of all: no flame near, shut the cylinder valve, bleed outdoors.",
    "acetylene over the strictest cap": "Acetylene stands over 15 psi gauge: check the cap of this site.",
}  # fmt: skip
_AT_ZERO = "The {side} needle stands at zero: it leaks at least as much as the sum says, since the side may have been empty long before."
_SCREW_IN = "With the screw in, the high side feeds the low one: back the screw out and repeat to find the side."


@worksheet
class Drop(AtPressure, WithVolumes):
    """What two gauges say after a wait with everything shut: where it leaks, how much, and the smallest leak they could show.

    No movement is "less than the floor", never zero. Verdict: stop for any leak, a seat or cylinder valve that leaks through; caution when
    nothing is proved, or when the rejected leak could have gone unseen; go only when neither is so.
    """

    gas: str = ask(GAS, "what the line holds")
    high_volume: Volume = ask(Volume, "trapped between cylinder valve and regulator seat", "0.03 L")
    low_volume: Volume = ask(Volume, "trapped between regulator seat and torch valve")
    high_start: OtherPressure = ask(OtherPressure, "cylinder gauge at the start")
    high_end: OtherPressure = ask(OtherPressure, "cylinder gauge at the end")
    low_start: Pressure = ask(Pressure, "outlet gauge at the start")
    low_end: Pressure = ask(Pressure, "outlet gauge at the end")
    start_temperature: Temperature | None = ask(
        Temperature, "of the gas at the start; left out: not known, 1 K of change or more", optional=True
    )
    end_temperature: Temperature | None = ask(Temperature, "of the gas at the end", optional=True)
    minutes: Minutes = ask(Minutes, "between the readings")
    high_readability: PressureDifference = ask(PressureDifference, "smallest change one can read on the cylinder gauge")
    low_readability: PressureDifference = ask(PressureDifference, "smallest change one can read on the outlet gauge")
    screw: str = ask(Choice("out", "in"), "regulator screw during the test; out divides the sides", "out")
    acceptance: GasFlow = ask(GasFlow, "leak that is rejected", "2 L/h")
    acetylene_cap: OtherPressure | None = ask(
        OtherPressure, "for acetylene; left out: stop over 1.5 bar, caution over 15 psi", optional=True
    )
    working: Pressure | None = ask(Pressure, "static working pressure, where the low side was tested at another", optional=True)
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = (
        'gas=oxygen high_volume="0.03 L" low_volume="0.57 L" high_start="120 bar" high_end="112 bar" low_start="2.0 bar" low_end="2.3 bar" '
        'start_temperature="18 °C" end_temperature="18 °C" minutes=5 high_readability="2 bar" low_readability="0.1 bar" screw=out'
    )

    def answer(self) -> Answer:
        from steadycone.practice.drop import DropTest, read_drop, read_side

        air, gas = self.atmosphere.si, self._gas()
        test = DropTest(
            gas=gas,
            high=read_side("high", self.high_volume.si, self.high_start, self.high_end, self.high_readability, air),
            low=read_side("low", self.low_volume.si, self.low_start, self.low_end, self.low_readability, air),
            time=self.minutes.si,
            temperatures=self._temperatures(),
            acceptance=self.acceptance.amount(gas.molar_mass),
            screw="in" if self.screw == "in" else "out",
            atmosphere=air,
            acetylene_cap=self.acetylene_cap.gauge(air) if self.acetylene_cap else None,
            working=self.working.abs(air) if self.working else None,
            liquid_likely=self.gas == "lpg" and self.composition is None,
        )
        return self._told(read_drop(test))

    def _gas(self) -> "Gas":
        """LPG and natural gas of unknown composition count as propane and methane: amounts differ by a few per cent, less than a step."""
        known = {"lpg": "propane", "natural gas": "methane"} if self.composition is None else {}
        return gas_of(known.get(self.gas, self.gas), self.composition)

    def _temperatures(self) -> "Temperatures | None":
        from steadycone.practice.drop import Temperatures

        start, end = self.start_temperature, self.end_temperature
        if start is None and end is None:
            return None
        if start is None or end is None:
            missing = "start_temperature" if start is None else "end_temperature"
            raise InputError("one temperature alone says nothing", where=missing, try_=f"Add {missing}, or leave both out.")
        return Temperatures(start.si, end.si, hypot(start.half_digit, end.half_digit))

    def _told(self, found: "DropReading") -> Answer:
        # the one worksheet that answers with a list: what it could be has no fixed length
        told: dict[str, Any] = {"reading": found.reading, "also_possible": list(found.also_possible)}
        told |= _leak("high_leak", found.high_leak) | _leak("low_leak", found.low_leak)
        told |= {"high_floor_l_per_h": _shown("leak", found.high_floor.value), "low_floor_l_per_h": _shown("leak", found.low_floor.value)}
        told |= {"high_wait_min": _shown("minutes", found.high_wait.value), "low_wait_min": _shown("minutes", found.low_wait.value)}
        if found.low_leak_at_working and found.low_floor_at_working:
            told |= _leak("low_leak_at_working", found.low_leak_at_working)
            told["low_floor_at_working_l_per_h"] = _shown("leak", found.low_floor_at_working.high)
        says = [_SAYS[why] for why in found.because]
        leaks = {"high": found.high_leak, "low": found.low_leak}
        says += [_AT_ZERO.format(side=side) for side, leak in leaks.items() if leak.value is not None and leak.high is None]
        if self.screw == "in" and found.verdict == "stop":
            says.append(_SCREW_IN)
        return told | {"verdict": found.verdict, "says": " ".join(says)}


def _leak(key: str, leak: "Quantity") -> Answer:
    ends = {"": leak.value, "_low": leak.low, "_high": leak.high}
    return {f"{key}_l_per_h{end}": _shown("leak", value) for end, value in ends.items()}


def _shown(kind: str, value: float | None) -> float | None:
    return None if value is None else shown(kind, value)
