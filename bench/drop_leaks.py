"""Hide leaks in random stations, let two gauges read them, and say how often the reading holds.

    python bench/drop_leaks.py 10000 [seed]

Each station is simulated with another equation of state than the program's (CoolProp's reference equations; acetylene, which it lacks,
with a virial series of our own), pinholes and cracks, gauges with offset, span error, wander and rounding, air and temperature that
drift. Prints how often the band holds the true leak, how wide it is and how high the floor lies in gauge divisions, how many leaks
over the floor were called still, how many passing seats were passed, and what was read for what was hidden. Exits 1 when a bound that
the project set itself is missed.
"""

import math
import random
import statistics
import sys
import time
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from functools import cache

import CoolProp.CoolProp as coolprop

from steadycone.errors import InputError
from steadycone.physics.gas import load
from steadycone.practice.drop import DropReading, DropTest, Side, Temperatures, read_drop

R = 8.314462618
ACCEPTANCE = 2e-3 / 22.41397e-3 / 3600.0  # mol/s: 2 normal litres an hour
STEPS = 60
FAULTS = (
    "tight", "before", "after", "both", "seat", "seat into leak", "valve", "valve and leak", "other gas", "screw in, tight",
    "screw in, before", "screw in, after",
)  # fmt: skip
# what a reading must name, first or among what else it could be, once a side lost or gained more than its floor
NAMES = {
    "before": {"leak before regulator"}, "after": {"leak after regulator"}, "both": {"leak both sides"}, "seat": {"seat passing"},
    "seat into leak": {"seat passing"}, "valve": {"cylinder valve passing"}, "valve and leak": {"cylinder valve passing", "leak before regulator"},
    "other gas": {"other gas arriving"}, "screw in, before": {"leak, not located"}, "screw in, after": {"leak, not located"},
}  # fmt: skip
GASES = ("oxygen", "oxygen", "oxygen", "acetylene", "acetylene", "propane", "methane", "hydrogen", "nitrogen")


@cache
def _state(name: str) -> "coolprop.AbstractState":
    found = coolprop.AbstractState("HEOS", {"propane": "n-Propane"}.get(name, name.capitalize()))
    found.specify_phase(coolprop.iphase_gas)
    return found


def pressure(gas: str, density: float, temperature: float) -> float:
    """Pa of a molar density [mol/m³]; acetylene by two virial coefficients."""
    if gas == "acetylene":
        second, third = -1.95e-4 * (293.15 / temperature) ** 2, 1.0e-8  # m³/mol, m⁶/mol²: round figures
        return R * temperature * density * (1.0 + second * density + third * density**2)
    state = _state(gas)
    state.update(coolprop.DmolarT_INPUTS, density, temperature)
    return float(state.p())


def density(gas: str, target: float, temperature: float) -> float:
    """mol/m³ at a pressure [Pa], by secant steps on `pressure`."""
    last, now = target / (R * temperature) * 0.98, target / (R * temperature)
    before = pressure(gas, last, temperature)
    for _ in range(30):
        here = pressure(gas, now, temperature)
        if abs(here - target) < 1e-9 * target:
            break
        last, now, before = now, now - (here - target) * (now - last) / (here - before), here
    return now


@dataclass
class Hidden:
    """What a station hides: conductances [mol/(s Pa)] of its ways for gas, and whether each is a crack or a pinhole."""

    fault: str
    before: float = 0.0
    after: float = 0.0
    seat: float = 0.0
    valve: float = 0.0
    other: float = 0.0
    crack: bool = False


@dataclass
class Case:
    """A simulated test, and the mean loss of each side [mol/s] that it hid, net of what came in."""

    test: DropTest
    hidden: Hidden
    lost: dict[str, float]
    out: float  # mol/s let out of both sides to the outside, made good or not
    worth: dict[str, float]  # mol/s that a gauge division stands for


def passes(conductance: float, inside: float, outside: float, crack: bool) -> float:
    """mol/s from a pressure to another [Pa]: a choked or subsonic pinhole, or a laminar crack; the conductance is that at full drop."""
    if inside <= outside:
        return 0.0
    ratio = outside / inside
    if crack:
        return conductance * inside * (1.0 - ratio**2)
    return conductance * inside * (1.0 if ratio < 0.53 else math.sqrt(max(1.0 - ((ratio - 0.53) / 0.47) ** 2, 0.0)))


def log_uniform(rng: random.Random, low: float, high: float) -> float:
    return low * (high / low) ** rng.random()


