"""What is wrong in the yard: incidents that hold stations, open defects, and gear in quarantine."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from steadycone.records import New, events
from steadycone.records.telling import local
from steadycone.render.words import VERDICTS
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.pages.filled import Filled, item_url, recorded
from steadycone.web.pages.gear import Shown, shown

if TYPE_CHECKING:
    from steadycone.records.rows import Defect

HERE = "/defects"


@dataclass(frozen=True, slots=True)
class Open:
    """One open defect. `item`: of whose it is, where it is of gear; it may be in quarantine already."""

    defect: "Defect"
    word: str
    when: str
    item: Shown | None

    @property
    def may_quarantine(self) -> bool:
        return self.item is not None and self.item.item.state == "in service"


def _defects(desk: Desk) -> Response:
    return _page(desk, Filled())


def _page(desk: Desk, filled: Filled) -> Response:
    site = desk.site
    found = [_open(desk, defect) for defect in site.defects()]
    found.sort(key=lambda each: (each.defect.severity != "stop", each.defect.first))
    quarantined = shown(desk, site.items(state="quarantined"))
    incidents = [(row, local(row.happened_at)) for row in site.incidents()]
    stops = len(incidents) + sum(each.defect.severity == "stop" for each in found) + len(quarantined)
    return desk.page(
        "defects.html.j2",
        "Defects",
        defects=found,
        quarantined=quarantined,
        incidents=incidents,
        stops=stops,
        cautions=len(found) - sum(each.defect.severity == "stop" for each in found),
        stations=sorted({station.name for station in desk.yard.stations(site).values()}, key=str.casefold),
        filled=filled,
        about_station=desk.asked.get("station", ""),
        about_mark=desk.asked.get("mark", ""),
        item_url=item_url,
    )


def _open(desk: Desk, defect: "Defect") -> Open:
    item = shown(desk, [desk.site.item(defect.mark)])[0] if defect.mark else None
    return Open(defect, VERDICTS["stop" if defect.severity == "stop" else "caution"], local(defect.found_at), item)


def _report(desk: Desk) -> Response:
    """Of an item or of a station. An item may go into quarantine with it, in one piece."""

    def do() -> str:
        severity: Any = "stop" if desk.field("severity", "") != "caution" else "caution"  # what is not told to be less, stops
        mark, station = desk.field("mark", ""), desk.field("station", "")
        found = New(events.DefectFound(says=desk.field("says"), severity=severity, mark=mark, station=station), desk.person, desk.now)
        more = []
        if mark and desk.field("quarantine", ""):
            more.append(New(events.Quarantined(mark=mark, reason=desk.field("says"), defect=found.id), desk.person, desk.now))
        desk.site.append(found, *more)
        return HERE

    return recorded(desk, "report", do, lambda filled: _page(desk, filled))


def _close(desk: Desk) -> Response:
    defect = desk.field("defect")

    def do() -> str:
        desk.record(events.DefectClosed(defect=defect, how=desk.field("how")))
        return HERE

    return recorded(desk, f"close-{defect}", do, lambda filled: _page(desk, filled), "closed")


def _quarantine(desk: Desk) -> Response:
    mark, defect = desk.field("mark"), desk.field("defect", "")

    def do() -> str:
        desk.record(events.Quarantined(mark=mark, reason=desk.field("reason"), defect=defect))
        return HERE

    return recorded(desk, f"hold-{defect}" if defect else "quarantine", do, lambda filled: _page(desk, filled))


PAGES = (
    get(HERE, _defects),
    post(HERE, _report, "round"),
    post("/defects/close", _close, "release"),
    post("/defects/quarantine", _quarantine, "round"),
)
