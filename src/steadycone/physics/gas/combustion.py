"""What burning a fuel takes and gives: oxygen, heat, limits, ignition temperature, the ratio at a neutral flame."""

from functools import cache
from typing import Literal, NamedTuple

from steadycone.data.reader import rows
from steadycone.errors import InputError
from steadycone.physics.gas.model import Gas

Surroundings = Literal["air", "oxygen"]


class Ratio(NamedTuple):
    """Torch oxygen per fuel by amount, at a flame that a torch hand calls neutral."""

    low: float
    typical: float
    high: float


def complete_oxygen(fuel: Gas) -> float:
    """Oxygen for complete burning [mol per mol of fuel]. A torch supplies less; the air gives the rest.

    Raises
    ------
    InputError : the gas does not burn.

    Source      chemicals-combustion (the formula's own arithmetic)
    """
    return _by_amount(fuel, "complete_oxygen")


class Products(NamedTuple):
    """What complete burning makes [mol per mol of fuel]; `unburnt` is what of the gas does not burn, but for its carbon dioxide."""

    carbon_dioxide: float
    water: float
    unburnt: float


# Carbon and hydrogen atoms of a molecule: the chemical formula.
_ATOMS = {
    "acetylene": (2, 2), "propane": (3, 8), "propylene": (3, 6), "methane": (1, 4), "ethane": (2, 6), "butane": (4, 10),
    "isobutane": (4, 10), "hydrogen": (0, 2),
}  # fmt: skip


def products(fuel: Gas) -> Products:
    """What complete burning of a fuel makes, and what it carries along.

    Raises
    ------
    InputError : the gas does not burn.

    Source      the chemical formula: a carbon atom makes one carbon dioxide, two of hydrogen one water
    """
    parts = _burning(fuel)
    own = fuel.components.get("carbon dioxide", 0.0)
    return Products(
        sum(share * _ATOMS[name][0] for name, share in parts) + own,
        sum(share * _ATOMS[name][1] / 2 for name, share in parts),
        max(0.0, 1.0 - own - sum(share for _, share in parts)),
    )


def lower_heat(fuel: Gas) -> float:
    """Heat of combustion with the water as vapour [J/mol of fuel] at 25 °C. Divide by NORMAL_MOLAR_VOLUME for J per normal m³.

    Raises
    ------
    InputError : the gas does not burn.

    Source      chemicals-combustion
    """
    return _by_amount(fuel, "lower_heat")


def higher_heat(fuel: Gas) -> float:
    """Heat of combustion with the water condensed [J/mol of fuel] at 25 °C.

    Raises
    ------
    InputError : the gas does not burn.

    Source      chemicals-combustion
    """
    return _by_amount(fuel, "higher_heat")


def limits(fuel: Gas, surroundings: Surroundings) -> tuple[float, float] | None:
    """Lower and upper flammable limit as mole fractions of fuel at room temperature and 1 atm.

    Parameters
    ----------
    fuel : Gas   a mixture's by Le Chatelier; its inert parts only dilute, so the upper limit is then too high, the safe way
    surroundings : "air" or "oxygen"

    Returns
    -------
    (low, high), or None where no value in oxygen is known for a part: unknown, never "none"

    Raises
    ------
    InputError : the gas does not burn.

    Source      air: iec-60079-20-1, seen at second hand; oxygen: bureau-of-mines, from memory
    """
    found = [(share, _value(name, f"{surroundings}_low"), _value(name, f"{surroundings}_high")) for name, share in _burning(fuel)]
    low = high = 0.0
    for share, lower, upper in found:
        if lower is None or upper is None:
            return None
        low, high = low + share / lower, high + share / upper
    return min(1.0 / low, 1.0), min(1.0 / high, 1.0)


def ignition_temperature(fuel: Gas) -> float:
    """Self-ignition temperature in air [K]; a mixture has the lowest of its parts. No value in oxygen is held: it is lower.

    Raises
    ------
    InputError : the gas does not burn.

    Source      iec-60079-20-1, seen at second hand
    """
    return min(_known(name, "ignition") for name, _ in _burning(fuel))


def neutral_ratio(fuel: Gas) -> Ratio:
    """Torch oxygen per fuel by amount at a neutral flame: low, typical, high. A mixture's by mole fraction; inert parts need none.

    Raises
    ------
    InputError : the gas does not burn.

    Source      torch-ratios, from memory; for ethane and the butanes judged by us, propane's share of complete burning
    """
    parts = _burning(fuel)
    return Ratio(*(sum(share * _known(name, f"neutral_{end}") for name, share in parts) for end in ("low", "typical", "high")))


def combustion_sources(fuel: Gas) -> tuple[str, ...]:
    """Keys of the sources behind this fuel's figures."""
    names = {name for name, _ in _burning(fuel)}
    return tuple(sorted({row["source"] for row in _rows() if row["gas"] in names}))


def _rows() -> tuple[dict[str, str], ...]:
    return rows("gases/combustion.csv") + rows("gases/torch.csv")


@cache
def _table() -> dict[tuple[str, str], float]:
    return {(row["gas"], row["quantity"]): float(row["value"]) for row in _rows()}


def _value(name: str, quantity: str) -> float | None:
    return _table().get((name, quantity))


def _known(name: str, quantity: str) -> float:
    return _table()[name, quantity]


def burns(gas: Gas) -> bool:
    """Whether any part of the gas is a fuel."""
    return any(_value(name, "complete_oxygen") is not None for name in gas.components)


def _burning(fuel: Gas) -> list[tuple[str, float]]:
    """The parts that burn with their mole fraction in the whole gas."""
    parts = [(name, share) for name, share in fuel.components.items() if _value(name, "complete_oxygen") is not None]
    if not parts:
        raise InputError(f"{fuel.name} does not burn.", where="fuel", try_="Give a fuel gas, for example acetylene or propane.")
    return parts


def _by_amount(fuel: Gas, quantity: str) -> float:
    return sum(share * _known(name, quantity) for name, share in _burning(fuel))
