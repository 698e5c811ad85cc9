"""Gas let go in a room."""

import math
from typing import TYPE_CHECKING, ClassVar

from steadycone.errors import InputError, OutOfRange
from steadycone.units import GAS_CONSTANT, NORMAL_MOLAR_VOLUME, AirFlow, GasAmount, GasFlow, Number, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, WithVolumes, ask, banded, gas_of, worksheet
from steadycone.worksheets.kinds import AirChanges, Minutes

if TYPE_CHECKING:
    from steadycone.physics.gas import Gas

WARM_ROOM = 313.15  # K, the unsafe end where no temperature is given: room-warm
TENTH = 0.1  # of the lower limit: the working figure, osha-1910-146
ENRICHED, DEFICIENT = 0.22, 0.195  # oxygen in air: enrichment-stricter-limit, osha-1910-146
MIXED_EVENLY = "perfectly mixed; near the source it is far more: never a time to rely on"


@worksheet
class Room(AtPressure, WithVolumes):
    """Perfectly mixed share of a gas in a room's air. Near the source it is far more: never a time to rely on.

    Without a temperature a litre let go is taken as a litre of the room, and the high end as one in a room of 40 °C. Times to a limit are of
    a steady release, divided by mixing; the time to clear begins when the release stops, and is multiplied by it. A time that never comes is
    null, shown as "?". State is at the worst end.
    """

    gas: str = ask(GAS, "what gets out")
    release_flow: GasFlow | None = ask(GasFlow, "steady", optional=True)
    release_volume: GasAmount | None = ask(GasAmount, "let go at once", optional=True)
    room_volume: Volume = ask(Volume, "of the room's air")
    air_changes: AirChanges = ask(AirChanges, "fresh air, changes an hour", "0")
    fresh_air: AirFlow | None = ask(AirFlow, "the same as a flow", optional=True)
    minutes: Minutes | None = ask(Minutes, "since the release began; needed with release_flow", optional=True)
    mixing: Number = ask(Number, "as many times worse than even mixing", "4")
    temperature: Temperature | None = ask(Temperature, "of the room", optional=True)
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    either: ClassVar = ((("release_flow",), ("release_volume",)),)
    example: ClassVar = 'gas=acetylene release_flow="5 L/min" room_volume="12 m3" minutes=5'

    def answer(self) -> Answer:
        from steadycone.physics.gas import burns, limits
        from steadycone.physics.transient.room import oxygen_share

        if self.mixing.si < 1.0:
            raise OutOfRange(f'"{self.mixing.text}" must be at least 1', where="mixing", try_="1 is perfectly mixed, which no room is.")
        gas = gas_of(self.gas, self.composition)
        volumes = self._molar_volumes()
        shares = [self._share(gas.molar_mass, volume) for volume in volumes]
        found = banded("percent", *(100.0 * share for share in shares))
        range_in_air = limits(gas, "air") if burns(gas) else None
        if range_in_air:
            found |= banded("share_of_lower_limit", *(share / range_in_air[0] for share in shares))
        oxygen = gas.components.get("oxygen", 0.0)
        contents = [oxygen * share + oxygen_share(share, False) for share in shares]
        if gas.name != "air":
            found |= banded("oxygen_percent", *(100.0 * content for content in contents))
        found["state"] = _state(max(shares), contents, range_in_air)
        found |= self._times(gas, volumes, range_in_air)
        found |= self._clear(max(shares), oxygen, range_in_air)
        return found | {"caution": MIXED_EVENLY}

    def _times(self, gas: "Gas", volumes: list[float], range_in_air: tuple[float, float] | None) -> Answer:
        """Minutes of a steady release to a tenth of the lower limit and to the limit, or to enrichment; null where never."""
        levels: dict[str, float] = {}
        if range_in_air:
            levels = {"minutes_to_tenth": TENTH * range_in_air[0], "minutes_to_limit": range_in_air[0]}
        elif gas.components.get("oxygen", 0.0) > ENRICHED:
            levels = {"minutes_to_22": _oxygen_level(gas.components["oxygen"])}
        if self.release_flow is None:
            return {}
        found: Answer = {}
        for key, level in levels.items():
            found |= banded(key, *(self._minutes_to(level, gas.molar_mass, volume) for volume in volumes))
        return found

    def _minutes_to(self, level: float, molar_mass: float, molar_volume: float) -> float | None:
        from steadycone.physics.transient.room import time_to_share

        assert self.release_flow is not None
        time = time_to_share(level, self.release_flow.amount(molar_mass) * molar_volume, self.room_volume.si, self._changes())
        return time / 60.0 / self.mixing.si if math.isfinite(time) else None

    def _clear(self, share: float, oxygen: float, range_in_air: tuple[float, float] | None) -> Answer:
        """Minutes from the stop of the release back to a tenth of the lower limit, or to 22 % oxygen; null where no air comes in."""
        from steadycone.physics.transient.room import time_to_clear

        level = TENTH * range_in_air[0] if range_in_air else _oxygen_level(oxygen) if oxygen > ENRICHED else None
        if level is None or share <= 0.0:
            return {}
        time = time_to_clear(share, level, self._changes())
        return {"clear_minutes": time / 60.0 * self.mixing.si if math.isfinite(time) else None}

    def _changes(self) -> float:
        """1/s.

        Raises  InputError: fresh air stated twice.
        """
        if self.fresh_air is None:
            return self.air_changes.si
        if self.air_changes.si > 0.0:
            raise InputError("air_changes and fresh_air say the same", where="fresh_air", try_="Keep one of the two.")
        return self.fresh_air.si / self.room_volume.si

    def _share(self, molar_mass: float, molar_volume: float) -> float:
        from steadycone.physics.transient.room import mixed_share, puff_share

        time = self.minutes.si if self.minutes else 0.0
        if self.release_volume is not None:
            return puff_share(self.release_volume.amount(molar_mass) * molar_volume, self.room_volume.si, self._changes(), time)
        assert self.release_flow is not None
        if self.minutes is None:
            raise InputError("a steady release needs its minutes", where="minutes", try_="Add minutes=5.")
        return mixed_share(self.release_flow.amount(molar_mass) * molar_volume, self.room_volume.si, self._changes(), time)

    def _molar_volumes(self) -> list[float]:
        """m³/mol in the room: as described, and both ends."""
        if self.temperature is not None:
            return [GAS_CONSTANT * self.temperature.si / self.atmosphere.si] * 3
        usual = 1.0 / self.reference_state.moles_per_cubic_metre if self.reference_state else NORMAL_MOLAR_VOLUME
        return [usual, usual, GAS_CONSTANT * WARM_ROOM / self.atmosphere.si]


def _oxygen_level(oxygen: float) -> float:
    """Share of a gas with this much oxygen that makes the air enriched."""
    from steadycone.physics.transient.room import OXYGEN_IN_AIR

    return (ENRICHED - OXYGEN_IN_AIR) / (oxygen - OXYGEN_IN_AIR)


def _state(share: float, contents: list[float], range_in_air: tuple[float, float] | None) -> str:
    """One word for the room's air at its worst end."""
    if range_in_air:
        low, high = range_in_air
        fuel = (
            "below a tenth"
            if share < TENTH * low
            else "over a tenth"
            if share < low
            else "explosive"
            if share <= high
            else "over the upper limit"
        )
        return "deficient" if fuel == "below a tenth" and min(contents) < DEFICIENT else fuel
    return "enriched" if max(contents) > ENRICHED else "deficient" if min(contents) < DEFICIENT else "normal"
