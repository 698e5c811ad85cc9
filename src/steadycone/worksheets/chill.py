"""How cold gas leaves a regulator."""

from typing import ClassVar

from steadycone.units import Pressure, Temperature
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, ask, gas_of, worksheet


@worksheet
class Chill(AtPressure):
    """Temperature behind a regulator with no heat taken up on the way: the coldest it can be. Hydrogen warms."""

    gas: str = ask(GAS, "what flows")
    inlet: Pressure = ask(Pressure, "cylinder side")
    outlet: Pressure = ask(Pressure, "hose side")
    temperature: Temperature = ask(Temperature, "before the regulator", "20 °C")
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = 'gas=oxygen inlet="200 bar" outlet="5 bar"'

    def answer(self) -> Answer:
        from steadycone.physics.gas import throttled_temperature

        gas = gas_of(self.gas, self.composition)
        kelvin = throttled_temperature(gas, self.absolute(self.inlet), self.absolute(self.outlet), self.temperature.si)
        return {"temperature_c": kelvin - 273.15}
