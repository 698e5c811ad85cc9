"""What stands around the station: the air, a closed place, other torches, a fuel that nobody has named, acetylene in a pipe."""

from tests.judge import policy
from tests.judge.court import PLAIN, Court
from tests.judge.reading import FLOW, PRESSURE, Case, si


def judge_around(case: Case, court: Court) -> None:
    if case.air > policy.COMPRESSED * (1 + PLAIN):
        court.say("air-compressed", "place", "caution")
    if case.file.get("place", {}).get("enclosed"):
        court.say("place-closed", "place", "caution")
    for line in ("oxygen", "fuel"):
        supply = case.file[line]["supply"]
        cylinders = supply.get("kind", "cylinders") == "cylinders"
        if si(supply.get("shared_flow", "0 m3/h"), FLOW) > 0:
            court.say("shared-draw", f"{line} supply", "caution" if cylinders and "shared_at" not in supply else "go")
    fuel = case.file["fuel"]["supply"]
    if case.fuel in ("lpg", "natural gas") and "composition" not in fuel:
        court.say("fuel-mix-unknown", "fuel supply", "caution")
    if case.fuel == "acetylene" and fuel.get("kind", "cylinders") != "cylinders" and "pressure" in fuel:
        # 29 CFR 1910.253(a)(2) forbids to pipe it over the cap; elsewhere pipework may be built for more
        verdict = "stop" if case.region == "us" else "caution"
        court.hold("acetylene-piped", "fuel supply", si(fuel["pressure"], PRESSURE), [(verdict, policy.house_cap(case))], PLAIN)
