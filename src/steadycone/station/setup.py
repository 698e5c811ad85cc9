"""A station, its chart and the policy in force, read together."""

from typing import Literal

import msgspec

from steadycone.station.chart import Chart
from steadycone.station.job import Declared, Job, Place, Settings
from steadycone.station.parts import Part
from steadycone.station.policy import Policy
from steadycone.station.regulator import Regulator
from steadycone.station.supply import Supply
from steadycone.station.torch import TipChoice, Torch
from steadycone.units import Length, Pressure, Temperature

FORMAT = "steadycone-station/1"
Region = Literal["uk", "eu", "us", "ca", "au", "nz"]
Fuel = Literal["acetylene", "propane", "butane", "propylene", "methane", "hydrogen", "lpg", "natural gas", "mps"]


class Line(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One gas: supply, regulator, then parts in order to the torch inlet."""

    supply: Supply = Supply()
    regulator: Regulator
    part: tuple[Part, ...]


class About(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    name: str
    region: Region
    fuel: Fuel
    policy: str | None = None
    ambient: Temperature | None = None
    atmosphere: Pressure | None = None
    altitude: Length | None = None
    reference_state: str | None = None
    test_pressure_oxygen: Pressure | None = None  # of the leak test; left out = the static pressure of the card
    test_pressure_fuel: Pressure | None = None


class Station(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One station file. Field names are the file's own."""

    format: Literal["steadycone-station/1"]
    station: About
    oxygen: Line
    fuel: Line
    preheat_oxygen: Line | None = None  # a machine torch with three hoses
    torch: Torch
    tip: TipChoice = TipChoice()
    job: Job
    place: Place = Place()
    settings: Settings | None = None
    declared: tuple[Declared, ...] = ()


class Setup(msgspec.Struct, frozen=True, kw_only=True):
    """Everything a card is made from. `file` names the station file in messages."""

    station: Station
    policy: Policy
    chart: Chart | None = None
    file: str = ""

    @property
    def lines(self) -> dict[str, Line]:
        """The station's lines by name: oxygen, fuel, and preheat_oxygen where there is one."""
        found = {"oxygen": self.station.oxygen, "fuel": self.station.fuel}
        if self.station.preheat_oxygen:
            found["preheat_oxygen"] = self.station.preheat_oxygen
        return found
