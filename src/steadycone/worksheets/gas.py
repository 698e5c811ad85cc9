"""Properties of a gas at a pressure and temperature."""

from typing import ClassVar

from steadycone.units import Pressure, Temperature
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, ask, gas_of, worksheet

HOSE_PRESSURE = 16e5  # Pa: the table is for 1 bar, 2 % low at 11; oxygen at 200 bar has a third more


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
        found: Answer = {
            "density_kg_per_m3": properties.density(gas, pressure, kelvin),
            "compressibility": properties.compressibility(gas, pressure, kelvin),
            "viscosity_upa_s": properties.viscosity(gas, kelvin) * 1e6 if pressure <= HOSE_PRESSURE else None,
            "gamma": properties.real_gamma(gas, pressure, kelvin),
            "sound_m_per_s": properties.sound_speed(gas, pressure, kelvin),
            # of the ideal gas, as the opening's formula takes it
            "critical_ratio": properties.critical_pressure_ratio(properties.gamma(gas, kelvin)),
        }
        if pressure > HOSE_PRESSURE:
            found["viscosity"] = "not known at this pressure"
        return found
