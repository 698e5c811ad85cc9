"""One item: what the register says of it, what happened to it, and what may be done with it."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from steadycone.records.gear_columns import RESULTS
from steadycone.records.gear_item import usual_place
from steadycone.records.gear_names import GASES
from steadycone.records.gear_told import by_paper
from steadycone.records.names import key
from steadycone.records.policy import covers
from steadycone.records.quarantine import never_back, reasons
from steadycone.web.desk import Desk
from steadycone.web.page import get
from steadycone.web.pages.filled import Filled, item_url, number_asked
from steadycone.web.pages.gear import labels, shown
from steadycone.web.pages.told import told

if TYPE_CHECKING:
    from steadycone.records.rows import Item

HISTORY = 50
_DATES = (("made", "made"), ("bought", "bought"), ("in_service", "in service"), ("tested", "tested"))
# Which of its own unit a test is written in: common practice, no source; the reader takes others and says so.
_EXAMPLES = {"creep": "0.1 bar", "flow": "16 m3/h", "reverse flow": "12 cm3/h", "tightness": "0 L/h", "proof": "40 bar", "lock-up": "22 %", "gauge error": "1.6 %", "cut-off": "95 °C"}  # fmt: skip
_WHY_DUE = {"test": "the next examination", "replace": "replacement", "unknown age": "its age is not known"}


@dataclass(frozen=True, slots=True)
class Test:
    """A test as the register keeps it: the last of its kind."""

    __test__ = False  # not one of pytest's

    name: str
    value: str
    passed: bool
    on: str


def _item(desk: Desk) -> Response:
    mark = desk.asked.get("mark", "")
    if desk.asked.get("as") == "labels":
        return labels(desk, [desk.site.item(mark)])
    return item_page(desk, mark)


def _by_path(desk: Desk) -> Response:
    """Where somebody wrote the mark into the address itself."""
    return desk.to(item_url(desk.path["mark"]))


def item_page(desk: Desk, mark: str, filled: Filled | None = None) -> Response:
    """Raises  UnknownName: no such item."""
    site = desk.site
    item = site.item(mark)
    before = number_asked(desk, "before", 0, 0, 1 << 53) if desk.method == "GET" else 0
    events = site.history(mark=item.mark, limit=HISTORY + 1, before=before or None)
    role = site.policy.rule(item.item).release_by
    (row,) = shown(desk, [item])
    return desk.page(
        "gear-item.html.j2",
        item.mark,
        row=row,
        item=item,
        why_due=_WHY_DUE.get(item.due_why, ""),
        dates=[(said, item.dates[name]) for name, said in _DATES if name in item.dates],
        by_paper=by_paper(item),
        tests=[Test(name, test["value"], test["result"] == "pass", test["on"]) for name, test in item.tests.items()],
        history=told(desk, events[:HISTORY]),
        older=events[HISTORY - 1].sequence if len(events) > HISTORY else 0,
        before=before,
        item_to=item_url(item.mark),
        defects=[defect for defect in site.defects() if key(defect.mark) == item.key],
        role=role,
        two_persons=site.policy.two_persons,
        never_back=never_back(item.item, item.reason) if item.state == "quarantined" else "",
        reasons=[(code, says) for code, says in reasons(item.item).items() if says],
        clearers=people_with(desk, role),
        filled=filled or Filled(),
        **choices(desk, item),
    )


def choices(desk: Desk, item: "Item | None" = None) -> dict[str, Any]:
    """What the fields of forms offer."""
    return {
        "stations": sorted({station.name for station in desk.yard.stations(desk.site).values()}, key=str.casefold),
        "place": usual_place(item.item, item.gas) if item else "",
        "date_names": _DATES,
        "test_names": [(name, _EXAMPLES[name]) for name in RESULTS],
        "gases": GASES,
    }


def people_with(desk: Desk, role: str) -> list[str]:
    """Everybody who holds a role today, or one that stands in for it."""
    return [person.name for person in desk.site.people() if covers(person.roles(desk.today), role)]


PAGES = (
    get("/gear/item", _item),
    get("/gear/{mark:path}", _by_path),
)
