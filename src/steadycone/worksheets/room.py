"""Gas let go in a room."""

from typing import ClassVar

from steadycone.errors import InputError
from steadycone.units import GAS_CONSTANT, NORMAL_MOLAR_VOLUME, GasAmount, GasFlow, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, WithVolumes, ask, banded, gas_of, worksheet
from steadycone.worksheets.kinds import AirChanges, Minutes

WARM_ROOM = 313.15  # K, the unsafe end where no temperature is given: room-warm


@worksheet
class Room(AtPressure, WithVolumes):
    """Perfectly mixed share of a gas in a room's air. Near the source it is far more: never a time to rely on.

    Without a temperature a litre let go is taken as a litre of the room, and the high end as one in a room of 40 °C.
    """

    gas: str = ask(GAS, "what gets out")
    release_flow: GasFlow | None = ask(GasFlow, "steady", optional=True)
    release_volume: GasAmount | None = ask(GasAmount, "let go at once", optional=True)
    room_volume: Volume = ask(Volume, "of the room's air")
    air_changes: AirChanges = ask(AirChanges, "fresh air, changes an hour", "0")
    minutes: Minutes | None = ask(Minutes, "since the release began; needed with release_flow", optional=True)
    temperature: Temperature | None = ask(Temperature, "of the room", optional=True)
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    either: ClassVar = ((("release_flow",), ("release_volume",)),)
    example: ClassVar = 'gas=acetylene release_flow="5 L/min" room_volume="12 m3" minutes=5'

    def answer(self) -> Answer:
        from steadycone.physics.gas import burns, limits
        from steadycone.physics.transient.room import oxygen_share

        gas = gas_of(self.gas, self.composition)
        if self.temperature is not None:
            shares = (self._share(gas.molar_mass, self._molar_volume(self.temperature.si)),) * 3
        else:
            usual = self._share(gas.molar_mass, self._stated_molar_volume())
            shares = (usual, usual, self._share(gas.molar_mass, self._molar_volume(WARM_ROOM)))
        found = banded("percent", *(100.0 * share for share in shares))
        if burns(gas) and (range_in_air := limits(gas, "air")):
            found |= banded("share_of_lower_limit", *(share / range_in_air[0] for share in shares))
        oxygen = gas.components.get("oxygen", 0.0)
        if gas.name != "air":
            found |= banded("oxygen_percent", *(100.0 * (oxygen * share + oxygen_share(share, False)) for share in shares))
        return found

    def _share(self, molar_mass: float, molar_volume: float) -> float:
        from steadycone.physics.transient.room import mixed_share, puff_share

        time = self.minutes.si if self.minutes else 0.0
        if self.release_volume is not None:
            return puff_share(self.release_volume.amount(molar_mass) * molar_volume, self.room_volume.si, self.air_changes.si, time)
        assert self.release_flow is not None
        if self.minutes is None:
            raise InputError("a steady release needs its minutes", where="minutes", try_="Add minutes=5.")
        return mixed_share(self.release_flow.amount(molar_mass) * molar_volume, self.room_volume.si, self.air_changes.si, time)

    def _molar_volume(self, kelvin: float) -> float:
        return GAS_CONSTANT * kelvin / self.atmosphere.si

    def _stated_molar_volume(self) -> float:
        """m³/mol at the state that the release was given in."""
        return 1.0 / self.reference_state.moles_per_cubic_metre if self.reference_state else NORMAL_MOLAR_VOLUME
