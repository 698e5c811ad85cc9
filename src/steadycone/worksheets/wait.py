"""How long a leak test must take."""

from typing import ClassVar

from steadycone.errors import OutOfRange
from steadycone.units import GasFlow, Pressure, PressureDifference, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, WithVolumes, ask, gas_of, shown, worksheet


@worksheet
class Wait(AtPressure, WithVolumes):
    """Wait until a leak at the acceptance limit has moved the gauge by what one can read."""

    gas: str = ask(GAS, "what is enclosed")
    volume: Volume = ask(Volume, "enclosed: hose, regulator, fittings")
    readability: PressureDifference = ask(PressureDifference, "smallest change one can read")
    acceptance: GasFlow = ask(GasFlow, "largest leak that may pass")
    pressure: Pressure = ask(Pressure, "of the test")
    temperature: Temperature = ask(Temperature, "of the gas", "20 °C")
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = 'gas=oxygen volume="0.57 L" readability="0.05 bar" acceptance="2 L/h" pressure="5 bar"'

    def answer(self) -> Answer:
        from steadycone.physics.gas import amount_stored

        gas = gas_of(self.gas, self.composition)
        pressure, kelvin = self.absolute(self.pressure), self.temperature.si
        leak = self.acceptance.amount(gas.molar_mass)
        if not leak > 0.0:
            raise OutOfRange("no wait is long enough to prove no leak at all", where="acceptance", try_='Give for example "2 L/h".')
        after = pressure - self.readability.si
        if not (self.readability.si > 0.0 and after > 0.0):
            raise OutOfRange(
                f'a readable change of "{self.readability.text}" must be above 0 and below the absolute pressure', where="readability"
            )
        lost = amount_stored(gas, self.volume.si, pressure, kelvin) - amount_stored(gas, self.volume.si, after, kelvin)
        return {"minutes": shown("minutes", lost / leak)}
