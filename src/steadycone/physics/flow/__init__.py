"""Flow from the regulators to the flame: parts, lines, torch openings, and the solve that ties them together.

Floats in, floats out: Pa absolute, K, kg/s, m. A choked hose, a blocked fuel leg or a locked regulator is a state, never an
exception and never the nearest number.

Each file names its sources; the keys are in data/sources/flow.toml.
"""

from steadycone.physics.flow.friction import friction_factor
from steadycone.physics.flow.hose import Hose
from steadycone.physics.flow.line import Element, Line, Profile, largest_flow, march_down, march_up
from steadycone.physics.flow.mixer import Injector
from steadycone.physics.flow.orifice import Orifice
from steadycone.physics.flow.regulator import Droop
from steadycone.physics.flow.resistance import Fit, FlowPoint, Resistance, equivalent_bore, fit, fit_band, of_opening
from steadycone.physics.flow.shared import Shared
from steadycone.physics.flow.solver import Solution, profiles, solve
from steadycone.physics.flow.station import Demand, Station, demand
from steadycone.physics.flow.stream import Stream, mix_streams, stream_of
from steadycone.physics.flow.torch import Openings, estimated_suction, fit_openings

__all__ = [
    "Demand",
    "Droop",
    "Element",
    "Fit",
    "FlowPoint",
    "Hose",
    "Injector",
    "Line",
    "Openings",
    "Orifice",
    "Profile",
    "Resistance",
    "Shared",
    "Solution",
    "Station",
    "Stream",
    "demand",
    "equivalent_bore",
    "estimated_suction",
    "fit",
    "fit_band",
    "fit_openings",
    "friction_factor",
    "largest_flow",
    "march_down",
    "march_up",
    "mix_streams",
    "of_opening",
    "profiles",
    "solve",
    "stream_of",
]
