"""Adding and editing a station: a form whose every button shows it again, worked out, until it is saved."""

from dataclasses import replace
from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.errors import InputError, Overtaken, Refused, UnknownName
from steadycone.files.edit_new import new_station
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.pages.edit_draft import MOST_FORM, Draft, begun, done, filed_text, op_asked, section_of, sent
from steadycone.web.pages.edit_live import worked
from steadycone.web.pages.edit_merge import lay_over
from steadycone.web.pages.edit_show import differs, form_page, start_page
from steadycone.web.pages.filled import back
from steadycone.web.yard import slug_of

if TYPE_CHECKING:
    from steadycone.records.rows import Station


def _open(desk: Desk) -> Response:
    """A station's file as it is kept, in the form."""
    station = desk.station()
    if not station.text:
        raise UnknownName(f'no file of "{station.name}" is kept', where="station", try_="Add it as a new station under this name.")
    text = filed_text(desk.site, station.text)
    return form_page(desk, begun(text, station.text, station.file, as_text=desk.asked.get("as") == "text"), station)


def _edit(desk: Desk) -> Response:
    station = desk.station()
    draft = sent(desk)
    if not draft.base:
        raise InputError("it is missing", where="base", try_="Open the station and edit it again.")
    if desk.field("op", "") == "lay":
        return _lay(desk, draft, station)
    return _acted(desk, draft, station)


def _acted(desk: Desk, draft: Draft, station: "Station | None") -> Response:
    """What the button asks, and the form again; or what was saved."""
    asked, op = desk.field("op", "work"), op_asked(desk)
    opened: tuple[str, ...] = ()
    if op is not None:
        draft, opened = done(draft, op), (section_of(op),)
    if asked == "save":
        return _save(desk, draft, station)
    if asked == "text":
        draft = replace(draft, as_text=True)
    if asked == "form":
        draft = replace(draft, as_text=draft.error is not None)
    return form_page(desk, draft, station, opened=opened, status=_status(draft.error) if draft.error else 200)


def _status(error: InputError) -> int:
    """Of a form that comes back. A name in the file that nothing has is no page that is not there."""
    return 409 if isinstance(error, Refused) else 400


# --- saving --------------------------------------------------------------------------


def _save(desk: Desk, draft: Draft, station: "Station | None") -> Response:
    """Filed, if the file reads and gives a card: what the yard's pages could not show is not saved."""
    from steadycone.records.names import key
    from steadycone.records.station_files import file_station

    found = worked(desk, draft.text, draft.values, known=draft.error)
    if found.error is not None:
        return form_page(desk, draft, station, refused=found.error, status=_status(found.error))
    name = draft.values.get("station.name", "")
    try:
        if station is None:
            _check_address(name)
        file_station(
            desk.site, desk.person, desk.now, draft.file, draft.text, draft.base, draft.why,
            editing=station.name if station else "", id=draft.id,
        )  # fmt: skip
    except Overtaken as error:
        if station is not None:
            return differs(desk, draft, station, error)
        return form_page(desk, draft, None, refused=_taken(error), status=409)
    except InputError as error:
        return form_page(desk, draft, station, refused=error, status=_status(error))
    slugs = {key(each.name): slug for slug, each in desk.yard.stations(desk.site).items()}
    return desk.to(f"/stations/{slugs.get(key(station.name if station else name), '')}", "filed")


def _taken(error: Overtaken) -> InputError:
    return InputError(
        f"a station of this name is kept: {error.by} filed it on {error.when[:10]}",
        where="station, name", try_="Open that station and edit it, or give this one another name.",
    )  # fmt: skip


def _check_address(name: str) -> None:
    """Raises  InputError: the name is a page of ours."""
    if slug_of(name) == "new":
        raise InputError("this page has the same address", where="station, name", try_="Add what the station is for to its name.")


def _lay(desk: Desk, draft: Draft, station: "Station") -> Response:
    """My changes laid over what stands there now, to be looked at before it is saved."""
    theirs = filed_text(desk.site, station.text)
    try:
        laid = lay_over(filed_text(desk.site, draft.base), draft.text, theirs)
    except InputError as error:
        return form_page(desk, draft, station, refused=error, status=_status(error))
    again = replace(begun(laid.text, station.text, station.file), why=draft.why)
    return form_page(desk, again, station, laid=laid.steps)


# --- a new one -----------------------------------------------------------------------


def _start(desk: Desk) -> Response:
    return start_page(desk, {})


def _new(desk: Desk) -> Response:
    if desk.field("op", "") != "begin":
        draft = sent(desk)
        return _acted(desk, replace(draft, base="", file=_file_name(draft.file)), None)
    name, fuel, attachment = (desk.field(each, "") for each in ("name", "fuel", "attachment"))
    try:
        if not name:
            raise InputError("no name", where="name", try_="Write the station's name.")
        _check_address(name)
        text = new_station(desk.region, fuel, attachment, name)
        file = _file_name(desk.field("file", "") or slug_of(name))
    except InputError as error:
        filled = back(desk, "start", error)
        return start_page(desk, filled.fields, error)
    return form_page(desk, begun(text, "", file), None, opened=("station",))


def _file_name(given: str) -> str:
    """A name for the file, with its ending. Raises InputError: none that a file can have."""
    from steadycone.records.names import checked_file

    plain = given.strip()
    return checked_file(plain if plain.endswith(".toml") else f"{plain}.toml", "file")


PAGES = (
    get("/stations/new", _start, "station"),
    post("/stations/new", _new, "station", most=MOST_FORM),
    get("/stations/{station}/edit", _open, "station"),
    post("/stations/{station}/edit", _edit, "station", most=MOST_FORM),
)
