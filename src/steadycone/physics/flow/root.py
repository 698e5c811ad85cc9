"""The sure way to a root: a bracket that always shrinks."""

from collections.abc import Callable

from steadycone.errors import SolveError


def bracketed_root(
    function: Callable[[float], float], low: float, high: float, *, value_low: float | None = None, value_high: float | None = None
) -> float:
    """A root of a continuous function between two points where its signs differ, to the last few bits.

    Inverse quadratic steps where three points bend gently, halving where they do not, so that a kink costs a few halvings and
    never the answer.

    Raises
    ------
    SolveError : the signs at both ends are the same.

    Source      chandrupatla-1997
    """
    newest, far = high, low
    f_newest = function(high) if value_high is None else value_high
    f_far = function(low) if value_low is None else value_low
    if f_newest == 0.0 or f_far == 0.0:
        return newest if f_newest == 0.0 else far
    if (f_newest > 0.0) == (f_far > 0.0):
        raise SolveError(f"no change of sign between {low!r} and {high!r}", where="root")
    share, best = 0.5, newest
    for _ in range(200):
        trial = newest + share * (far - newest)
        f_trial = function(trial)
        if f_trial == 0.0:
            return trial
        if (f_trial > 0.0) == (f_newest > 0.0):
            dropped, f_dropped = newest, f_newest
        else:
            dropped, f_dropped, far, f_far = far, f_far, newest, f_newest
        newest, f_newest = trial, f_trial
        best = newest if abs(f_newest) < abs(f_far) else far
        width = abs(far - newest)
        least = (4.4e-16 * abs(best) + 1e-300) / width if width > 0.0 else 1.0
        if least > 0.5:
            return best
        place = (newest - far) / (dropped - far)
        height = (f_newest - f_far) / (f_dropped - f_far)
        if height * height < place and (1.0 - height) ** 2 < 1.0 - place:
            share = f_newest / (f_far - f_newest) * f_dropped / (f_far - f_dropped)
            share += (dropped - newest) / (far - newest) * f_newest / (f_dropped - f_newest) * f_far / (f_dropped - f_far)
        else:
            share = 0.5
        share = min(max(share, least), 1.0 - least)
    return best


def rising_root(function: Callable[[float], float], guess: float) -> float:
    """The positive root of a function that is below zero at 0+ and rises through zero somewhere.

    Looks outwards from a positive guess by ever larger factors until the sign changes, then brackets.

    Raises
    ------
    SolveError : no sign change within sixty decades, which a loss that rises with the flow cannot do.
    """
    low = high = guess
    value = value_low = value_high = function(guess)
    factor = 1.5
    for _ in range(60):
        if value == 0.0:
            return low if value_low == 0.0 else high
        if value_low < 0.0 < value_high:
            return bracketed_root(function, low, high, value_low=value_low, value_high=value_high)
        if value > 0.0:
            high, value_high = low, value_low
            low /= factor
            value = value_low = function(low)
        else:
            low, value_low = high, value_high
            high *= factor
            value = value_high = function(high)
        factor = min(factor * factor, 1e3)
    raise SolveError(f"no root found around {guess!r}", where="root")
