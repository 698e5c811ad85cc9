"""Stepping a few coupled rates through time with the classical Runge-Kutta rule; plain floats.

Source: numerical textbooks; checked against closed forms and scipy in tests.
"""

from collections.abc import Callable, Iterator

State = tuple[float, ...]
Rates = Callable[[float, State], State]


def steps(rates: Rates, start: State, time: float, count: int) -> Iterator[tuple[float, State]]:
    """Time [s] and state at the start and after each of `count` equal steps.

    Parameters
    ----------
    rates : time [s] and state to the change of each number of the state in a second
    start : the state at time 0
    time : float   [s], above 0;  count : int   1 or more

    Source      fourth-order Runge-Kutta: the error of a smooth problem falls with the fourth power of the step
    """
    step, state = time / count, start
    yield 0.0, state
    for number in range(count):
        now = number * step
        first = rates(now, state)
        second = rates(now + 0.5 * step, _moved(state, first, 0.5 * step))
        third = rates(now + 0.5 * step, _moved(state, second, 0.5 * step))
        fourth = rates(now + step, _moved(state, third, step))
        state = tuple(
            x + step / 6.0 * (a + 2.0 * b + 2.0 * c + d) for x, a, b, c, d in zip(state, first, second, third, fourth, strict=True)
        )
        yield now + step, state


def _moved(state: State, slope: State, step: float) -> State:
    return tuple(x + step * s for x, s in zip(state, slope, strict=True))
