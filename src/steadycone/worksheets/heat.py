"""Heat, limits and ignition of a fuel."""

from typing import ClassVar

from steadycone.units import NORMAL_MOLAR_VOLUME
from steadycone.worksheets.declare import GAS, Answer, Composition, Worksheet, ask, gas_of, worksheet


@worksheet
class Heat(Worksheet):
    """Heat of combustion of a normal cubic metre, flammable limits in air and in oxygen, ignition temperature in air."""

    fuel: str = ask(GAS, "which fuel")
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = "fuel=propane"

    def answer(self) -> Answer:
        from steadycone.physics import gas as gases

        fuel = gas_of(self.fuel, self.composition, "fuel")
        found: Answer = {
            "lower_mj_per_m3": gases.lower_heat(fuel) / NORMAL_MOLAR_VOLUME / 1e6,
            "higher_mj_per_m3": gases.higher_heat(fuel) / NORMAL_MOLAR_VOLUME / 1e6,
        }
        for around in ("air", "oxygen"):
            ends = gases.limits(fuel, around)
            low, high = (None, None) if ends is None else (100.0 * ends[0], 100.0 * ends[1])
            found |= {f"{around}_low_percent": low, f"{around}_high_percent": high}
            if ends is None:
                found[f"{around}_limits"] = "not known"
        found["ignition_c"] = gases.ignition_temperature(fuel) - 273.15
        return found
