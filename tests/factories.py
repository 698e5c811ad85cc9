"""Small stations and their figures, worked out by hand, so that a rule can be tested without the physics above it.

`clean()` is a bench at Tern Quay on which nothing is wrong; each `with_...` changes one thing of it.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from functools import cache
from typing import Any

import msgspec

from steadycone.assembly.figures import (
    AsSet,
    AsSetLine,
    Figures,
    JobFigures,
    LineFigures,
    PartFigure,
    ProvingFigures,
    SupplyFigures,
    Tip,
)
from steadycone.assembly.fuels import LIQUEFIED
from steadycone.assembly.leak_test import leak_test
from steadycone.files.policy import region_policy
from steadycone.physics.gas import Gas, load, mixture, neutral_ratio
from steadycone.practice.finding import Finding
from steadycone.quantity import Quantity, band, exact
from steadycone.station.chart import Chart, Row
from steadycone.station.job import Job, Place
from steadycone.station.parts import Arrestor, CheckValve, FlowPoint, Hose, Part
from steadycone.station.policy import Policy
from steadycone.station.regulator import Regulator
from steadycone.station.setup import About, Line, Setup, Station
from steadycone.station.supply import Supply
from steadycone.station.torch import TipChoice, Torch
from steadycone.units import (
    NORMAL_MOLAR_VOLUME,
    AirFlow,
    Duration,
    GasAmount,
    GasFlow,
    GivenDate,
    Length,
    Mass,
    Measure,
    Pressure,
    PressureDifference,
    Temperature,
    Volume,
)

ON = date(2026, 11, 25)
ATMOSPHERE = 101325.0


def given(kind: type[Measure], text: str) -> Any:
    return kind.parse(text)


def gauge(bar: float, spread: float = 0.0) -> Quantity:
    """Gauge pressure, with a band of `spread` bar to each side."""
    return band(bar * 1e5, (bar - spread) * 1e5, (bar + spread) * 1e5, "gauge pressure")


def drop(bar: float) -> Quantity:
    return exact(bar * 1e5, "pressure difference")


def flow(m3_per_h: float, spread: float = 0.0) -> Quantity:
    """mol/s from normal m³/h, with a band of `spread` (share) to each side."""
    moles = m3_per_h / NORMAL_MOLAR_VOLUME / 3600
    return band(moles, moles * (1 - spread), moles * (1 + spread), "flow")


def amount(m3: float, spread: float = 0.0) -> Quantity:
    moles = m3 / NORMAL_MOLAR_VOLUME
    return band(moles, moles * (1 - spread), moles * (1 + spread), "amount")


def minutes(value: float, spread: float = 0.0) -> Quantity:
    return band(value * 60, value * 60 * (1 - spread), value * 60 * (1 + spread), "minutes")


def gas_of(fuel: str) -> Gas:
    mixed = {
        "lpg": {"propane": 0.6, "butane": 0.4},
        "natural gas": {"methane": 0.9, "ethane": 0.1},
        "mps": {"propylene": 0.7, "propane": 0.3},
    }
    return mixture(mixed[fuel], fuel) if fuel in mixed else load(fuel)


@cache
def policy(region: str) -> Policy:
    return region_policy(region)


FLOW_POINT = FlowPoint(inlet=given(Pressure, "1 bar"), drop=given(PressureDifference, "0.1 bar"), flow=given(GasFlow, "6 m3/h"))


def arrestor(gas: str) -> Arrestor:
    return Arrestor(
        gas=gas,
        flow_points=(FLOW_POINT,),
        max_pressure=given(Pressure, "15 bar"),
        made=given(GivenDate, "2024-02"),
        tested=given(GivenDate, "2026-03-04"),
    )


def check_valve(gas: str) -> CheckValve:
    return CheckValve(
        gas=gas,
        flow_points=(FLOW_POINT,),
        max_pressure=given(Pressure, "15 bar"),
        made=given(GivenDate, "2024-02"),
        tested=given(GivenDate, "2026-03-04"),
    )


def hose(grade: str) -> Hose:
    return Hose(
        grade=grade,
        bore=given(Length, "8 mm"),
        length=given(Length, "15 m"),
        max_pressure=given(Pressure, "20 bar"),
        made=given(GivenDate, "2024-05"),
    )


def regulator(gas: str, region: str = "uk") -> Regulator:
    oxygen = gas == "oxygen"
    return Regulator(
        gas=gas,
        inlet_rating=given(Pressure, "230 bar" if oxygen else "30 bar"),
        outlet_rating=given(Pressure, "10 bar" if oxygen else "15 psi" if gas == "acetylene" and region in ("us", "ca") else "1.5 bar"),
        rated_flow=given(GasFlow, "30 m3/h" if oxygen else "5 m3/h"),
        inlet_division=given(PressureDifference, "5 bar" if oxygen else "1 bar"),
        made=given(GivenDate, "2023-02"),
        tested=given(GivenDate, "2026-03-04"),
    )


def supply(gas: str) -> Supply:
    if gas == "oxygen":
        return Supply(water_volume=given(Volume, "50 L"), pressure=given(Pressure, "140 bar"))
    return Supply(content=given(GasAmount, "8 kg"), gross=given(Mass, "68.2 kg"), tare=given(Mass, "62.4 kg"))


def line(gas: str, region: str = "uk") -> Line:
    """Arrestor, hose and check valve; in Australia and New Zealand an arrestor at the torch as well."""
    grade = {"lpg": "propane"}.get(gas, gas if gas in ("oxygen", "acetylene", "propane") else "any fuel")
    last = arrestor(gas) if region in ("au", "nz") else check_valve(gas)
    return Line(supply=supply(gas), regulator=regulator(gas, region), part=(arrestor(gas), hose(grade), last))


def row() -> Row:
    pressures = {"oxygen_pressure": "3.0 bar", "fuel_pressure": "0.5 bar"}
    flows = {"cutting_oxygen": "4.0 m3/h", "preheat_oxygen": "0.5 m3/h", "fuel_flow": "0.45 m3/h"}
    cells: dict[str, Any] = {name: (given(Pressure, text),) * 2 for name, text in pressures.items()}
    cells |= {name: (given(GasFlow, text),) * 2 for name, text in flows.items()}
    return Row(size="3", line=5, thickness_from=given(Length, "20 mm"), thickness_to=given(Length, "30 mm"), **cells)


def station(fuel: str, region: str) -> Station:
    return Station(
        format="steadycone-station/1",
        station=About(name="Tern Quay, bench 1", region=region, fuel=fuel, ambient=given(Temperature, "18 °C")),  # type: ignore[arg-type]
        oxygen=line("oxygen", region),
        fuel=line(fuel, region),
        torch=Torch(attachment="cutting", fuels=(fuel,)),
        tip=TipChoice(chart="quay.csv", size="3"),
        job=Job(kind="cut", material="mild steel", thickness=given(Length, "25 mm"), time=given(Duration, "20 min")),
    )


def _parts(name: str, parts: tuple[Part, ...], torch_inlet: float, static: Quantity) -> tuple[PartFigure, ...]:
    """From the torch upstream: hoses lose 0.10 bar (fuel 0.02), other parts 0.05 (0.005)."""
    figures: list[PartFigure] = []
    outlet = torch_inlet
    for number, part in reversed(list(enumerate(parts, 1))):
        lost = (0.02 if name == "fuel" else 0.10) if isinstance(part, Hose) else (0.005 if name == "fuel" else 0.05)
        subject = f"{name} part {number} ({part.word})"
        figures.insert(0, PartFigure(subject, part, gauge(outlet + lost), gauge(outlet), drop(lost), "ok", static))
        outlet += lost
    return tuple(figures)


def _supply_figures(name: str, drawn: Quantity, fuel: str) -> SupplyFigures:
    oxygen = name != "fuel"
    liquid = fuel in LIQUEFIED and not oxygen
    contents = amount(7.0 if oxygen else 4.95)
    return SupplyFigures(
        contents=contents,
        contents_mass=exact(9.99 if oxygen else 5.8, "mass"),
        usable=amount(6.7 if oxygen else 4.8),
        full=amount(10.1 if oxygen else 6.83),
        at_end=contents.map(lambda moles: moles - (drawn.value or 0.0) * 1200),
        pressure=gauge(140 if oxygen else 15),
        pressure_at_end=gauge(110 if oxygen else 13),
        drawn=drawn,
        shared=flow(0),
        duration=minutes(6.7 / 4.5 * 60 if oxygen else 4.8 / 0.45 * 60),
        vaporisation=flow(2.0) if liquid else None,
        temperature=291.15,
        by="pressure" if oxygen else "weight",
        filled_to=None if liquid else gauge(200 if oxygen else 19),
        full_now=None if liquid else gauge(202 if oxygen else 21),
    )


def _proving() -> ProvingFigures:
    litre = 1e-3 / NORMAL_MOLAR_VOLUME
    return ProvingFigures(
        trapped_volume=exact(0.9e-3, "volume"),
        high_volume=exact(0.03e-3, "volume"),
        purge_flow=flow(0.8),
        purge_time=exact(6.0, "seconds"),
        purge_released=exact(1.3 * litre, "released"),
    )


def line_figures(name: str, noun: Line, fuel: str) -> LineFigures:
    oxygen = name != "fuel"
    torch_inlet, flowing = (3.0, 3.2) if oxygen else (0.5, 0.53)
    static = gauge(flowing * 1.3)
    drawn = flow(4.5 if oxygen else 0.45)
    return LineFigures(
        name=name,
        gas=load("oxygen") if oxygen else gas_of(fuel),
        line=noun,
        torch_inlet=gauge(torch_inlet),
        flowing=gauge(flowing),
        static=static,
        rise=exact(0.0, "pressure difference"),
        set_pressure=gauge(flowing),
        flow=drawn,
        cutting_flow=flow(4.0) if oxygen else None,
        preheat_flow=flow(0.5) if oxygen else None,
        parts=_parts(name, noun.part, torch_inlet, static),
        loss_hoses=drop(0.10 if oxygen else 0.02),
        loss_parts=drop(0.10 if oxygen else 0.01),
        rated_here=flow(11 if oxygen else 3),
        state="ok",
        supply=_supply_figures(name, drawn, fuel),
        proving=_proving(),
        outlet_division=0.1e5,
        inlet_division=5e5,
        outlet_scale=16e5 if oxygen else 2.5e5,
    )


def clean(fuel: str = "acetylene", region: str = "uk") -> Figures:
    """A station on which every rule says go. Flows and pressures stay those of the acetylene bench whatever the fuel."""
    noun = station(fuel, region)
    job = noun.job
    chart = Chart(name="quay.csv", rows=(row(),), fuel=fuel, attachment="cutting", basis="torch inlet")
    gas = gas_of(fuel)
    setup = Setup(station=noun, policy=policy(region), chart=chart, file="bench.toml")
    lines = {"oxygen": line_figures("oxygen", noun.oxygen, fuel), "fuel": line_figures("fuel", noun.fuel, fuel)}
    return Figures(
        setup=setup,
        on=ON,
        atmosphere=ATMOSPHERE,
        ambient=291.15,
        fuel=gas,
        fuel_stored=gas,
        fuel_known=True,
        tip=Tip("3", row(), estimate=False),
        job=JobFigures("cut", job.material, exact(0.025, "thickness"), exact(0.025, "thickness"), None, None, minutes(20)),
        lines=lines,
        leak_test=leak_test(setup, lines, 291.15, ATMOSPHERE),
        flame_ratio=exact(neutral_ratio(gas).typical, "number"),
        as_set=None,
        as_set_problem="",
        assumed=(),
    )


def as_set_line(found: LineFigures, share: float = 1.0, state: str = "ok") -> AsSetLine:
    """A line as set that gets this share of the chart's flow."""

    def scaled(quantity: Quantity | None) -> Quantity | None:
        return None if quantity is None else quantity.map(lambda x: x * share)

    asked = found.preheat_flow if found.preheat_flow is not None and found.preheat_flow.value else found.flow
    return AsSetLine(
        trimmed=((asked.value * share, asked.value),) if asked.value else (),
        regulator=found.flowing,
        regulator_static=found.static,
        torch_inlet=found.torch_inlet,
        flow=found.flow.map(lambda x: x * share),
        cutting_flow=scaled(found.cutting_flow),
        preheat_flow=scaled(found.preheat_flow),
        parts=found.parts,
        state=state,
    )


