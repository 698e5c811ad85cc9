"""What feeds a line."""

from typing import Literal

import msgspec

from steadycone.units import Duration, GasAmount, GasFlow, Mass, Pressure, Share, Volume


class Supply(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Cylinders, or a supply that states its pressure and flow. Every figure is for one cylinder."""

    kind: Literal["cylinders", "manifold", "pipeline", "bulk", "liquid"] = "cylinders"
    cylinders: int = 1
    water_volume: Volume | None = None
    capacity: GasAmount | None = None  # full content of one, at its filling pressure
    content: GasAmount | None = None  # the same; the word used for liquefied and dissolved gas
    filling_pressure: Pressure | None = None  # at 15 °C; default by region and gas
    pressure: Pressure | None = None  # as read now; left out = full, and the card says that it is assumed
    reserve: Pressure | None = None
    gross: Mass | None = None
    tare: Mass | None = None
    tare_basis: Literal["without saturation gas", "with saturation gas"] = "without saturation gas"
    solvent: Mass | None = None  # acetone in one acetylene cylinder
    shared_flow: GasFlow | None = None  # what other torches draw from the same supply
    shared_at: Literal["cylinder", "regulator", "hose"] | None = None  # where they join: assembly/sharing.py
    available_flow: GasFlow | None = None
    composition: dict[str, Share] | None = None
    upright_for: Duration | None = None
    lay_for: Duration | None = None  # how long it lay down before that

    @property
    def has_cylinders(self) -> bool:
        """Cylinders on the station, or coupled on a manifold."""
        return self.kind in ("cylinders", "manifold")
