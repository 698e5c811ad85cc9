"""A gear list from a sheet: looked at row by row, shown, and only then written. Long ones go on by themselves."""

from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from steadycone.errors import InputError
from steadycone.records.gear_batch import Batch, changed_text, known_items, report_csv
from steadycone.records.gear_list import read_gear_list
from steadycone.web.desk import Desk
from steadycone.web.guard.body import UPLOAD
from steadycone.web.page import get, post
from steadycone.web.pages import running
from steadycone.web.pages.filled import number_asked, status_in_form

if TYPE_CHECKING:
    from steadycone.records.gear_list import GearList, Outcome
    from steadycone.records.store import Site

KIND = "import"
PAGE = 100  # bad rows on a page
SHOWN = 50  # rows that go in, on a page; the report has them all
OUTCOMES: "tuple[Outcome, ...]" = ("add", "change", "same", "bad")


def _ask(desk: Desk) -> Response:
    return _asking(desk, None)


def _asking(desk: Desk, error: InputError | None) -> Response:
    status = status_in_form(error) if error else 200
    return desk.page("gear-import.html.j2", "Import a gear list", status=status, error=error, most=UPLOAD // 1_000_000)


def _upload(desk: Desk) -> Response:
    try:
        upload = desk.upload()
        site, who, when = desk.site, desk.person, desk.now
        work = running.start(desk, KIND, lambda found: _looked_at(found, site, upload.name, upload.data, who, when))
    except InputError as error:
        return _asking(desk, error)
    return desk.to(f"/gear/import/{work.id}")


def _looked_at(work: running.Running, site: "Site", name: str, data: bytes, who: str, when: Any) -> "GearList":
    """The list judged row by row, then tried against the log's rules; nothing is written."""
    from steadycone.files.gear_sheet import gear_table

    work.telling("Reading the file")
    table = gear_table(name, data)
    work.kept |= {"name": name, "table": table}
    read = read_gear_list(table, name, known_items(site), when.date(), work.telling("Rows looked at"))
    return _batch(work, site, read, who, when).previewed(work.telling("Rows tried against the rules"))


def _batch(work: running.Running, site: "Site", read: "GearList", who: str, when: Any) -> Batch:
    return Batch(site, read, f"gear list {work.kept['name']}"[:200], who, when)


def _written(work: running.Running, site: "Site", who: str, when: Any, whole: bool) -> "GearList":
    """The same list, judged against the register as it is now: somebody may have changed it since it was shown."""
    read = read_gear_list(work.kept["table"], work.kept["name"], known_items(site), when.date(), work.telling("Rows looked at"))
    batch = _batch(work, site, read, who, when)
    if whole:
        told = work.telling("Rows tried against the rules")

        def then(done: int, of: int) -> None:
            told(done, of)
            if done == of:
                work.telling("Writing all rows in one piece")

        found, work.kept["written"] = batch.whole(then)
    else:
        found, work.kept["written"] = batch.each(work.telling("Rows written")), True
    return found


def _see(desk: Desk) -> Response:
    work = running.find(desk, KIND)
    here = f"/gear/import/{work.id}"
    if work.going:
        return desk.page("gear-import-going.html.j2", "Import a gear list", work=work, here=here, writing="asked" in work.kept)
    if work.error is not None:
        partly = "asked" in work.kept and not work.kept["whole"]
        status = status_in_form(work.error) if isinstance(work.error, InputError) else 503
        return desk.page("gear-import-failed.html.j2", "The list can’t be used", status=status, work=work, partly=partly)
    return _result(desk, work, here)


def _result(desk: Desk, work: running.Running, here: str) -> Response:
    read: GearList = work.result
    bad = read.of("bad")
    pages = max(1, -(-len(bad) // PAGE))
    number = min(number_asked(desk, "page", 1, 1, 1_000_000), pages)
    return desk.page(
        "gear-import-list.html.j2",
        "Import a gear list",
        here=here,
        name=work.kept["name"],
        asked="asked" in work.kept,
        whole=work.kept.get("whole", False),
        written=work.kept.get("written", False),
        counts={outcome: read.count(outcome) for outcome in OUTCOMES},
        not_taken=read.not_taken,
        bad=bad[(number - 1) * PAGE : number * PAGE],
        changed=[(row, changed_text(row)) for row in read.of("change")[:SHOWN]],
        new=read.of("add")[:SHOWN],
        shown=SHOWN,
        number=number,
        pages=pages,
        at=lambda page: f"{here}?page={page}",
    )


def _write(desk: Desk) -> Response:
    """Once: whoever presses twice sees the one that goes on."""
    work = running.find(desk, KIND)
    here = f"/gear/import/{work.id}"
    with desk.yard.lock:
        if "asked" in work.kept or work.going or work.error is not None:
            return desk.to(here)
        work.kept |= {"asked": True, "whole": bool(desk.field("whole", ""))}
    site, who, when, whole = desk.site, desk.person, desk.now, work.kept["whole"]
    try:
        running.again(desk, work, lambda found: _written(found, site, who, when, whole))
    except InputError:
        del work.kept["asked"]  # nothing was begun: it may be asked for again
        raise
    return desk.to(here)


def _progress(desk: Desk) -> Response:
    return desk.told(running.progress(desk, running.find(desk, KIND)))


def _report(desk: Desk) -> Response:
    """What became of each row.

    Raises  InputError: it goes on still, or came to nothing.
    """
    work = running.find(desk, KIND)
    if work.going or work.result is None:
        raise InputError("there is no report yet", where="import", try_="Wait until the list was looked at.")
    return desk.file(report_csv(work.result), "import-report.csv", "text/csv; charset=utf-8")


PAGES = (
    get("/gear/import", _ask, "gear"),
    post("/gear/import", _upload, "gear", most=UPLOAD),
    get("/gear/import/{work}", _see, "gear"),
    get("/gear/import/{work}/progress.json", _progress, "gear"),
    get("/gear/import/{work}/report.csv", _report, "gear"),
    post("/gear/import/{work}/write", _write, "gear"),
)
