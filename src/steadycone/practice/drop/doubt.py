"""What a reading leaves open: how far the gas's temperature, the air and the gauge may have wandered during the wait."""

from math import hypot

from steadycone.practice.drop.readings import Side, Temperatures

READ, FOLLOWS = 0.5, 0.25  # K, and share of the change: drop-temperature-read
UNREAD, UNREAD_A_MINUTE, UNREAD_MOST = 1.0, 0.2, 5.0  # K: drop-temperature-unread
USUAL, USUAL_EITHER_WAY = 288.15, 15.0  # K: drop-temperature-unread
AIR = 200.0 / 3600.0  # Pa/s: drop-atmosphere
WANDER, SPAN = 0.1, 0.02  # share of a step, share of the change: drop-gauge
SOURCES = ("drop-temperature-read", "drop-temperature-unread", "drop-atmosphere", "drop-gauge")


def temperature_doubt(temperatures: Temperatures | None, time: float) -> float:
    """How far the change of the gas's temperature may be from what was read (or from none) [K], over a wait [s].

    Source      drop-temperature-read; drop-temperature-unread
    """
    if temperatures is None:
        return min(max(UNREAD, UNREAD_A_MINUTE * time / 60.0), UNREAD_MOST)
    return hypot(READ, temperatures.digits) + FOLLOWS * abs(temperatures.end - temperatures.start)


def wandering(side: Side, time: float) -> float:
    """Pressure change [Pa] over a wait [s] that is the gauge's or the air's and not the gas's.

    Source      drop-gauge; drop-atmosphere
    """
    return WANDER * side.step + AIR * time


def scale_doubt(temperatures: Temperatures | None) -> float:
    """Share by which every amount worked out may be off: the gauge's span, and the level of a temperature nobody read."""
    return SPAN + (0.0 if temperatures else USUAL_EITHER_WAY / USUAL)