def with_as_set(figures: Figures, *, ratio: float | None = None, **lines: AsSetLine) -> Figures:
    """As set, every line getting what the chart asks but for those given."""
    plain = {name: as_set_line(found) for name, found in figures.lines.items()}
    return replace(figures, as_set=AsSet(plain | lines, exact(ratio, "number") if ratio else figures.flame_ratio))


def with_line(figures: Figures, name: str, **changes: Any) -> Figures:
    return tested(replace(figures, lines=figures.lines | {name: replace(figures.lines[name], **changes)}))


def tested(figures: Figures) -> Figures:
    """With the leak test of what it now is."""
    return replace(figures, leak_test=leak_test(figures.setup, figures.lines, figures.ambient, figures.atmosphere))


def with_supply(figures: Figures, name: str, **changes: Any) -> Figures:
    """Changes of the supply's figures."""
    return with_line(figures, name, supply=replace(figures.lines[name].supply, **changes))


def with_proving(figures: Figures, name: str, **changes: Any) -> Figures:
    return with_line(figures, name, proving=replace(figures.lines[name].proving, **changes))


def with_side(figures: Figures, name: str, side: str, **changes: Any) -> Figures:
    """Changes of one gauge's part in the leak test."""
    line = figures.leak_test.lines[name]
    found = replace(line, **{side: replace(getattr(line, side), **changes)})
    return replace(figures, leak_test=replace(figures.leak_test, lines=figures.leak_test.lines | {name: found}))


