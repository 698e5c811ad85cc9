"""The register: what there is, what of it is asked for, as a page, as a sheet, and as labels."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from steadycone.records.fitness import Fitness, fitness
from steadycone.records.gear_names import KINDS
from steadycone.records.gear_told import HEADINGS, counts_from_paper, item_row
from steadycone.records.names import key
from steadycone.render.labels import MOST, PAPERS, kind_words
from steadycone.render.view import hose_colours
from steadycone.render.words import VERDICTS, capital
from steadycone.web.desk import Desk
from steadycone.web.page import get
from steadycone.web.pages.filled import address, asked_of, item_url, number_asked

if TYPE_CHECKING:
    from steadycone.practice.finding import Verdict
    from steadycone.records.rows import Item

PAGE = 100
STATES = ("in service", "out of date", "held", "quarantined", "retired")
_ASKED = ("q", "kind", "state", "station", "days", "sort")
_WORST = {"stop": 0, "caution": 1, "go": 2}
_NOT_USED = "retired"


@dataclass(frozen=True, slots=True)
class Shown:
    """One line of the table. `what` is in the region's words."""

    item: "Item"
    now: Fitness
    what: str
    hoses: str  # class names that pick the gases' colours

    @property
    def verdict(self) -> "Verdict":
        return self.now.verdict

    @property
    def word(self) -> str:
        return VERDICTS[self.verdict]

    @property
    def says(self) -> str:
        """The worst, in a few words."""
        return self.now.says

    @property
    def side(self) -> str:
        """Whose nut stands before the gas; empty where it is of neither."""
        return "" if not self.item.gas else "ox" if self.item.gas == "oxygen" else "fu"

    @property
    def to(self) -> str:
        return item_url(self.item.mark)

    @property
    def by_paper(self) -> bool:
        return counts_from_paper(self.item)

    @property
    def due(self) -> str:
        if self.now.until:
            return self.now.until
        return "not known" if self.now.has("age-unknown") else "no set date" if self.now.word == "in service" else ""


def shown(desk: Desk, items: "Iterable[Item]") -> list[Shown]:
    """Lines of these items as they are today."""
    kinds: dict[str, str] = {kind: capital(kind_words(kind, "", desk.region)) for kind in KINDS}
    return [Shown(item, fitness(item, desk.today), kinds.get(item.item, item.item), _hoses(desk.region, item.gas)) for item in items]


def _hoses(region: str, gas: str) -> str:
    return hose_colours(region, gas if gas not in ("", "oxygen") else "acetylene")


def register(desk: Desk) -> list[Shown]:
    """Everything in the register on this day; worked out again when the log grew or the day changed."""
    site, wanted = desk.site, (desk.site.size, desk.today)
    found = desk.yard.kept.get("gear")
    if found is None or found[0] != wanted:
        with desk.yard.lock:
            found = desk.yard.kept.get("gear")
            if found is None or found[0] != wanted:
                found = (wanted, shown(desk, site.items()))
                desk.yard.kept["gear"] = found
    rows: list[Shown] = found[1]
    return rows


# --- what is asked for -----------------------------------------------------------------


def chosen(rows: list[Shown], asked: dict[str, str], days: int | None) -> list[Shown]:
    """The part of the register that was asked for. Retired gear shows only where it is asked for."""
    part, station = asked["q"].casefold(), key(asked["station"])

    def fits(row: Shown) -> bool:
        item = row.item
        if asked["state"]:
            if row.now.word != asked["state"]:
                return False
        elif row.now.word == _NOT_USED:
            return False
        if asked["kind"] and item.item != asked["kind"]:
            return False
        if station and key(item.station) != station:
            return False
        if days is not None and (item.state != "in service" or not _due_within(row, days)):
            return False
        return not part or any(part in text.casefold() for text in (item.mark, item.type, item.note, item.place))

    return [row for row in rows if fits(row)]


def _due_within(row: Shown, days: int) -> bool:
    """Unknown age is out of date already."""
    return row.now.has("age-unknown", "date-missing", "late", "overdue") or (row.now.days is not None and row.now.days <= days)