def random_hidden(rng: random.Random, high: float, low: float) -> Hidden:
    """A fault and ways of a size that lets 0.05 to 30 normal litres an hour through."""
    fault = rng.choice(FAULTS)
    found = Hidden(fault, crack=rng.random() < 0.5)

    def way(at: float) -> float:
        return log_uniform(rng, 0.025, 15.0) * ACCEPTANCE / at

    if fault in ("before", "both", "valve and leak", "screw in, before"):
        found.before = way(high)
    if fault in ("after", "both", "seat into leak", "screw in, after"):
        found.after = way(low)
    if fault in ("seat", "seat into leak"):
        found.seat = way(high)
    if fault == "seat into leak" and rng.random() < 0.5:
        found.after = found.seat * high / low  # the low gauge holds
    if fault.startswith("valve"):
        found.valve = way(high)
    if fault == "other gas":
        found.other = way(low)
    return found


def random_case(rng: random.Random) -> Case | None:
    """One simulated test; None when the dice made a station that nobody would test (gauges swapped by their errors)."""
    gas = rng.choice(GASES)
    celsius = rng.uniform(2.0 if gas in ("acetylene", "propane") else -8.0, 35.0)
    minutes = rng.choice((1.0, 2.0, 5.0, 5.0, 5.0, 10.0, 15.0, 30.0))
    air = rng.uniform(0.93e5, 1.04e5)
    high, low, high_step, low_step = _pressures(rng, gas, celsius + 273.15)
    hidden = random_hidden(rng, high + air, low + air)
    change = rng.gauss(0.0, 0.3 + 0.01 * minutes) if rng.random() < 0.95 else rng.uniform(3.0, 12.0)
    volumes = {"high": log_uniform(rng, 0.015e-3, 0.06e-3), "low": log_uniform(rng, 0.1e-3, 3e-3)}
    pressures, lost = _simulate(gas, hidden, high + air, low + air, volumes, celsius + 273.15, change, minutes * 60.0, air, rng)
    drift = rng.uniform(-1.0, 1.0) * 100.0 * minutes / 60.0  # Pa; up to 1 hPa an hour
    sides = {}
    for name, step in (("high", high_step), ("low", low_step)):
        start, end = _read(rng, step, *(p - a for p, a in zip(pressures[name], (air, air + drift), strict=True)))
        sides[name] = Side(name, volumes[name], start + air, end + air, step)  # type: ignore[arg-type]
    worth = {
        name: _worth(gas, volumes[name], pressures[name][0], step, celsius + 273.15) / (minutes * 60.0)
        for name, step in (("high", high_step), ("low", low_step))
    }
    screw = "in" if hidden.fault.startswith("screw") else "out"
    try:
        test = DropTest(
            load(gas),
            sides["high"],
            sides["low"],
            minutes * 60.0,
            _thermometer(rng, celsius, change),
            ACCEPTANCE,
            screw=screw,
            atmosphere=air,
        )  # type: ignore[arg-type]
    except InputError:
        return None
    return Case(test, hidden, lost, lost.pop("out"), worth)


def _pressures(rng: random.Random, gas: str, temperature: float) -> tuple[float, float, float, float]:
    """High and low pressure and the division of each gauge, Pa (gauge)."""
    if gas == "acetylene":
        return rng.uniform(3e5, 17e5), rng.uniform(0.2e5, 0.95e5), rng.choice((0.2e5, 0.5e5, 1e5)), rng.choice((0.01e5, 0.02e5, 0.05e5))
    if gas == "propane":  # a cylinder so near empty, or a vapour line so low, that no liquid is there
        full = coolprop.PropsSI("P", "T", temperature - 20.0, "Q", 1, "n-Propane") - 1.0e5
        return rng.uniform(0.6, 0.9) * full, rng.uniform(0.15, 0.5) * full, rng.choice((0.1e5, 0.2e5)), rng.choice((0.02e5, 0.05e5))
    return rng.uniform(20e5, 200e5), rng.uniform(1.5e5, 9e5), rng.choice((1e5, 2e5, 5e5)), rng.choice((0.02e5, 0.05e5, 0.1e5, 0.2e5))


