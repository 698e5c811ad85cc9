"""Moments as the log writes them: UTC, ISO 8601, microseconds, Z. As text they sort by time, and are alike in every database."""

import os
import time
from datetime import UTC, datetime, timedelta

from steadycone.errors import InputError

AHEAD = timedelta(minutes=2)  # two clocks on one site differ by less: judged by us
SLACK = timedelta(seconds=2)  # two machines at one server differ by this much without anybody's clock being wrong


def utc_now() -> datetime:
    """The machine's clock."""
    return datetime.now(UTC)


def told(moment: datetime, where: str = "at") -> str:
    """A moment as the log writes it.

    Raises  InputError: without a zone, or outside the calendar.
    """
    if moment.utcoffset() is None:
        raise InputError(f"{moment.isoformat()} has no zone", where=where, try_="Give a time with its zone.")
    try:
        return moment.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"
    except (OverflowError, ValueError):
        raise InputError(f"{moment} is outside the calendar", where=where, try_="Check the date.") from None


def read(text: str) -> datetime:
    """A moment that `told` wrote."""
    return datetime.fromisoformat(text)


def clock_behind(last: str, now: datetime, whose: str = "this machine") -> str:
    """What a reader is told where the clock stands before the last event of the log; empty where it does not."""
    at = read(last)
    if at - now <= SLACK:
        return ""
    return (
        f"The clock of {whose} says {now.astimezone(UTC):%Y-%m-%d %H:%M} UTC. That is before the last event of the log, {at:%Y-%m-%d %H:%M} UTC. "
        "What is due is judged by that clock: gear may look in date that is not. Set the clock."
    )


def new_id(now: datetime | None = None) -> str:
    """A fresh id: milliseconds first, so that ids come in about the order of time, then 74 random bits (RFC 9562, version 7)."""
    milliseconds = int(now.timestamp() * 1000) if now else time.time_ns() // 1_000_000
    number = (milliseconds & (1 << 48) - 1) << 80 | int.from_bytes(os.urandom(10), "big")
    number = number & ~(0xF << 76) | 0x7 << 76
    number = number & ~(0x3 << 62) | 0x2 << 62
    text = f"{number:032x}"
    return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"