def with_station(figures: Figures, **changes: Any) -> Figures:
    """Changes of the station file's tables; the lines' figures keep their own nouns."""
    noun = msgspec.structs.replace(figures.setup.station, **changes)
    return tested(replace(figures, setup=msgspec.structs.replace(figures.setup, station=noun)))


def with_about(figures: Figures, **changes: Any) -> Figures:
    return with_station(figures, station=msgspec.structs.replace(figures.setup.station.station, **changes))


def with_policy(figures: Figures, **changes: Any) -> Figures:
    policy = msgspec.structs.replace(figures.setup.policy, **changes)
    return tested(replace(figures, setup=msgspec.structs.replace(figures.setup, policy=policy)))


def with_noun(figures: Figures, name: str, **changes: Any) -> Figures:
    """Changes of one line's nouns: its supply, regulator or parts."""
    found = figures.lines[name]
    noun = msgspec.structs.replace(found.line, **changes)
    parts = _parts(name, noun.part, (found.torch_inlet.value or 0.0) / 1e5, found.static) if "part" in changes else found.parts
    return with_station(with_line(figures, name, line=noun, parts=parts), **{name: noun})


def with_regulator(figures: Figures, name: str, **changes: Any) -> Figures:
    return with_noun(figures, name, regulator=msgspec.structs.replace(figures.lines[name].line.regulator, **changes))


