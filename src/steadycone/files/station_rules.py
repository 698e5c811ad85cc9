"""What a station file may not say although every single value is well written: contradictions and things left open.

Only what no bench can be is refused here. Whatever a real station could have, right or wrong, is judged in practice/.
"""

import re

from steadycone.assembly.fuels import MIXED
from steadycone.assembly.gauges import gauges
from steadycone.data.reader import toml
from steadycone.errors import InputError, OutOfRange, UnknownName, nearest
from steadycone.files.tables import item_place, place
from steadycone.station.parts import Arrestor, CheckValve, Coupling, FlowPoint, Hose, Part, Pipe, Restriction, Valve
from steadycone.station.regulator import Regulator
from steadycone.station.setup import Line, Station
from steadycone.station.supply import Supply
from steadycone.units import ATMOSPHERE, GivenDate, Measure, Pressure

MOST_CYLINDERS = 1000
MOST_FLAMES = 50
_MOST_SUPPLY_EFFECT = 0.1  # outlet rise for each unit of the cylinder's fall; a 10 mm seat under a 32 mm diaphragm
TEST_GASES = ("oxygen", "air", "nitrogen", "acetylene", "propane", "propylene", "methane", "hydrogen", "butane", "isobutane", "ethane",
              "carbon dioxide")  # fmt: skip
COMPONENTS = ("methane", "ethane", "propane", "propylene", "butane", "isobutane", "hydrogen", "nitrogen", "carbon dioxide")


def check_station(station: Station) -> None:
    """Raises InputError for the first contradiction, in the file's own order."""
    _check_about(station)
    lines: dict[str, Line] = {"oxygen": station.oxygen, "fuel": station.fuel}
    if station.preheat_oxygen:
        lines["preheat_oxygen"] = station.preheat_oxygen
    for name, line in lines.items():
        _check_supply(line.supply, f"{name}.supply")
        _check_regulator(line.regulator, f"{name}.regulator")
        for number, part in enumerate(line.part, 1):
            _check_part(part, item_place(f"{name}.part", number, {"kind": part.word}))
        if not any(isinstance(part, Hose) for part in line.part):
            needed = f'Add [[{name}.part]] with kind = "hose", grade, bore and length.'
            raise InputError("this line has no hose, and each line needs one", where=f"{name}.part", try_=needed)
    _check_composition(station)
    _check_job(station)
    _check_place(station)
    _check_settings(station)


def _within(value: Measure | None, low: float, high: float, allowed: str, where: str) -> None:
    if value is not None and not low <= value.si <= high:
        raise OutOfRange(f'"{value.text}" must be {allowed}', where=where, try_="Check the value and its unit.")


def _positive(value: Pressure | None, where: str, zero: bool = False) -> None:
    """A rating or a gauge reading: nothing below zero gauge can be one."""
    if value is not None and (value.si < 0 or (value.si == 0 and not zero)):
        allowed = "zero or more" if zero else "above zero"
        raise OutOfRange(f'"{value.text}" must be {allowed}', where=where, try_="Pressures are gauge: above the air around.")


def _check_about(station: Station) -> None:
    about = station.station
    if about.atmosphere and about.altitude:
        says = f'atmosphere "{about.atmosphere.text}" and altitude "{about.altitude.text}" both say what the air pressure is'
        raise InputError(says, where="station, altitude", try_="Keep one of the two.")
    if about.atmosphere and not about.atmosphere.absolute:
        says = f'"{about.atmosphere.text}" would be gauge; the atmosphere is absolute'
        raise InputError(says, where="station, atmosphere", try_='Write for example "1.013 bar abs".')
    # 40 kPa is above the highest mine; 6 bar is deeper than compressed-air work goes.
    _within(about.atmosphere, 4e4, 6e5, "between 0.4 and 6 bar abs", "station, atmosphere")
    _within(about.altitude, 0.0, 6000.0, "at most 6000 m", "station, altitude")
    _within(about.ambient, 213.15, 343.15, "between -60 and 70 °C", "station, ambient")
    _positive(about.test_pressure_oxygen, "station, test_pressure_oxygen")
    _positive(about.test_pressure_fuel, "station, test_pressure_fuel")


_MOST_CRACKING = 1e5  # Pa: far above any check valve of a torch line


