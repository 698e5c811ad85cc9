"""All figures of a setup, in a lead hand's order: the row at the torch, what to set, what it draws, how it is proved, what it gives now."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from steadycone.assembly.air import Torch, at_share, in_air
from steadycone.assembly.as_set import as_read, as_set
from steadycone.assembly.assumed import assumed
from steadycone.assembly.ceiling import flowing_ceiling, static_ceiling
from steadycone.assembly.corner import Corner, corners
from steadycone.assembly.elements import FlowLines
from steadycone.assembly.estimate import completed
from steadycone.assembly.figures import AsSet, AsSetLine, Figures, LineFigures, Tip
from steadycone.assembly.fuels import Fuel, station_fuel
from steadycone.assembly.job import duty_of, effective_thickness, job_figures
from steadycone.assembly.leak_test import leak_test
from steadycone.assembly.lines import Marched, march_line, supply_rise_over_job, with_rise
from steadycone.assembly.proving import proving_figures
from steadycone.assembly.station import Inlet, connected, flow_lines, inlet, only
from steadycone.assembly.supply import Place, supply_figures
from steadycone.assembly.target import CHART_AIR, Target, at_torch_inlet, flame_ratios, target
from steadycone.data.reader import toml
from steadycone.errors import OutOfRange
from steadycone.physics.flow import Openings, Solution, solve, stream_of
from steadycone.physics.gas import Gas, load
from steadycone.quantity import End, Quantity, band, spread, unknown
from steadycone.station.chart import Row
from steadycone.station.setup import Setup
from steadycone.units import ATMOSPHERE

# International standard atmosphere below 11 km: p = p0 (1 - 2.25577e-5 h)^5.25588 (ISO 2533, from memory)
_LAPSE, _POWER = 2.25577e-5, 5.25588


def ambient_of(setup: Setup) -> float:
    """K; 15 °C where the file does not say."""
    given = setup.station.station.ambient
    return given.si if given else float(toml("defaults.toml")["ambient"]["temperature_c"]) + 273.15


def atmosphere_of(setup: Setup) -> float:
    """Pa absolute: as stated, from the altitude, or the standard one."""
    about = setup.station.station
    if about.atmosphere:
        return about.atmosphere.si
    if about.altitude:
        return float(ATMOSPHERE * (1 - _LAPSE * about.altitude.si) ** _POWER)
    return ATMOSPHERE


@dataclass(frozen=True)
class _Case:
    """One setup with its row, and what several figures share. Worked out once each."""

    setup: Setup
    row: Row | None

    @cached_property
    def ambient(self) -> float:
        return ambient_of(self.setup)

    @cached_property
    def atmosphere(self) -> float:
        return atmosphere_of(self.setup)

    @cached_property
    def corners(self) -> tuple[Corner, Corner, Corner]:
        return corners()

    @cached_property
    def oxygen(self) -> Gas:
        return load("oxygen")

    @cached_property
    def station_fuel(self) -> Fuel:
        return station_fuel(self.setup.station, self.ambient)

    @property
    def fuel(self) -> Gas:
        """As it flows in the line."""
        return self.station_fuel.flowing

    @property
    def cutting(self) -> bool:
        return self.setup.station.torch.attachment == "cutting"

    @property
    def three_hose(self) -> bool:
        return self.setup.station.preheat_oxygen is not None

    @cached_property
    def flow_lines(self) -> FlowLines:
        return flow_lines(self.setup, self.fuel, self.oxygen, self.ambient, self.atmosphere)

    @cached_property
    def torch(self) -> Torch:
        low, taken, high = toml("defaults.toml")["chart"]["mixing_share"]
        injector = self.setup.station.torch.mixer == "injector"
        return Torch(self.fuel, self.oxygen, self.ambient, self.three_hose, self.cutting, injector, (low, taken, high))

    @cached_property
    def charted(self) -> tuple[dict[str, Target], bool]:
        """The row's figures by corner at the torch inlet in the chart's air, and whether any of them had to be estimated."""
        found, estimated = {}, False
        for corner in self.corners:
            found[corner.name], guessed = self._at_inlet(corner)
            estimated = estimated or guessed
        return found, estimated

    @cached_property
    def here(self) -> dict[str, Target]:
        """The same in the station's air: the chart's gauge pressures, and what the tip then passes."""
        return {corner.name: in_air(self.charted[0][corner.name], self.torch, self.atmosphere, corner) for corner in self.corners}

    def in_air_at(self, share: float) -> Solution | None:
        """The row in the station's air at one mixing share; None in the chart's own air, where it is the row."""
        return None if self.atmosphere == CHART_AIR else at_share(self.charted[0][self.corners[0].name], self.torch, self.atmosphere, share)

    def _at_inlet(self, corner: Corner) -> tuple[Target, bool]:
        chart, row = self.setup.chart, self.row
        if chart is None or row is None:
            return Target(None, None, None, None, None, None), False
        thickness = effective_thickness(self.setup.station.job)
        raw = target(row, thickness, self.oxygen.molar_mass, self.fuel.molar_mass, corner)
        full, guessed = completed(raw, row, self.fuel, self.oxygen, self.ambient, corner, self.cutting)
        oxygen_flow = full.cutting_flow if self.three_hose else _total(full.cutting_flow if self.cutting else 0.0, full.preheat_flow)

        def moved(pressure: float | None, flow: float | None, gas: Gas) -> float | None:
            if pressure is None or flow is None:
                return pressure if chart.basis != "regulator" else None
            return at_torch_inlet(chart, pressure, flow, stream_of(gas, self.ambient), corner)

        return Target(
            moved(full.oxygen_pressure, oxygen_flow, self.oxygen),
            moved(full.fuel_pressure, full.fuel_flow, self.fuel),
            moved(full.preheat_pressure or full.oxygen_pressure, full.preheat_flow, self.oxygen) if self.three_hose else None,
            full.cutting_flow if self.cutting else None,
            full.preheat_flow,
            full.fuel_flow,
        ), guessed

    @cached_property
    def described(self) -> Inlet | None:
        return inlet(self.charted[0][self.corners[0].name], self.three_hose, self.cutting)

    def fitted(self, mixing_share: float) -> Openings:
        """The torch's openings, fitted where the chart holds.

        Raises  OutOfRange: the row's pressures cannot drive its flows.
        """
        if mixing_share not in self._openings:
            found = self.torch.fitted(self.charted[0][self.corners[0].name], mixing_share)
            assert found is not None
            self._openings[mixing_share] = found
        return self._openings[mixing_share]

    @cached_property
    def _openings(self) -> dict[float, Openings]:
        return {}

    def wanted(self, name: str) -> Callable[[Corner], tuple[float | None, float | None]]:
        """Pressure and flow of one line at the torch inlet, by corner."""

        def at(corner: Corner) -> tuple[float | None, float | None]:
            aim = self.here[corner.name]
            if name == "fuel":
                return aim.fuel_pressure, aim.fuel_flow
            if name == "preheat_oxygen":
                return aim.preheat_pressure, aim.preheat_flow
            if self.three_hose:
                return aim.oxygen_pressure, aim.cutting_flow
            return aim.oxygen_pressure, _total(aim.cutting_flow if self.cutting else 0.0, aim.preheat_flow)

        return at


def _total(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one + other


def figures(setup: Setup, on: date, row: Row | None) -> Figures:
    """Work everything out. `row` is the chart row chosen, None where the chart cannot answer.

    Raises  InputError: a figure of the file lies outside what the physics covers.
    """
    case = _Case(setup, row)
    job = job_figures(setup.station.job, row)
    marched = {
        name: march_line(
            name, line, case.oxygen if name != "fuel" else case.fuel, case.corners, case.wanted(name), case.flow_lines,
            (flowing_ceiling(setup, name, case.atmosphere), static_ceiling(setup, name, case.atmosphere)),
            setup.station.station.region,
        )
        for name, line in setup.lines.items()
    }  # fmt: skip
    purges = _purge_flows(case, marched)
    lines = {name: _line(case, name, marched[name], purges[name], job.time) for name in marched}
    now, problem = _as_set(case, {name: line.rise for name, line in lines.items()})
    return Figures(
        setup=setup,
        on=on,
        atmosphere=case.atmosphere,
        ambient=case.ambient,
        fuel=case.fuel,
        fuel_stored=case.station_fuel.stored,
        fuel_known=case.station_fuel.known,
        tip=Tip(row.size if row else None, row, case.charted[1] or bool(setup.chart and setup.chart.estimate), _used(case)),
        job=job,
        lines=lines,
        leak_test=leak_test(setup, lines, case.ambient, case.atmosphere),
        flame_ratio=_flame_ratio(case),
        as_set=now,
        as_set_problem=problem,
        as_read=_as_read(case, {name: line.rise for name, line in lines.items()}) if now is None else {},
        assumed=assumed(setup, case.ambient, case.atmosphere),
    )


def _line(case: _Case, name: str, found: Marched, purge_flow: Quantity, job_time: Quantity | None) -> LineFigures:
    setup, line = case.setup, case.setup.lines[name]
    gas = case.fuel if name == "fuel" else case.oxygen
    about = setup.station.station
    place = Place(case.ambient, case.atmosphere, about.region, about.reference_state is not None)
    stored, known = (case.station_fuel.stored, case.station_fuel.known) if name == "fuel" else (gas, True)
    supply = supply_figures(name, line, stored, known, place, found.flow, job_time, found.gauge, duty_of(setup.station.job))
    proving = proving_figures(line, gas, setup.policy, found.set_pressure, purge_flow, case.ambient, case.atmosphere)
    oxygen_side = name != "fuel"
    rise = supply_rise_over_job(line, place.region, supply.pressure, supply.pressure_at_end)
    found = with_rise(found, rise)
    return LineFigures(
        name=name,
        gas=gas,
        line=line,
        torch_inlet=found.torch_inlet,
        flowing=found.flowing,
        static=found.static,
        rise=rise,
        set_pressure=found.set_pressure,
        flow=found.flow,
        cutting_flow=_flow(case, "cutting_flow", case.here) if name == "oxygen" and case.cutting else None,
        preheat_flow=_flow(case, "preheat_flow", case.here) if oxygen_side and (name == "preheat_oxygen" or not case.three_hose) else None,
        parts=found.parts,
        loss_hoses=found.loss_hoses,
        loss_parts=found.loss_parts,
        rated_here=found.rated_here,
        state=found.state,
        supply=supply,
        proving=proving,
        outlet_division=found.gauge.outlet_division,
        inlet_division=found.gauge.inlet_division,
        outlet_scale=found.gauge.outlet_scale,
        cutting_charted=_flow(case, "cutting_flow", case.charted[0]) if name == "oxygen" and case.cutting else None,
    )


def _flow(case: _Case, what: str, aims: dict[str, Target]) -> Quantity:
    molar_mass = case.oxygen.molar_mass
    ends = [getattr(aims[corner.name], what) for corner in case.corners]
    if any(end is None for end in ends):
        return unknown("flow")
    return spread([end / molar_mass for end in ends], "flow")


def _flame_ratio(case: _Case) -> Quantity | None:
    """Preheat oxygen over fuel by volume, in the station's air."""

    def ratios(aims: dict[str, Target]) -> list[float] | None:
        flows = [(aims[corner.name].preheat_flow, aims[corner.name].fuel_flow) for corner in case.corners]
        per_kg = case.fuel.molar_mass / case.oxygen.molar_mass
        known = [per_kg * preheat / fuel for preheat, fuel in flows if preheat is not None and fuel]
        return known if len(known) == len(flows) else None

    here, charted = ratios(case.here), ratios(case.charted[0])
    if here is None or charted is None or case.row is None:
        return unknown("number")
    printed = flame_ratios(case.row, case.oxygen.molar_mass, case.fuel.molar_mass)
    if printed is None or not all(charted):
        return spread(here, "number")
    by_air = [now / then for now, then in zip(here, charted, strict=True)]
    return band(here[0], printed[0] * min(by_air), printed[1] * max(by_air), "number")


