"""The station that somebody chose for a what-if, a drill or a triage: one of the yard's, or the demo's."""

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from steadycone.data.reader import FOLDER
from steadycone.errors import UnknownName

if TYPE_CHECKING:
    from datetime import date

    from steadycone.card.card import Card
    from steadycone.practice.finding import Finding
    from steadycone.web.desk import Desk

DEMO = "demo"
_DEMO_FILE = FOLDER / "demo" / "slip-2.toml"


@dataclass(frozen=True, slots=True)
class Chosen:
    """The card is that of its page: with what the records hold laid over it.

    slug : of the address, "demo" for the demo's own. digest : of all that it was made from. file : what the command line reads
    held : what the records hold against it
    """

    slug: str
    name: str
    card: "Card"
    digest: str
    file: str
    held: "tuple[Finding, ...]" = ()


def stations(desk: "Desk", *, demo: bool = True) -> list[tuple[str, str]]:
    """Address and name of every station with a file, by name; the demo's last."""
    found = [(slug, station.name) for slug, station in desk.yard.stations(desk.site).items() if station.text]
    found.sort(key=lambda pair: pair[1].casefold())
    return [*found, (DEMO, "The demo’s station, invented")] if demo else found


def chosen(desk: "Desk", slug: str) -> Chosen:
    """The card of a station on this day.

    Raises  UnknownName: no such station, or no file of it is kept. InputError: its file can't be read.
    """
    if slug == DEMO and DEMO not in desk.yard.stations(desk.site):
        return Chosen(DEMO, "The demo’s station, invented", _demo(desk.today), "demo", "slip-2.toml")
    from steadycone.records.held import held
    from steadycone.records.station_files import read_station
    from steadycone.web.board import made_held, ratings

    station = desk.yard.station(desk.site, slug)
    if not station.text:
        raise UnknownName(f'no file of "{station.name}" is kept', where="station", try_="File it first, or take another.")
    files = read_station(desk.site, station.name)
    of = held(desk.site, station.name)
    lower = ratings(files, of)
    digest = f"{files.digest} {lower}" if lower else files.digest
    card = made_held(desk.yard, files, desk.today, of).card
    return Chosen(slug, station.name, card, digest, files.file, of.findings(desk.today, files.setup))


@cache
def _demo(on: "date") -> "Card":
    from steadycone.card.make import make_card
    from steadycone.files.read import read_setup

    return make_card(read_setup(_DEMO_FILE), on)


def against(station: Chosen) -> tuple[tuple[str, str, str], ...]:
    """What the records hold against it, as a page says it: the verdict, what is wrong, and what to do."""
    from steadycone.render.words import Words, capital

    words = Words.of(station.card.figures.setup.station.station.region)
    return tuple((each.verdict, capital(words.says(each)), words.remedy(each)) for each in station.held if each.verdict != "go")
