"""What is left in an acetylene cylinder."""

from typing import ClassVar

from steadycone.errors import InputError, OutOfRange
from steadycone.kinds import Choice
from steadycone.units import Mass, Pressure, Temperature
from steadycone.worksheets.declare import Answer, AtPressure, ask, banded, shown, worksheet

WITH, WITHOUT = "with saturation gas", "without saturation gas"


@worksheet
class Acetylene(AtPressure):
    """Acetylene left, by weight, or from a pressure reading with its wide band. Weigh when it matters."""

    gross: Mass | None = ask(Mass, "weighed now", optional=True)
    tare: Mass | None = ask(Mass, "stamped on the cylinder", optional=True)
    tare_basis: str = ask(Choice(WITHOUT, WITH), "as the stamp says", WITHOUT)
    pressure: Pressure | None = ask(Pressure, "settled, no gas drawn for some hours", optional=True)
    temperature: Temperature | None = ask(Temperature, "of the cylinder itself", optional=True)
    acetone: Mass | None = ask(Mass, "in the cylinder, by its papers", optional=True)
    content: Mass | None = ask(Mass, "full content; stands for the acetone, 1.59 kg to one kg", optional=True)
    either: ClassVar = ((("gross", "tare"), ("pressure", "temperature")),)
    example: ClassVar = 'gross="68.2 kg" tare="62.4 kg"'

    def answer(self) -> Answer:
        from steadycone.physics.supply import acetylene

        solvent = self._solvent()
        if self.pressure is not None and self.temperature is not None:
            if solvent is None:
                raise InputError(
                    "pressure says nothing without the acetone", where="acetone", try_='Add acetone="12.7 kg" or content="8 kg".'
                )
            mass = acetylene.mass_band(self.absolute(self.pressure), solvent, self.temperature.si)
            return _bands(*mass)
        assert self.gross is not None
        assert self.tare is not None
        left = self.gross.si - self.tare.si
        if left < 0.0:
            raise OutOfRange(f"gross {self.gross.text} is below tare {self.tare.text}", where="gross", try_="Check which is which.")
        doubt = self.gross.half_digit + self.tare.half_digit
        found = _bands(left, max(0.0, left - doubt), left + doubt)
        if self.tare_basis == WITH:
            found["usable_kg"] = left
        elif solvent is not None:
            # the most acetone holds the most gas back: the unsafe end
            found["usable_kg"] = acetylene.usable_mass(self.gross.si, self.tare.si, solvent[2], False)
        return found

    def _solvent(self) -> tuple[float, float, float] | None:
        """Acetone [kg] low, value, high."""
        from steadycone.physics.supply.acetylene import solvent_of

        if self.acetone is not None:
            return self.acetone.si, self.acetone.si, self.acetone.si
        return None if self.content is None else solvent_of(self.content.si)


def _bands(value: float, low: float, high: float) -> Answer:
    from steadycone.physics.supply.acetylene import ACETYLENE_MOLAR_MASS

    volumes = (shown("amount", mass / ACETYLENE_MOLAR_MASS) for mass in (value, low, high))
    return banded("mass_kg", value, low, high) | banded("volume_m3", *volumes)