def _simulate(
    gas: str, hidden: Hidden, high: float, low: float, volumes: dict[str, float], temperature: float, change: float, seconds: float,
    air: float, rng: random.Random,
) -> tuple[dict[str, tuple[float, float]], dict[str, float]]:  # fmt: skip
    """True absolute pressures before and after, and the mean loss of each side."""
    amount = {name: volumes[name] * density(gas, p, temperature) for name, p in (("high", high), ("low", low))}
    first, level = dict(amount), {"high": high, "low": low}
    cylinder, other, setting = high * rng.uniform(1.0, 1.05), low + rng.uniform(0.5e5, 3e5), low * rng.uniform(0.9, 1.0)
    step, out = seconds / STEPS, 0.0
    for number in range(STEPS):
        out += _one_step(hidden, amount, level, cylinder, other, setting, air, step)
        warm = temperature + change * (number + 1) / STEPS
        level = {name: pressure(gas, amount[name] / volumes[name], warm) for name in level}
    return {"high": (high, level["high"]), "low": (low, level["low"])}, {
        **{name: (first[name] - amount[name]) / seconds for name in amount},
        "out": out / seconds,
    }


def _one_step(
    hidden: Hidden,
    amount: dict[str, float],
    level: dict[str, float],
    cylinder: float,
    other: float,
    setting: float,
    air: float,
    step: float,
) -> float:
    """Move the gas of one step; gives what went outside [mol]."""

    def move(flow: float, source: str | None, target: str | None) -> float:
        moved = flow * step if source is None else min(flow * step, 0.2 * amount[source] * max(1.0 - air / level[source], 0.0))
        if source:
            amount[source] -= moved
        if target:
            amount[target] += moved
        return moved

    out = move(passes(hidden.before, level["high"], air, hidden.crack), "high", None)
    out += move(passes(hidden.after, level["low"], air, hidden.crack), "low", None)
    move(passes(hidden.seat, level["high"], level["low"], hidden.crack), "high", "low")
    move(passes(hidden.valve, cylinder, level["high"], True), None, "high")
    move(passes(hidden.other, other, level["low"], hidden.crack), None, "low")
    if hidden.fault.startswith("screw") and level["low"] < setting < level["high"]:
        move(amount["low"] * (setting / level["low"] - 1.0) / step, "high", "low")
    return out


def _read(rng: random.Random, step: float, start: float, end: float) -> tuple[float, float]:
    """Both readings of one gauge: an offset and a span it keeps, a little wander, and the nearest division."""
    offset, span = rng.uniform(-0.5, 0.5) * step, 1.0 + rng.gauss(0.0, 0.007)
    wander = rng.uniform(-0.05, 0.05) * step
    first = max(start * span + offset, 0.0)
    last = max(end * span + offset + wander, 0.0)
    return round(first / step) * step, round(last / step) * step


def _worth(gas: str, volume: float, at: float, step: float, temperature: float) -> float:
    around = 0.005 * at
    return volume * (density(gas, at + around, temperature) - density(gas, at - around, temperature)) / (2.0 * around) * step


def _thermometer(rng: random.Random, celsius: float, change: float) -> Temperatures | None:
    """Read to a tenth or to a degree, each reading a little off, the gas not quite following; or not read at all."""
    if rng.random() < 0.25 and abs(change) < 1.0:
        return None
    digit = rng.choice((0.1, 1.0))
    seen = change * rng.gauss(1.0, 0.08)
    start, end = (round((value + rng.gauss(0.0, 0.12)) / digit) * digit for value in (celsius, celsius + seen))
    return Temperatures(start + 273.15, end + 273.15, 0.5 * digit * math.sqrt(2.0))


