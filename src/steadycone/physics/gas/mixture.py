"""Mixtures such as LPG and natural gas, made from the pure gases."""

from collections.abc import Mapping
from math import isfinite

from steadycone.errors import InputError
from steadycone.physics.gas.load import load
from steadycone.physics.gas.model import Gas, Range
from steadycone.physics.gas.saturation import saturation_pressure

HIGHEST_PRESSURE = 16e5  # Pa absolute: the mixing rule has only the hose side to answer for


def mixture(fractions: Mapping[str, float], name: str) -> Gas:
    """A gas of the given mole fractions.

    The virials are averaged by mole fraction, which equals the quadratic rule with the mean of both gases as the cross term.
    Heat capacity is averaged by amount; viscosity follows Wilke's rule; `saturation` is left to each part.

    Parameters
    ----------
    fractions : mapping of gas name to mole fraction; their sum may be off by 1 % and is brought to 1
    name : str   what messages call it

    Raises
    ------
    InputError : a fraction is negative or not a number, or the sum is off by more than 1 %.
    UnknownName : a part is not a known gas.

    Holds for   the temperatures that every part covers, to 16 bar abs, below the dew pressure.
    Source      judged by us: the linear rule is within 0.5 % in density of the reference mixture equation for LPG and
                natural gas on the hose side (gas-mixing)
    """
    total = sum(fractions.values())
    bad = [part for part, value in fractions.items() if not (isfinite(value) and value >= 0.0)]
    if bad or not abs(total - 1.0) <= 0.01:
        raise InputError(
            f"the parts of {name} add up to {100 * total:.4g} %; they must be positive and add up to 100 %, within 1 %.",
            where="composition",
            try_="Give every part as a share by volume (by amount), not by mass.",
        )
    shares = {part: value / total for part, value in fractions.items() if value > 0.0}
    parts = tuple(load(part) for part in shares)
    if len(parts) == 1:
        return parts[0]
    weights = list(shares.values())
    return Gas(
        name=name,
        formula="",
        molar_mass=sum(w * part.molar_mass for w, part in zip(weights, parts, strict=True)),
        components=shares,
        alpha=_mean_alpha(weights, parts),
        heat_capacity=_mean(weights, [part.heat_capacity for part in parts]),
        viscosity=(),
        range=_common_range(parts),
        saturation=None,
        parts=parts,
        sources=tuple(sorted({"gas-mixing", *(key for part in parts for key in part.sources)})),
    )


def vapour_over(gas: Gas, temperature: float) -> Gas:
    """The vapour that a liquid mixture gives off at a temperature [K], by Raoult's law; a pure gas is its own vapour.

    It is richer in the lighter part than the liquid, and at its own dew point at the cylinder's pressure.

    Raises
    ------
    OutOfRange : a part is not kept as a liquid, or temperature is outside -40..60 °C.
    """
    if not gas.parts:
        return gas
    pressure = saturation_pressure(gas, temperature)
    shares = {part.name: gas.components[part.name] * saturation_pressure(part, temperature) / pressure for part in gas.parts}
    return mixture(shares, f"vapour of {gas.name}")


def _mean(weights: list[float], series: list[tuple[float, ...]]) -> tuple[float, ...]:
    longest = max(len(line) for line in series)
    return tuple(sum(w * line[k] for w, line in zip(weights, series, strict=True) if k < len(line)) for k in range(longest))


def _mean_alpha(weights: list[float], parts: tuple[Gas, ...]) -> tuple[tuple[float, ...], ...]:
    # Three terms are enough to 16 bar; the higher ones of the stored gases have no partner in the vapours.
    return tuple(_mean(weights, [part.alpha[i] if i < len(part.alpha) else () for part in parts]) for i in range(3))


def _common_range(parts: tuple[Gas, ...]) -> Range:
    coldest = max(part.range.coldest for part in parts)
    return Range(coldest, min(part.range.hottest for part in parts), coldest, HIGHEST_PRESSURE, HIGHEST_PRESSURE)
