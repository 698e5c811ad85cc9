"""What the cylinders hold, how it falls, how long it lasts, and what may be drawn of it."""

import math
from dataclasses import dataclass

from tests.judge.court import MARCHED, PLAIN, Court
from tests.judge.gases import boiled_down, gas, moles, pressure_of, saturation
from tests.judge.pressures import Road, dial, inlet_rating
from tests.judge.reading import ATM, FLOW, MASS, PRESSURE, VOLUME, Band, Case, half_digit, si, split
from tests.judge.tip import Work

FULL = {"uk": (200e5, 288.15), "us": (2200 * 6894.757, 294.26), "au": (150e5, 288.15)}
FULL["eu"], FULL["ca"], FULL["nz"] = FULL["uk"], FULL["us"], FULL["au"]
FULL_ACETYLENE = {"uk": (19e5, 288.15), "us": (250 * 6894.757, 294.26)}
SOLVENT = 12.7 / 8  # kg of acetone for each kg of a full cylinder's acetylene, nominal
BOUND = 2.35  # mol for each kg of a full cylinder's content: 0.06 kg, from memory of tares with saturation gas
SEVENTY = 294.261
BAR = 1e5


@dataclass
class Store:
    """What one line's supply holds: mol, gauge pascals."""

    kind: str
    contents: Band | None
    pressure: Band | None  # now
    at_end: Band | None  # after the job
    reserve: float = 0.0  # mol
    bound: float = 0.0  # mol of acetylene that the solvent holds at the air's pressure, and that a tare may or may not count

    def fall(self) -> float:
        """How far the gauge falls over the job, to zero at most."""
        if self.pressure is None or self.at_end is None:
            return 0.0
        return max(self.pressure.value, 0.0) - max(self.at_end.value, 0.0)


def acetylene_pressure(content: float, held: float, temperature: float) -> float:
    """Absolute: the least-squares fit of nine printed points (decision 41), P = x exp(2.505 + 1.661 x - 1981 (1/T - 1/288.15)) in atmospheres."""
    share = held / 0.026038 / (held / 0.026038 + content * SOLVENT / 0.05808)
    return ATM * share * math.exp(2.505 + 1.661 * share - 1981 * (1 / temperature - 1 / 288.15))


def fullest(case: Case) -> float:
    """The most a rightly filled acetylene cylinder stands at here, absolute: its filling rule's, warmed like the gas over its solution."""
    pressure, at = FULL_ACETYLENE["us" if case.region in ("us", "ca") else "uk"]
    return (pressure + ATM) * math.exp(-1981 * (1 / case.temperature - 1 / at))


def store(case: Case, line: str, job: Work | None) -> Store:
    supply = case.file[line]["supply"]
    kind = supply.get("kind", "cylinders")
    fuel = case.fuel if line == "fuel" else "oxygen"
    used = _used(case, line, job)
    if kind != "cylinders":
        now = case.gauge(supply["pressure"]) if "pressure" in supply else None
        band = Band(now, now, now) if now is not None else None
        return Store(kind, None, band, band)
    n = int(supply.get("cylinders", 1))
    if "gross" in supply and "tare" in supply:
        return _weighed(case, line, fuel, n, used)
    if fuel == "oxygen" and "water_volume" in supply:
        return _gauge_read(case, line, n, used)
    return Store(kind, None, None, None)


def _used(case: Case, line: str, job: Work | None) -> Band:
    if job is None or job.time is None:
        return Band(0.0, 0.0, 0.0)
    flow, other = job.flow(line), shared(case, line)
    return Band((flow.value + other) * job.time.value, (flow.low + other) * job.time.low, (flow.high + other) * job.time.high)


def shared(case: Case, line: str) -> float:
    return si(case.file[line]["supply"].get("shared_flow", "0 m3/h"), FLOW)


