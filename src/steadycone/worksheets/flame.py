"""The flame at a ratio of torch oxygen to fuel."""

from typing import ClassVar

from steadycone.units import Number
from steadycone.worksheets.declare import GAS, Answer, Composition, Worksheet, ask, gas_of, worksheet


@worksheet
class Flame(Worksheet):
    """Temperature and products of the inner flame before any air comes in; no heat lost, so an upper bound."""

    fuel: str = ask(GAS, "which fuel")
    ratio: Number = ask(Number, "torch oxygen to fuel, by normal volume")
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = "fuel=acetylene ratio=1.1"

    def answer(self) -> Answer:
        from steadycone.physics.gas import complete_oxygen, flame

        fuel = gas_of(self.fuel, self.composition, "fuel")
        state = flame(fuel, self.ratio.si)
        parts = sorted(state.products.items(), key=lambda item: -item[1])
        found: Answer = {
            "temperature_c": state.temperature - 273.15,
            "products": ", ".join(f"{name} {100 * share:.1f} %" for name, share in parts if share >= 0.0005),
            "ratio_complete": complete_oxygen(fuel),
        }
        return found | {f"{name.lower()}_percent": 100.0 * share for name, share in parts}