def _check_supply(supply: Supply, table: str) -> None:
    if not 1 <= supply.cylinders <= MOST_CYLINDERS:
        says = f"{supply.cylinders} must be at least 1 and at most {MOST_CYLINDERS}"
        raise OutOfRange(says, where=place(table, "cylinders"), try_="Write the number of cylinders coupled together.")
    if supply.gross and not supply.tare:
        raise InputError(
            "missing, and needed beside gross", where=place(table, "tare"), try_='Copy the tare stamped on the cylinder, such as "62.4 kg".'
        )
    if supply.tare and supply.gross and supply.gross.si < supply.tare.si:
        says = f'"{supply.gross.text}" is less than the tare, "{supply.tare.text}"'
        raise InputError(says, where=place(table, "gross"), try_="Weigh again, or check which figure is which.")
    if supply.shared_at and not supply.shared_flow:
        tried = 'Add what the other torches draw, such as shared_flow = "2 m3/h", or take shared_at out.'
        raise InputError("missing, and needed beside shared_at", where=place(table, "shared_flow"), try_=tried)
    if supply.capacity and supply.content:
        raise InputError("content and capacity mean the same", where=place(table, "content"), try_="Keep one of the two.")
    for name in ("pressure", "reserve"):
        _positive(getattr(supply, name), place(table, name), zero=True)
    _positive(supply.filling_pressure, place(table, "filling_pressure"))


def _check_regulator(regulator: Regulator, table: str) -> None:
    for name in ("outlet_rating", "inlet_rating", "inlet_scale", "outlet_scale", "closing_pressure"):
        _positive(getattr(regulator, name), place(table, name))
    if regulator.gauge_class and not 0 < regulator.gauge_class.si <= 10:
        says = f'"{regulator.gauge_class.text}" must be above 0 and at most 10'
        raise OutOfRange(says, where=place(table, "gauge_class"), try_='The class is the error in per cent of full scale, such as "2.5".')
    _check_divisions(regulator, table)
    _check_closing(regulator, table)
    _in_order(regulator.made, regulator.tested, table)


def _check_divisions(regulator: Regulator, table: str) -> None:
    """A gauge's smallest change is above nothing and no more than its whole scale, stated or usual for the rating."""
    usual = gauges(regulator, "")  # scales do not ask for the region
    for name, scale in (("outlet_division", usual.outlet_scale), ("inlet_division", usual.inlet_scale)):
        given = getattr(regulator, name)
        if given and not 0 < given.si <= scale:
            unit = given.unit if given.unit in Pressure.units else "bar"
            says = f'"{given.text}" must be above zero and at most the scale, {scale / Pressure.units[unit]:.4g} {unit}'
            raise OutOfRange(says, where=place(table, name), try_="It is the smallest change that one can read on this gauge.")
    if regulator.rated_flow and regulator.rated_flow.si <= 0:
        says = f'"{regulator.rated_flow.text}" must be above zero'
        raise OutOfRange(says, where=place(table, "rated_flow"), try_="Read it from the plate or the maker's sheet, or leave it out.")


def _check_closing(regulator: Regulator, table: str) -> None:
    """Closed it stands at least where it flows; twice that, and a tenth of the cylinder's fall, are beyond any regulator made."""
    rating, closing, effect = regulator.outlet_rating, regulator.closing_pressure, regulator.supply_effect
    if closing and not rating.abs(ATMOSPHERE) <= closing.abs(ATMOSPHERE) <= rating.abs(ATMOSPHERE) + rating.gauge(ATMOSPHERE):
        says = f'"{closing.text}" must be at least the outlet rating, "{rating.text}", and at most twice that'
        raise OutOfRange(says, where=place(table, "closing_pressure"), try_="It is the highest pressure with the torch shut; check both.")
    if effect and effect.si > _MOST_SUPPLY_EFFECT:
        says = f'"{effect.text}" must be at least 0 and at most {100 * _MOST_SUPPLY_EFFECT:g} %'
        tried = 'A sheet that says 0.8 psi for 100 psi means "0.8 %".'
        raise OutOfRange(says, where=place(table, "supply_effect"), try_=tried)


def _in_order(made: GivenDate | None, tested: GivenDate | None, table: str) -> None:
    if made and tested and tested.last < made.day:  # a date without its day may mean any day of it
        says = f'"{tested.text}" lies before the date of make, "{made.text}"'
        raise InputError(says, where=place(table, "tested"), try_="Read both dates from the part again.")


