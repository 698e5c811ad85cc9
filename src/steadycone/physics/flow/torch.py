"""The torch as three or four openings, fitted to one row of its chart.

A chart row gives pressures and flows at the torch inlet. All it does not give is the pressure at the mixing point, which the
caller states (and varies, to see what hangs on it). Each opening then follows from its own flow and pressures.
"""

from dataclasses import dataclass

from steadycone.errors import OutOfRange
from steadycone.physics.flow.mixer import INJECTOR_EFFICIENCY, Injector, lift_slopes
from steadycone.physics.flow.orifice import area_for
from steadycone.physics.flow.stream import Stream, mix_streams


@dataclass(frozen=True, slots=True)
class Openings:
    """Effective areas [m²], torch valves open as the chart has them; 0 stands for shut or absent.

    oxygen_area : preheat oxygen, torch inlet to mixing point. fuel_area : fuel likewise. port_area : mixture to atmosphere, above 0.
    cutting_area : cutting oxygen, torch inlet to atmosphere. injector : None for equal pressure.
    """

    oxygen_area: float
    fuel_area: float
    port_area: float
    cutting_area: float = 0.0
    injector: Injector | None = None


def fit_openings(
    oxygen_inlet_pressure: float,
    fuel_inlet_pressure: float,
    preheat_flow: float,
    fuel_flow: float,
    cutting_flow: float,
    mixing_pressure: float,
    atmosphere: float,
    oxygen: Stream,
    fuel: Stream,
    cutting_oxygen_pressure: float | None = None,
    suction: float = 0.0,
    tube_area: float | None = None,
) -> Openings:
    """Openings that give a chart row back.

    Parameters
    ----------
    oxygen_inlet_pressure, fuel_inlet_pressure : float   [Pa absolute], preheat oxygen and fuel at the torch inlet
    preheat_flow, fuel_flow, cutting_flow : float   [kg/s]; cutting_flow 0 without cutting oxygen
    mixing_pressure : float   [Pa absolute], above atmosphere
    atmosphere : float   [Pa absolute]
    oxygen, fuel : Stream
    cutting_oxygen_pressure : float or None   [Pa absolute]; None: the preheat oxygen's
    suction : float   [Pa], how far an injector pulls the fuel chamber below the mixing point in this row; 0 for equal pressure
    tube_area : float or None   [m²], the injector's mixing tube; None leaves out the mixture's momentum

    Raises
    ------
    OutOfRange : a flow that would have to run against its pressures, or a suction that the jet cannot give.

    Source      nozzle-ideal; injector-momentum
    """
    if fuel_flow + preheat_flow <= 0.0:
        raise OutOfRange("fuel and preheat oxygen flow must not both be 0", where="openings")
    mixture = mix_streams(fuel, oxygen, fuel_flow, preheat_flow)
    cutting_pressure = oxygen_inlet_pressure if cutting_oxygen_pressure is None else cutting_oxygen_pressure
    oxygen_area = _opening("preheat oxygen", oxygen_inlet_pressure, mixing_pressure, preheat_flow, oxygen)
    injector = None
    if suction > 0.0:
        unit = Injector(1.0) if tube_area is None else Injector(1.0, tube_area)
        net = lift_slopes(unit, mixing_pressure, fuel_flow, preheat_flow, oxygen_area, fuel, oxygen)[0]
        if net <= 0.0:
            raise OutOfRange(f"suction {suction:.0f} Pa is more than the oxygen jet can give", where="injector")
        injector = Injector(suction / net, unit.tube_area)
    return Openings(
        oxygen_area=oxygen_area,
        fuel_area=_opening("fuel", fuel_inlet_pressure, mixing_pressure - suction, fuel_flow, fuel),
        port_area=_opening("port", mixing_pressure, atmosphere, fuel_flow + preheat_flow, mixture),
        cutting_area=_opening("cutting oxygen", cutting_pressure, atmosphere, cutting_flow, oxygen),
        injector=injector,
    )


def estimated_suction(
    oxygen_inlet_pressure: float,
    mixing_pressure: float,
    preheat_flow: float,
    fuel_flow: float,
    tube_area: float,
    oxygen: Stream,
    fuel: Stream,
    efficiency: float = INJECTOR_EFFICIENCY,
) -> float:
    """Suction [Pa] of an injector nobody has measured, from the momentum balance. An estimate: say so, and use its band.

    pressures [Pa absolute], flows [kg/s], tube_area [m²], efficiency 0.5 to 0.8.  Source: injector-momentum; injector-efficiency
    """
    area = _opening("preheat oxygen", oxygen_inlet_pressure, mixing_pressure, preheat_flow, oxygen)
    injector = Injector(efficiency / tube_area, tube_area)
    return max(0.0, lift_slopes(injector, mixing_pressure, fuel_flow, preheat_flow, area, fuel, oxygen)[0])


def _opening(name: str, inlet_pressure: float, outlet_pressure: float, mass_flow: float, stream: Stream) -> float:
    try:
        return area_for(inlet_pressure, outlet_pressure, mass_flow, stream)
    except OutOfRange as error:
        raise error.at(name) from None
