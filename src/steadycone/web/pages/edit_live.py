"""A draft of a station worked out with this yard's charts and policies, for the page and for its script."""

import threading
import time
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from steadycone.errors import InputError, UnknownName
from steadycone.web.desk import Desk
from steadycone.web.page import post
from steadycone.web.pages.edit_draft import MOST_FORM, MOST_TEXT
from steadycone.web.pages.edit_pool import elsewhere
from steadycone.web.pages.edit_work import Ask, Worked, plain, table_of, told, work
from steadycone.web.yard import Yard

if TYPE_CHECKING:
    from steadycone.records.held import Held
    from steadycone.records.rows import Paper
    from steadycone.records.store import Site

_FREE = threading.Lock()  # one draft at a time: two at once would each take as long as both, and the first would wait for the second
_NAMES = {"chart": ("tip", "chart"), "policy": ("station", "policy")}


def worked(desk: Desk, text: str, values: Mapping[str, str], *, known: InputError | None = None, brief: bool = False) -> Worked:
    """A draft worked out; see Ask."""
    return work(ask_of(desk, text, values, known=known, brief=brief))


def ask_of(desk: Desk, text: str, values: Mapping[str, str], *, known: InputError | None = None, brief: bool = False) -> Ask:
    """A draft with the papers it names, as they are filed now."""
    from steadycone.records.names import key

    yard, site = desk.yard, desk.site
    papers = papers_now(yard, site)
    found = {}
    for what, name in _named(text, values).items():
        paper = papers.get(key(name))
        if paper is not None and paper.what == what:
            found[what, name] = site.files.document(paper.hash)
    return Ask(text, values, found, kept_names(yard, site), desk.region, desk.today, known, brief, _held(desk, text, values))


def _held(desk: Desk, text: str, values: Mapping[str, str]) -> "Held | None":
    """What the records have of the station that a draft names."""
    from steadycone.records.held import held

    name: object = values.get("station.name")
    if name is None:
        try:
            owner = table_of(text).get("station")
        except InputError:  # told with the draft's other errors
            return None
        name = owner.get("name") if isinstance(owner, dict) else None
    try:
        return held(desk.site, name) if isinstance(name, str) and name.strip() else None
    except UnknownName:
        return None  # a new one: nothing is recorded of it


def _named(text: str, values: Mapping[str, str]) -> dict[str, str]:
    """The chart and the policy that a draft names."""
    found = {}
    for what, (table, name) in _NAMES.items():
        given: object = values.get(f"{table}.{name}")
        if given is None:
            try:
                owner = table_of(text).get(table)
            except InputError:
                return {}
            given = owner.get(name) if isinstance(owner, dict) else None
        if isinstance(given, str) and given.strip():
            found[what] = plain(given.strip())
    return found


def papers_now(yard: Yard, site: "Site") -> "dict[str, Paper]":
    """Charts and policies by their name's key, as filed now; asked for again when the log grew."""
    from steadycone.records.names import key

    size = site.size
    with yard.lock:
        kept = yard.kept.get("edit papers")
    if kept is None or kept[0] != size:
        kept = (size, {key(paper.name): paper for paper in site.papers()})
        with yard.lock:
            yard.kept["edit papers"] = kept
    found: dict[str, Paper] = kept[1]
    return found


def kept_names(yard: Yard, site: "Site") -> dict[str, tuple[str, ...]]:
    """Names of the charts and policies there are, by what they are."""
    papers = papers_now(yard, site).values()
    return {what: tuple(sorted(paper.name for paper in papers if paper.what == what)) for what in _NAMES}


# --- the answer to a script ----------------------------------------------------------


def _live(desk: Desk) -> Response:
    """JSON: text, values by path; all, for the list of what is in order too. Back: what told() tells."""
    start = time.perf_counter()
    text, values = _asked(desk.json)
    ask = ask_of(desk, text, values, brief=not desk.json.get("all"))
    found = elsewhere(desk.yard, ask)
    if found is None:
        with _FREE:
            found = told(ask)
    return desk.told(found | {"took_ms": round(1000 * (time.perf_counter() - start), 2)})


def _asked(given: Any) -> tuple[str, dict[str, str]]:
    """Raises  InputError: not what the script sends."""
    if not isinstance(given, dict):
        raise InputError("no table of text and values", where="json", try_="Load the page again.")
    text, values = given.get("text"), given.get("values", {})
    if not isinstance(text, str) or len(text) > MOST_TEXT:
        raise InputError(f"no text of {MOST_TEXT:,} characters at most", where="text", try_="Load the page again.")
    if not isinstance(values, dict) or not all(isinstance(value, str) for value in values.values()):
        raise InputError("no table of text", where="values", try_="Load the page again.")
    return text, values


PAGES = (post("/stations/live.json", _live, "station", most=MOST_FORM, takes="json"),)
