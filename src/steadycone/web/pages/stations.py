"""One station: what to set, the gas train, what is judged, what it is made up of, its history; its card as a page, a PDF and JSON."""

from datetime import date
from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.errors import InputError
from steadycone.records.holds import stops
from steadycone.render.qr import code_svg
from steadycone.render.train import train_svg
from steadycone.web.board import Made, made_held, row
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.pages.filled import item_url
from steadycone.web.shell import asset

if TYPE_CHECKING:
    from steadycone.records.held import Held
    from steadycone.records.rows import Station
    from steadycone.records.station_files import StationFiles

_HISTORY = 12  # lines; all of it is a page of the log


def card_of(desk: Desk) -> Made:
    """The station's card of today, with what the records hold against it.

    Raises  UnknownName: no such station. InputError: its file can't be read as one.
    """
    from steadycone.records.held import held
    from steadycone.records.station_files import read_station

    name = desk.station().name
    return made_held(desk.yard, read_station(desk.site, name), desk.today, held(desk.site, name))


def _show(desk: Desk) -> Response:
    from steadycone.records.fitness import fitness
    from steadycone.records.held import held
    from steadycone.records.station_files import read_station

    station = desk.station()
    found, view, problem = held(desk.site, station.name), None, None
    files: StationFiles | InputError = InputError("no file is kept")
    if station.text:
        try:
            files = read_station(desk.site, station.name)
            view = made_held(desk.yard, files, desk.today, found).view
        except InputError as error:
            files = problem = error
    shown = row(desk.yard, station, files, found, desk.now)
    items = [(place, item, fitness(item, desk.today)) for place, item in sorted(found.items.items())]
    return desk.page(
        "station.html.j2", station.name, station=station, slug=desk.path["station"], row=shown, view=view, problem=problem,
        train=train_svg(view.train) if view else "", items=items, incidents=found.incidents, cause=_cause(found, desk.today), history=_history(desk, station),
        code=code_svg(_address(desk), f"QR code that opens {station.name}"), retire=desk.may("station"),
    )  # fmt: skip


def _cause(found: "Held", on: date) -> str:
    """Where the first stop of the records is dealt with; empty where they hold nothing."""
    first = next(iter(stops(found.findings(on))), None)
    if first is None:
        return ""
    if event := first.blanks.get("event"):
        return f"/incidents/{event}"
    mark = first.blanks.get("mark")
    return item_url(mark) if isinstance(mark, str) else "/defects"


def _history(desk: Desk, station: "Station") -> list[tuple[str, str, str]]:
    from steadycone.records.telling import local, says

    return [(local(event.happened_at), says(event.body), event.author) for event in desk.site.history(station=station.name, limit=_HISTORY)]


def _address(desk: Desk) -> str:
    return f"{desk.yard.settings.base}/stations/{desk.path['station']}"


# --- the card ------------------------------------------------------------------------


def _card(desk: Desk) -> Response:
    from steadycone.render.html_card import html_card

    view = card_of(desk).view
    page = html_card(view, sheet=asset(f"card-{view.paper.lower()}.css"), address=_address(desk), home=f"/stations/{desk.path['station']}")
    return Response(page.encode("utf-8", "replace"), media_type="text/html; charset=utf-8")


def _card_pdf(desk: Desk) -> Response:
    from steadycone.render.pdf_card import pdf_card

    view = card_of(desk).view
    return desk.file(pdf_card(view), f"card {desk.path['station']} {desk.today}.pdf", "application/pdf", show=True)


def _card_json(desk: Desk) -> Response:
    """The very bytes of `steadycone card FILE --json`, where the records hold nothing against the station."""
    from steadycone.render.json_card import card_bytes

    return Response(card_bytes(card_of(desk).told), media_type="application/json")


def _text(desk: Desk) -> Response:
    """The station's file as it is kept."""
    from steadycone.records.station_files import read_station

    files = read_station(desk.site, desk.station().name)
    return desk.file(files.papers["station"], files.file, "application/toml")


def _code(desk: Desk) -> Response:
    """The code alone, to be printed and fixed to the trolley."""
    station = desk.station()
    return desk.page(
        "code.html.j2", f"Code of {station.name}", station=station, slug=desk.path["station"],
        code=code_svg(_address(desk), f"QR code that opens {station.name}"), address=_address(desk),
    )  # fmt: skip


def _retire(desk: Desk) -> Response:
    from steadycone.records import events

    desk.record(events.StationRetired(station=desk.station().name, why=desk.field("why")))
    return desk.to("/", "retired")


PAGES = (
    get("/stations/{station}", _show),
    get("/stations/{station}/card", _card),
    get("/stations/{station}/card.pdf", _card_pdf),
    get("/stations/{station}/card.json", _card_json),
    get("/stations/{station}/file", _text),
    get("/stations/{station}/code", _code),
    post("/stations/{station}/retire", _retire, "station"),
)
