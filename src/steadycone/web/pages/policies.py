"""A site's policies: each as its text, read and checked before it is filed."""

from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.errors import InputError
from steadycone.files.policy import FORMAT, policy_from_text
from steadycone.files.text import TOML_LIMIT, decode
from steadycone.web.answer import status_of
from steadycone.web.charts_view import paper_url
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.pages.charts import history, kept, stations_of

if TYPE_CHECKING:
    from steadycone.records.rows import Paper

LONGEST = 20_000  # characters of one field; a policy with every choice has 2,000


def _new(desk: Desk) -> Response:
    return _form(desk, None, f'format = "{FORMAT}"\n', "")


def _show(desk: Desk) -> Response:
    paper = kept(desk, "policy")
    data = desk.site.files.document(paper.hash)
    if desk.asked.get("as") == "file":
        return desk.file(data, paper.name.rpartition("/")[2], "application/toml")
    return _form(desk, paper, decode(data, paper.name, "policy"), paper.hash)


def _form(desk: Desk, paper: "Paper | None", text: str, base: str, problem: InputError | None = None, name: str = "") -> Response:
    unread = None
    if paper is not None and problem is None:
        try:
            policy_from_text(text, desk.region, paper.name)
        except InputError as error:
            unread = error
    return desk.page(
        "policy.html.j2", paper.name if paper else "A new policy", status=status_of(problem) if problem else 200, paper=paper, text=text, base=base,
        name=paper.name if paper else name, problem=problem, unread=unread, stations=stations_of(desk, paper) if paper else [],
        history=history(desk, paper) if paper else [], url=paper_url("policy", paper.name) if paper else "", most=min(LONGEST, TOML_LIMIT),
    )  # fmt: skip


def _file(desk: Desk) -> Response:
    from steadycone.errors import UnknownName
    from steadycone.records.station_files import file_paper

    name, base, text = desk.field("name"), desk.field("base", ""), desk.text("text").replace("\r\n", "\n")
    try:
        file_paper(desk.site, desk.person, desk.now, name, "policy", text.encode("utf-8", "replace"), base, desk.field("why", ""))
    except InputError as error:
        try:
            paper = desk.site.paper(name) if base else None
        except UnknownName:
            paper = None
        return _form(desk, paper, text, base, error, name)
    return desk.to(paper_url("policy", name), "filed")


PAGES = (
    get("/policies/new", _new, "station"),
    post("/policies/file", _file, "station"),
    get("/policies/{name:path}", _show),
)
