"""How long a purge takes."""

from typing import ClassVar

from steadycone.errors import OutOfRange
from steadycone.units import GasFlow, Length, Pressure, Roughness, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, WithVolumes, ask, gas_of, refuse_liquid, shown, worksheet


@worksheet
class Purge(AtPressure, WithVolumes):
    """Time until the new gas arrives at the hose's end (plug) and until it is 99 % there, and the gas let go for that. No margin is in it."""

    gas: str = ask(GAS, "the new gas")
    bore: Length = ask(Length, "inside diameter of the hose")
    length: Length = ask(Length, "of the hose")
    pressure: Pressure = ask(Pressure, "in the hose while purging")
    flow: GasFlow = ask(GasFlow, "that really flows with one torch valve open")
    temperature: Temperature = ask(Temperature, "of the gas", "20 °C")
    dead_volume: Volume | None = ask(Volume, "of corners that only mix: regulator body, side branch", optional=True)
    roughness: Roughness = ask(Roughness, "of the lining", "0.01 mm")
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = 'gas=acetylene bore="6.3 mm" length="15 m" pressure="0.35 bar" flow="0.5 m3/h"'

    def answer(self) -> Answer:
        from steadycone.physics.flow.stream import stream_of
        from steadycone.physics.transient import purge

        gas = gas_of(self.gas, self.composition)
        flow, pressure, kelvin = self.flow.amount(gas.molar_mass), self.absolute(self.pressure), self.temperature.si
        if not (flow > 0.0 and pressure > 0.0):
            raise OutOfRange("nothing is purged without flow and pressure", where="flow" if flow <= 0.0 else "pressure")
        refuse_liquid(gas, pressure, kelvin, "pressure")
        main = max(gas.components, key=lambda part: gas.components[part])
        found = purge.purge_time(
            flow,
            pressure,
            self.bore.si,
            self.length.si,
            stream_of(gas, kelvin),
            purge.diffusivity(pressure, kelvin, main),
            dead_volume=self.dead_volume.si if self.dead_volume else 0.0,
            roughness=self.roughness.si,
        )
        return {"plug_s": found.plug, "purge_s": found.total, "released_l": shown("released", flow * found.total)}
