"""The judge: a station, its chart and its policy in; figures and rulings out."""

from datetime import date

from tests.judge import gear, supply
from tests.judge.around import judge_around
from tests.judge.as_set import judge_as_set
from tests.judge.court import Court
from tests.judge.network import in_this_air
from tests.judge.pressures import judge_road, road
from tests.judge.reading import Case, case
from tests.judge.tip import Work, work

LINES = ("oxygen", "fuel")


def judge(station: str, chart: str, policy: str | None, on: date) -> Court:
    found = case(station, chart, policy, on)
    court = Court()
    gear.judge_dates(found, court)
    gear.judge_marks(found, court)
    gear.judge_material(found, court)
    job = work(found, court)
    if job is not None and not job.exact and found.file["torch"].get("mixer") != "injector":
        job = in_this_air(found, job)
    stores = {line: supply.store(found, line, job) for line in LINES}
    for line in LINES:
        supply.judge_store(found, court, line, stores[line])
    solved = job is not None and (job.exact or found.file["torch"].get("mixer") != "injector")
    if job is not None and solved:
        _judge_job(found, court, job, stores)
    judge_as_set(found, court, job if solved else None, stores)
    judge_around(found, court)
    gear.judge_places(found, court, None)
    return court


def _judge_job(found: Case, court: Court, job: Work, stores: dict[str, supply.Store]) -> None:
    for line in LINES:
        way = road(found, line, job, stores[line].fall())
        judge_road(found, court, line, way)
        supply.judge_feed(found, court, line, stores[line], way)
        supply.judge_flow(found, court, line, stores[line], job)
        figures = court.figures
        figures[f"{line}.flowing"], figures[f"{line}.set_pressure"], figures[f"{line}.static"] = way.flowing, way.setting, way.shut
        if way.doubt:  # the next mark is as good
            court.zones[f"{line}.set_pressure"] = court.zones[f"{line}.static"] = 1.0
    supply.judge_lasting(found, court, job, stores, None)
    supply.judge_draw(found, court, job, stores["fuel"])
