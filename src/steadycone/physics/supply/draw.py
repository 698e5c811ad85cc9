"""How much may be drawn from a fuel cylinder, and how many cylinders a flow asks for. Arithmetic only: which rule is practice's choice."""

import math

from steadycone.errors import OutOfRange

HOUR = 3600.0

# Share of the contents in an hour, by its usual name, and the source's key.
SHARES: dict[str, tuple[float, str]] = {
    "1/7": (1.0 / 7.0, "draw-1916"),
    "1/10": (1.0 / 10.0, "draw-tenth"),
    "1/15": (1.0 / 15.0, "draw-tenth"),
}
FLAT_ARMY = 50.0  # ft3/h at 70 °F from one cylinder whatever its size: draw-army. Above 1/7 of a 225 ft3 cylinder.


def share_limit(contents: float, share: float) -> float:
    """Flow [mol/s] that takes a share [-] of the contents [mol] in an hour.

    Raises
    ------
    OutOfRange : contents below 0, or share not above 0.

    Example     1/7 of 8 kg acetylene (307.2 mol, 6.89 m³): 0.0122 mol/s, 0.98 m³/h
    """
    if not (contents >= 0.0 and share > 0.0):
        raise OutOfRange(f"contents of {contents:g} mol must not be below 0 and a share of {share:g} must be above 0", where="draw")
    return contents * share / HOUR


def published_limits(contents: float) -> dict[str, float]:
    """Allowed flow [mol/s] of contents [mol] by each published share, by the rule's name. They differ: the conflict is shown, not hidden."""
    return {name: share_limit(contents, share) for name, (share, _) in SHARES.items()}


def cylinders_needed(flow: float, limit_of_one: float) -> int | None:
    """Whole cylinders for a flow, both in the same unit; None when one gives nothing.

    Rounded up, with 1e-9 forgiven so that exactly seven sevenths are one cylinder.
    """
    if not flow >= 0.0:
        raise OutOfRange(f"a flow of {flow:g} must not be below 0", where="flow")
    if flow == 0.0:
        return 1
    if not limit_of_one > 0.0:
        return None
    return max(1, math.ceil(flow / limit_of_one * (1.0 - 1e-9)))


def contents_after(contents: float, flow: float, time: float) -> float:
    """What is left [mol] of contents [mol] after drawing a flow [mol/s] for a time [s]; 0 when it ran out before."""
    return max(0.0, contents - flow * time)