def _gauge_read(case: Case, line: str, n: int, used: Band) -> Store:
    supply = case.file[line]["supply"]
    water = si(supply["water_volume"], VOLUME) * n
    if "pressure" in supply:
        read = case.gauge(supply["pressure"])
        off = dial(case, line, "inlet").error
    else:
        full, at = FULL[case.region]
        read, off = pressure_of("oxygen", 1.0, moles("oxygen", 1.0, full + ATM, at), case.temperature) - case.air, 0.0
    now = Band(read, read - off, read + off)

    def held(gauge: float) -> float:
        return moles("oxygen", water, max(gauge, 0.0) + case.air, case.temperature)

    contents = Band(held(now.value), held(now.low), held(now.high))

    def left(amount: float) -> float:
        return pressure_of("oxygen", water, max(amount, 1e-6 * water), case.temperature) - case.air

    at_end = Band(left(contents.value - used.value), left(contents.low - used.high), left(contents.high - used.low))
    reserve = held(case.gauge(supply["reserve"])) if "reserve" in supply else held(0.0)
    return Store("cylinders", contents, now, at_end, reserve)


def _weighed(case: Case, line: str, fuel: str, n: int, used: Band) -> Store:
    supply = case.file[line]["supply"]
    net = si(supply["gross"], MASS) - si(supply["tare"], MASS)
    off = sum(half_digit(supply[key]) * MASS[split(supply[key])[1]] for key in ("gross", "tare"))
    content = si(supply["content"], MASS)
    molar = 0.05110891 if fuel == "lpg" else gas(fuel, case.temperature).mass  # the liquid's, half and half
    contents = Band(*(max(kilos, 0.0) * n / molar for kilos in (net, net - off, net + off)))
    if fuel == "acetylene":
        most = fullest(case)

        def stands(kilos: float) -> float:
            return min(acetylene_pressure(content, max(kilos, 0.0), case.temperature), most) - case.air

        gone = used.value * molar / n
        high = min(1.15 * (stands(net + off) + case.air), most) - case.air
        now = Band(stands(net), 0.85 * (stands(net - off) + case.air) - case.air, high)
        low = 0.85 * (stands(net - off - used.high * molar / n) + case.air) - case.air
        at_end = Band(stands(net - gone), low, now.high)
    else:
        heavy, light = ("butane", "propane") if fuel == "lpg" else (fuel, fuel)
        low, high = (saturation(name, case.temperature) - case.air for name in (heavy, light))
        now = at_end = Band((low + high) / 2, low, high)
        if contents.low <= used.high or fuel == "lpg":
            left = 1 - used.value / contents.value if contents.value else 0.0
            end = now.value if fuel != "lpg" else boiled_down(left, case.temperature) - case.air if left > 0 else -case.air
            at_end = Band(end if left > 0 else -case.air, low if contents.low > used.high else -case.air, high)
        if fuel == "lpg":
            contents = Band(contents.value, contents.low * molar / 0.0581222, contents.high * molar / 0.04409562)
    bound = n * content * BOUND if fuel == "acetylene" and "tare_basis" not in supply else 0.0
    return Store("cylinders", contents, now, at_end, bound=bound)


def judge_store(case: Case, court: Court, line: str, held: Store) -> None:
    supply, name = case.file[line]["supply"], f"{line} supply"
    if held.kind == "cylinders":
        court.say("contents-unknown", name, "caution" if held.contents is None else "go")
        hottest = 323.15 if case.region not in ("us", "ca") else (125 + 459.67) / 1.8
        court.say("cylinder-hot", name, "stop" if case.temperature > hottest + 1e-9 else "go")
    _inlet(case, court, line, held)
    if line == "fuel" and case.fuel == "acetylene" and held.kind == "cylinders":
        court.say("acetylene-cold", name, "go" if case.temperature >= 283.15 - 1e-9 else "caution", "go", "caution")
    if "content" in supply and "gross" in supply:
        net = si(supply["gross"], MASS) - si(supply["tare"], MASS)
        low = net - sum(half_digit(supply[key]) * MASS[split(supply[key])[1]] for key in ("gross", "tare"))
        most = 1.02 * si(supply["content"], MASS)
        if low <= most * (1 - PLAIN) and net <= most:
            court.say("contents-over", name, "go")


