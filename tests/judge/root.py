"""Where a function goes through zero, by a secant in a bracket (the Illinois rule)."""

from collections.abc import Callable


def root(of: Callable[[float], float], low: float, high: float, near: Callable[[float, float], bool], looks: int) -> float:
    """Between two ends of other sign; `near` says of a value and the bracket's width whether it will do. After so many looks the last one."""
    at_low, at_high, side, middle = of(low), of(high), 0, low
    falls = at_low > 0
    for _ in range(looks):
        middle = (low * at_high - high * at_low) / (at_high - at_low) if at_high != at_low else low
        value = of(middle)
        if near(value, high - low):
            break
        if (value > 0) == falls:
            low, at_low = middle, value
            at_high, side = (at_high / 2 if side == 1 else at_high), 1
        else:
            high, at_high = middle, value
            at_low, side = (at_low / 2 if side == -1 else at_low), -1
    return middle
