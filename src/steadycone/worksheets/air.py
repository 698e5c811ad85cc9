"""What a flame and its cutting jet make of a room's air."""

from typing import TYPE_CHECKING, ClassVar

from steadycone.errors import OutOfRange
from steadycone.physics.transient.room import OXYGEN_IN_AIR
from steadycone.units import GAS_CONSTANT, NORMAL_MOLAR_VOLUME, AirFlow, GasFlow, Number, Share, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, WithVolumes, ask, banded, gas_of, worksheet
from steadycone.worksheets.kinds import Minutes
from steadycone.worksheets.room import DEFICIENT, ENRICHED, MIXED_EVENLY, WARM_ROOM

if TYPE_CHECKING:
    from steadycone.physics.transient.room_air import Let

LEAST_USED, MOST_USED = 0.3, 0.9  # share of the jet that a cut uses where nobody states it: jet-used-judged, and a tenth below it
CARBON_DIOXIDE = 0.005  # over a shift: carbon-dioxide-limits


@worksheet
class Air(AtPressure, WithVolumes):
    """Oxygen and carbon dioxide in a room after a flame, and perhaps a cutting jet, has burned in it. Never a time to rely on.

    A fourth of the fresh air is counted (mixing). The ends are the jet used by 30 to 90 % where it is not stated, the flame's water in the
    air or on the walls, and a room of 40 °C where no temperature is given. Air needed holds 19.5 to 22 % oxygen and 0.5 % carbon dioxide.
    """

    fuel: str = ask(GAS, "what burns")
    fuel_flow: GasFlow = ask(GasFlow, "of the flame")
    preheat: GasFlow = ask(GasFlow, "oxygen that the torch gives the flame")
    cutting: GasFlow | None = ask(GasFlow, "oxygen of the jet", optional=True)
    used: Share | None = ask(Share, "share of the jet that the cut uses", optional=True)
    room_volume: Volume = ask(Volume, "of the room's air")
    fresh_air: AirFlow = ask(AirFlow, "that comes in", "0 m3/h")
    minutes: Minutes = ask(Minutes, "that the flame burns")
    mixing: Number = ask(Number, "as many times worse than even mixing", "4")
    temperature: Temperature | None = ask(Temperature, "of the room", optional=True)
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = (
        'fuel=acetylene fuel_flow="5 L/min" preheat="5.5 L/min" cutting="61.7 L/min" used="75 %" room_volume="12 m3" minutes=23'
    )

    def answer(self) -> Answer:
        if self.mixing.si < 1.0:
            raise OutOfRange(f'"{self.mixing.text}" must be at least 1', where="mixing", try_="1 is perfectly mixed, which no room is.")
        if self.used is not None and self.used.si > 1.0:
            raise OutOfRange(
                f'"{self.used.text}" must be at most 100 %', where="used", try_="It is the share of the jet that the cut uses."
            )
        least, most = (self.used.si, self.used.si) if self.used else (LEAST_USED, MOST_USED)
        lets = [self._let((least + most) / 2.0, 1.0), *(self._let(used, vapour) for used in (least, most) for vapour in (1.0, 0.0))]
        oxygen = self._percents([(each, each.oxygen) for each in lets], OXYGEN_IN_AIR)
        carbon = self._percents([(each, each.carbon_dioxide) for each in lets], 0.0)
        state = "deficient" if min(oxygen) < 100.0 * DEFICIENT else "enriched" if max(oxygen) > 100.0 * ENRICHED else "normal"
        return {
            **banded("oxygen_percent", oxygen[0], min(oxygen), max(oxygen)),
            **banded("carbon_dioxide_percent", carbon[0], min(carbon), max(carbon)),
            "air_needed_m3_per_h": self._needed([*lets, self._let(1.0, 1.0)]),
            "state": state,
            "caution": MIXED_EVENLY,
        }

    def _let(self, used: float, vapour: float) -> "Let":
        from steadycone.physics.gas import load
        from steadycone.physics.transient.room_air import flame_lets

        gas, mass = gas_of(self.fuel, self.composition, "fuel"), load("oxygen").molar_mass
        left = self.cutting.amount(mass) * (1.0 - used) if self.cutting else 0.0
        return flame_lets(gas, self.fuel_flow.amount(gas.molar_mass), self.preheat.amount(mass), left, vapour)

    def _percents(self, lets: "list[tuple[Let, float]]", outside: float) -> list[float]:
        """Of each case's own gas in the air at the end, as described first, then in a warm room."""
        from steadycone.physics.transient.room_air import stirred_share

        def percent(let: "Let", gas: float, volume: float) -> float:
            amount, fresh = self.room_volume.si / volume, self.fresh_air.si / volume / self.mixing.si
            return 100.0 * stirred_share(gas, let.total, amount, fresh, self.minutes.si, outside)

        return [percent(let, gas, volume) for volume in self._molar_volumes() for let, gas in lets]

    def _needed(self, lets: "list[Let]") -> float:
        """m³/h that hold every limit in the long run, mixing counted."""
        from steadycone.physics.transient.room_air import fresh_air_for

        flows = [0.0]
        for let in lets:
            flows += [fresh_air_for(level, let.oxygen, let.total, OXYGEN_IN_AIR) for level in (DEFICIENT, ENRICHED)]
            flows.append(fresh_air_for(CARBON_DIOXIDE, let.carbon_dioxide, let.total, 0.0))
        return max(flows) * max(self._molar_volumes()) * self.mixing.si * 3600.0

    def _molar_volumes(self) -> tuple[float, float]:
        """m³/mol in the room: as described, and at the warm end."""
        if self.temperature is not None:
            volume = GAS_CONSTANT * self.temperature.si / self.atmosphere.si
            return volume, volume
        usual = 1.0 / self.reference_state.moles_per_cubic_metre if self.reference_state else NORMAL_MOLAR_VOLUME
        return usual, GAS_CONSTANT * WARM_ROOM / self.atmosphere.si
