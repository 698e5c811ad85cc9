"""Days and moments as the yard writes them: now, today, Fri 27, 3 Dec."""

from dataclasses import dataclass
from datetime import date, datetime

from steadycone.data import reader
from steadycone.render.words import Words

_NEAR = 6  # days in which a weekday alone is clear


@dataclass(frozen=True, slots=True)
class Due:
    """`day` None: nothing is due, or the age of something is not known; `what` names it. `sort` grows with time left."""

    text: str
    what: str
    day: date | None
    sort: int


def day_text(day: date, on: date, words: Words) -> str:
    """A day near enough by its weekday, a farther one by its month, with the year where it is another."""
    said = reader.toml("yard.toml")["date"]
    apart = (day - on).days
    if apart == 0:
        return str(said["today"])
    if apart == -1:
        return str(said["yesterday"])
    form = "near" if 0 < apart <= _NEAR or -_NEAR <= apart < 0 else "far" if day.year == on.year else "farther"
    first = said["month_first"]
    pattern = first[form] if words.region in first["regions"] and form in first else said[form]
    return str(pattern.format(weekday=said["weekdays"][day.weekday()], day=day.day, month=said["months"][day.month - 1], year=day.year))


def moment_text(moment: datetime, now: datetime, words: Words) -> str:
    """Day and time by the clock of `now`."""
    local = moment.astimezone(now.tzinfo)
    day = day_text(local.date(), now.date(), words)
    return str(reader.toml("yard.toml")["date"]["moment"].format(day=day, time=local.strftime("%H:%M")))


def earliest(dated: list[tuple[date | None, str]], on: date, words: Words) -> Due:
    """What is due first. An unknown day comes before all, since unknown age counts as out of date."""
    said = reader.toml("yard.toml")["due"]
    if not dated:
        return Due(said["none"], "", None, date.max.toordinal())
    day, what = min(dated, key=lambda item: item[0].toordinal() if item[0] else 0)
    if day is None or day < on:
        return Due(said["now"], what, day, day.toordinal() if day else 0)
    return Due(said["today"] if day == on else day_text(day, on, words), what, day, day.toordinal())