def _used(case: _Case) -> tuple[str, ...]:
    if case.row is None:
        return ()
    names = ["oxygen_pressure", "fuel_pressure", "preheat_oxygen", "fuel_flow"]
    names += ["cutting_oxygen"] if case.cutting else []
    names += ["preheat_oxygen_pressure"] if case.three_hose else []
    names += ["speed"] if case.row.speed and case.setup.station.job.length else []
    return tuple(names)


def _as_set(case: _Case, rises: dict[str, Quantity]) -> tuple[AsSet | None, str]:
    """The as-set answer, or why there is none although the file has settings."""
    if case.setup.station.settings is None or case.row is None:
        return None, ""
    if case.described is None:
        return None, "chart-incomplete"
    if case.three_hose and case.setup.station.settings.preheat_oxygen is None:
        return None, "preheat-setting-missing"
    try:
        found = as_set(
            case.setup, case.fuel, case.oxygen, case.fitted, case.corners, case.torch.shares, case.flow_lines, rises, case.in_air_at
        )
    except OutOfRange:
        return None, "row-impossible"  # the row's pressures cannot drive its flows: no openings fit it
    return found, ""


def _as_read(case: _Case, rises: dict[str, Quantity]) -> dict[str, AsSetLine]:
    if case.setup.station.settings is None:
        return {}
    gases = {name: case.fuel if name == "fuel" else case.oxygen for name in case.setup.lines}
    return as_read(case.setup, gases, case.atmosphere, rises)


