"""What may be done with an item: each form makes the events that the command line makes of it."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from steadycone.errors import InputError, UnknownName, nearest
from steadycone.records import New, events
from steadycone.records.gear_columns import RESULTS, parse_result
from steadycone.records.gear_events import added, listed
from steadycone.records.gear_item import check_dates, read_item, usual_place
from steadycone.records.gear_names import KINDS
from steadycone.records.quarantine import reason_of
from steadycone.render.labels import kind_words
from steadycone.render.words import capital
from steadycone.web.desk import Desk
from steadycone.web.guard.rights import Right
from steadycone.web.page import Page, get, post
from steadycone.web.pages.asked import asked_again
from steadycone.web.pages.filled import Filled, item_url, lines_of_pairs, moment_of, recorded
from steadycone.web.pages.gear_item import choices, item_page

if TYPE_CHECKING:
    from steadycone.records.events import Event
    from steadycone.records.rows import Item

Make = Callable[[Desk, "Item"], "tuple[Event, datetime]"]
_TEXTS = ("gas", "type", "made", "bought", "in service", "tested", "tested by", "basis", "fitted", "place", "note")


def _form(name: str, needs: Right, make: Make, done: str = "recorded") -> Page:
    """One form of the item's page, at an address of its own."""

    def answer(desk: Desk) -> Response:
        mark = desk.field("mark")
        desk.site.item(mark)  # no such item: told by itself, since there is no page to show the form on

        def do() -> str:
            item = desk.site.item(mark)
            body, when = make(desk, item)
            desk.site.append(New(body, desk.person, when, known_by="session"))
            return item_url(item.mark)

        return recorded(desk, name, do, lambda filled: item_page(desk, mark, filled), done)

    return post(f"/gear/{name}", answer, needs)


def _date(desk: Desk, item: "Item") -> "tuple[Event, datetime]":
    which, date = desk.field("which"), desk.field("date")
    names: dict[str, Any] = {"made": "made", "bought": "bought", "in_service": "in_service", "tested": "tested"}
    if which not in names:
        raise UnknownName(f'"{which[:40]}" is not a date of gear', where="which", try_=nearest(which, names))
    given: dict[str, Any] = {which: date}
    check_dates(replace(listed(item), **given), desk.today)
    return events.GearDated(mark=item.mark, which=names[which], date=date, basis=desk.field("basis", "")), desk.now


def _fit(desk: Desk, item: "Item") -> "tuple[Event, datetime]":
    place = desk.field("place", "") or usual_place(item.item, item.gas)
    return events.GearFitted(mark=item.mark, station=desk.field("station"), place=place), desk.now


def _remove(desk: Desk, item: "Item") -> "tuple[Event, datetime]":
    return events.GearRemoved(mark=item.mark, why=desk.field("why", "")), desk.now


def _test(desk: Desk, item: "Item") -> "tuple[Event, datetime]":
    what, value, limit, passed = desk.field("test"), desk.field("value"), desk.field("limit", ""), desk.field("passed", "")
    kind = next((each for each in RESULTS if each == what.lower()), None)
    if kind is None:
        raise UnknownName(f'"{what[:40]}" is not a test', where="test", try_=nearest(what.lower(), RESULTS))
    if passed not in ("yes", "no"):
        raise InputError("a number without what it came to", where="passed", try_="Say whether it passed.")
    parse_result(kind, value, "value")
    if limit:
        parse_result(kind, limit, "limit")
    body = events.TestResult(
        mark=item.mark, test=kind, value=value, passed=passed == "yes", limit=limit, gas=desk.field("gas", ""),
        readings=lines_of_pairs(desk.text("readings", ""), "readings"), completes=bool(desk.field("completes", "")),
    )  # fmt: skip
    return body, moment_of(desk)


def _quarantine(desk: Desk, item: "Item") -> "tuple[Event, datetime]":
    reason = reason_of(item.item, desk.field("why", ""), desk.field("reason", ""))
    return events.Quarantined(mark=item.mark, reason=reason, defect=desk.field("defect", "")), desk.now


def _repair(desk: Desk, item: "Item") -> "tuple[Event, datetime]":
    return events.Repaired(mark=item.mark, did=desk.field("did"), evidence=desk.field("evidence", "")), desk.now


def _release(desk: Desk) -> Response:
    """By the person who is asked for again, with the own password."""
    mark = desk.field("mark")
    desk.site.item(mark)

    def do() -> str:
        cleared = events.Cleared(condition=desk.field("did"), by="", evidence=desk.field("evidence"))
        desk.site.append(New(events.Released(mark=mark, cleared=(cleared,)), asked_again(desk), desk.now, known_by="password"))
        return item_url(mark)

    return recorded(desk, "release", do, lambda filled: item_page(desk, mark, filled), "released")


def _retire(desk: Desk, item: "Item") -> "tuple[Event, datetime]":
    return events.GearRetired(mark=item.mark, why=desk.field("why")), desk.now


def _note(desk: Desk, item: "Item") -> "tuple[Event, datetime]":
    return events.Noted(mark=item.mark, says=desk.field("says")), desk.now


# --- a new one -------------------------------------------------------------------------


def _add_form(desk: Desk) -> Response:
    return _add_page(desk, Filled())


def _add_page(desk: Desk, filled: Filled) -> Response:
    kinds = [(kind, capital(kind_words(kind, "", desk.region))) for kind in KINDS]
    return desk.page("gear-add.html.j2", "Add gear", filled=filled, kinds=kinds, **choices(desk))


def _add(desk: Desk) -> Response:
    def do() -> str:
        texts = {name: desk.field(name.replace(" ", "_"), "") for name in _TEXTS} | {"mark": desk.field("mark"), "kind": desk.field("kind")}
        item = read_item(texts, {}, desk.today)
        bodies: list[Any] = [added(item, texts["basis"], lines_of_pairs(desk.text("ratings", ""), "ratings"))]
        if item.fitted:
            bodies.append(events.GearFitted(mark=item.mark, station=item.fitted, place=item.place))
        desk.record(*bodies)
        return item_url(item.mark)

    return recorded(desk, "add", do, lambda filled: _add_page(desk, filled), "added")


PAGES = (
    get("/gear/add", _add_form, "gear"),
    post("/gear/add", _add, "gear"),
    _form("date", "gear", _date),
    _form("fit", "gear", _fit),
    _form("remove", "gear", _remove),
    _form("test", "gear", _test),
    _form("quarantine", "round", _quarantine),
    _form("repair", "gear", _repair),
    post("/gear/release", _release, "release"),
    _form("retire", "gear", _retire, "retired"),
    _form("note", "round", _note),
)
