"""The stations' cards and the yard's rows, worked out once and kept while they hold."""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import TYPE_CHECKING, Any

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.errors import InputError
from steadycone.render.json_card import card_dict
from steadycone.render.model import View
from steadycone.render.view import view_of
from steadycone.render.yard import YardRow, row_of, row_without_card
from steadycone.render.yard_facts import GearFact, SignFact, YardFacts
from steadycone.web.yard import Yard

if TYPE_CHECKING:
    from steadycone.records.held import Held
    from steadycone.records.rows import Station
    from steadycone.records.station_files import StationFiles
    from steadycone.records.store import Site

MOST = 1000  # cards kept


@dataclass(frozen=True)
class Made:
    """A station's card of one day, and what was made of it."""

    files: "StationFiles"
    card: Card

    @cached_property
    def told(self) -> dict[str, Any]:
        """As JSON, made when it is first asked for: the yard's rows need none."""
        return card_dict(self.card)

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
    """The card of a station's files alone on a day: what a round is bound to. Files that hash alike are the same files.

    Raises  InputError.
    """
    return _kept(yard, (files.digest, files.file, on), lambda: Made(files, make_card(files.setup, on)))


def made_held(yard: Yard, files: "StationFiles", on: date, held: "Held") -> Made:
    """The same with what the records hold laid over it: what is shown and printed. Nothing is laid over: the very card of the files.

    Raises  InputError.
    """
    found, lower = held.findings(on, files.setup), ratings(files, held)
    if not found and not lower:
        return made(yard, files, on)
    told = repr([(each.code, each.verdict, each.subject, each.text, each.blanks) for each in found])

    def make() -> Made:
        return Made(files, held.card(files.setup, on, own=None if lower else made(yard, files, on).card))

    return _kept(yard, (files.digest, files.file, on, told, lower), make)


def ratings(files: "StationFiles", held: "Held") -> tuple[tuple[str, str, object], ...]:
    """What the register rates lower than the file: part of what the card is made from."""
    return tuple((each.where.name, each.field, each.register) for each in held.lower(files.setup))


def _kept(yard: Yard, key: tuple[Any, ...], make: Callable[[], Made]) -> Made:
    with yard.lock:
        cards: OrderedDict[Any, Made] = yard.kept.setdefault("cards", OrderedDict())
        if key in cards:
            cards.move_to_end(key)
            return cards[key]
    found = make()
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
    from steadycone.records.held import every_held
    from steadycone.records.station_files import read_all

    slugs = {station.key: slug for slug, station in yard.stations(site).items()}
    of = every_held(site)
    rows = [Placed(slugs[station.key], row(yard, station, files, of(station), now)) for station, files in read_all(site)]
    rows.sort(key=lambda placed: placed.row.sort)
    midnight = now.replace(hour=23, minute=59, second=59, microsecond=999_999)
    return Board(size, now.date(), min([midnight, *(placed.row.valid_until for placed in rows)]), tuple(rows))


def row(yard: Yard, station: "Station", files: "StationFiles | InputError", held: "Held", now: datetime) -> YardRow:
    """One station's row: of its card with what the records hold, or of why there is none."""
    facts = facts_of(held)
    try:
        if isinstance(files, InputError):
            raise files
        found = made_held(yard, files, now.date(), held)
    except InputError as error:
        return row_without_card(station.name, yard.region, "acetylene", error.says, facts, now, held.findings(now.date()))
    return row_of(found.card, facts, now)


# --- what the record says ------------------------------------------------------------


def facts_of(held: "Held") -> YardFacts:
    """What the yard reads beside the findings: when gear is due, and who signed."""
    gear = tuple(GearFact(item.mark, item.item, item.gas, item.due_on) for item in held.items.values() if item.due_on or item.due_why)
    return YardFacts(gear, held.station.held, _sign(held.station))


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
