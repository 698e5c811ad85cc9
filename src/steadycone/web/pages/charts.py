"""Tip charts: those kept, what the check says of each, and filing one after the check was seen."""

import base64
import binascii
from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from steadycone.errors import InputError, Overtaken, UnknownName
from steadycone.files.chart import chart_from_bytes
from steadycone.files.text import CHART_LIMIT, refuse_size
from steadycone.records.cap import chart_cap
from steadycone.records.names import checked_file, key
from steadycone.web.answer import status_of
from steadycone.web.charts_view import ChartView, paper_url, view_of
from steadycone.web.desk import Desk
from steadycone.web.page import get, post

if TYPE_CHECKING:
    from steadycone.records.rows import Paper

_UPLOAD = CHART_LIMIT + 100_000  # bytes of a form with one chart in it
_SENT_BACK = CHART_LIMIT * 4 // 3 + 100_000  # the same, in letters, out of the page that shows the check
_HISTORY = 20


def _list(desk: Desk) -> Response:
    return _listed(desk)


def _listed(desk: Desk, problem: InputError | None = None) -> Response:
    charts = [(paper, paper_url("chart", paper.name), _in_short(desk, paper)) for paper in desk.site.papers("chart")]
    policies = [(paper, paper_url("policy", paper.name)) for paper in desk.site.papers("policy")]
    status = status_of(problem) if problem else 200
    return desk.page("charts.html.j2", "Charts", status=status, charts=charts, policies=policies, problem=problem)


def _in_short(desk: Desk, paper: "Paper") -> tuple[str, str, str]:
    """Verdict, title and what the check says, of a chart that is kept."""
    try:
        chart = chart_from_bytes(paper.name, desk.site.files.document(paper.hash))
    except InputError as error:
        return "stop", paper.name, f"It can't be read any more: {error.says}"
    from steadycone.files.chart_doubts import chart_doubts

    found = chart_doubts(chart, desk.region, chart_cap(desk.site, paper.name))
    size = f"{len(chart.rows)} row{'s' if len(chart.rows) != 1 else ''}"
    rows = len({finding.subject for finding in found})
    return (
        ("caution" if found else "go"),
        chart.title or paper.name,
        f"{size}, {rows} in doubt" if found else f"{size}, nothing contradicts itself",
    )


# --- one chart ----------------------------------------------------------------------


def _show(desk: Desk) -> Response:
    paper = kept(desk, "chart")
    data = desk.site.files.document(paper.hash)
    if desk.asked.get("as") == "file":
        return desk.file(data, paper.name.rpartition("/")[2], "application/octet-stream")
    return _shown(desk, paper, data)


def _shown(desk: Desk, paper: "Paper", data: bytes, problem: InputError | None = None) -> Response:
    view, unread = None, None
    try:
        view = view_of(chart_from_bytes(paper.name, data), desk.region, chart_cap(desk.site, paper.name))
    except InputError as error:
        unread = error
    return desk.page(
        "chart.html.j2", view.title if view else paper.name, status=status_of(problem) if problem else 200, paper=paper, view=view, unread=unread,
        problem=problem, url=paper_url("chart", paper.name), stations=stations_of(desk, paper), history=history(desk, paper),
        reference=desk.words.numbers.reference_state,
    )  # fmt: skip


def kept(desk: Desk, what: str) -> "Paper":
    """The chart or policy that the address names. Raises UnknownName."""
    paper = desk.site.paper(desk.path["name"])
    if paper.what != what:
        raise UnknownName(f'no {what} "{paper.name[:60]}" is kept', where=what, try_=f"It is the name of a {paper.what}.")
    return paper


def stations_of(desk: Desk, paper: "Paper") -> list[tuple[str, str]]:
    """Name and address of the stations that name it now; a retired one has no address."""
    slugs = {key(station.name): f"/stations/{slug}" for slug, station in desk.yard.stations(desk.site).items()}
    return [(name, slugs.get(key(name), "")) for name in paper.stations]


