"""What a cylinder of compressed gas holds."""

from typing import ClassVar

from steadycone.errors import InputError
from steadycone.units import Pressure, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, ask, gas_of, shown, worksheet


@worksheet
class Contents(AtPressure):
    """Mass and normal volume in a cylinder, real gas, and how wrong the ideal gas would be. Not for acetylene or liquefied gas: weigh those."""

    gas: str = ask(GAS, "what is in it")
    water_volume: Volume = ask(Volume, "the cylinder's own volume")
    pressure: Pressure = ask(Pressure, "as the gauge reads")
    temperature: Temperature = ask(Temperature, "of the cylinder, settled", "15 °C")
    composition: dict[str, float] | None = ask(Composition, "of natural gas, by amount", optional=True)
    example: ClassVar = 'gas=oxygen water_volume="50 L" pressure="140 bar"'

    def answer(self) -> Answer:
        from steadycone.physics.gas import amount_stored
        from steadycone.physics.supply.cylinder import ideal_amount

        refuse_dissolved(self.gas)
        gas = gas_of(self.gas, self.composition)
        pressure = self.absolute(self.pressure)
        amount = amount_stored(gas, self.water_volume.si, pressure, self.temperature.si)
        return {
            "mass_kg": amount * gas.molar_mass,
            "volume_m3": shown("amount", amount),
            "ideal_gas_error": ideal_amount(pressure, self.temperature.si, self.water_volume.si) / amount - 1.0,
        }


def refuse_dissolved(gas: str) -> None:
    """Raises  InputError: acetylene in a cylinder is dissolved, never compressed gas."""
    if gas == "acetylene":
        raise InputError(
            "acetylene in a cylinder is dissolved in acetone, not compressed",
            where="gas",
            try_="Use the acetylene worksheet: weigh the cylinder.",
        )
