"""Both gauges together: which way gas went, and which other ways would look the same."""

from typing import Literal, NamedTuple

from steadycone.practice.drop.movement import Movement
from steadycone.practice.drop.readings import DropTest

Reading = Literal[
    "no movement seen", "leak before regulator", "leak after regulator", "seat passing", "cylinder valve passing", "leak both sides",
    "leak, not located", "not clear",
]  # fmt: skip

BEFORE: Reading = "leak before regulator"
AFTER: Reading = "leak after regulator"
SEAT: Reading = "seat passing"
VALVE: Reading = "cylinder valve passing"
BOTH: Reading = "leak both sides"
OTHER_GAS, WARMING, COOLING = "other gas arriving", "warming", "cooling"

CHILLED, HEATED = 50.0, 10.0  # K: drop-gas-chilled
SOURCES = ("drop-patterns", "drop-gas-chilled")


class Pattern(NamedTuple):
    """The reading, and what else would look the same; `because` says why a reading is not clear."""

    reading: Reading
    also: tuple[str, ...] = ()
    because: tuple[str, ...] = ()


def pattern(test: DropTest, high: Movement, low: Movement) -> Pattern:
    """Read the two sides.

    A movement that is proved is named even when the other side can't be read. Only when nothing is proved is the test not clear: a
    side that can't show a leak, gas still warming, or a change between rounding and proof.

    Source      drop-patterns
    """
    if high.moved or low.moved:
        found = _screw_in(test, high, low) if test.screw == "in" else _moved(test, high, low)
        return found._replace(also=_others(found, (*found.also, *_temperature(test, high, low))))
    if doubts := _not_clear(test, high, low):
        return Pattern("not clear", _others(None, ((WARMING,) if test.warming else ()) + _suspects(high, low)), doubts)
    # A cylinder valve that passes holds the high side up: steady is no proof. Bleed, shut, and watch it stay at zero.
    return Pattern("no movement seen", (VALVE, *(() if test.temperatures else (WARMING,))))


def _others(found: Pattern | None, also: tuple[str, ...]) -> tuple[str, ...]:
    """Each once, without the reading itself."""
    return tuple(word for word in dict.fromkeys(also) if found is None or word != found.reading)


def _moved(test: DropTest, high: Movement, low: Movement) -> Pattern:
    """Screw out: the seat divides the sides, so gas only passes it downwards."""
    if high.state == "up":
        return _high_rises(test, high, low)
    if low.state == "up":
        return Pattern(SEAT, (*_balance(high, low), *_screw_out_doubts(high)))
    if low.state == "down" and high.state == "down":
        return Pattern(BOTH, (SEAT, AFTER))
    if low.state == "down":
        hidden = () if high.state == "still" else (BOTH,)
        return Pattern(AFTER, (*hidden, VALVE, BOTH))
    # high falls, low holds: out at the high side, or through the seat into a leak after it that takes as much
    return Pattern(BEFORE, (SEAT, BOTH) if low.state != "still" else (SEAT,))


def _screw_out_doubts(high: Movement) -> tuple[str, ...]:
    """A rise that the high side has not visibly fed may have come another way: through the torch from the other line."""
    return () if high.state == "down" else (OTHER_GAS,)


def _balance(high: Movement, low: Movement) -> tuple[str, ...]:
    """What the amounts say when the low side gains: what the high side lost and did not arrive, or what arrived and it never lost."""
    if high.leak.low is None or high.leak.high is None or low.leak.low is None or low.leak.high is None:
        return (VALVE, OTHER_GAS)
    least_gain, largest_gain = -low.leak.high, -low.leak.low
    if high.leak.low > largest_gain:
        return (BEFORE, AFTER)
    if least_gain > high.leak.high:
        return (VALVE, OTHER_GAS)
    return ()


def _high_rises(test: DropTest, high: Movement, low: Movement) -> Pattern:
    """Gas can only come from the cylinder; or the gas got warmer than anybody read."""
    sides = {"up": (SEAT,), "down": (AFTER,)}.get(low.state, ())
    if _warming_explains(test, high, low):
        return Pattern("not clear", (WARMING, VALVE, *sides), ("gas still warming",))
    return Pattern(VALVE, (*sides, *((OTHER_GAS,) if low.state == "up" else ()), BEFORE))


def _warming_explains(test: DropTest, high: Movement, low: Movement) -> bool:
    """Without temperatures: one rise that fits both gauges. With them: the gas warmed by up to twice what was read outside."""
    if low.state == "down":
        return False
    if test.temperatures is None:
        if low.state != "up":
            return False
        (least, largest), (least_low, largest_low) = high.kelvin_needed, low.kelvin_needed
        return max(least, least_low) <= min(largest, largest_low, CHILLED)
    rise = test.temperatures.end - test.temperatures.start
    return test.warming and all(-side.fall <= rise * side.kelvin + side.side.step for side in (high, low))


def _screw_in(test: DropTest, high: Movement, low: Movement) -> Pattern:
    """The regulator is open: the high side makes good what the low side loses, so a fall proves a leak but not its side."""
    if high.state == "up":
        return _high_rises(test, high, low)
    if low.state == "up":
        # an open regulator shuts at its lock-up pressure; beyond it only a passing seat lets gas through
        return Pattern(SEAT, (*_balance(high, low), *_screw_out_doubts(high)))
    if high.state != "down":
        return Pattern("leak, not located", (AFTER, BOTH, VALVE))
    return Pattern("leak, not located", (BEFORE, AFTER, BOTH))


def _temperature(test: DropTest, high: Movement, low: Movement) -> tuple[str, ...]:
    """Warming or cooling that nobody read, where it could be the whole movement: never of two sides that moved apart."""
    if {high.state, low.state} == {"up", "down"} or (test.temperatures is not None and not test.warming):
        return ()
    found: list[str] = []
    for side in (high, low):
        if side.state == "up" and (test.warming or side.kelvin_needed[0] <= CHILLED):
            found.append(WARMING)
        if side.state == "down" and not test.warming and side.kelvin_needed[0] <= HEATED:
            found.append(COOLING)
    return tuple(found)


def _not_clear(test: DropTest, high: Movement, low: Movement) -> tuple[str, ...]:
    """Why nothing can be said although nothing is proved to have moved; empty when it can."""
    states = (high.state, low.state)
    found = []
    if "blind" in states:
        found.append("liquid keeps the pressure")
    if "empty" in states:
        found.append("a side without pressure")
    if test.warming:
        found.append("gas still warming")
    elif any(state.startswith("maybe") for state in states):
        found.append("too small to be sure")
    return tuple(found)


def _suspects(high: Movement, low: Movement) -> tuple[str, ...]:
    """What an unclear test may be hiding, the likelier first."""
    also = {"maybe up": (VALVE, WARMING), "still": ()}.get(high.state, (BEFORE, SEAT))
    also += {"maybe up": (SEAT, OTHER_GAS, WARMING), "still": ()}.get(low.state, (AFTER,))
    return also or (WARMING, BEFORE, AFTER)