_SORTS: dict[str, Any] = {
    "state": lambda row: (_WORST[row.verdict], row.item.due_day, row.item.key),
    "mark": lambda row: row.item.key,
    "what": lambda row: (row.what.casefold(), row.item.type.casefold(), row.item.key),
    "gas": lambda row: (row.item.gas, row.item.key),
    "where": lambda row: (not row.item.station, row.item.station.casefold(), row.item.place, row.item.key),
    "due": lambda row: (row.item.due_day, row.item.key),
}
COLUMNS = (("state", "State"), ("mark", "Mark"), ("what", "What"), ("gas", "Gas"), ("where", "Fitted at"), ("due", "Due"))


def in_order(rows: list[Shown], sort: str) -> list[Shown]:
    """`sort` is a column; with a minus before it the other way round. Worst first where it is none."""
    back = sort.startswith("-")
    return sorted(rows, key=_SORTS.get(sort.removeprefix("-"), _SORTS["state"]), reverse=back)


# --- the pages -------------------------------------------------------------------------


def _list(desk: Desk) -> Response:
    asked = asked_of(desk, _ASKED)
    days = number_asked(desk, "days", -1, 0, 36500)
    rows = in_order(chosen(register(desk), asked, None if days < 0 else days), asked["sort"])
    return _as(desk, rows) or _page(desk, rows, asked, "/gear", "Gear", "gear.html.j2")


def _due(desk: Desk) -> Response:
    """What is out of date, and what will be soon; worst first, unknown age before all. As `gear due` has it."""
    days = number_asked(desk, "days", 30, 0, 36500)
    rows = shown(desk, [entry.item for entry in desk.site.due(desk.today, days=days)])
    asked = asked_of(desk, ("days",))
    return _as(desk, rows) or _page(desk, rows, asked, "/gear/due", "Due", "gear-due.html.j2", days=days)


def _page(desk: Desk, rows: list[Shown], asked: dict[str, str], path: str, title: str, template: str, **more: Any) -> Response:
    pages = max(1, -(-len(rows) // PAGE))
    number = min(number_asked(desk, "page", 1, 1, 1_000_000), pages)
    counts = {verdict: sum(row.verdict == verdict for row in rows) for verdict in ("stop", "caution", "go")}
    stations = sorted({station.name for station in desk.yard.stations(desk.site).values()}, key=str.casefold)
    return desk.page(
        template,
        title,
        rows=rows[(number - 1) * PAGE : number * PAGE],
        all=len(rows),
        first=(number - 1) * PAGE + 1,
        number=number,
        pages=pages,
        counts=counts,
        asked=asked,
        kinds=[(kind, capital(kind_words(kind, "", desk.region))) for kind in KINDS],
        states=STATES,
        stations=stations,
        columns=COLUMNS,
        papers=list(PAPERS),
        most=MOST,
        at=lambda **other: address(path, asked, **other),
        **more,
    )


def _as(desk: Desk, rows: list[Shown]) -> Response | None:
    """What is shown, as a sheet or as labels; None where a page is asked for."""
    wanted = desk.asked.get("as", "")
    if wanted == "csv":
        from steadycone.render.sheets import csv_bytes

        data = csv_bytes(HEADINGS, [item_row(row.item, desk.today) for row in rows])
        return desk.file(data, f"gear-{desk.today.isoformat()}.csv", "text/csv; charset=utf-8")
    if wanted == "labels":
        return labels(desk, [row.item for row in rows])
    return None


def labels(desk: Desk, items: "list[Item]") -> Response:
    """Labels as PDF, of all but what is retired.

    Raises  InputError: none, or more than a file takes. UnknownName: no such paper.
    """
    from steadycone.records.gear_label import label_of
    from steadycone.render.labels import pdf_labels

    paper = desk.asked.get("paper") or ("Letter" if desk.region in ("us", "ca") else "A4")
    made = [label_of(item, desk.today) for item in items if item.state != _NOT_USED]
    return desk.file(pdf_labels(made, desk.region, paper), f"labels-{desk.today.isoformat()}.pdf", "application/pdf")


PAGES = (
    get("/gear", _list),
    get("/gear/due", _due),
)
