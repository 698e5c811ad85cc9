"""A signature is of its day: page, phone and command all end here."""

from datetime import datetime

from steadycone.card.anew import stops_on
from steadycone.errors import InputError, Refused
from steadycone.records.rows import Station
from steadycone.records.times import read
from steadycone.records.world import World
from steadycone.render.words import Words, capital


def check_day(world: World, station: Station, at: datetime) -> None:
    """The card of the very files that the round was about, made anew for the day of the signature, has no stop.

    A round that holds no station's file was never about a card; where a file is kept, `check_proved` has refused it.

    Raises  Refused: the card of that day has a stop, can't be made, or the signature is older than the file under it.
    """
    if station.filed_at and at < read(station.filed_at):
        raise Refused("the signature is older than the station's file", where=station.name, try_="Go round again, with the file of now.")
    if "station" not in station.round_papers:
        return
    try:
        setup = world.filed.setup(station.file or "station.toml", station.round_papers)
        found = stops_on(setup, at.date())
    except InputError as error:
        raise Refused(
            f"the card of {at:%Y-%m-%d} can't be made: {error.says}",
            where=station.name,
            try_="Mend the station's file, then go round again.",
        ) from error
    if found:
        words = Words.of(setup.station.station.region)
        says = f"the card of {at:%Y-%m-%d} has a stop: {capital(words.subject(found[0].subject))}: {words.says(found[0]).rstrip('.')}"
        raise Refused(says, where=station.name, try_=f"{words.remedy(found[0])} Then go round again.")