def history(desk: Desk, paper: "Paper") -> list[tuple[str, str, str]]:
    from steadycone.records.telling import local, says

    return [(local(event.happened_at), says(event.body), event.author) for event in desk.site.history(paper=paper.name, limit=_HISTORY)]


# --- a new one ------------------------------------------------------------------------


def _check(desk: Desk) -> Response:
    """What the check says, before anything is filed."""
    base = desk.field("base", "")
    try:
        upload = desk.upload()
        name = desk.field("name", "") or upload.name.replace("\\", "/").rpartition("/")[2]
        return _checked(desk, name, upload.data, base)
    except InputError as error:
        return _again(desk, base, error)


def _again(desk: Desk, base: str, error: InputError) -> Response:
    """The page that the upload came from, with why it was refused."""
    if base:
        try:
            paper = desk.site.paper(desk.field("name"))
        except UnknownName:
            return _listed(desk, error)
        return _shown(desk, paper, desk.site.files.document(paper.hash), error)
    return _listed(desk, error)


def _checked(desk: Desk, name: str, data: bytes, base: str, problem: InputError | None = None) -> Response:
    """Raises  InputError: it can't be read, or the name is none."""
    name = checked_file(name, "chart", folders=True)
    refuse_size(len(data), CHART_LIMIT, name, "chart")
    before = next((paper for paper in desk.site.papers() if key(paper.name) == key(name)), None)
    _check_ending(name, before)
    view = view_of(chart_from_bytes(name, data), desk.region, chart_cap(desk.site, name))
    if isinstance(problem, Overtaken):
        base = problem.now  # whoever files it all the same has been told what it replaces
    return desk.page(
        "chart-check.html.j2", "Before it is filed", status=status_of(problem) if problem else 200, name=name, view=view,
        base=base or (before.hash if before else ""), before=before, stations=stations_of(desk, before) if before else [], problem=problem,
        data=base64.b64encode(data).decode(), reference=desk.words.numbers.reference_state, size=len(data),
        now=paper_url("chart", name),
    )  # fmt: skip


def _check_ending(name: str, before: "Paper | None") -> None:
    """Raises  InputError: it would replace something of another kind."""
    if before is not None and before.what != "chart":
        raise InputError(f'"{before.name}" is the name of a {before.what}', where="name", try_="Give the chart another name.")


def _file(desk: Desk) -> Response:
    """File what was checked: read and checked once more, since it came from outside."""
    from steadycone.records.station_files import file_paper

    name, base, data = desk.field("name"), desk.field("base", ""), _sent_back(desk)
    name = checked_file(name, "chart", folders=True)
    refuse_size(len(data), CHART_LIMIT, name, "chart")
    view = view_of(chart_from_bytes(name, data), desk.region, chart_cap(desk.site, name))
    if view.doubts and desk.field("compared", "") != "yes":
        told = InputError(
            f"{len(view.doubts)} figures are in doubt",
            where="maker's paper",
            try_="Compare each with the maker's paper, then say so below.",
        )
        return _checked(desk, name, data, base, told)
    try:
        file_paper(desk.site, desk.person, desk.now, name, "chart", data, base, _why(desk, view))
    except InputError as error:
        return _checked(desk, name, data, base, error)
    return desk.to(paper_url("chart", name), "filed")


def _why(desk: Desk, view: ChartView) -> str:
    """What stands in the log beside it."""
    said = desk.field("why", "")
    if not view.doubts:
        return said
    lines = ", ".join(dict.fromkeys(doubt.line for doubt in view.doubts))
    return f"{said} Compared with the maker's paper: row {lines} in doubt.".strip()


def _sent_back(desk: Desk) -> bytes:
    """The chart out of the page that showed the check. Raises InputError."""
    text: Any = desk.form.get("data")
    try:
        return base64.b64decode(text if isinstance(text, str) else "", validate=True)
    except (binascii.Error, ValueError) as error:
        raise InputError("the chart came back damaged", where="chart", try_="Choose the file once more.") from error


PAGES = (
    get("/charts", _list),
    post("/charts", _check, "station", most=_UPLOAD),
    post("/charts/file", _file, "station", most=_SENT_BACK),
    get("/charts/{name:path}", _show),
)
