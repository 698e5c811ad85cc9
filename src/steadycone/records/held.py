"""What the records have of one station, brought together: its make-up, what holds it, and its card with all of that laid over."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.records.holds import holds
from steadycone.records.names import key
from steadycone.records.ratings import Lower, lower_ratings, with_ratings
from steadycone.records.rows import IncidentRow, Item, Station

if TYPE_CHECKING:
    from steadycone.practice.finding import Finding
    from steadycone.records.store import Site
    from steadycone.station.setup import Setup


@dataclass(frozen=True, slots=True)
class Held:
    """items : the make-up, by place, as far as the register knows it. incidents : the open ones that hold it"""

    station: Station
    items: dict[str, Item]
    incidents: tuple[IncidentRow, ...]

    def findings(self, on: date, setup: "Setup | None" = None) -> "tuple[Finding, ...]":
        """What the records hold against it on a day; against its file too, where that can be read."""
        named = {incident.key: incident for incident in self.incidents}
        return holds(self.station, self.items, on, incidents=named, noun=setup.station if setup else None)

    def lower(self, setup: "Setup") -> tuple[Lower, ...]:
        return lower_ratings(self.items, setup.station)

    def card(self, setup: "Setup", on: date, *, draft: bool = False, own: Card | None = None) -> Card:
        """The card of a setup with what the records hold laid over it.

        own : the card of the setup alone, where it is made already. draft : as make_card

        Raises  InputError: as make_card.
        """
        lower = self.lower(setup)
        if lower or own is None:
            own = make_card(with_ratings(setup, lower), on, draft=draft)
        return own.with_findings(self.findings(on, setup))


def held(site: "Site", name: str) -> Held:
    """Of one station.

    Raises  UnknownName: no such station.
    """
    station = site.station(name)
    wanted = {key(id_) for id_ in station.incidents}
    open_ = tuple(incident for incident in site.incidents() if incident.key in wanted) if wanted else ()
    return Held(station, site.made_up(station), open_)


def every_held(site: "Site") -> Callable[[Station], Held]:
    """Of all stations: gear and incidents of the whole site are read once, and handed out station by station."""
    items = {item.key: item for item in site.items(fitted=True)}
    incidents = {incident.key: incident for incident in site.incidents()}

    def of(station: Station) -> Held:
        found = {place: items[key(mark)] for place, mark in station.makeup.items() if key(mark) in items}
        return Held(station, found, tuple(incidents[key(id_)] for id_ in station.incidents if key(id_) in incidents))

    return of
