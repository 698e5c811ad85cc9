"""Where other torches join a line, and what they add to it there.

At the cylinder: the supply alone carries them. At the regulator (a Y-piece on it): the regulator, and the parts before the first
hose, since the Y sits behind the arrestor as often as before it. At the hose: all that, and the first hose.
"""

from steadycone.station.parts import Hose
from steadycone.station.setup import Line
from steadycone.station.supply import Supply

_BEHIND_REGULATOR = ("regulator", "hose")


def others(line: Line, molar_mass: float) -> float:
    """What other torches draw from this line's supply [mol/s], of a gas of this molar mass [kg/mol]."""
    stated = line.supply.shared_flow
    return stated.amount(molar_mass) if stated else 0.0


def place_unknown(supply: Supply) -> bool:
    """Whether others draw on cylinders and the file does not say where they join.

    One cylinder has one outlet, so they may well hang on one regulator. A pipe, a tank or a manifold has an outlet for each.
    """
    return supply.kind == "cylinders" and supply.shared_at is None and supply.shared_flow is not None and supply.shared_flow.si > 0


def through_regulator(line: Line, molar_mass: float) -> float:
    """What the regulator passes [mol/s] beside this torch's flow; where the place is not stated, the unsafe end: all of it."""
    joined = line.supply.shared_at in _BEHIND_REGULATOR or place_unknown(line.supply)
    return others(line, molar_mass) if joined else 0.0


def shared_parts(line: Line) -> int:
    """How many parts, from the regulator on, carry the others as well."""
    if line.supply.shared_at not in _BEHIND_REGULATOR:
        return 0
    first = next((number for number, part in enumerate(line.part) if isinstance(part, Hose)), len(line.part))
    return first + (line.supply.shared_at == "hose")