def with_supply_noun(figures: Figures, name: str, **changes: Any) -> Figures:
    """Changes of the supply as the file states it."""
    return with_noun(figures, name, supply=msgspec.structs.replace(figures.lines[name].line.supply, **changes))


def with_part(figures: Figures, name: str, number: int, **changes: Any) -> Figures:
    """Changes of one part, counted from 1."""
    parts = list(figures.lines[name].line.part)
    parts[number - 1] = msgspec.structs.replace(parts[number - 1], **changes)
    return with_noun(figures, name, part=tuple(parts))


def enclosed(figures: Figures, volume: str | None, fresh_air: str | None = None, **more: Any) -> Figures:
    """In a closed place; `more` are other fields of it. Stated fresh air was measured a day before."""
    fresh = {"fresh_air": given(AirFlow, fresh_air), "fresh_air_measured": given(GivenDate, "2026-11-24")} if fresh_air else {}
    return with_station(figures, place=Place(enclosed=True, volume=given(Volume, volume) if volume else None, **{**fresh, **more}))


def found(findings: Iterable[Finding], code: str, subject: str | None = None) -> Finding:
    """The one finding of a code (and subject). Fails when there is none or more than one."""
    matching = [finding for finding in findings if finding.code == code and subject in (None, finding.subject)]
    assert len(matching) == 1, f"{code} {subject}: {[(f.code, f.subject) for f in findings]}"
    return matching[0]


def codes(findings: Iterable[Finding]) -> set[str]:
    return {finding.code for finding in findings}
