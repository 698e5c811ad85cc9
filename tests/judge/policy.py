"""What is in force: the region's limits, typed again here with where they come from, with a site's own choices laid over them."""

from tests.judge.reading import PRESSURE, SHARE, Case, si

# 29 CFR 1910.253(a)(2): 15 psi gauge or 30 psi absolute. Others from memory: 1.5 bar in Europe, 150 kPa in Australia and New Zealand, 15 psi in Canada.
CAPS = {"uk": 150e3, "eu": 150e3, "us": 15 * 6894.757, "ca": 15 * 6894.757, "au": 150e3, "nz": 150e3}
US_ABSOLUTE = 30 * 6894.757
COMPRESSED = 110e3  # above any weather
UK_ARRESTOR_FROM = 62e3  # Acetylene Safety Regulations 2014, 0.62 bar
AT = {"uk": "regulator", "eu": "regulator", "us": "either", "ca": "either", "au": "torch", "nz": "torch"}
# Two clocks in years, (examined, its end is a stop), (life, its end is a stop); `tested`: the first clock runs from a test alone.
STOP, HABIT = True, False
CLOCKS = {
    "uk": {"regulator": (1, STOP, 5, STOP, False), "arrestor": (1, STOP, 5, STOP, False), "check valve": (1, HABIT, 5, HABIT, False), "hose": (1, HABIT, 5, STOP, True)},
    "eu": {"regulator": (1, HABIT, 5, HABIT, True), "arrestor": (1, STOP, 5, HABIT, False), "check valve": (1, HABIT, 5, HABIT, False), "hose": (1, HABIT, 5, STOP, True)},
    "us": {"regulator": (1, HABIT, 5, HABIT, True), "arrestor": (1, HABIT, 5, HABIT, False), "check valve": (1, HABIT, None, HABIT, True), "hose": (1, HABIT, 5, HABIT, True)},
    "au": {"regulator": (1, HABIT, 5, STOP, True), "arrestor": (1, STOP, 5, HABIT, False), "check valve": (1, HABIT, 5, HABIT, False), "hose": (1, HABIT, 5, STOP, True)},
}  # fmt: skip
CLOCKS["ca"], CLOCKS["nz"] = CLOCKS["us"], CLOCKS["au"]


def cap(case: Case) -> float:
    """Acetylene's cap at this place, gauge pascals, without the house's own: it falls by what the air stands over any weather."""
    found = CAPS[case.region]
    if case.air > COMPRESSED:
        found -= case.air - COMPRESSED
    if case.region == "us":
        found = min(found, US_ABSOLUTE - case.air)
    return found


def house_cap(case: Case) -> float:
    house = case.policy.get("acetylene_cap")
    if house is None:
        return cap(case)
    found = si(house, PRESSURE)
    if case.air > COMPRESSED:
        found -= case.air - COMPRESSED
    return min(found, cap(case))


def loss_limit(case: Case) -> float:
    return si(case.policy.get("loss", "15 %"), SHARE)
