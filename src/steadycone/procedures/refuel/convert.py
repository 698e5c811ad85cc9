"""The same station on another fuel: all its gear as it is, a supply of the new fuel, and the new tip's chart."""

from typing import get_args

import msgspec

from steadycone.errors import InputError, UnknownName, nearest
from steadycone.station.chart import Chart
from steadycone.station.setup import Fuel, Setup
from steadycone.station.supply import Supply
from steadycone.station.torch import TipChoice
from steadycone.units import Share

FUELS: tuple[Fuel, ...] = get_args(Fuel)


def convert(
    setup: Setup, fuel: str, chart: Chart | None = None, size: str | None = None, composition: dict[str, Share] | None = None
) -> Setup:
    """The setup with another fuel. Its old fuel supply, its tip and its settings go; everything else stays as it is.

    Raises  UnknownName: no such fuel. InputError: it burns that fuel already.
    """
    if fuel not in FUELS:
        raise UnknownName(f'"{fuel}" is not a fuel', where="fuel", try_=nearest(fuel, FUELS))
    station = setup.station
    if fuel == station.station.fuel:
        raise InputError(f"the station burns {fuel} already", where="fuel", try_="Name the fuel to change to.")
    about = msgspec.structs.replace(station.station, fuel=fuel)
    line = msgspec.structs.replace(station.fuel, supply=Supply(composition=composition))
    tip = TipChoice(chart=chart.name, size=size) if chart else TipChoice()
    changed = msgspec.structs.replace(station, station=about, fuel=line, tip=tip, settings=None)
    return msgspec.structs.replace(setup, station=changed, chart=chart)
