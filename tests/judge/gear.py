"""Gear by what is written on it: dates on two clocks, gas marks, where arrestors and valves hang, what is cut."""

from datetime import date

from tests.judge import policy
from tests.judge.court import RANK, Court
from tests.judge.pressures import unknown_flow
from tests.judge.reading import Case, Table, stamped

SOON = 30  # days


def years_on(day: date, years: int) -> date:
    try:
        return day.replace(year=day.year + years)
    except ValueError:  # 29 February
        return day.replace(year=day.year + years, month=3, day=1)


def judge_dates(case: Case, court: Court) -> None:
    for line in ("oxygen", "fuel"):
        _dated(case, court, f"{line} regulator", "regulator", case.file[line]["regulator"])
        for index, part in enumerate(case.file[line]["part"]):
            if part["kind"] in ("arrestor", "check valve", "hose"):
                _dated(case, court, f"{line} part {index + 1} ({part['kind']})", part["kind"], part)


def _dated(case: Case, court: Court, subject: str, kind: str, thing: Table) -> None:
    examined, ends_examined, life, ends_life, needs_test = policy.CLOCKS[case.region][kind]
    made = stamped(thing["made"]) if "made" in thing else None
    tested = stamped(thing["tested"]) if "tested" in thing else None
    if made is None and tested is None:
        harsh = case.region not in ("us", "ca") and kind != "check valve"
        court.say("part-age-unknown", subject, "stop" if harsh else "caution")
        return
    if any(day and day > case.on for day in (made, tested)):
        court.say("part-age-unknown", subject, "caution", "caution", "stop")
        return
    worst = "go"
    start = tested or (None if needs_test else made)
    clocks = [(start, examined, ends_examined)]
    if made is None and life is not None:
        court.say("part-age-unknown", subject, "caution")
    elif life is not None:
        clocks.append((made, life, ends_life))
    for day, years, stops in clocks:
        if day is None:
            continue
        due = years_on(day, years)
        left = (due - case.on).days
        verdict = "go" if left > SOON else "caution"
        if left < 0:
            verdict = "stop" if stops else "caution"
        elif not stops:
            verdict = "go"  # a habit that is not yet late asks for nothing
        worst = max(worst, verdict, key=RANK.__getitem__)
    court.say("part-overdue", subject, worst)


def judge_places(case: Case, court: Court, static_fuel: float | None) -> None:
    for line in ("oxygen", "fuel"):
        parts, name = case.file[line]["part"], f"{line} line"
        arrestors = [i for i, part in enumerate(parts) if part["kind"] == "arrestor"]
        valves = [i for i, part in enumerate(parts) if part["kind"] == "check valve"]
        hoses = [i for i, part in enumerate(parts) if part["kind"] == "hose"]
        if not arrestors:
            verdict = "caution" if valves and case.region in ("us", "ca") else "stop"
            court.say("arrestor-missing", name, verdict, verdict, "stop")
        else:
            at = policy.AT[case.region]
            there = {"regulator": arrestors[0] < hoses[0], "torch": arrestors[-1] > hoses[-1], "either": True}[at]
            court.say("arrestor-missing", name, "go" if there else "caution")
        held_back = any(i > hoses[-1] for i in (*arrestors, *valves))
        court.say("check-valve-missing", name, "go" if held_back else "caution")
        unknown = [f"{line} part {i + 1} ({part['kind']})" for i, part in enumerate(parts) if unknown_flow(part)]
        if unknown:  # told once a line
            court.say("part-flow-unknown", unknown[0] if len(unknown) == 1 else name, "caution")


FAMILY = {
    "oxygen": {"oxygen": "go"},
    "acetylene": {"acetylene": "go"},
    "propane": {"propane": "go", "lpg": "go", "propylene": "caution"},
    "lpg": {"propane": "go", "lpg": "go", "propylene": "caution"},
    "natural gas": {"natural gas": "go", "methane": "go"},
    "any fuel": {"acetylene": "go", "propane": "go", "lpg": "go", "natural gas": "go"},
    "T": {"acetylene": "go", "propane": "go", "lpg": "go", "natural gas": "go", "oxygen": "caution"},
    "R": {"acetylene": "go", "oxygen": "caution"},
}

GASEOUS = {"propane": "go", "lpg": "go", "natural gas": "go", "methane": "go"}  # one colour carries them all
HOSES = FAMILY | {"propane": GASEOUS, "lpg": GASEOUS, "natural gas": GASEOUS}


def judge_marks(case: Case, court: Court) -> None:
    for line in ("oxygen", "fuel"):
        carries = "oxygen" if line == "oxygen" else case.fuel
        court.say("regulator-gas", f"{line} regulator", FAMILY[case.file[line]["regulator"]["gas"]].get(carries, "stop"))
        unmarked = False
        for index, part in enumerate(case.file[line]["part"]):
            subject = f"{line} part {index + 1} ({part['kind']})"
            if part["kind"] == "hose":
                court.say("hose-grade", subject, HOSES[part["grade"]].get(carries, "stop"))
            elif "gas" in part:
                court.say("part-gas", subject, FAMILY[part["gas"]].get(carries, "stop"))
            elif part["kind"] in ("arrestor", "check valve"):
                unmarked = True
        if unmarked:
            court.say("gas-mark-missing", f"{line} line", "caution")
    fuels = case.file["torch"].get("fuels")
    if fuels:
        court.say("mixer-fuel", "torch", max((FAMILY[mark].get(case.fuel, "stop") for mark in fuels), key=lambda one: -RANK[one]))


CUTS = {"low-carbon steel": "go", "stainless steel": "stop", "cast iron": "stop", "aluminium": "stop", "copper": "stop", "titanium": "stop",
        "wear plate": "caution", "galvanised steel": "caution"}  # fmt: skip


def judge_material(case: Case, court: Court) -> None:
    if case.file["job"]["kind"] == "cut":
        court.say("material-not-cuttable", "material", CUTS[case.file["job"]["material"]] if "material" in case.file["job"] else "caution")
    low = case.temperature < 253.15 - 1e-9
    court.say("hose-cold", "hoses", "caution" if low or case.temperature > 333.15 + 1e-9 else "go")
