"""Leak from a pressure test."""

from typing import TYPE_CHECKING, ClassVar

from steadycone.errors import InputError, OutOfRange
from steadycone.kinds import Choice
from steadycone.practice.bench import parts
from steadycone.units import GasFlow, Pressure, PressureDifference, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, ask, banded, gas_of, shown, worksheet
from steadycone.worksheets.kinds import Minutes

if TYPE_CHECKING:
    from steadycone.physics.transient.leak import Band

UNREAD_DRIFT = 1.0  # K either way where nobody read the temperature: leak-unread-drift


@worksheet
class Leak(AtPressure):
    """Leak from the pressure before and after a wait, temperatures allowed for: positive out, negative in. The floor is what the gauge can see.

    With part or limit, as at the bench, also a verdict at the high end: go only when the limit would have been seen.
    """

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
    part: str | None = ask(Choice(*parts()), "what was tested at the bench, for its limit", optional=True)
    limit: GasFlow | None = ask(GasFlow, "most that may leak, by the maker's sheet", optional=True)
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
        if self.part is not None or self.limit is not None:
            found |= self._judged(band, gas.molar_mass)
        return found

    def _judged(self, band: "Band", molar_mass: float) -> Answer:
        from steadycone.practice.bench import judge_leak, leak_limit, said

        fell = self.start.abs(self.atmosphere.si) > self.end.abs(self.atmosphere.si)  # the field's own rule: no visible drop
        limit = leak_limit(self.part, self.limit, molar_mass)
        verdict, says = judge_leak(limit, band.high, band.high, seen=fell or band.low > 0.0)
        if band.high < 0.0:
            verdict, says = "caution", said("leak-in")
        shown_limit = None if limit.amount is None else 1e3 * shown("leak", limit.amount)
        return {"limit_cm3_per_h": shown_limit, "verdict": verdict, "limit_source": limit.told, "says": says}

    def _temperatures(self) -> tuple[tuple[float, float], float]:
        """Both temperatures [K] and how far their difference may be off."""
        if self.start_temperature is None and self.end_temperature is None:
            return (293.15, 293.15), UNREAD_DRIFT
        if self.start_temperature is None or self.end_temperature is None:
            missing = "start_temperature" if self.start_temperature is None else "end_temperature"
            raise InputError("one temperature alone says nothing", where=missing, try_=f"Add {missing}, or leave both out.")
        doubt = self.start_temperature.half_digit + self.end_temperature.half_digit
        return (self.start_temperature.si, self.end_temperature.si), doubt