def _check_part(part: Part, table: str) -> None:
    _positive(part.max_pressure, place(table, "max_pressure"))
    if isinstance(part, Hose):
        _within(part.length, 0.1, 5000.0, "0.1 to 5000 m", place(table, "length"))  # millimetres typed for metres lie below
        _within(part.bore, 1e-3, 0.1, "1 to 100 mm", place(table, "bore"))
        if part.bore_tolerance and part.bore_tolerance.si > part.bore.si / 4:
            says = f'"{part.bore_tolerance.text}" must be at most a quarter of the bore, "{part.bore.text}"'
            tried = 'It is how far the bore may be off, plus or minus: "0.3 mm".'
            raise OutOfRange(says, where=place(table, "bore_tolerance"), try_=tried)
    if isinstance(part, Pipe):
        _within(part.length, 0.01, 5000.0, "0.01 to 5000 m", place(table, "length"))
        _within(part.bore, 1e-3, 1.0, "1 mm to 1 m", place(table, "bore"))
    _in_order(part.made, part.tested, table)
    if isinstance(part, Arrestor | CheckValve | Valve | Coupling):
        _check_restriction(part, table)


def _check_restriction(part: Restriction, table: str) -> None:
    given = [name for name in ("flow_points", "sonic_conductance", "equivalent_bore") if getattr(part, name)]
    if len(given) > 1:
        says = f"{' and '.join(given)} each say how much gas passes"
        raise InputError(says, where=table, try_="Keep one: what the maker gives, else the bore.")
    for one, other in (("sonic_conductance", "critical_ratio"), ("critical_ratio", "sonic_conductance")):
        if getattr(part, one) is not None and getattr(part, other) is None:
            example = '"0.4"' if other == "critical_ratio" else '"2.1 L/(s bar)"'
            raise InputError(f"missing, and needed beside {one}", where=place(table, other), try_=f"Add for example {other} = {example}.")
    if part.critical_ratio and not part.critical_ratio.si < 1:
        raise OutOfRange(
            f'"{part.critical_ratio.text}" must be below 1', where=place(table, "critical_ratio"), try_="It is the ratio b of ISO 6358."
        )
    if part.coefficient:
        if not part.equivalent_bore:
            raise InputError(
                "a coefficient belongs to a bore", where=place(table, "coefficient"), try_='Add equivalent_bore, such as "3.2 mm".'
            )
        if not 0 < part.coefficient.si <= 1:
            says = f'"{part.coefficient.text}" must be above 0 and at most 1'
            raise OutOfRange(says, where=place(table, "coefficient"), try_="A sharp opening has about 0.6.")
    _within(part.cracking, 0.0, _MOST_CRACKING, f"0 to {_MOST_CRACKING / 1e5:g} bar", place(table, "cracking"))
    for number, point in enumerate(part.flow_points, 1):
        _check_point(point, f"{table}.flow_points {number}")
        if part.cracking is not None and point.drop.si <= part.cracking.si:
            says = f'"{point.drop.text}" is not above the opening pressure, "{part.cracking.text}" (cracking): nothing would flow'
            raise OutOfRange(says, where=place(f"{table}.flow_points {number}", "drop"), try_="Check both against the maker's sheet.")


def _check_point(point: FlowPoint, table: str) -> None:
    if point.gas not in TEST_GASES:
        raise UnknownName(f'"{point.gas}" is not a gas this program knows', where=place(table, "gas"), try_=nearest(point.gas, TEST_GASES))
    if point.drop.si <= 0 or point.flow.si <= 0:
        name = "drop" if point.drop.si <= 0 else "flow"
        raise OutOfRange(
            f'"{getattr(point, name).text}" must be above zero', where=place(table, name), try_="Read a point off the maker's curve."
        )
    if point.drop.si >= point.inlet.abs(101325.0):
        says = f'"{point.drop.text}" is more than the inlet has, "{point.inlet.text}"'
        raise OutOfRange(says, where=place(table, "drop"), try_="Check the units of both.")


def _check_composition(station: Station) -> None:
    for line, supply in (("oxygen", station.oxygen.supply), ("fuel", station.fuel.supply)):
        given, table = supply.composition, f"{line}.supply.composition"
        if given is None:
            continue
        if line == "oxygen" or station.station.fuel not in MIXED:
            fuel = "oxygen" if line == "oxygen" else station.station.fuel
            says = f'a composition belongs to fuel = "lpg", "natural gas" or "mps"; this is {fuel}'
            raise InputError(says, where=table, try_="Take it out, or name the fuel by what it is.")
        for name in given:
            if name not in COMPONENTS:
                raise UnknownName(
                    f'"{name}" is not a component this program knows', where=place(table, name), try_=nearest(name, COMPONENTS)
                )
        total = sum(share.si for share in given.values())
        if not 0.99 <= total <= 1.01:
            says = f"the shares add up to {total * 100:.3g} %; they must make 100 % (within 1)"
            raise InputError(says, where=table, try_="Shares are by volume; check each one.")