def _purge_flows(case: _Case, marched: dict[str, Marched]) -> dict[str, Quantity]:
    """mol/s of each gas alone at what is set: fuel valve open, or heating valve open with the lever down.

    The low end has the pressure that the gauge may hide downwards, an unkind line and the mixing point low: one gas alone meets the port
    with less than it was fitted to, so what the port held back is what it gains, and a low mixing point leaves the port little to give back.
    """
    nothing = {name: unknown("flow") for name in marched}
    if case.described is None or any(found.set_pressure.value is None for found in marched.values()):
        return nothing
    low, middle, high = case.torch.shares
    taken, kind, unkind = case.corners
    flows = {}
    try:
        for name in marched:
            gas = case.fuel if name == "fuel" else case.oxygen
            looks: tuple[tuple[float, Corner, End], ...] = ((middle, taken, "value"), (low, unkind, "low"), (high, kind, "high"))
            ends = [_alone(case, name, share, corner, marched, end) for share, corner, end in looks]
            flows[name] = spread([end / gas.molar_mass for end in ends], "flow")
    except OutOfRange:
        return nothing
    return flows


def _alone(case: _Case, name: str, share: float, corner: Corner, marched: dict[str, Marched], end: End) -> float:
    """One gas's flow [kg/s] by itself, with its pressure at an end of what the gauge may hide."""
    station = only(connected(case.flow_lines, case.fitted(share), corner), name)
    pressures = {key: max(getattr(found.set_pressure, end) or 0.0, 0.0) + case.atmosphere for key, found in marched.items()}
    found = solve(station, pressures["oxygen"], pressures["fuel"], pressures.get("preheat_oxygen"))
    if name == "fuel":
        return found.fuel_flow
    if case.three_hose:
        return found.preheat_flow if name == "preheat_oxygen" else found.cutting_flow
    return found.oxygen_flow
