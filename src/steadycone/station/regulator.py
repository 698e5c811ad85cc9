"""The regulator of one line."""

from typing import Literal

import msgspec

from steadycone.units import GasFlow, GivenDate, Number, Pressure, PressureDifference, Share, Volume


class Regulator(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    gas: str
    outlet_rating: Pressure
    inlet_rating: Pressure | None = None
    closing_pressure: Pressure | None = None  # highest with the torch valves shut; default in assembly/closing.py
    rated_flow: GasFlow | None = None  # at the outlet rating, of its own gas
    lockup: Share | None = None  # static gauge pressure = flowing x (1 + lockup)
    droop: PressureDifference | None = None  # fall of the outlet from no flow to the rated flow
    stages: Literal[1, 2] = 1
    supply_effect: Share | None = None  # rise of the outlet for each bar that the cylinder falls: 0.8 % is 0.8 psi per 100 psi
    inlet_division: PressureDifference | None = None
    outlet_division: PressureDifference | None = None
    inlet_scale: Pressure | None = None  # full scale of the gauge; default by rating
    outlet_scale: Pressure | None = None
    gauge_class: Number | None = None  # error, per cent of full scale
    high_volume: Volume | None = None
    low_volume: Volume | None = None
    made: GivenDate | None = None
    tested: GivenDate | None = None
