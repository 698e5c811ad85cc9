"""Properties of a gas at a pressure and temperature."""

from typing import ClassVar

from steadycone.units import Pressure, Temperature
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, ask, gas_of, worksheet


@worksheet
class Gas(AtPressure):
    """Density, compressibility, viscosity, heat capacity ratio, sound speed, and the ratio of pressures at which an opening chokes."""

    gas: str = ask(GAS, "which gas")
    temperature: Temperature = ask(Temperature, "of the gas", "20 °C")
    pressure: Pressure = ask(Pressure, "of the gas", "0 bar")
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = 'gas=oxygen temperature="15 °C" pressure="200 bar"'

    def answer(self) -> Answer:
        from steadycone.physics import gas as properties

        gas, kelvin, pressure = gas_of(self.gas, self.composition), self.temperature.si, self.absolute(self.pressure)
        return {
            "density_kg_per_m3": properties.density(gas, pressure, kelvin),
            "compressibility": properties.compressibility(gas, pressure, kelvin),
            "viscosity_upa_s": properties.viscosity(gas, kelvin, pressure) * 1e6,
            "gamma": properties.real_gamma(gas, pressure, kelvin),
            "sound_m_per_s": properties.sound_speed(gas, pressure, kelvin),
            # of the ideal gas, as the opening's formula takes it
            "critical_ratio": properties.critical_pressure_ratio(properties.gamma(gas, kelvin)),
        }
