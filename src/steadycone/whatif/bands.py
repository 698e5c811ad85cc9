"""The band of a what-if's numbers: its uncertain inputs at both ends, or drawn at random between them."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import product
from random import Random

from steadycone.quantity import Quantity

Inputs = Mapping[str, Quantity]
Given = Mapping[str, float]
Sum = Callable[[Given], Mapping[str, float | None]]

MOST_CORNERS = 6  # inputs tried in all combinations of ends; the rest only one at a time
LOW_SHARE, HIGH_SHARE = 0.05, 0.95  # of the runs: what the band of random draws holds


def middle(inputs: Inputs) -> dict[str, float]:
    """Every input as described. An input of unknown value is the caller's to refuse before."""
    return {name: quantity.value for name, quantity in inputs.items() if quantity.value is not None}


def corners(inputs: Inputs) -> Iterator[dict[str, float]]:
    """All combinations of ends of up to MOST_CORNERS inputs; of more, each alone at its ends as well."""
    start = middle(inputs)
    wide = [name for name, q in inputs.items() if q.low is not None and q.high is not None and q.high > q.low]
    for ends in product((0, 1), repeat=min(len(wide), MOST_CORNERS)):
        yield start | {name: _end(inputs[name], end) for name, end in zip(wide, ends, strict=False)}
    for name in wide[MOST_CORNERS:]:
        yield from (start | {name: _end(inputs[name], end)} for end in (0, 1))


def draws(inputs: Inputs, runs: int, seed: int) -> Iterator[dict[str, float]]:
    """So many sets of inputs, each even between its ends: nothing says that the middle is the likelier (judged)."""
    random = Random(seed)  # noqa: S311 - reproducible draws, no secret
    start = middle(inputs)
    for _ in range(runs):
        yield {name: random.uniform(_end(inputs[name], 0), _end(inputs[name], 1)) for name in start}


def banded(sum_: Sum, inputs: Inputs, kinds: Mapping[str, str], runs: int = 0, seed: int = 1) -> dict[str, Quantity]:
    """Each number of `sum_` at the described inputs, with its band.

    Without runs the band holds every corner; that is a bound where a number is monotone in each input, as all here are. With runs
    it holds 5 to 95 % of the draws, and always the described value. A number that is None as described is left out; one that is None
    for some inputs has no end on the side it would lie (infinitely late), so its high end is None.
    """
    value = sum_(middle(inputs))
    every = [sum_(given) for given in (draws(inputs, runs, seed) if runs else corners(inputs))]
    found = {}
    for key, kind in kinds.items():
        here = value.get(key)
        if here is None:
            continue
        known = sorted(x for each in every if (x := each.get(key)) is not None)
        never = len(every) - len(known)
        low, high = ends([*known, *[None] * never], bool(runs))
        low = here if low is None else min(low, here)
        found[key] = Quantity(here, low, None if high is None else max(high, here), kind)
    return found


def ends(ordered: Sequence[float | None], inner: bool) -> tuple[float | None, float | None]:
    """Least and largest of an ordered list (None last: never), or with `inner` what holds the middle 90 %."""
    if not ordered:
        return None, None
    if not inner:
        return ordered[0], ordered[-1]
    last = len(ordered) - 1
    return ordered[round(LOW_SHARE * last)], ordered[round(HIGH_SHARE * last)]


def _end(quantity: Quantity, end: int) -> float:
    value = quantity.high if end else quantity.low
    assert quantity.value is not None
    return quantity.value if value is None else value
