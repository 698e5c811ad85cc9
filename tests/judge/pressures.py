"""Pressures on the road from torch to regulator: asked, set, shut; caps, ratings, gauges, losses."""

from dataclasses import dataclass

from tests.judge import policy
from tests.judge.court import MARCHED, PLAIN, Court
from tests.judge.march import Step, march
from tests.judge.reading import PRESSURE, SHARE, Band, Case, Table, round_step, si
from tests.judge.tip import Work, mass

BAR = 1e5
BACK = 0.3  # of what an emptying supply gives back: how far it falls is known by weighing, by a solvent's and a mixture's usual mass
CROSSED = 0.04  # of the limit: the program adds up each part's own worst loss, which no one march comes to (decision 31)
SCALES = {"bar": [0.1, 0.16, 0.25, 0.4, 0.6, 1, 1.6, 2.5, 4, 6, 10, 16, 25, 40, 60, 100, 160, 250, 315, 400, 600],
          "psi": [15, 30, 60, 100, 160, 200, 400, 600, 1000, 2000, 3000, 4000, 6000, 10000]}  # fmt: skip
CLASSES = (2, 4, 6, 10, 12.5, 20)  # bar, ISO 2503 from memory; of liquefied gases 1.5 and 4
LIQUEFIED = (1.5, 4)
ISO = ("uk", "eu", "au", "nz")


@dataclass
class Dial:
    scale: float
    division: float
    error: float  # Pa


def dial(case: Case, line: str, side: str) -> Dial:
    reg = case.file[line]["regulator"]
    rating = si(reg["outlet_rating"], PRESSURE) if side == "outlet" else inlet_rating(case, line)
    written = reg["outlet_rating"] if side == "outlet" else reg.get("inlet_rating", "25 bar")
    unit = "psi" if "psi" in written else "bar"
    least = 1.25 * rating / PRESSURE[unit]
    scale = min(mark for mark in SCALES[unit] if mark >= least * (1 - 1e-9)) * PRESSURE[unit]
    if f"{side}_scale" in reg:
        scale = si(reg[f"{side}_scale"], PRESSURE)
    division = si(reg[f"{side}_division"], PRESSURE) if f"{side}_division" in reg else round_step(scale / 50, PRESSURE[unit])
    share = si(f"{reg['gauge_class']} %" if "gauge_class" in reg else ("3 %" if case.region in ("us", "ca") else "2.5 %"), SHARE)
    return Dial(scale, division, share * scale)


def inlet_rating(case: Case, line: str) -> float:
    reg = case.file[line]["regulator"]
    if "inlet_rating" in reg:
        return si(reg["inlet_rating"], PRESSURE)
    fuel = case.fuel if line == "fuel" else "oxygen"
    return (25 if fuel in ("acetylene", "propane", "lpg", "propylene", "butane") else 230) * BAR


@dataclass
class Road:
    """One line as asked: gauge pressures."""

    torch: Band
    steps: dict[str, list[Step]]
    flowing: Band
    setting: Band
    shut: Band
    doubt: bool  # the mark to set may be the next one
    back: float  # what the regulator gives back as its supply falls

    def choked(self) -> bool:
        return any(step.choked for step in self.steps["unkind"])


def road(case: Case, line: str, job: Work, fall: float) -> Road:
    """`fall`: how far the supply's pressure falls over the job, Pa."""
    torch, flow = (job.oxygen, job.flow("oxygen")) if line == "oxygen" else (job.fuel, job.flow("fuel"))
    ends = {
        "least loss": (torch.high, flow.low, 0),
        "kind": (torch.low, flow.low, 0),
        "value": (torch.value, flow.value, 1),
        "unkind": (torch.high, flow.high, 2),
        "loss": (torch.low, flow.high, 2),
    }
    steps = {name: march(case, line, mass(case, line, f), p, corner) for name, (p, f, corner) in ends.items()}
    asked = {name: found[-1].inlet - case.air for name, found in steps.items()}
    reg = case.file[line]["regulator"]
    rise = si(reg.get("lockup", "30 %"), SHARE)
    back = creep(case, line, fall)
    gauge = dial(case, line, "outlet")
    most = si(reg["outlet_rating"], PRESSURE)
    if case.fuel == "acetylene" and line == "fuel":
        most = min(most, policy.house_cap(case))
    mark, doubt = set_mark(asked["value"], gauge, rise, back, most)
    setting = Band(mark, max(mark - gauge.error, 0.0), mark + gauge.error)
    shut = Band(mark * (1 + rise), setting.low, setting.high * (1 + rise) + back)
    return Road(torch, steps, Band(asked["value"], asked["kind"], asked["unkind"]), setting, shut, doubt, back)


def creep(case: Case, line: str, fall: float) -> float:
    """What a single-stage regulator's outlet rises by while the supply's pressure falls, at its high end."""
    reg = case.file[line]["regulator"]
    if int(reg.get("stages", 1)) == 2:
        return 0.0
    per = si(reg["supply_effect"], SHARE) if "supply_effect" in reg else 0.018
    rise = per * max(fall, 0.0)
    if case.region in ISO and "supply_effect" not in reg:
        return min(rise, 0.3 * si(reg["outlet_rating"], PRESSURE))
    return rise


def set_mark(asked: float, gauge: Dial, rise: float, back: float, most: float) -> tuple[float, bool]:
    """The nearest mark; the next one up where that starves the tip by over 2 per cent; one below where it would pass a limit once shut."""
    place = asked / gauge.division
    n = round(place)
    doubt = abs(place - int(place) - 0.5) < 0.01
    if n * gauge.division < 0.98 * asked * (1 - 1e-12):
        n += 1
    doubt = doubt or abs(round(place) * gauge.division / (0.98 * asked) - 1) < 1e-3

    def shut(at: float) -> float:
        return (at + gauge.error) * (1 + rise) + back

    if shut(n * gauge.division) > most >= shut(asked) and n > 1:
        n, doubt = n - 1, True
    return n * gauge.division, doubt


