"""The plan that a round was begun with: of the very files and day, worked out once and kept."""

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import TYPE_CHECKING, Any

from steadycone.card.anew import anew, least_supply, stops_on
from steadycone.data.reader import toml
from steadycone.procedures.rounds import Plan, Round, make_plan
from steadycone.render.round_json import round_dict
from steadycone.render.round_phone import phone_plan
from steadycone.render.round_steps import Screen, screens
from steadycone.render.round_view import RoundView, round_view
from steadycone.render.round_words import RoundWords
from steadycone.web import board
from steadycone.web.yard import Yard

if TYPE_CHECKING:
    from steadycone.records.station_files import StationFiles
    from steadycone.records.store import Site

MOST = 200  # plans kept


@dataclass(frozen=True)
class MadeRound:
    """A station's card of one day, the plan made from it, and its screens."""

    card: board.Made
    plan: Plan

    @property
    def files(self) -> "StationFiles":
        return self.card.files

    @property
    def on(self) -> date:
        return self.plan.judged.figures.on

    @cached_property
    def words(self) -> RoundWords:
        return RoundWords(self.plan)

    @cached_property
    def screens(self) -> tuple[Screen, ...]:
        return screens(self.plan)

    @cached_property
    def phone(self) -> dict[str, Any]:
        return phone_plan(self.plan)

    @cached_property
    def until(self) -> date:
        """The last day on which this page, kept on a phone, may begin a round: dates run out, and the card's stops with them."""
        last = self.on + timedelta(days=toml("web_rounds.toml")["limit"]["days"])
        while last > self.on and self._stops(last) != self._stops(self.on):
            last -= timedelta(days=1)
        return last

    def _stops(self, day: date) -> set[tuple[str, str]]:
        found = self.plan.card_stops if day == self.on else stops_on(self.files.setup, day)
        return {(finding.code, finding.subject) for finding in found}

    def report(self, now: Round) -> dict[str, Any]:
        return round_dict(now, self.card.card, self.card.told)

    def view(self, now: Round) -> RoundView:
        return round_view(now, self.card.card, self.card.told, self.report(now))


def made_now(yard: Yard, site: "Site", station: str, on: date) -> MadeRound:
    """Of the station as it is filed now.

    Raises  UnknownName. InputError: what is filed can't be read.
    """
    from steadycone.records.station_files import read_station

    return _made(yard, read_station(site, station), on)


def made_of(yard: Yard, site: "Site", file: str, hashes: Mapping[str, str], on: date) -> MadeRound:
    """Of the files a round was begun with, whatever was filed since.

    Raises  UnknownName: files that were never filed here. InputError.
    """
    from steadycone.records.station_files import read_hashes

    return _made(yard, read_hashes(site, file, hashes), on)


def _made(yard: Yard, files: "StationFiles", on: date) -> MadeRound:
    key = (files.digest, files.file, on)
    with yard.lock:
        plans: OrderedDict[Any, MadeRound] = yard.kept.setdefault("round plans", OrderedDict())
        if key in plans:
            plans.move_to_end(key)
            return plans[key]
    card = board.made(yard, files, on)
    found = MadeRound(
        card, make_plan(card.card, files.digest, also=(card.told["hash"],), anew=anew(files.setup), least=least_supply(card.card))
    )
    with yard.lock:
        plans[key] = found
        while len(plans) > MOST:
            plans.popitem(last=False)
    return found
