"""From a pressure-drop test to what it says."""

from dataclasses import dataclass

from steadycone.assembly import needle
from steadycone.practice.drop import movement, pattern
from steadycone.practice.drop import verdict as judging
from steadycone.practice.drop.movement import Movement
from steadycone.practice.drop.readings import DropTest
from steadycone.practice.finding import Verdict
from steadycone.quantity import Quantity


@dataclass(frozen=True, slots=True)
class DropReading:
    """What a test says.

    high_leak, low_leak : Quantity   mol/s out of each side, mean over the wait; below 0 gas came in. Unknown where liquid may keep
        the pressure up; without a high end where the side ended at zero: at least the low end
    high_floor, low_floor : Quantity   mol/s: a larger loss can't have been called still
    high_wait, low_wait : Quantity   s: the wait after which the leak that the policy rejects can't be called still
    low_leak_at_working, low_floor_at_working : Quantity or None   scaled, where a working pressure was given
    because : the reasons of the verdict, in fixed words
    """

    reading: pattern.Reading
    also_possible: tuple[str, ...]
    verdict: Verdict
    because: tuple[str, ...]
    high_leak: Quantity
    low_leak: Quantity
    high_floor: Quantity
    low_floor: Quantity
    high_wait: Quantity
    low_wait: Quantity
    low_leak_at_working: Quantity | None
    low_floor_at_working: Quantity | None
    sources: tuple[str, ...]


def read_drop(test: DropTest) -> DropReading:
    """Read a test: no movement is *less than the floor*, never nothing.

    Raises
    ------
    OutOfRange : pressure or temperature outside the gas's table.

    Source      drop-patterns, drop-movement, drop-verdict
    """
    high, low = movement.movement(test, test.high), movement.movement(test, test.low)
    found = pattern.pattern(test, high, low)
    floor = judging.at_working(test, low.floor)
    said, because = judging.verdict(test, high, low, found, floor)
    scaled = judging.at_working(test, low.leak)
    return DropReading(
        reading=found.reading,
        also_possible=found.also,
        verdict=said,
        because=because,
        high_leak=_at_least(test, high, high.leak),
        low_leak=_at_least(test, low, low.leak),
        high_floor=high.floor,
        low_floor=low.floor,
        high_wait=high.wait,
        low_wait=low.wait,
        low_leak_at_working=_at_least(test, low, scaled) if scaled else None,
        low_floor_at_working=floor,
        sources=(*pattern.SOURCES, *movement.SOURCES, *needle.SOURCES, *judging.SOURCES),
    )


def _at_least(test: DropTest, side: Movement, leak: Quantity) -> Quantity:
    """No high end where a side that lost gas ended at zero: it may have been empty long before, so the sum is only the least."""
    at_zero = side.side.end - test.atmosphere <= 0.5 * side.side.step
    lost = leak.low is not None and leak.low > 0.0
    return Quantity(leak.value, leak.low, None, leak.kind) if at_zero and lost else leak