def _inlet(case: Case, court: Court, line: str, held: Store) -> None:
    reg, name = case.file[line]["regulator"], f"{line} regulator"
    if "inlet_rating" not in reg:
        court.say("regulator-inlet", name, "caution", "caution", "stop")
        return
    rating = inlet_rating(case, line)
    if line == "oxygen" and held.kind == "cylinders":
        full, _ = FULL[case.region]
        read = held.pressure.high if held.pressure else full
        # a cylinder that stands over the rating only because the day is warm is taken back to 15 °C, up to 1.3 of the rating on the gauge
        back = read
        if case.temperature > 288.15:
            back = pressure_of("oxygen", 1.0, moles("oxygen", 1.0, read + case.air, case.temperature), 288.15) - case.air
        over = full > rating or (read > rating and (back > rating or read > 1.3 * rating))
        near = any(abs(figure / rating - 1) < 2e-3 for figure in (full, read, back, read / 1.3))
        court.say("regulator-inlet", name, "stop" if over else "go", *(("go", "stop") if near else ()))
    elif held.kind != "cylinders" and held.pressure:
        court.hold("regulator-inlet", name, held.pressure.high, [("stop", rating)], PLAIN)


def judge_lasting(case: Case, court: Court, job: Work, stores: dict[str, Store], as_set: dict[str, Band] | None) -> None:
    lasts: dict[str, Band | None] = {}
    for line, held in stores.items():
        flow = job.flow(line)
        if as_set and line in as_set:
            flow = Band(flow.value, min(flow.low, as_set[line].low), max(flow.high, as_set[line].high))
        other = shared(case, line)
        lasts[line] = None
        if held.contents is not None:
            kept = (held.reserve, held.reserve + held.bound, held.reserve)
            have = (held.contents.value, held.contents.low, held.contents.high)
            left = Band(*(max(a - b, 0.0) for a, b in zip(have, kept, strict=True)))
            lasts[line] = Band(left.value / (flow.value + other), left.low / (flow.high + other), left.high / (flow.low + other))
    if job.time is None:
        return
    for line, time in lasts.items():
        if time is None:
            continue
        name = f"{line} supply"
        court.figures[f"{line}.duration"] = time.scaled(1 / 60)
        short = job.time.high > time.low
        near = abs(time.low / job.time.high - 1) < 0.01 or _bound_tips(stores[line], time, job.time.high)
        court.say("contents-short", name, "stop" if short else "go", *(("go", "stop") if near else ()))
    oxygen, fuel = lasts.get("oxygen"), lasts.get("fuel")
    if oxygen is not None:
        ends_inside = oxygen.low < job.time.high
        first = fuel is None or oxygen.low < fuel.high
        near = abs(oxygen.low / job.time.high - 1) < 0.01 or (fuel is not None and abs(oxygen.low / fuel.high - 1) < 0.05)
        court.say("oxygen-first-out", "oxygen supply", "stop" if ends_inside and first else "go", *(("go", "stop") if near else ()))


def judge_draw(case: Case, court: Court, job: Work, held: Store) -> None:
    """The default rule: shares an hour of what is left at the end of the job; over an hour, or of unknown time, the long shares of what is there."""
    if case.fuel != "acetylene" or held.kind != "cylinders":
        return
    name = "fuel supply"
    if held.contents is None:
        court.say("fuel-draw", name, "caution")
        return
    draw = job.fuel_flow.high + shared(case, "fuel")
    time = job.time.high if job.time else 0.0
    left = max(held.contents.low - draw * time, 0.0)
    stop, caution = left / 7 / 3600, left / 10 / 3600
    if job.time is None or time > 3600:
        stop, caution = min(stop, held.contents.low / 10 / 3600), min(caution, held.contents.low / 15 / 3600)
    cold = 1.0
    if case.temperature < 283.15:
        share = 0.5  # any load: the ratio of two temperatures does not hang on it
        cold = acetylene_pressure(1.0, share, case.temperature) / acetylene_pressure(1.0, share, SEVENTY)
    court.hold("fuel-draw", name, draw, [("stop", stop), ("caution", caution)], MARCHED)
    if cold < 1:
        court.hold("acetylene-cold", name, draw, [("caution", caution * cold)], 0.02)


