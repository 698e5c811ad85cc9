"""What a number was read with: a test made with an instrument that nobody knows, or that is out of date, is not taken."""

from datetime import datetime

from steadycone.errors import InputError, Refused, UnknownName
from steadycone.records import events as e
from steadycone.records.fitness import fitness
from steadycone.records.rows import Item
from steadycone.records.world import World
from steadycone.units import GivenDate

INSTRUMENTS = ("master gauge", "flow meter")  # kinds of gear that other gear is judged with; never a station's own


def measured_with(world: World, item: Item, body: e.TestResult, at: datetime) -> tuple[str, str]:
    """Mark of the instrument, and the last day that it is in date; both empty where none is named.

    Raises  UnknownName: no such instrument. InputError: it is none. Refused: it was not fit for use on that day.

    Source      instrument-in-date; docs/decisions/0080
    """
    if not body.instrument:
        return "", ""
    found = world.item(body.instrument)
    if found is None:
        raise UnknownName(
            f'no instrument with the mark "{body.instrument[:60]}"',
            where="instrument",
            try_='Add it with the day of its last calibration: steadycone gear add MARK "master gauge" --tested DATE.',
        )
    if found.item not in INSTRUMENTS or found.key == item.key:
        what = "itself" if found.key == item.key else f"a {found.item}"
        raise InputError(
            f'"{found.mark}" is {what}, and measures nothing', where="instrument", try_=f"Name a {' or a '.join(INSTRUMENTS)}."
        )
    return found.mark, in_date(found, at)


def in_date(instrument: Item, at: datetime) -> str:
    """The last day that an instrument is in date; empty where no rule makes it due.

    Raises  Refused: on the day of the test it was out of date, in quarantine, or of unknown age; or it was calibrated only later.
    """
    day = at.date()
    now = fitness(instrument, day)
    if now.verdict == "stop":
        raise Refused(
            f'on {day.isoformat()} "{instrument.mark}" was not fit to measure with: {now.says}',
            where="instrument",
            try_="Have it calibrated, then measure again: a number from it proves nothing.",
        )
    tested = instrument.dates.get("tested")
    if tested and GivenDate.parse(tested.date).day > day:
        raise Refused(
            f'"{instrument.mark}" was calibrated on {tested.date}, after this test of {day.isoformat()}',
            where="instrument",
            try_="Measure again, or correct the date.",
        )
    return now.until