@dataclass
class Tally:
    """What is counted over all cases."""

    sides: int = 0
    held: int = 0
    widths: list[float] = field(default_factory=list)  # in divisions' worth
    floors: list[float] = field(default_factory=list)
    still_over_floor: int = 0
    seats_over_floor: int = 0
    seats_passed: int = 0
    small_seats_passed: list[float] = field(default_factory=list)  # mol/s
    worst_go: float = 0.0  # mol/s, the largest leak or seat of any kind under a go
    behind_valve: float = 0.0  # mol/s, the largest leak to the outside that a passing cylinder valve hid under a go
    behind_seat: float = 0.0  # the same, fed by a passing seat
    named: Counter[str] = field(default_factory=Counter)
    loud: Counter[str] = field(default_factory=Counter)
    blind: int = 0
    read: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    verdicts: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))

    def add(self, case: Case, found: DropReading) -> None:
        loud = False
        for name, leak, floor in (("high", found.high_leak, found.high_floor), ("low", found.low_leak, found.low_floor)):
            if leak.low is None or leak.high is None or floor.value is None:
                self.blind += 1
                continue
            lost, worth = case.lost[name], case.worth[name]
            self.sides += 1
            self.held += leak.low <= lost <= leak.high
            self.widths.append((leak.high - leak.low) / worth)
            self.floors.append(floor.value / worth)
            over = abs(lost) > floor.value
            loud = loud or over
            self.still_over_floor += over and found.reading == "no movement seen"
        self.read[case.hidden.fault][found.reading if loud or "tight" in case.hidden.fault else f"(under the floor) {found.reading}"] += 1
        self.verdicts[case.hidden.fault][found.verdict] += 1
        if loud and (names := NAMES.get(case.hidden.fault)):
            self.loud[case.hidden.fault] += 1
            self.named[case.hidden.fault] += bool(names & {found.reading, *found.also_possible})
        if found.verdict == "go":
            self.worst_go = max(self.worst_go, *(abs(lost) for lost in case.lost.values()))
            if case.hidden.fault == "valve and leak":
                self.behind_valve = max(self.behind_valve, case.out)
            if case.hidden.fault == "seat into leak":
                self.behind_seat = max(self.behind_seat, case.out)
        self._seat(case, found)

    def _seat(self, case: Case, found: DropReading) -> None:
        if case.hidden.fault != "seat":
            return
        gained = -case.lost["low"]
        if found.low_floor.value is not None and gained > found.low_floor.value:
            self.seats_over_floor += 1
            self.seats_passed += found.verdict == "go"
        elif found.verdict == "go":
            self.small_seats_passed.append(gained)

    @property
    def under_four(self) -> float:
        return sum(floor < 4.0 for floor in self.floors) / len(self.floors)

    @property
    def good(self) -> bool:
        """The bounds the project set itself."""
        return (
            self.held >= 0.95 * self.sides
            and statistics.median(self.widths) < 4.0
            and statistics.median(self.floors) < 4.0
            and self.still_over_floor == 0
            and self.seats_passed == 0
            and self.worst_go < 1.05 * ACCEPTANCE
        )


def run(count: int, seed: int = 1) -> Tally:
    """Simulate and read that many tests."""
    rng, tally = random.Random(seed), Tally()
    done = 0
    while done < count:
        if case := random_case(rng):
            tally.add(case, read_drop(case.test))
            done += 1
    return tally


def litres(amount: float) -> float:
    """Normal L/h of mol/s."""
    return amount * 22.41397 * 3600.0


def main(count: int, seed: int = 1) -> int:
    """Run, print, and return the exit code."""
    begun = time.perf_counter()
    tally = run(count, seed)
    quarter = statistics.quantiles(tally.widths, n=20)
    print(f"{count} stations, {tally.sides} sides read, {tally.blind} could hold liquid; {time.perf_counter() - begun:.0f} s")
    print(f"band holds the true leak: {100 * tally.held / tally.sides:.2f} % (bound 95)")
    print(f"band width in divisions' worth: median {statistics.median(tally.widths):.2f} (bound 4), 95 % under {quarter[-1]:.1f}")
    floors = sorted(tally.floors)
    print(
        f"floor in divisions' worth: median {floors[len(floors) // 2]:.2f} (bound 4), under 4 in {100 * tally.under_four:.1f} %, most {floors[-1]:.1f}"
    )
    print(f"leaks over the floor called still: {tally.still_over_floor}")
    print(f"passing seats over the floor: {tally.seats_over_floor}, of them go: {tally.seats_passed}")
    print(
        f"passing seats under the floor that got a go: {len(tally.small_seats_passed)}, the largest {litres(max(tally.small_seats_passed, default=0.0)):.2f} L/h"
    )
    print(f"largest loss or gain of a side under a go: {litres(tally.worst_go):.2f} L/h (rejected from {litres(ACCEPTANCE):.1f})")
    print(
        f"largest leak outside under a go, fed by a passing cylinder valve: {litres(tally.behind_valve):.2f} L/h (no gauge shows it: bleed, shut, watch)"
    )
    print(f"largest leak outside under a go, fed by a passing seat: {litres(tally.behind_seat):.2f} L/h")
    for fault in FAULTS:
        if tally.loud[fault]:
            print(f"{fault}: named in {100 * tally.named[fault] / tally.loud[fault]:.1f} % of {tally.loud[fault]} over the floor")
        print(f"{fault}: {dict(tally.verdicts[fault].most_common())}")
        for reading, number in tally.read[fault].most_common(6):
            print(f"{number:8d}  {reading}")
    return int(not tally.good)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000, int(sys.argv[2]) if len(sys.argv) > 2 else 1))