def judge_feed(case: Case, court: Court, line: str, held: Store, found: Road) -> None:
    """What a supply must give: half a bar over the setting to hold it, twice and a bar for the full flow; a pipe by its own shares."""
    name = f"{line} supply"
    if held.at_end is None:
        court.say("supply-pressure-low", name, "caution")
        return
    setting = max(found.setting.high, found.flowing.high)  # the regulator has to hold what an unkind line asks too
    floor = 2.5 * (found.setting.high - found.setting.value) if found.doubt else 0.0
    have = held.at_end.low
    if held.kind == "cylinders":
        holds, full = setting + 0.5 * BAR, 2 * setting + BAR
    else:
        holds = setting + min(max(0.3 * setting, 3e3), 0.5 * BAR)
        full = setting + min(max(setting, 5e3), 0.5 * BAR)
    if line == "fuel" and case.fuel == "lpg" and "composition" not in case.file["fuel"]["supply"]:
        _unnamed_mix(case, court, name, held, holds, full)
        return
    zone = 0.12 if case.fuel == "acetylene" and line == "fuel" and held.kind == "cylinders" else 0.01  # the solvent's mass is in no file
    width = max(floor, zone * max(abs(have + case.air), full))
    court.hold("supply-pressure-low", name, -have, [("stop", -holds), ("caution", -full)], 0.0, width)


def _unnamed_mix(case: Case, court: Court, name: str, held: Store, holds: float, full: float) -> None:
    """LPG that nobody has named: go where butane would do, a stop where not even propane would, else a caution (decision 43)."""
    assert held.at_end is not None
    worst, best = held.at_end.low, held.at_end.high
    if worst <= -case.air:  # empty by then at one end: contents-short stops, and this may be told of the mixture alone
        court.say("supply-pressure-low", name, "stop", "caution")
        return
    verdict = "stop" if best < holds else "go" if worst >= full else "caution"
    near = abs(best - holds) < 0.01 * (holds + case.air) or abs(worst - full) < 0.01 * (full + case.air)
    court.say("supply-pressure-low", name, verdict, *(("go", "stop") if near else ()))


def _bound_tips(held: Store, time: Band, job: float) -> bool:
    """Whether a fifth more or less of the bound gas, which is from memory, moves the verdict."""
    if held.contents is None or not held.bound:
        return False
    rate = (held.contents.low - held.reserve - held.bound) / time.low if time.low > 0 else 0.0
    return bool(rate) and abs(time.low - job) * rate < 0.2 * held.bound


def judge_flow(case: Case, court: Court, line: str, held: Store, job: Work) -> None:
    reg, name = case.file[line]["regulator"], f"{line} regulator"
    flow = job.flow(line).high
    other = shared(case, line)
    pressure = job.oxygen.low if line == "oxygen" else job.fuel.low
    if "rated_flow" not in reg:
        court.say("regulator-flow", name, "caution")
    else:
        capacity = si(reg["rated_flow"], FLOW) * (pressure + case.air) / (si(reg["outlet_rating"], PRESSURE) + case.air)
        behind = other if held.kind == "cylinders" and case.file[line]["supply"].get("shared_at") != "cylinder" else 0.0
        court.hold("regulator-flow", name, flow + behind, [("stop", min(capacity, si(reg["rated_flow"], FLOW)))], MARCHED)
    if held.kind != "cylinders":
        if "available_flow" not in case.file[line]["supply"]:
            court.say("supply-flow", f"{line} supply", "caution")
        else:
            court.hold(
                "supply-flow", f"{line} supply", flow + other, [("stop", si(case.file[line]["supply"]["available_flow"], FLOW))], MARCHED
            )
