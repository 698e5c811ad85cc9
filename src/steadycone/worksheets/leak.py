"""Leak from a pressure test."""

from typing import ClassVar

from steadycone.errors import InputError, OutOfRange
from steadycone.units import Pressure, PressureDifference, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, ask, banded, gas_of, shown, worksheet
from steadycone.worksheets.kinds import Minutes

UNREAD_DRIFT = 1.0  # K either way where nobody read the temperature: leak-unread-drift


@worksheet
class Leak(AtPressure):
    """Leak from the pressure before and after a wait, temperatures allowed for: positive out, negative in. The floor is what the gauge can see."""

    gas: str = ask(GAS, "what is enclosed")
    volume: Volume = ask(Volume, "enclosed: hose, regulator, fittings")
    start: Pressure = ask(Pressure, "at the start")
    end: Pressure = ask(Pressure, "at the end")
    start_temperature: Temperature | None = ask(Temperature, "of the gas at the start; left out: 20 °C, unknown by 1 K", optional=True)
    end_temperature: Temperature | None = ask(Temperature, "of the gas at the end", optional=True)
    minutes: Minutes = ask(Minutes, "between the readings")
    readability: PressureDifference | None = ask(
        PressureDifference, "smallest change one can read; left out: the last digits of start and end", optional=True
    )
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = 'gas=oxygen volume="0.57 L" start="5 bar" end="4.9 bar" minutes=5 readability="0.05 bar"'

    def answer(self) -> Answer:
        from steadycone.physics.gas import compressibility
        from steadycone.physics.transient import leak

        if not self.minutes.si > 0.0:
            raise OutOfRange("the wait must be above 0", where="minutes")
        gas = gas_of(self.gas, self.composition)
        (first, last), drift = self._temperatures()
        before, after = self.absolute(self.start), self.absolute(self.end)
        start = leak.Reading(before, first, compressibility(gas, before, first))
        end = leak.Reading(after, last, compressibility(gas, after, last))
        change = self.readability.si if self.readability else self.start.half_digit + self.end.half_digit
        band = leak.leak_band(start, end, self.volume.si, self.minutes.si, change, drift)
        found = banded("leak_l_per_h", *(shown("leak", x) for x in band))
        if change > 0.0:
            floor = leak.leak_floor(change, self.volume.si, self.minutes.si, end.temperature, end.compressibility)
            found["leak_floor_l_per_h"] = shown("leak", floor)
        return found

    def _temperatures(self) -> tuple[tuple[float, float], float]:
        """Both temperatures [K] and how far their difference may be off."""
        if self.start_temperature is None and self.end_temperature is None:
            return (293.15, 293.15), UNREAD_DRIFT
        if self.start_temperature is None or self.end_temperature is None:
            missing = "start_temperature" if self.start_temperature is None else "end_temperature"
            raise InputError("one temperature alone says nothing", where=missing, try_=f"Add {missing}, or leave both out.")
        doubt = self.start_temperature.half_digit + self.end_temperature.half_digit
        return (self.start_temperature.si, self.end_temperature.si), doubt