def _check_job(station: Station) -> None:
    job, attachment = station.job, station.torch.attachment
    if (job.kind == "cut") != (attachment == "cutting") and job.kind != "heat":  # preheating with a cutting attachment is everyday work
        says = f'a job of kind "{job.kind}" with a {attachment} attachment'
        raise InputError(says, where="torch, attachment", try_="Name the attachment that will be on the torch, or change the job's kind.")
    _within(job.thickness, 1e-4, 3.0, "0.1 mm to 3 m", "job, thickness")
    _within(job.length, 1e-3, 1e5, "1 mm to 100 km", "job, length")
    if job.duty and not 0 < job.duty.si <= 1:
        raise OutOfRange(
            f'"{job.duty.text}" must be above 0 and at most 100 %', where="job, duty", try_="It is the share of the time the flame burns."
        )
    if station.preheat_oxygen and attachment != "cutting":
        raise InputError(
            f"a preheat oxygen line on a {attachment} attachment", where="preheat_oxygen", try_="Only cutting has one of its own."
        )


def _check_place(station: Station) -> None:
    place, region = station.place, station.station.region
    # A gang box holds 0.1 m3; no hall that is called closed holds a million. A hand stands between floor and ceiling.
    _within(place.volume, 0.1, 1e6, "between 0.1 and 1 000 000 m3", "place, volume")
    _within(place.ceiling, 0.3, 100.0, "between 0.3 and 100 m", "place, ceiling")
    _within(place.height, 0.0, 500.0, "at most 500 m", "place, height")
    if place.volume and place.fresh_air and place.fresh_air.si > place.volume.si:
        says = f'"{place.fresh_air.text}" would change the air of "{place.volume.text}" more than once a second'
        raise OutOfRange(says, where="place, fresh_air", try_="Check both values and their units.")
    if place.fresh_air_measured and place.fresh_air is None:
        says = "missing, and needed beside fresh_air_measured"
        raise InputError(says, where="place, fresh_air", try_='Add what was measured, such as "600 m3/h".')
    if place.certificate and place.held is None:
        raise InputError("missing, and needed beside certificate", where="place, held", try_='Say what it held, such as "ballast water".')
    if not 1 <= place.welders <= MOST_FLAMES:
        says = f"{place.welders} must be at least 1 and at most {MOST_FLAMES}"
        raise OutOfRange(says, where="place, welders", try_="Write how many flames burn in this place at once, this one among them.")
    if place.country is not None:
        _check_country(place.country, region)


def _check_country(country: str, region: str) -> None:
    known: dict[str, list[str]] = {name: codes for name, codes in toml("air.toml")["countries"].items() if name != "source"}
    code = country.upper().partition("-")[0]
    if not re.fullmatch(r"[A-Za-z]{2}(-[A-Za-z0-9]{1,3})?", country) or not any(code in codes for codes in known.values()):
        hint = nearest(code, [each for codes in known.values() for each in codes])
        raise UnknownName(f'"{country}" is not a country this program knows', where="place, country", try_=hint)
    if code not in known[region]:
        says = f'"{country}" does not lie in region {region}: {", ".join(known[region])}'
        raise InputError(says, where="place, country", try_="Check the country, or the region under [station].")


def _check_settings(station: Station) -> None:
    settings = station.settings
    if settings is None:
        return
    for name in ("oxygen", "fuel", "preheat_oxygen"):
        _positive(getattr(settings, name), place("settings", name), zero=True)
    if station.preheat_oxygen and settings.preheat_oxygen is None:
        says = "missing, and needed: the station has a preheat oxygen line"
        raise InputError(says, where="settings, preheat_oxygen", try_='Add what its gauge shows, such as preheat_oxygen = "1.5 bar".')
    if settings.preheat_oxygen and not station.preheat_oxygen:
        says = "the station has no preheat oxygen line"
        raise InputError(
            says, where="settings, preheat_oxygen", try_="Take it out, or add [preheat_oxygen] with its own regulator and hose."
        )
