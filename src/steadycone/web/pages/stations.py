"""One station: what to set, the gas train, what is judged, what it is made up of, its history; its card as a page, a PDF and JSON."""

from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.errors import InputError
from steadycone.render.qr import code_svg
from steadycone.render.train import train_svg
from steadycone.render.yard import row_of, row_without_card
from steadycone.web.board import Made, facts_of, made
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.shell import asset

if TYPE_CHECKING:
    from steadycone.records.rows import Defect, IncidentRow, Item, Station

_HISTORY = 12  # lines; all of it is a page of the log


def card_of(desk: Desk) -> Made:
    """The station's card of today.

    Raises  UnknownName: no such station. InputError: its file can't be read as one.
    """
    from steadycone.records.station_files import read_station

    return made(desk.yard, read_station(desk.site, desk.station().name), desk.today)


def _show(desk: Desk) -> Response:
    station, problem, found = desk.station(), None, None
    try:
        found = card_of(desk) if station.text else None
    except InputError as error:
        problem = error
    items, defects, incidents = _state(desk, station)
    facts = facts_of(station, [item for _, item in items], defects, incidents)
    if found is not None:
        row = row_of(found.card, facts, desk.now)
    else:
        row = row_without_card(station.name, desk.region, "acetylene", problem.says if problem else "no file is kept", facts, desk.now)
    view = found.view if found else None
    return desk.page(
        "station.html.j2", station.name, station=station, slug=desk.path["station"], row=row, view=view, problem=problem,
        train=train_svg(view.train) if view else "", items=items, defects=defects, incidents=incidents, history=_history(desk, station),
        code=code_svg(_address(desk), f"QR code that opens {station.name}"), retire=desk.may("station"),
    )  # fmt: skip


def _state(desk: Desk, station: "Station") -> "tuple[list[tuple[str, Item]], list[Defect], list[IncidentRow]]":
    """What the record holds against it, or for it."""
    from steadycone.records.names import key

    items = [(place, desk.site.item(mark)) for place, mark in sorted(station.makeup.items())]
    marks = {item.key for _, item in items}
    defects = [d for d in desk.site.defects() if key(d.station) == station.key or (d.mark and key(d.mark) in marks)]
    held = {key(id_) for id_ in station.incidents}
    return items, defects, [incident for incident in desk.site.incidents() if incident.key in held] if held else []


def _history(desk: Desk, station: "Station") -> list[tuple[str, str, str]]:
    from steadycone.records.telling import local, says

    return [(local(event.happened_at), says(event.body), event.author) for event in desk.site.history(station=station.name, limit=_HISTORY)]


def _address(desk: Desk) -> str:
    return f"{desk.yard.settings.base}/stations/{desk.path['station']}"


# --- the card ------------------------------------------------------------------------


def _card(desk: Desk) -> Response:
    from steadycone.render.html_card import html_card

    view = card_of(desk).view
    page = html_card(view, sheet=asset(f"card-{view.paper.lower()}.css"), address=_address(desk))
    return Response(page.encode("utf-8", "replace"), media_type="text/html; charset=utf-8")


def _card_pdf(desk: Desk) -> Response:
    from steadycone.render.pdf_card import pdf_card

    view = card_of(desk).view
    return desk.file(pdf_card(view), f"card {desk.path['station']} {desk.today}.pdf", "application/pdf", show=True)


def _card_json(desk: Desk) -> Response:
    """The very bytes of `steadycone card FILE --json`."""
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
