"""The yard: every station, worst first; filters with counts, a search, and what is due."""

from collections import Counter
from datetime import timedelta
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.responses import Response

from steadycone.render.yard_gas import gas_bars_svg
from steadycone.web.board import Board, Placed, board
from steadycone.web.compress import kept_page
from steadycone.web.desk import Desk
from steadycone.web.page import Page, get
from steadycone.web.shell import part

if TYPE_CHECKING:
    from steadycone.records.store import Site

SORTS = {"worst": "Verdict", "name": "Station", "due": "Due"}
FIRST = 60  # rows that a page begins with: a phone takes a second for three hundred, and the worst come first
_ASIDE = 8  # lines of each list beside the table
_MOMENT = timedelta(seconds=2)


def _yard(desk: Desk) -> Response:
    found = board(desk.yard, desk.site, desk.size, desk.now)
    verdict, search, sort = desk.asked.get("verdict", ""), desk.asked.get("q", "")[:120], desk.asked.get("sort", "worst")
    fitting = _sorted(_shown(found, verdict, search), sort)
    if desk.asked.get("as") == "csv":
        return _csv(desk, fitting)
    whole = bool(desk.asked.get("all"))
    shown = fitting if whole else fitting[:FIRST]
    aside = _aside(desk, found)

    def page() -> Response:
        return desk.page(
            "yard.html.j2", "Stations", table=_table(desk, found, shown, (verdict, search, sort, whole)), total=len(found.rows), shown=len(shown),
            fitting=len(fitting),
            counts=Counter(placed.row.verdict for placed in found.rows), verdict=verdict, search=search, sort=sort, aside=aside,
        )  # fmt: skip

    rounds = tuple((draft.id, draft.updated_at) for draft in aside["rounds"])
    return kept_page(desk, (found.size, found.until, rounds), page)


def _shown(found: Board, verdict: str, search: str) -> list[Placed]:
    wanted = search.casefold().split()
    return [
        placed
        for placed in found.rows
        if (not verdict or placed.row.verdict == verdict)
        and all(word in f"{placed.row.name} {placed.row.job} {placed.row.do} {placed.row.detail}".casefold() for word in wanted)
    ]


def _sorted(rows: list[Placed], sort: str) -> list[Placed]:
    keys = {"name": lambda placed: placed.row.name.casefold(), "due": lambda placed: (placed.row.due.sort, placed.row.name.casefold())}
    return sorted(rows, key=keys[sort]) if sort in keys else rows


def _table(desk: Desk, found: Board, shown: list[Placed], asked: tuple[str, str, str, bool]) -> str:
    """The rows as markup: the same for everybody who asks alike, so it is made once while the board holds."""
    key = (found.size, found.until, *asked)
    with desk.yard.lock:
        tables: dict[object, str] = desk.yard.kept.setdefault("yard tables", {})
        if key not in tables:
            if len(tables) > 50 or any(other[:2] != key[:2] for other in tables):  # type: ignore[index]
                tables.clear()
            drawn = [(placed, gas_bars_svg(placed.row.gas, f"gas-{number}")) for number, placed in enumerate(shown)]
            tables[key] = part(
                "yard_rows.html.j2", rows=drawn, sort=asked[2], sorts=SORTS, query=urlencode({"verdict": asked[0], "q": asked[1]})
            )
        return tables[key]


def _csv(desk: Desk, shown: list[Placed]) -> Response:
    from steadycone.render.sheets import csv_bytes

    rows = [
        (p.row.name, p.row.verdict, p.row.job, p.row.do, p.row.detail, *_gas(p), p.row.due.text, p.row.signed_text) for p in shown
    ]  # fmt: skip
    data = csv_bytes(("station", "verdict", "job", "do first", "because", "oxygen left", "fuel left", "due", "signed"), rows)
    return desk.file(data, f"stations {desk.today.isoformat()}.csv", "text/csv; charset=utf-8")


def _gas(placed: Placed) -> tuple[str, str]:
    left = {gas.side: gas.text for gas in placed.row.gas}
    return left.get("ox", ""), left.get("fu", "")


def _aside(desk: Desk, found: Board) -> dict[str, Any]:
    """What is due within two weeks and what is in quarantine, kept as long as the board; and rounds that are not finished, kept a moment."""
    with desk.yard.lock:
        key, kept = (found.size, found.on), desk.yard.kept.get("yard aside")
        if kept is None or kept[0] != key:
            kept = desk.yard.kept["yard aside"] = (key, _lists(desk.site, desk))
        rounds = desk.yard.kept.get("yard rounds")
        if rounds is None or not timedelta() <= desk.now - rounds[0] < _MOMENT:
            rounds = desk.yard.kept["yard rounds"] = (desk.now, desk.site.drafts.open_ones()[:_ASIDE])
    return {**kept[1], "rounds": rounds[1]}


def _lists(site: "Site", desk: Desk) -> dict[str, object]:
    due = site.due(desk.today, days=14, limit=200)
    held = site.items(state="quarantined", limit=200)
    return {"due": due[:_ASIDE], "due_count": len(due), "held": held[:_ASIDE], "held_count": len(held)}


def _lost(desk: Desk) -> Response:
    return desk.page("lost.html.j2", "Nothing is here", status=404)


PAGES = (get("/", _yard),)
NOT_FOUND = Page("", _lost, "open")
