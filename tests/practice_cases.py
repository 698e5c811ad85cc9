"""Benches with something wrong, enough of them that every wording of every rule is used."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from typing import Any

import msgspec

from steadycone.assembly.figures import Figures
from steadycone.physics.gas import NORMAL_MOLAR_VOLUME
from steadycone.practice.finding import Finding
from steadycone.practice.themes import judge_all
from steadycone.quantity import Quantity, band, exact, unknown
from steadycone.station.job import Declared, Place
from steadycone.station.parts import CheckValve, Coupling, Hose
from steadycone.station.policy import CheckValves, DrawLimit
from steadycone.station.torch import Torch
from steadycone.units import Duration, GasFlow, GivenDate, Length, Pressure, PressureDifference, Volume
from tests import factories as bench
from tests.factories import amount, drop, flow, gauge, minutes

_LITRE = 1e-3 / NORMAL_MOLAR_VOLUME


@cache
def judged_everywhere() -> tuple[Finding, ...]:
    return tuple(finding for figures in stations() for finding in judge_all(figures))


def stations() -> Iterator[Figures]:
    yield bench.clean()
    yield from _acetylene()
    yield from _supplies()
    yield from _gear()
    yield from _unknown_flow()
    yield from _cures()
    yield from _lines()
    yield from _tips()
    yield from _work()


def _acetylene() -> Iterator[Figures]:
    nothing = unknown("gauge pressure")
    over = {"flowing": gauge(2), "set_pressure": gauge(2), "static": gauge(2.6)}
    yield bench.with_line(bench.clean(), "fuel", **over)
    yield replace(bench.with_line(bench.clean(region="us"), "fuel", **over), atmosphere=1.2e5)
    yield replace(bench.with_line(bench.clean(region="us"), "fuel", **over), atmosphere=2.2e5)
    yield bench.with_as_set(
        bench.clean(), fuel=replace(bench.as_set_line(bench.clean().lines["fuel"]), regulator=gauge(2), regulator_static=gauge(2.6))
    )
    for region, bar in (("uk", 1.0), ("uk", 2.0), ("us", 2.0)):
        piped = bench.with_supply_noun(bench.clean(region=region), "fuel", kind="pipeline")
        yield bench.with_supply(piped, "fuel", pressure=gauge(bar))
    yield bench.with_line(bench.clean(), "fuel", flowing=nothing, set_pressure=nothing, static=nothing)
    yield replace(bench.clean(), ambient=268.15)
    for upright, lay in (("3 h", "1 h"), ("5 min", None), (None, "1 h")):
        yield bench.with_supply_noun(
            bench.clean(), "fuel", upright_for=Duration.parse(upright) if upright else None, lay_for=Duration.parse(lay) if lay else None
        )
    for material in ("copper", "copper 68 %", "brass", "silver", "mystery"):
        yield bench.with_noun(bench.clean(), "fuel", part=(*bench.clean().lines["fuel"].line.part, Coupling(material=material)))
    for m3_per_h in (0.1, 1.5):
        yield bench.with_supply(replace(bench.clean(), ambient=273.15 + 5), "fuel", drawn=flow(m3_per_h))
    for m3_per_h in (0.2, 0.6):
        rough, four = _from(amount(4.95), 0.3), bench.with_supply_noun(bench.clean(), "fuel", cylinders=4)
        yield bench.with_supply(four, "fuel", drawn=flow(m3_per_h), contents=rough, at_end=rough)
    nobody = bench.with_supply(replace(bench.clean(), ambient=273.15 + 5), "fuel", contents=unknown("amount"), at_end=unknown("amount"))
    yield nobody
    many = msgspec.structs.replace(bench.clean().setup.policy.draw, stop=DrawLimit.parse("1/5"), caution=DrawLimit.parse("1/90"))
    yield bench.with_policy(bench.with_supply(bench.clean(), "fuel", drawn=flow(0.8)), draw=many)
    yield bench.with_supply(bench.clean(), "fuel", drawn=flow(9.0))
    for m3_per_h in (0.0, 0.6, 0.8):
        yield bench.with_supply(bench.clean(), "fuel", drawn=flow(m3_per_h))
        flat = msgspec.structs.replace(
            bench.clean().setup.policy.draw, stop=DrawLimit.parse("0.7 m3/h"), caution=DrawLimit.parse("0.5 m3/h")
        )
        yield bench.with_policy(bench.with_supply(bench.clean(), "fuel", drawn=flow(m3_per_h)), draw=flat)
        yield bench.with_supply(bench.clean(), "fuel", drawn=flow(m3_per_h), contents=amount(0), at_end=amount(0))
    yield bench.with_supply(bench.clean(), "fuel", contents=unknown("amount"), at_end=unknown("amount"))
    for m3_per_h in (2.0, 6):
        yield bench.with_supply(bench.clean(), "fuel", drawn=flow(m3_per_h), duty=0.05)
    yield bench.with_supply_noun(bench.clean(), "fuel", tare_basis="with saturation gas")


def _from(amount: Quantity, share: float) -> Quantity:
    """The same amount, of which there may be only a share."""
    assert amount.value is not None
    return band(amount.value, amount.value * share, amount.value * (2 - share), amount.kind)


def _supplies() -> Iterator[Figures]:
    yield bench.with_supply(bench.clean(), "oxygen", duration=minutes(10))
    yield bench.with_supply(bench.with_supply(bench.clean(), "oxygen", duration=minutes(10)), "fuel", duration=minutes(8))
    for bar in (7.3, 2.0):
        yield bench.with_supply(bench.clean(), "oxygen", pressure_at_end=gauge(bar))
        yield bench.with_supply(bench.clean(), "oxygen", pressure=gauge(bar), pressure_at_end=unknown("gauge pressure"))
    yield bench.with_supply(bench.clean(), "oxygen", pressure=unknown("gauge pressure"), pressure_at_end=unknown("gauge pressure"))
    yield bench.clean("lpg")
    mixed = bench.clean("mps")
    yield mixed
    for kilograms, spread in ((8.5, 0.2), (8.25, 0.2)):
        over = band(kilograms, kilograms - spread, kilograms + spread, "mass")
        yield bench.with_supply(bench.clean(), "fuel", contents_mass=over)
    yield bench.with_supply_noun(bench.clean(), "fuel", pressure=Pressure.parse("15 bar"))
    yield bench.with_supply(
        bench.with_supply_noun(bench.clean(), "fuel", pressure=Pressure.parse("26 bar")), "fuel", pressure=gauge(26, 0.5), by="pressure"
    )
    yield replace(bench.clean(), ambient=273.15 + 52)
    for stated in (None, Pressure.parse("200 bar")):
        weak = bench.with_regulator(bench.clean(), "oxygen", inlet_rating=Pressure.parse("150 bar"))
        yield bench.with_supply_noun(weak, "oxygen", filling_pressure=stated)
    yield bench.with_supply(bench.with_supply_noun(bench.clean(), "oxygen", pressure=None), "oxygen", pressure=gauge(235))
    yield replace(mixed, setup=msgspec.structs.replace(mixed.setup, chart=None))
    yield from _weak_supplies()
    yield bench.with_supply(bench.clean("propane"), "fuel", vaporisation=flow(0.1))
    yield bench.with_supply(bench.clean("propane"), "fuel", vaporisation=unknown("flow"))
    for available in ("30 m3/h", "1 m3/h", None):
        yield bench.with_supply_noun(
            bench.clean(), "oxygen", kind="pipeline", available_flow=GasFlow.parse(available) if available else None
        )
    yield bench.with_supply(bench.clean(), "oxygen", shared=flow(1))
    for at in ("regulator", "hose", None):
        for more in ("1 m3/h", "40 m3/h"):
            joined = bench.with_supply_noun(bench.clean(), "oxygen", shared_flow=GasFlow.parse(more), shared_at=at)
            yield bench.with_supply(joined, "oxygen", shared=flow(1))


def _weak_supplies() -> Iterator[Figures]:
    unread = unknown("gauge pressure")
    for bar in (1.6, 0.2):
        yield bench.with_supply(bench.clean("propane"), "fuel", pressure_at_end=gauge(bar))
        yield bench.with_supply(bench.clean("propane"), "fuel", pressure=gauge(bar), pressure_at_end=unread)
    for bar in (0.9, 0.4):
        piped = bench.with_supply_noun(bench.clean(), "fuel", kind="pipeline", available_flow=GasFlow.parse("30 m3/h"))
        yield bench.with_supply(piped, "fuel", pressure=gauge(bar))
    yield bench.with_supply(bench.clean("propane"), "fuel", vaporisation=flow(0.0))
    yield bench.with_supply(bench.clean("propane"), "fuel", vaporisation=flow(0.01))
    unknown_mix = replace(bench.clean("lpg"), fuel_known=False)
    nothing = flow(0.0)
    for celsius in (30, 2):
        cold = replace(unknown_mix, ambient=273.15 + celsius)
        yield bench.with_supply(cold, "fuel", vaporisation=nothing, pressure_at_end=gauge(0.4))


def _gauges() -> Iterator[Figures]:
    for rating, region in (("10 bar", "uk"), ("1.5 bar", "us")):
        yield bench.with_regulator(bench.clean(region=region), "fuel", outlet_rating=Pressure.parse(rating))
    for scale in ("1 bar", "3.25 bar", "16 bar", "315 bar"):
        yield bench.with_regulator(bench.clean(), "oxygen", outlet_scale=Pressure.parse(scale))
    for scale in ("100 bar", "315 bar"):
        yield bench.with_regulator(bench.clean(), "oxygen", inlet_scale=Pressure.parse(scale))
    yield bench.with_regulator(bench.clean(), "fuel", outlet_division=PressureDifference.parse("0.5 bar"))
    yield bench.with_regulator(bench.clean(), "fuel", outlet_division=PressureDifference.parse("0.02 bar"))
    half = PressureDifference.parse("0.5 bar")
    yield bench.with_regulator(bench.clean(), "oxygen", outlet_scale=Pressure.parse("100 bar"), outlet_division=half)


def _gear() -> Iterator[Figures]:
    yield bench.with_regulator(bench.clean(), "fuel", gas="oxygen", inlet_rating=None, made=None)
    yield from _dates()
    yield bench.with_supply(bench.clean(), "oxygen", pressure=gauge(240))
    yield bench.with_supply(bench.clean(), "fuel", pressure=gauge(27, 5))
    yield bench.with_supply(bench.with_supply_noun(bench.clean(), "fuel", kind="pipeline"), "fuel", pressure=gauge(40))
    yield bench.with_line(bench.clean(), "oxygen", static=gauge(14), rated_here=flow(4))
    yield bench.with_line(bench.clean(), "oxygen", flowing=gauge(11))
    yield from _gauges()
    yield bench.with_regulator(bench.clean(), "oxygen", rated_flow=None)
    yield bench.with_part(bench.clean(), "fuel", 1, gas="oxygen")
    for mark in ("Z", "E, F", None):
        yield bench.with_part(bench.clean(), "fuel", 1, gas=mark)
        yield bench.with_regulator(bench.clean(), "fuel", gas=mark or "F")
        yield bench.with_station(bench.clean(), torch=Torch(attachment="cutting", fuels=(mark,) if mark else ()))
    for grade in ("propane", "garden", "fluxed"):
        yield bench.with_part(bench.clean(), "fuel", 2, grade=grade)
    yield bench.with_part(bench.clean(), "oxygen", 2, grade="T", max_pressure=None)
    yield bench.with_part(bench.clean(), "oxygen", 2, max_pressure=Pressure.parse("3 bar"))
    yield bench.with_station(bench.clean(), declared=(Declared(kind="oil", where="oxygen regulator"), Declared(kind="adaptor")))


def _unknown_flow() -> Iterator[Figures]:
    """One such part, two, each with and without a known loss, and arrestors that a guess would make too small."""
    one = bench.with_part(bench.clean(), "fuel", 3, flow_points=())
    two = bench.with_part(one, "fuel", 1, flow_points=())
    for figures in (one, two):
        yield figures
        lost = tuple(replace(part, loss=unknown("pressure difference")) for part in figures.lines["fuel"].parts)
        yield bench.with_line(figures, "fuel", parts=lost)
    small = tuple(replace(part, loss=drop(0.012)) for part in bench.clean().lines["fuel"].parts)
    yield bench.with_line(bench.clean(), "fuel", torch_inlet=gauge(0.2), parts=small)
    heavy = bench.with_part(_parts_losing(bench.clean(), hoses=0.1, others=0.6), "oxygen", 1, flow_points=())
    parts = tuple(replace(part, loss=Quantity(0.6e5, 0.05e5, 2e5, part.loss.kind)) for part in heavy.lines["oxygen"].parts)
    yield bench.with_line(heavy, "oxygen", parts=parts)


def joined(bore: str, length: str, lost: float, other: tuple[str, str] = ("10 mm", "20 m"), state: str = "ok") -> Figures:
    """Acetylene at 0.5 bar through a hose of this bore that loses so many bar, after one of another bore that loses 0.01."""
    hoses = tuple(Hose(grade="acetylene", bore=Length.parse(b), length=Length.parse(long)) for b, long in (other, (bore, length)))
    figures = bench.with_noun(bench.clean(), "fuel", part=hoses)
    one, two = figures.lines["fuel"].parts
    parts = (
        replace(one, inlet=gauge(0.51 + lost), outlet=gauge(0.5 + lost), loss=drop(0.01)),
        replace(two, inlet=gauge(0.5 + lost), outlet=gauge(0.5), loss=drop(lost)),
    )
    return bench.with_line(
        figures, "fuel", flow=flow(3), set_pressure=gauge(0.5 + lost), loss_hoses=drop(lost), loss_parts=drop(0), parts=parts, state=state
    )


def guessed_parts(usual: float, hose: float = 0.3) -> Figures:
    """Parts of unknown flow on the oxygen line, each `usual` bar and 2 bar at the unkind end."""
    figures = bench.with_part(
        bench.with_part(_parts_losing(bench.clean(), hoses=hose, others=usual), "oxygen", 1, flow_points=()), "oxygen", 3, flow_points=()
    )
    parts = tuple(
        part if isinstance(part.part, Hose) else replace(part, loss=Quantity(usual * 1e5, 0.01e5, 2e5, part.loss.kind))
        for part in figures.lines["oxygen"].parts
    )
    return bench.with_line(
        figures, "oxygen", parts=parts, loss_hoses=drop(hose), loss_parts=Quantity(2 * usual * 1e5, 0.02e5, 4e5, "pressure difference")
    )


def two_arrestors(lost: float) -> Figures:
    """An arrestor at each end of the oxygen hose, each losing so many bar."""
    figures = bench.with_noun(bench.clean(), "oxygen", part=(bench.arrestor("oxygen"), bench.hose("oxygen"), bench.arrestor("oxygen")))
    return _parts_losing(figures, hoses=0.1, others=lost)


def _cures() -> Iterator[Figures]:
    yield joined("6.3 mm", "40 m", 0.15)
    yield joined("3 mm", "4 m", 0.9, ("12.5 mm", "4 m"))
    yield joined("24 mm", "900 m", 1.0, ("30 mm", "2 m"))
    yield joined("6.3 mm", "40 m", 0.15, state="choked")
    yield guessed_parts(0.1)
    yield guessed_parts(0.6)
    yield two_arrestors(0.3)
    yield two_arrestors(1.5)
    for ratio in (0.3, 4.0):
        heating = bench.with_station(bench.clean(), torch=Torch(attachment="heating"))
        yield replace(heating, flame_ratio=exact(ratio, "number"))


def _dates() -> Iterator[Figures]:
    yield bench.with_regulator(bench.clean(), "fuel", made=GivenDate.parse("2027-01"))
    yield bench.with_regulator(bench.clean(), "fuel", made=None, tested=None)
    yield bench.with_regulator(bench.clean(region="us"), "fuel", made=None, tested=None)
    yield bench.with_regulator(bench.clean(), "fuel", made=None)
    for on in (date(2027, 2, 20), date(2027, 3, 5), date(2028, 1, 15), date(2031, 1, 1)):
        yield replace(bench.clean(), on=on)
        yield replace(bench.clean(region="us"), on=on)
    fresh = GivenDate.parse("2028-01-10")
    yield replace(bench.with_regulator(bench.clean(), "fuel", tested=fresh), on=date(2028, 1, 15))


def _lines() -> Iterator[Figures]:
    for share in (0.6, 1.2, 8.0):
        heavy = _parts_losing(bench.clean(), hoses=share, others=0.05)
        yield bench.with_line(heavy, "oxygen", loss_hoses=drop(share), loss_parts=drop(0.1), set_pressure=gauge(3.2))
    yield bench.with_line(_parts_losing(bench.clean(), hoses=0.05, others=1.0), "oxygen", loss_parts=drop(2.0))
    yield _only_a_wide_hose()
    yield _only_a_long_hose()
    figures = bench.with_line(bench.clean(), "fuel", state="choked")
    yield figures
    yield bench.with_as_set(figures, fuel=bench.as_set_line(figures.lines["fuel"], state="choked"))
    heavy = _parts_losing(bench.clean(), hoses=1.0, others=0.4)
    yield bench.with_as_set(
        bench.clean(), oxygen=replace(bench.as_set_line(bench.clean().lines["oxygen"]), parts=heavy.lines["oxygen"].parts)
    )
    for celsius in (-30, 65):
        yield replace(bench.clean(), ambient=273.15 + celsius)
    for region in ("uk", "us"):
        hose_only = (bench.hose("acetylene"),)
        yield bench.with_noun(bench.clean(region=region), "fuel", part=hose_only)
        yield bench.with_noun(bench.clean(region=region), "fuel", part=(*hose_only, CheckValve(gas="acetylene")))
    piped = bench.with_supply_noun(bench.clean(region="us"), "fuel", kind="pipeline")
    yield bench.with_noun(piped, "fuel", part=(bench.hose("acetylene"), CheckValve(gas="acetylene")))
    yield bench.with_noun(bench.clean(), "fuel", part=(CheckValve(gas="acetylene"), bench.hose("acetylene")))
    bare = bench.with_noun(bench.clean(), "fuel", part=(bench.arrestor("acetylene"), bench.hose("acetylene")))
    yield bare
    yield bench.with_policy(bare, check_valves=CheckValves(missing="stop"))
    yield bench.with_line(bench.with_noun(bench.clean(), "fuel", part=(bench.hose("acetylene"), CheckValve())), "fuel", static=gauge(0.5))
    yield bench.with_line(bench.with_noun(bench.clean(), "fuel", part=(bench.hose("acetylene"),)), "fuel", static=gauge(0.5))
    yield bench.with_noun(bench.clean(), "fuel", part=(bench.hose("acetylene"), bench.arrestor("acetylene")))
    for bar in (0.6, 3.0):
        yield _parts_losing(bench.clean(), hoses=0.1, others=bar)


def _parts_losing(figures: Figures, *, hoses: float, others: float) -> Figures:
    parts = tuple(replace(part, loss=drop(hoses if isinstance(part.part, Hose) else others)) for part in figures.lines["oxygen"].parts)
    return bench.with_line(figures, "oxygen", parts=parts)


def _only_a_wide_hose() -> Figures:
    """Far too narrow at any length: a wider hose is the one cure."""
    thin = Hose(grade="acetylene", bore=Length.parse("3 mm"), length=Length.parse("4 m"))
    figures = bench.with_noun(bench.clean(), "fuel", part=(thin,))
    part = replace(figures.lines["fuel"].parts[0], inlet=gauge(1.4), outlet=gauge(0.5), loss=drop(0.9))
    return bench.with_line(figures, "fuel", flow=flow(3), set_pressure=gauge(1.4), loss_hoses=drop(0.9), loss_parts=drop(0), parts=(part,))


def _only_a_long_hose() -> Figures:
    """The widest hose that is made, and far too long: bringing the cylinders closer is the one cure."""
    wide = Hose(grade="oxygen", bore=Length.parse("25 mm"), length=Length.parse("900 m"))
    figures = bench.with_noun(bench.clean(), "oxygen", part=(bench.arrestor("oxygen"), wide))
    first, second = figures.lines["oxygen"].parts
    parts = (replace(first, inlet=gauge(4.1), outlet=gauge(4.0), loss=drop(0.1)), replace(second, inlet=gauge(4.0), loss=drop(1.0)))
    return bench.with_line(
        figures, "oxygen", set_pressure=gauge(4.1), loss_hoses=drop(1.0), loss_parts=drop(0.1), parts=parts, state="choked"
    )


def _tips() -> Iterator[Figures]:
    figures = bench.clean()
    yield replace(figures, setup=msgspec.structs.replace(figures.setup, chart=None))
    yield replace(figures, tip=replace(figures.tip, estimate=True))
    gap = replace(figures, tip=replace(figures.tip, row=replace(bench.row(), fuel_flow=None)))
    yield gap
    yield bench.with_line(gap, "fuel", flow=unknown("flow"))
    yield bench.with_station(figures, torch=Torch(attachment="cutting", fuels=("propane",)))
    for share, bar in ((1.0, 3.1), (0.9, 3.7), (0.5, 6.0)):
        now = replace(bench.as_set_line(figures.lines["oxygen"], share), torch_inlet=gauge(bar))
        yield bench.with_as_set(figures, oxygen=now)
    thin = replace(bench.with_line(figures, "oxygen", cutting_flow=flow(3.5), cutting_charted=flow(4.0)), atmosphere=0.7e5)
    for share in (1.0, 0.9, 0.5):
        yield bench.with_as_set(thin, oxygen=bench.as_set_line(figures.lines["oxygen"], share))
    for ratio in (0.3, 4.0):
        yield replace(figures, flame_ratio=exact(ratio, "number"))
    for state in ("blocked", "locked", "below atmosphere"):
        for name in ("oxygen", "fuel"):
            yield bench.with_as_set(figures, **{name: bench.as_set_line(figures.lines[name], 0.0, state)})


def _work() -> Iterator[Figures]:
    for material in ("copper", "unobtainium", "wear plate", None, "galvanised steel", "magnesium"):
        job: Any = msgspec.structs.replace(bench.clean().setup.station.job, material=material)
        yield bench.with_station(bench.clean(), job=job)
    heating = replace(bench.clean(), job=replace(bench.clean().job, kind="heat"))
    yield heating
    yield bench.with_station(heating, torch=msgspec.structs.replace(heating.setup.station.torch, attachment="heating"))
    yield from _closed_places()
    for litres in (10, 100):
        yield bench.with_proving(bench.enclosed(bench.clean(), "10 m3"), "fuel", purge_released=exact(litres * _LITRE, "released"))
    yield bench.with_proving(bench.enclosed(bench.clean(), "10 m3"), "fuel", purge_released=unknown("released"))
    yield bench.with_proving(bench.clean(), "fuel", purge_time=exact(140.0, "seconds"))
    yield bench.with_line(bench.clean(), "oxygen", inlet_division=100e5)  # stands too low for its marks
    for litres in (5, 50):  # shows a leak too late for any watch: a finer gauge would do, none would
        long = bench.with_proving(bench.clean(), "oxygen", trapped_volume=exact(litres * 1e-3, "volume"))
        yield bench.with_line(long, "oxygen", outlet_division=0.22e5)
    for text in ("0.001 bar", "0.1 bar", "1 bar"):
        yield bench.with_about(bench.clean(), test_pressure_fuel=Pressure.parse(text))


def _closed_places() -> Iterator[Figures]:
    """Cutting in them, and the same flame without a jet; with the job's time and without."""
    clean = bench.clean()
    heat = replace(clean, job=replace(clean.job, kind="heat"))
    unknown_row = replace(clean, lines={name: replace(line, flow=unknown("flow"), preheat_flow=None) for name, line in clean.lines.items()})
    for figures in (clean, heat, unknown_row):
        yield bench.enclosed(figures, None)
        for volume in ("12 m3", "60 m3", "400 m3", "100000 m3"):
            yield bench.enclosed(figures, volume)
            yield bench.enclosed(figures, volume, "300 m3/h")
        yield bench.enclosed(figures, "12 m3", "40000 m3/h")
        yield bench.enclosed(figures, "12 m3", "40000 m3/h", fresh_air_measured=None)
        yield bench.enclosed(figures, "12 m3", "40000 m3/h", fresh_air_measured=GivenDate.parse("2019-06"))
    yield bench.with_station(clean, place=Place(volume=Volume.parse("99 m3")))
    for time in (None, *(minutes(each) for each in (1, 3, 6, 10, 20, 40, 90, 300))):
        for figures in (clean, heat):
            timed = replace(figures, job=replace(figures.job, time=time))
            yield bench.enclosed(timed, "40 m3")
    for held in ("unknown", "diesel oil", "ballast water", "milk"):
        yield bench.enclosed(clean, "40 m3", held=held)
        yield bench.enclosed(clean, "40 m3", held=held, certificate="gas tester 214")
    for cylinders in ("inside", "outside"):
        yield bench.enclosed(clean, "40 m3", cylinders=cylinders)
    yield bench.enclosed(bench.clean("propane"), "40 m3", low_points=("bilge well",))
