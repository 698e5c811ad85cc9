"""How much gas an LPG cylinder gives for as long as it is asked to."""

from typing import ClassVar

from steadycone.errors import OutOfRange
from steadycone.units import Mass, Temperature
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, ask, banded, gas_of, shown, worksheet
from steadycone.worksheets.kinds import Fill


@worksheet
class Vaporisation(AtPressure):
    """Steady evaporation of one upright cylinder in the open, and the pressure over its liquid. The wall's heat is judged: see the band.

    lpg without a composition is taken as butane, the worst of it.
    """

    fuel: str = ask(GAS, "propane, propylene, butane, or lpg")
    cylinder_size: Mass = ask(Mass, "full content")
    fill: Fill = ask(Fill, "left: a share of the full content, or a mass", "100 %")
    temperature: Temperature = ask(Temperature, "of the air and of the cylinder before the draw")
    composition: dict[str, float] | None = ask(Composition, "of lpg's liquid when full, by amount", optional=True)
    example: ClassVar = 'fuel=propane cylinder_size="47 kg" fill="40 %" temperature="-5 °C"'

    def answer(self) -> Answer:
        from steadycone.physics.supply import lpg

        fuel = lpg.worst_lpg() if self.fuel == "lpg" and self.composition is None else gas_of(self.fuel, self.composition, "fuel")
        fill = self._fill()
        limit = lpg.vaporisation(fuel, self.cylinder_size.si, fill, self.temperature.si, atmosphere=self.atmosphere.si)
        pressure = lpg.vapour_pressure(fuel, self.temperature.si, fill)
        found = banded("limit_kg_per_h", *(shown("mass flow", x) for x in limit))
        found |= banded("pressure_bar_gauge", *(self.bar_gauge(x) for x in pressure))
        if self.fuel == "lpg" and self.composition is None:
            found["assumed"] = "butane"
        return found

    def _fill(self) -> float:
        if not self.cylinder_size.si > 0.0:
            raise OutOfRange(f'a cylinder of "{self.cylinder_size.text}" must be above 0', where="cylinder_size")
        fill = self.fill.si / self.cylinder_size.si if self.fill.by_mass else self.fill.si
        if not 0.0 <= fill <= 1.0:
            raise OutOfRange(f'"{self.fill.text}" is more than a full cylinder', where="fill", try_="Give what is left, at most all of it.")
        return fill
