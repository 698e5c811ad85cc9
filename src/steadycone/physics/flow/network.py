"""One trial pair of flows, marched up to the regulators.

Unknown are the fuel and the preheat-oxygen flow. For any pair, everything upstream follows without a search: mixing pressure,
torch inlets, cutting flow, and what each regulator would have to give. The solve then only has to make those two what they are.

Source: derived here; nozzle-ideal and injector-momentum for the torch.
"""

from typing import NamedTuple

from steadycone.physics.flow.line import Line, needed, needed_slopes
from steadycone.physics.flow.mixer import lift_slopes, mixing_pressure_slopes
from steadycone.physics.flow.orifice import mass_flow
from steadycone.physics.flow.station import Station

_LEAST_CHAMBER = 0.2  # of the mixing pressure: keeps wild trial flows from asking an injector for a vacuum (judged: injector-vacuum)


class Trial(NamedTuple):
    """What a pair of flows needs. Pressures [Pa], flows [kg/s], derivatives [Pa s/kg]."""

    fuel_needed: float
    oxygen_needed: float
    fuel_by_fuel: float
    fuel_by_oxygen: float
    oxygen_by_fuel: float
    oxygen_by_oxygen: float
    mixing: float
    chamber: float
    fuel_torch: float
    oxygen_torch: float
    cutting_flow: float


def oxygen_leg(station: Station) -> Line:
    """The line the preheat oxygen comes through."""
    return station.oxygen_line if station.preheat_line is None else station.preheat_line


def shares_oxygen(station: Station) -> bool:
    """Whether preheat and cutting oxygen come through one line."""
    return station.preheat_line is None and station.cutting_opening is not None


def evaluate(station: Station, fuel_flow: float, oxygen_flow: float) -> Trial:
    """March a pair of flows, not both zero, up to the regulators. A leg with no opening answers with the mixing pressure."""
    openings, fuel, oxygen = station.openings, station.fuel, station.oxygen
    mixing, mixing_f, mixing_o = mixing_pressure_slopes(station.atmosphere, fuel_flow, oxygen_flow, openings.port_area, fuel, oxygen)
    chamber, chamber_f, chamber_o = _chamber_slopes(station, fuel_flow, oxygen_flow, mixing, mixing_f, mixing_o)
    fuel_torch, by_back, by_own = chamber, 1.0, 0.0
    if station.fuel_opening is not None:
        fuel_torch, by_back, by_own = station.fuel_opening.upstream_slopes(chamber, fuel_flow)
    fuel_needed, line_p, line_m = needed_slopes(station.fuel_line, fuel_torch, fuel_flow)
    fuel_by_fuel = line_m + line_p * (by_own + by_back * chamber_f)
    fuel_by_oxygen = line_p * by_back * chamber_o

    oxygen_torch, by_back, by_own = mixing, 1.0, 0.0
    if station.preheat_opening is not None:
        oxygen_torch, by_back, by_own = station.preheat_opening.upstream_slopes(mixing, oxygen_flow)
    torch_o, torch_f = by_own + by_back * mixing_o, by_back * mixing_f
    cutting, cutting_p = cutting_flow_slope(station, oxygen_torch) if shares_oxygen(station) else (0.0, 0.0)
    oxygen_needed, line_p, line_m = needed_slopes(oxygen_leg(station), oxygen_torch, oxygen_flow + cutting)
    return Trial(
        fuel_needed,
        oxygen_needed,
        fuel_by_fuel,
        fuel_by_oxygen,
        (line_m * cutting_p + line_p) * torch_f,
        line_m * (1.0 + cutting_p * torch_o) + line_p * torch_o,
        mixing,
        chamber,
        fuel_torch,
        oxygen_torch,
        cutting,
    )


def _chamber_slopes(
    station: Station, fuel_flow: float, oxygen_flow: float, mixing: float, mixing_f: float, mixing_o: float
) -> tuple[float, float, float]:
    """Pressure [Pa] that meets the fuel, and its derivatives by fuel and oxygen flow: the mixing point's, less an injector's lift."""
    openings = station.openings
    if openings.injector is None or oxygen_flow <= 0.0:
        return mixing, mixing_f, mixing_o
    lift, by_p, by_f, by_o = lift_slopes(
        openings.injector, mixing, fuel_flow, oxygen_flow, openings.oxygen_area, station.fuel, station.oxygen
    )
    if lift < (1.0 - _LEAST_CHAMBER) * mixing:
        return mixing - lift, mixing_f * (1.0 - by_p) - by_f, mixing_o * (1.0 - by_p) - by_o
    return _LEAST_CHAMBER * mixing, _LEAST_CHAMBER * mixing_f, _LEAST_CHAMBER * mixing_o


def fuel_needed(station: Station, fuel_flow: float, oxygen_flow: float) -> float:
    """What evaluate() finds for the fuel regulator [Pa], to the last digit, without working out the rest."""
    mixing = mixing_pressure_slopes(station.atmosphere, fuel_flow, oxygen_flow, station.openings.port_area, station.fuel, station.oxygen)
    pressure = _chamber_slopes(station, fuel_flow, oxygen_flow, *mixing)[0]
    if station.fuel_opening is not None:
        pressure = station.fuel_opening.upstream(pressure, fuel_flow)
    return needed(station.fuel_line, pressure, fuel_flow)


def oxygen_needed(station: Station, fuel_flow: float, oxygen_flow: float) -> float:
    """The same for the regulator of the preheat oxygen [Pa]."""
    pressure = mixing_pressure_slopes(station.atmosphere, fuel_flow, oxygen_flow, station.openings.port_area, station.fuel, station.oxygen)[
        0
    ]
    if station.preheat_opening is not None:
        pressure = station.preheat_opening.upstream(pressure, oxygen_flow)
    cutting = cutting_flow_slope(station, pressure)[0] if shares_oxygen(station) else 0.0
    return needed(oxygen_leg(station), pressure, oxygen_flow + cutting)


def cutting_flow_slope(station: Station, torch_pressure: float) -> tuple[float, float]:
    """Cutting oxygen [kg/s] at a torch-inlet pressure [Pa], and its derivative by that pressure."""
    opening = station.cutting_opening
    if opening is None:
        return 0.0, 0.0
    flow = mass_flow(torch_pressure, station.atmosphere, opening.area, station.oxygen)
    if flow <= 0.0:
        return 0.0, 0.0
    return flow, 1.0 / opening.upstream_slopes(station.atmosphere, flow)[2]


def standing_pressure(line: Line, downstream: float) -> float:
    """Regulator pressure [Pa] at which a line just begins to flow against a pressure [Pa]: cracking pressures on top of it."""
    return needed(line, downstream, 0.0)
