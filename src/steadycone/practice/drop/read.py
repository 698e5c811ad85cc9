"""From a pressure-drop test to what it says."""

from dataclasses import dataclass

from steadycone.assembly import needle
from steadycone.practice.drop import movement, pattern
from steadycone.practice.drop import verdict as judging
from steadycone.practice.drop.readings import DropTest
from steadycone.practice.finding import Verdict
from steadycone.quantity import Quantity


@dataclass(frozen=True, slots=True)
class DropReading:
    """What a test says.

    high_leak, low_leak : Quantity   mol/s out of each side, mean over the wait; below 0 gas came in. Unknown where liquid may keep
        the pressure up
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
    return DropReading(
        reading=found.reading,
        also_possible=found.also,
        verdict=said,
        because=because,
        high_leak=high.leak,
        low_leak=low.leak,
        high_floor=high.floor,
        low_floor=low.floor,
        high_wait=high.wait,
        low_wait=low.wait,
        low_leak_at_working=judging.at_working(test, low.leak),
        low_floor_at_working=floor,
        sources=(*pattern.SOURCES, *movement.SOURCES, *needle.SOURCES, *judging.SOURCES),
    )
