"""Pressure of a closed cylinder at another temperature."""

from typing import ClassVar

from steadycone.units import Pressure, Temperature
from steadycone.worksheets.contents import refuse_dissolved
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, ask, gas_of, worksheet


@worksheet
class Warming(AtPressure):
    """Gauge pressure of a closed vessel of gas after it warmed or cooled, real gas. Not for acetylene or liquefied gas."""

    gas: str = ask(GAS, "what is in it")
    pressure: Pressure = ask(Pressure, "at the first temperature")
    temperature: Temperature = ask(Temperature, "at which the pressure was read")
    to: Temperature = ask(Temperature, "the other temperature")
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = 'gas=oxygen pressure="200 bar" temperature="15 °C" to="-20 °C"'

    def answer(self) -> Answer:
        from steadycone.physics.gas import warmed_pressure

        refuse_dissolved(self.gas)
        gas = gas_of(self.gas, self.composition)
        pressure = warmed_pressure(gas, self.absolute(self.pressure), self.temperature.si, self.to.si)
        return {"pressure_bar_gauge": self.bar_gauge(pressure)}
