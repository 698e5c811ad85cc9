"""What the gauges give now: pressures as set under the same limits, and what really flows at the torch."""

from tests.judge import policy
from tests.judge.court import MARCHED, PLAIN, Court
from tests.judge.network import Tip, solve
from tests.judge.pressures import BACK, closing, creep, dial
from tests.judge.reading import PRESSURE, SHARE, Case, si
from tests.judge.supply import Store
from tests.judge.tip import Work

SOLVED = 0.012  # of the flow: the mixing point's share and the corners here are five of the program's nine
LINES = ("oxygen", "fuel")


def judge_as_set(case: Case, court: Court, job: Work | None, stores: dict[str, Store]) -> None:
    settings = case.file.get("settings")
    if not settings or not all(line in settings for line in LINES):
        return
    flowing = {}
    for line in LINES:
        rise = si(case.file[line]["regulator"].get("lockup", "30 %"), SHARE)
        given = case.gauge(settings[line])
        flowing[line] = given / (1 + rise) if settings.get("when") == "static" else given
        _pressures(case, court, line, flowing[line], rise, stores[line])
    if job is not None and case.file["torch"].get("mixer") != "injector":
        _flows(case, court, job, flowing)


def _pressures(case: Case, court: Court, line: str, flowing: float, rise: float, held: Store) -> None:
    reg, name = case.file[line]["regulator"], f"{line} regulator, as set"
    error = dial(case, line, "outlet").error
    back = creep(case, line, held.fall())
    if case.file["settings"].get("when") == "static":  # shut was read, so lock-up is in it already
        error /= 1 + rise
    high = flowing + error
    shut = high * (1 + rise) + back
    floor = BACK * back
    if line == "fuel" and case.fuel == "acetylene":
        limit = policy.house_cap(case)
        court.hold("acetylene-pressure-flowing", name, high, [("stop", limit)], PLAIN)
        court.hold("acetylene-pressure-static", name, shut, [("stop", limit)], MARCHED, floor)
    court.hold("regulator-range", name, high, [("stop", si(reg["outlet_rating"], PRESSURE))], PLAIN)
    court.hold("regulator-closing", name, shut, [("stop", closing(case, line))], MARCHED, floor)
    for index, part in enumerate(case.file[line]["part"]):
        if "max_pressure" in part:
            subject = f"{line} part {index + 1} ({part['kind']}), as set"
            court.hold("part-pressure", subject, shut, [("stop", si(part["max_pressure"], PRESSURE))], MARCHED, floor)


def _flows(case: Case, court: Court, job: Work, flowing: dict[str, float]) -> None:
    """Short of the chart's flows, each at its lowest of the corners; pressures at the torch at their highest."""
    found = []
    for share, oxygen, fuel in ((0.5, 1, 1), (0.2, 0, 2), (0.8, 2, 0), (0.8, 0, 2), (0.2, 2, 0)):
        tip = Tip(case, job, share)
        answer = solve(tip, flowing["oxygen"], flowing["fuel"], oxygen, fuel)
        if answer is None:
            return
        found.append((answer, tip))
    blocked = [answer[2].blocked for answer, _ in found]
    if any(blocked):  # the program tells the state of the middle look
        verdict = "stop" if blocked[0] else "go"
        court.say("fuel-blocked", "fuel line, as set", verdict, "stop" if all(blocked) else "go", "stop")
        return
    court.say("fuel-blocked", "fuel line, as set", "go", "go", "go")
    # The kerf burns the chart's own cutting oxygen in any air; preheat and fuel are held to what the chart's pressures give in this one.
    subjects = ("cutting oxygen, as set", "preheat oxygen, as set" if job.cutting.value else "oxygen, as set", "fuel, as set")
    least = dict.fromkeys(subjects, 9.0)
    for answer, tip in found:
        here = tip.flows(job.oxygen.value + case.air, job.fuel.value + case.air)
        charted = job.row.figures["cutting oxygen"].value * tip.oxygen.mass if job.cutting.value else 0.0
        shares = (answer[2].cutting / charted if charted else 9.0, answer[2].preheat / here.preheat, answer[2].fuel / here.fuel)
        least = {subject: min(had, share) for (subject, had), share in zip(least.items(), shares, strict=True)}
    for subject, share in least.items():
        if share < 9.0:
            court.hold("tip-starved", subject, 1 - share, [("stop", 0.20), ("caution", 0.05)], 0.0, SOLVED)
    for line, at in (("oxygen", 0), ("fuel", 1)):
        charted = (job.oxygen if line == "oxygen" else job.fuel).high
        highest = max(answer[at] for answer, _ in found)
        limits = [("stop", charted + max(0.5 * charted, 50e3)), ("caution", charted + max(0.2 * charted, 20e3))]
        court.hold("tip-over-pressure", f"{line} at the torch, as set", highest, limits, 0.01)