def judge_road(case: Case, court: Court, line: str, found: Road) -> None:
    reg, name = case.file[line]["regulator"], f"{line} regulator"
    zone = MARCHED
    floor = dial(case, line, "outlet").division if found.doubt else 0.0
    shut_floor = 1.35 * floor + BACK * found.back
    rating = si(reg["outlet_rating"], PRESSURE)
    if case.fuel == "acetylene" and line == "fuel":
        limit = policy.house_cap(case)
        court.hold("acetylene-pressure-flowing", name, max(found.setting.high, found.flowing.high), [("stop", limit)], PLAIN, floor)
        court.hold("acetylene-pressure-static", name, found.shut.high, [("stop", limit)], zone, shut_floor)
        law, most = policy.cap(case), 150e3
        verdict = "stop" if rating > most * (1 + PLAIN) else "caution" if rating > law * (1 + PLAIN) else "go"
        if limit > 0:  # else no pressure at all is allowed there, which the cap says
            court.say("regulator-over-cap", name, verdict)
    highest = max(found.setting.high, found.flowing.high)  # the mark with its error, or what an unkind line asks in the end
    court.hold("regulator-range", name, highest, [("stop", rating)], PLAIN, floor)
    court.hold("regulator-closing", name, found.shut.high, [("stop", closing(case, line))], zone, shut_floor)
    for index, part in enumerate(case.file[line]["part"]):
        if "max_pressure" in part:
            subject = f"{line} part {index + 1} ({part['kind']})"
            inlet = next(step.inlet for step in found.steps["unkind"] if step.index == index) - case.air
            court.hold(
                "part-pressure", subject, max(found.shut.high, inlet), [("stop", si(part["max_pressure"], PRESSURE))], zone, shut_floor
            )
        elif part["kind"] == "hose":
            court.say("part-pressure", f"{line} part {index + 1} (hose)", "caution")
    judge_dial(case, court, line, found, shut_floor)
    judge_loss(case, court, line, found)


def closing(case: Case, line: str) -> float:
    """The most a regulator may stand at shut, gauge."""
    reg = case.file[line]["regulator"]
    rating = si(reg["outlet_rating"], PRESSURE)
    if "closing_pressure" in reg:
        return si(reg["closing_pressure"], PRESSURE)
    if case.region not in ISO or (line == "fuel" and case.fuel == "acetylene"):
        return rating
    classes = (*CLASSES, *LIQUEFIED) if line == "fuel" and case.fuel in ("lpg", "propane", "propylene") else CLASSES
    cylinders = case.file[line]["supply"].get("kind", "cylinders") == "cylinders"  # the standard is one of cylinder regulators
    known = cylinders and any(abs(rating / BAR - one) < 1e-6 for one in classes)
    return rating * 1.3 if known else rating


def judge_dial(case: Case, court: Court, line: str, found: Road, shut_floor: float) -> None:
    gauge, name = dial(case, line, "outlet"), f"{line} regulator"
    reg = case.file[line]["regulator"]
    asked = found.torch.value
    marks = asked / gauge.division
    coarse = "outlet_division" in reg and marks < 2 - 1e-9
    wrong = "outlet_scale" in reg and gauge.error > 0.45 * found.setting.value
    near = found.doubt or abs(gauge.error / (0.45 * found.setting.value) - 1) < 1e-3
    if coarse or "outlet_division" in reg:
        court.say("gauge-coarse", name, "caution" if coarse or wrong else "go", *(("go", "caution") if near and not coarse else ()))
    if "outlet_scale" in reg:
        if gauge.scale > 4 * si(reg["outlet_rating"], PRESSURE) * (1 + PLAIN):
            court.say("gauge-scale", name, "caution")
        else:
            court.hold("gauge-scale", name, found.shut.high, [("caution", gauge.scale)], MARCHED, shut_floor)
            if found.setting.value > gauge.scale * (1 + PLAIN):
                court.say("gauge-scale", name, "stop")


def judge_loss(case: Case, court: Court, line: str, found: Road) -> None:
    steps = found.steps["loss"]
    taken, needed = steps[-1].inlet - steps[0].outlet, steps[-1].inlet - case.air
    guess = any(unknown_flow(part) for part in case.file[line]["part"])
    share, kind = taken / needed, _kind_share(case, found)
    limit = policy.loss_limit(case)
    if guess and share > 0.5 and kind <= 0.5:  # a guess alone never stops
        court.hold("hose-loss-high", f"{line} line", share, [("caution", limit)], CROSSED)
    elif (
        guess and share > 0.5 and kind < 0.6
    ):  # the program's kind end is a bound below any march, so it may lie under the half that this one passes
        court.say("hose-loss-high", f"{line} line", "stop", "caution", "stop")
    else:
        court.hold("hose-loss-high", f"{line} line", share, [("stop", max(0.5, limit)), ("caution", limit)], CROSSED)
    court.say("hose-choked", f"{line} line", "stop" if found.choked() else "go")


def _kind_share(case: Case, found: Road) -> float:
    steps = found.steps["least loss"]
    return (steps[-1].inlet - steps[0].outlet) / (steps[-1].inlet - case.air)


def unknown_flow(part: Table) -> bool:
    known = ("flow_points", "sonic_conductance", "equivalent_bore")
    return part["kind"] in ("arrestor", "check valve") and not any(key in part for key in known)
