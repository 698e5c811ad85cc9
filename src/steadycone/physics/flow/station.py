"""A whole station: lines, torch openings, atmosphere; and what must be set for a wanted flame.

Source: derived here; what a station is made of has its sources in the parts' files.
"""

from dataclasses import dataclass, field

from steadycone.errors import OutOfRange
from steadycone.physics.flow.line import Line, Profile, march_up
from steadycone.physics.flow.orifice import LEAST_AREA, Orifice
from steadycone.physics.flow.stream import Stream
from steadycone.physics.flow.torch import Openings


@dataclass(frozen=True, slots=True)
class Station:
    """Two lines and a torch, or three: with a preheat_line the oxygen_line feeds the cutting oxygen alone.

    atmosphere [Pa absolute].

    Raises OutOfRange when the port has no area, or neither gas an opening.
    """

    oxygen_line: Line
    fuel_line: Line
    openings: Openings
    oxygen: Stream
    fuel: Stream
    atmosphere: float = 101325.0
    preheat_line: Line | None = None
    fuel_opening: Orifice | None = field(init=False, repr=False, compare=False)
    preheat_opening: Orifice | None = field(init=False, repr=False, compare=False)
    cutting_opening: Orifice | None = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        openings = self.openings
        if not openings.port_area > LEAST_AREA:
            raise OutOfRange("the port must have an area above 0", where="openings")
        if max(openings.fuel_area, openings.oxygen_area, openings.cutting_area) <= LEAST_AREA:
            raise OutOfRange("at least one gas must have an opening", where="openings")
        for name, area, stream in (
            ("fuel_opening", openings.fuel_area, self.fuel),
            ("preheat_opening", openings.oxygen_area, self.oxygen),
            ("cutting_opening", openings.cutting_area, self.oxygen),
        ):
            object.__setattr__(self, name, None if 0.0 <= area <= LEAST_AREA else Orifice(stream, area))


@dataclass(frozen=True, slots=True)
class Demand:
    """What the regulators must give, as profiles of the lines; preheat is None without a third hose."""

    oxygen: Profile
    fuel: Profile
    preheat: Profile | None = None


def demand(
    oxygen_line: Line,
    fuel_line: Line,
    oxygen_torch_pressure: float,
    fuel_torch_pressure: float,
    preheat_flow: float,
    cutting_flow: float,
    fuel_flow: float,
    atmosphere: float,
    preheat_line: Line | None = None,
    preheat_torch_pressure: float | None = None,
) -> Demand:
    """Regulator pressures for wanted pressures [Pa absolute] and flows [kg/s] at the torch inlet: one march a line.

    With a preheat_line, preheat_torch_pressure is the preheat oxygen's (None: as oxygen_torch_pressure) and the oxygen line carries
    the cutting flow alone.
    """
    oxygen_flow = cutting_flow if preheat_line is not None else cutting_flow + preheat_flow
    preheat = None
    if preheat_line is not None:
        pressure = oxygen_torch_pressure if preheat_torch_pressure is None else preheat_torch_pressure
        preheat = march_up(preheat_line, pressure, preheat_flow, atmosphere)
    return Demand(
        march_up(oxygen_line, oxygen_torch_pressure, oxygen_flow, atmosphere),
        march_up(fuel_line, fuel_torch_pressure, fuel_flow, atmosphere),
        preheat,
    )
