"""The same figures with another supply: how the answer changes with more cylinders, or with half-full ones."""

from dataclasses import replace

import msgspec

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.assembly.gauges import gauges
from steadycone.assembly.supply import Place, supply_figures, water_volume
from steadycone.physics.gas import pressure_of_amount
from steadycone.station.supply import Supply
from steadycone.units import Mass, Pressure


def with_supply(figures: Figures, name: str, supply: Supply) -> Figures:
    """Figures with one line's supply put in place of its own; flows at the torch stay."""
    found = figures.lines[name]
    line = msgspec.structs.replace(found.line, supply=supply)
    about = figures.setup.station.station
    place = Place(figures.ambient, figures.atmosphere, about.region, about.reference_state is not None)
    stored, known = (figures.fuel_stored, figures.fuel_known) if name == "fuel" else (found.gas, True)
    fed = supply_figures(
        name, line, stored, known, place, found.flow, figures.job.time, gauges(line.regulator, place.region), found.supply.duty
    )
    return replace(figures, lines={**figures.lines, name: replace(found, line=line, supply=fed)})


def with_cylinders(figures: Figures, name: str, count: int, *, half_full: bool = False) -> Figures:
    """The same with `count` like cylinders, each as full as now or half full."""
    found = figures.lines[name]
    supply = msgspec.structs.replace(found.line.supply, cylinders=count)
    full = found.supply.full.value
    if half_full and full is not None:
        supply = _holding(found, supply, figures, full / found.line.supply.cylinders / 2)
    return with_supply(figures, name, supply)


def with_share(figures: Figures, name: str, share: float) -> Figures:
    """The same with each cylinder of one line holding this share (0 to 1) of what it holds now, read as finely as now."""
    found = figures.lines[name]
    now = found.supply.contents.value
    if now is None:
        return figures
    given = found.line.supply
    read = given.gross.half_digit if given.gross else 0.0
    return with_supply(figures, name, _holding(found, given, figures, share * now / given.cylinders, read))


def _holding(found: LineFigures, supply: Supply, figures: Figures, amount: float, read: float = 0.0) -> Supply:
    """One cylinder with so much in it [mol], told the way its owner tells it: by weight (to `read` kg) or by pressure."""
    if found.gas.name == "acetylene" or found.supply.vaporisation is not None:
        tare = supply.tare.si if supply.tare else 0.0
        gross = Mass(tare + amount * figures.fuel_stored.molar_mass, half_digit=read)
        return msgspec.structs.replace(supply, gross=gross, tare=supply.tare or Mass(0.0), pressure=None)
    volume = water_volume(found.line.supply, found.gas, figures.setup.station.station.region, figures.atmosphere)
    if volume is None:
        return supply
    pressure = pressure_of_amount(found.gas, amount, volume, figures.ambient) if amount > 0 else figures.atmosphere
    return msgspec.structs.replace(supply, pressure=Pressure(pressure, absolute=True))
