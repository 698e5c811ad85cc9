"""Flow through a sharp opening."""

import math
from typing import TYPE_CHECKING, ClassVar

from steadycone.errors import OutOfRange
from steadycone.units import Length, Number, Pressure, Temperature
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, ask, gas_of, refuse_liquid, shown, worksheet
from steadycone.worksheets.kinds import Area

if TYPE_CHECKING:
    from steadycone.physics.flow.stream import Stream
    from steadycone.physics.gas import Gas

HIGHEST = 50e5  # Pa: within 0.5 % of the reference isentrope up to here (tests/reference)


@worksheet
class Orifice(AtPressure):
    """Flow through an opening between two pressures, ideal nozzle times a coefficient, through choking."""

    gas: str = ask(GAS, "what flows")
    bore: Length | None = ask(Length, "diameter of the opening", optional=True)
    area: Area | None = ask(Area, "of the opening", optional=True)
    coefficient: Number = ask(Number, "discharge coefficient", "1")
    inlet: Pressure = ask(Pressure, "before the opening, gas at rest")
    outlet: Pressure = ask(Pressure, "behind it", "0 bar")
    temperature: Temperature = ask(Temperature, "before the opening", "20 °C")
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    either: ClassVar = ((("bore",), ("area",)),)
    example: ClassVar = 'gas=oxygen bore="1.5 mm" inlet="3.5 bar" coefficient=0.8'

    def answer(self) -> Answer:
        from steadycone.physics.flow import orifice

        gas = gas_of(self.gas, self.composition)
        before, behind = self.absolute(self.inlet), self.absolute(self.outlet)
        if before > HIGHEST:
            raise OutOfRange(
                f"an inlet of {before / 1e5:.0f} bar abs is over the {HIGHEST / 1e5:.0f} that the formula holds for",
                where="inlet",
                try_="Give the pressure behind the regulator.",
            )
        refuse_liquid(gas, before, self.temperature.si, "inlet")
        stream = self._stream(gas, before)
        if not 0.0 < self.coefficient.si <= 1.0:
            raise OutOfRange(f"a coefficient of {self.coefficient.text} must be above 0 and at most 1", where="coefficient")
        area = self.area.si if self.area else math.pi / 4.0 * self._bore() ** 2
        flux = orifice.mass_flux(before, behind, stream) * self.coefficient.si
        state = "blocked" if before <= behind else "choked" if orifice.is_choked(before, behind, stream) else "ok"
        return {
            "flow_m3_per_h": shown("flow", flux * area / gas.molar_mass),
            "mass_kg_per_h": shown("mass flow", flux * area),
            "mass_flux_kg_per_m2_s": flux,
            "state": state,
        }

    def _stream(self, gas: "Gas", pressure: float) -> "Stream":
        """The gas as the opening sees it: an ideal gas with the real density and the real stiffness at the inlet.

        Acetylene stays ideal: its table at pressure is unchecked. By that table it would flow up to 1 % more.
        """
        from dataclasses import replace

        from steadycone.physics.flow.stream import stream_of
        from steadycone.physics.gas import density, sound_speed

        kelvin = self.temperature.si
        stream = stream_of(gas, kelvin)
        if "acetylene" in gas.components or not pressure > 0.0:
            return stream
        heavy = density(gas, pressure, kelvin)
        exponent = heavy * sound_speed(gas, pressure, kelvin) ** 2 / pressure
        return replace(stream, gamma=exponent, gas_constant=pressure / (heavy * kelvin))

    def _bore(self) -> float:
        assert self.bore is not None
        return self.bore.si
