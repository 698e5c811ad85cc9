"""The stations' cards and the yard's rows, worked out once and kept while they hold."""

from collections import OrderedDict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.errors import InputError
from steadycone.render.json_card import card_dict
from steadycone.render.model import View
from steadycone.render.view import view_of
from steadycone.render.yard import YardRow, row_of, row_without_card
from steadycone.render.yard_facts import DefectFact, GearFact, IncidentFact, SignFact, YardFacts
from steadycone.web.yard import Yard

if TYPE_CHECKING:
    from steadycone.records.rows import Defect, IncidentRow, Item, Station
    from steadycone.records.station_files import StationFiles
    from steadycone.records.store import Site

MOST = 1000  # cards kept


@dataclass(frozen=True, slots=True)
class Made:
    """A station's card of one day, and what was made of it."""

    files: "StationFiles"
    card: Card
    told: dict[str, Any]

    @property
    def view(self) -> View:
        return view_of(self.card, self.told)


@dataclass(frozen=True, slots=True)
class Placed:
    """A row of the yard and where it leads."""

    slug: str
    row: YardRow


@dataclass(frozen=True, slots=True)
class Board:
    """The rows, worst first, as of one moment; `size` is the log's then, `until` when time alone changes one."""

    size: int
    on: date
    until: datetime
    rows: tuple[Placed, ...]


def made(yard: Yard, files: "StationFiles", on: date) -> Made:
    """The card of a station's files on a day. Files that hash alike are the same files.

    Raises  InputError.
    """
    key = (files.digest, files.file, on)
    with yard.lock:
        cards: OrderedDict[Any, Made] = yard.kept.setdefault("cards", OrderedDict())
        if key in cards:
            cards.move_to_end(key)
            return cards[key]
    card = make_card(files.setup, on)
    found = Made(files, card, card_dict(card))
    with yard.lock:
        cards[key] = found
        while len(cards) > MOST:
            cards.popitem(last=False)
    return found


def board(yard: Yard, site: "Site", size: int, now: datetime) -> Board:
    """The yard's rows now, of a log of this size. Whoever comes first after a change works them out; the others wait for that one."""
    with yard.lock:
        kept: Board | None = yard.kept.get("board")
        if kept is not None and kept.size == size and kept.on == now.date() and now < kept.until:
            return kept
        found = _board(yard, site, size, now)
        yard.kept["board"] = found
        return found


def _board(yard: Yard, site: "Site", size: int, now: datetime) -> Board:
    from steadycone.records.station_files import read_all

    slugs = {station.key: slug for slug, station in yard.stations(site).items()}
    facts = _Facts(site)
    rows = [Placed(slugs[station.key], _row(yard, site, station, files, facts, now)) for station, files in read_all(site)]
    rows.sort(key=lambda placed: placed.row.sort)
    midnight = now.replace(hour=23, minute=59, second=59, microsecond=999_999)
    return Board(size, now.date(), min([midnight, *(placed.row.valid_until for placed in rows)]), tuple(rows))


def _row(
    yard: Yard, site: "Site", station: "Station", files: "StationFiles | InputError", facts: "_Facts", now: datetime
) -> YardRow:  # fmt: skip
    try:
        if isinstance(files, InputError):
            raise files
        found = made(yard, files, now.date())
    except InputError as error:
        return row_without_card(station.name, yard.region, "acetylene", error.says, facts.of(station), now)
    return row_of(found.card, facts.of(station), now)


# --- what the record says ------------------------------------------------------------


class _Facts:
    """Gear, defects and incidents of the whole site, read at once and handed out station by station."""

    def __init__(self, site: "Site") -> None:
        from steadycone.records.names import key

        self._key = key
        self._items = {item.key: item for item in site.items(fitted=True)}
        self._defects = site.defects()
        self._incidents = {incident.key: incident for incident in site.incidents()}

    def of(self, station: "Station") -> YardFacts:
        marks = {self._key(mark) for mark in station.makeup.values()}
        defects = [d for d in self._defects if self._key(d.station) == station.key or (d.mark and self._key(d.mark) in marks)]
        held = [self._incidents[self._key(id_)] for id_ in station.incidents if self._key(id_) in self._incidents]
        return facts_of(station, [self._items[mark] for mark in sorted(marks) if mark in self._items], defects, held)


def facts_of(station: "Station", items: Iterable["Item"], defects: Iterable["Defect"], incidents: Iterable["IncidentRow"]) -> YardFacts:
    """The record's rows about a station as the yard reads them."""
    return YardFacts(
        gear=tuple(
            GearFact(item.mark, item.item, item.gas, item.state, item.reason, item.due_on, item.due_why, bool(item.incidents))
            for item in items
        ),
        defects=tuple(DefectFact(defect.says, defect.severity) for defect in defects),
        incidents=tuple(IncidentFact(incident.event.replace("-", " "), incident.says) for incident in incidents),
        sign=_sign(station),
    )


def _sign(station: "Station") -> SignFact | None:
    from steadycone.records.times import read

    if not station.sign_off:
        return None
    return SignFact(
        station.signed_by,
        datetime.fromisoformat(station.signed_at),
        datetime.fromisoformat(station.valid_until),
        station.ended,
        read(station.ended_at) if station.ended_at else None,
    )
