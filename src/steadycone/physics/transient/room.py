"""Gas let go in a room, perfectly mixed with its air: the figure a real room only has at best. Near the source it is far worse."""

import math

from steadycone.errors import OutOfRange

OXYGEN_IN_AIR = 0.2095  # of dry air by amount: air-oxygen


def mixed_share(release: float, room_volume: float, air_changes: float, time: float) -> float:
    """Share of released gas in the room's air [-] after a steady release.

    Parameters
    ----------
    release : float   [m³/s] at the room's own pressure and temperature
    room_volume : float   [m³]
    air_changes : float   [1/s] of fresh air; hours to seconds is the caller's
    time : float   [s], math.inf for the steady end

    Raises
    ------
    OutOfRange : room_volume not above 0, or another below 0.

    Source      mass balance: V dc/dt = q (1 - c) - a V c, what comes in pushes mixed air out
    """
    if not (room_volume > 0.0 and release >= 0.0 and air_changes >= 0.0 and time >= 0.0):
        raise OutOfRange("room volume must be above 0; release, air changes and time not below 0", where="room")
    pace = release / room_volume + air_changes
    if pace == 0.0 or release == 0.0:
        return 0.0
    return release / room_volume / pace * -math.expm1(-pace * time)


def puff_share(volume: float, room_volume: float, air_changes: float = 0.0, time: float = 0.0) -> float:
    """Share [-] after a volume [m³, at the room's state] was let go at once and mixed, then thinned by fresh air for a time [s].

    Raises
    ------
    OutOfRange : as `mixed_share`.
    """
    if not (room_volume > 0.0 and volume >= 0.0 and air_changes >= 0.0 and time >= 0.0):
        raise OutOfRange("room volume must be above 0; release, air changes and time not below 0", where="room")
    return -math.expm1(-volume / room_volume) * math.exp(-air_changes * time)


def time_to_share(share: float, release: float, room_volume: float, air_changes: float = 0.0) -> float:
    """Time [s] until the mixed share reaches a level; math.inf when the fresh air keeps it below. Never a time to rely on."""
    if not 0.0 <= share < 1.0:
        raise OutOfRange(f"a share of {share:g} must be from 0 to below 1", where="room")
    if mixed_share(release, room_volume, air_changes, math.inf) <= share:
        return math.inf if share > 0.0 else 0.0
    pace = release / room_volume + air_changes
    return -math.log1p(-share * pace * room_volume / release) / pace


def time_to_clear(share: float, left: float, air_changes: float) -> float:
    """Time [s] in which clean air, with nothing more let in, thins a share to what is left of it; math.inf without air.

    Parameters      share, left : [-], above 0; air_changes : [1/s]
    Raises          OutOfRange : a share not above 0, or air_changes below 0.
    Source          the same mass balance. Mixing is never perfect: the time is a floor, and no test is spared by it
    """
    if not (share > 0.0 and left > 0.0 and air_changes >= 0.0):
        raise OutOfRange("shares must be above 0 and air changes not below 0", where="room")
    if left >= share:
        return 0.0
    return math.log(share / left) / air_changes if air_changes > 0.0 else math.inf


def oxygen_share(share: float, is_oxygen: bool) -> float:
    """Oxygen in the air [-] with a share [-] of released gas in it: raised by oxygen, thinned by any other gas."""
    return OXYGEN_IN_AIR * (1.0 - share) + (share if is_oxygen else 0.0)
