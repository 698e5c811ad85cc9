"""The flame at the torch's own oxygen, before any air comes in: temperature, products, and the unburnt mixture."""

from bisect import bisect_right
from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from steadycone.data.reader import rows
from steadycone.errors import InputError, OutOfRange
from steadycone.physics.gas.combustion import complete_oxygen
from steadycone.physics.gas.load import load
from steadycone.physics.gas.model import Gas

PRODUCTS = ("CO", "H2", "H2O", "CO2", "O2", "OH", "H", "O")
MOST_INERT = 0.05  # mole fraction of the fuel gas that may be nitrogen or carbon dioxide before the table no longer fits


class FlameState(NamedTuple):
    """Equilibrium at 1 atm of fuel and oxygen that were at 20 °C; no heat lost, so an upper bound for a real flame."""

    temperature: float  # K
    products: Mapping[str, float]  # mole fractions of CO H2 H2O CO2 O2 OH H O
    expansion_ratio: float  # unburnt over burnt density
    unburnt_density: float  # kg/m³ at 20 °C and 1 atm
    unburnt_gamma: float  # cp / cv
    unburnt_viscosity: float  # Pa s
    unburnt_diffusivity: float  # m²/s, of heat


def flame(fuel: Gas, oxygen_to_fuel: float) -> FlameState:
    """The flame of a fuel with so much oxygen from the torch.

    Parameters
    ----------
    fuel : Gas   a mixture is read from its parts' tables at the same share of complete burning, weighted by oxygen demand
    oxygen_to_fuel : float   [mol/mol], which is the ratio of normal volumes

    Raises
    ------
    InputError : the gas does not burn, or more than 5 % of it is inert.
    OutOfRange : the ratio is outside the table.

    Holds for   1 atm; acetylene 1.0..2.6 (below 1.0 soot forms, which the table does not know), propane 3.0..5.6, propylene 2.5..5.0,
                methane 1.2..2.3, hydrogen 0.2..0.6, butanes 3.9..7.3, ethane 2.1..4.0. Within 2 K of the calculation behind it
                for pure fuels, 3 K for propane-butane mixtures.
    Source      cantera-gri30; cantera-nasa for propylene and the butanes
    """
    demand = complete_oxygen(fuel)
    parts = [(load(name), share) for name, share in fuel.components.items()]
    inert = sum(share for part, share in parts if not _has_table(part))
    if inert > MOST_INERT:
        raise InputError(
            f"{100 * inert:.0f} % of {fuel.name} does not burn; the flame tables allow 5 %.", where="fuel", try_="Use a cleaner fuel gas."
        )
    burning = [(part, share) for part, share in parts if _has_table(part)]
    weighted = []
    for part, share in burning:
        own = complete_oxygen(part)
        ratio = oxygen_to_fuel if len(parts) == 1 else oxygen_to_fuel * own / demand
        weighted.append((share * own / demand, _interpolate(part, ratio)))
    values = [sum(weight * line[k] for weight, line in weighted) for k in range(len(weighted[0][1]))]
    return FlameState(values[0], dict(zip(PRODUCTS, values[1:9], strict=True)), *values[9:])


def flame_range(fuel: Gas) -> tuple[float, float]:
    """Lowest and highest oxygen to fuel ratio that `flame` covers.

    Raises
    ------
    InputError : the gas does not burn.
    """
    demand = complete_oxygen(fuel)
    parts = [load(name) for name in fuel.components]
    if len(parts) == 1:
        ratios = _table(parts[0].name)[0]
        return ratios[0], ratios[-1]
    ends = [(_table(p.name)[0], complete_oxygen(p)) for p in parts if _has_table(p)]
    return max(r[0] / own for r, own in ends) * demand, min(r[-1] / own for r, own in ends) * demand


def _has_table(part: Gas) -> bool:
    return part.name not in ("air", "nitrogen", "oxygen", "carbon dioxide")


@cache
def _table(fuel: str) -> tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]:
    table = rows(f"gases/flame-{fuel}.csv")
    columns = [name for name in table[0] if name not in ("ratio", "source")]
    return tuple(float(row["ratio"]) for row in table), tuple(tuple(float(row[c]) for c in columns) for row in table)


def _interpolate(fuel: Gas, ratio: float) -> list[float]:
    ratios, lines = _table(fuel.name)
    if not ratios[0] - 1e-9 <= ratio <= ratios[-1] + 1e-9:
        raise OutOfRange(
            f"{ratio:.3g} volumes of oxygen to one of {fuel.name} is outside the flame table, {ratios[0]:g} to {ratios[-1]:g}.",
            where="ratio",
            try_="Give torch oxygen over fuel, both as normal volumes.",
        )
    k = min(max(bisect_right(ratios, ratio) - 1, 0), len(ratios) - 2)
    share = (ratio - ratios[k]) / (ratios[k + 1] - ratios[k])
    return [a + share * (b - a) for a, b in zip(lines[k], lines[k + 1], strict=True)]
