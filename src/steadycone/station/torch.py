"""The torch with its attachment, and the tip asked for."""

from typing import Literal

import msgspec

from steadycone.units import GasFlow


class Torch(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    attachment: Literal["cutting", "heating", "welding"]
    mixer: Literal["equal pressure", "injector", "nozzle mix"] | None = None
    seal: Literal["o-ring", "metal"] | None = None
    fuels: tuple[str, ...] = ()  # what torch and mixer are made for; empty = not stated
    material: str | None = None


class TipChoice(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    chart: str | None = None  # a file beside the station file
    size: str | None = None
    fuel_flow: GasFlow | None = None  # wanted, for a heating head picked by its flow
