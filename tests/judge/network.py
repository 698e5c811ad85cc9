"""The tip as a network of openings: fitted to the chart's row in ordinary air, then solved at other pressures and in another air.

Cutting jet straight to the air; preheat oxygen and fuel each through an opening into the mixing point, and from there through the ports.
Only the mixing point's pressure is in no chart: a share of the fuel's gauge pressure, 0.2 to 0.8 (decision 13).
"""

from dataclasses import dataclass, replace
from functools import cached_property

from tests.judge.gases import Gas
from tests.judge.march import carried, march, opening_flux
from tests.judge.reading import ATM, Band, Case, R
from tests.judge.root import root
from tests.judge.tip import Work

SHARES = (0.2, 0.5, 0.8)


@dataclass(frozen=True)
class Flows:
    """kg/s, and whether the fuel goes in."""

    cutting: float
    preheat: float
    fuel: float
    blocked: bool


def mixed(a: Gas, b: Gas, a_moles: float, b_moles: float) -> Gas:
    share = a_moles / (a_moles + b_moles)
    mass = share * a.mass + (1 - share) * b.mass
    cv = share * R / (a.gamma - 1) + (1 - share) * R / (b.gamma - 1)
    return Gas(mass, 0.0, 1 + R / cv, 0.0, a.temperature)


@dataclass
class Tip:
    case: Case
    job: Work
    share: float

    @cached_property
    def oxygen(self) -> Gas:
        return carried(self.case, "oxygen")

    @cached_property
    def fuel(self) -> Gas:
        return carried(self.case, "fuel")

    @cached_property
    def areas(self) -> tuple[float, float, float, float]:
        """Of cutting jet, preheat oxygen, fuel and ports, m2 of perfect openings."""
        figures = self.job.row.figures
        oxygen, fuel = figures["oxygen pressure"].value + ATM, figures["fuel pressure"].value + ATM
        mix = ATM + self.share * (fuel - ATM)
        cutting = figures["cutting oxygen"].value * self.oxygen.mass if "cutting oxygen" in figures else 0.0
        preheat, burnt = figures["preheat oxygen"].value, figures["fuel flow"].value
        out = mixed(self.oxygen, self.fuel, preheat, burnt)
        return (
            cutting / opening_flux(self.oxygen, oxygen, ATM),
            preheat * self.oxygen.mass / opening_flux(self.oxygen, oxygen, mix),
            burnt * self.fuel.mass / opening_flux(self.fuel, fuel, mix),
            (preheat * self.oxygen.mass + burnt * self.fuel.mass) / opening_flux(out, mix, ATM),
        )

    def flows(self, oxygen: float, fuel: float) -> Flows:
        """At absolute pressures at the torch."""
        air = self.case.air
        jet, inlet, mouth, ports = self.areas

        def sides(mix: float) -> tuple[float, float, float]:
            preheat = inlet * opening_flux(self.oxygen, oxygen, mix) if oxygen > mix else 0.0
            burnt = mouth * opening_flux(self.fuel, fuel, mix) if fuel > mix else 0.0
            if mix <= air:
                return preheat, burnt, 0.0
            entering = preheat + burnt > 0
            out = mixed(self.oxygen, self.fuel, preheat / self.oxygen.mass, burnt / self.fuel.mass) if entering else self.oxygen
            return preheat, burnt, ports * opening_flux(out, mix, air)

        def over(mix: float) -> float:
            preheat, burnt, out = sides(mix)
            return preheat + burnt - out

        middle = root(over, air, max(oxygen, fuel), lambda value, width: abs(value) < 1e-12 or width < 0.01, looks=60)
        preheat, burnt, _ = sides(middle)
        cutting = jet * opening_flux(self.oxygen, oxygen, air) if oxygen > air and jet else 0.0
        return Flows(cutting, preheat, burnt, burnt <= 1e-4 * preheat)


def in_this_air(case: Case, job: Work) -> Work:
    """The job with its flows in the station's own air: the gauge at the chart's pressures, the openings fitted in ordinary air (decision 30)."""
    figures = job.row.figures
    oxygen, fuel = figures["oxygen pressure"].value, figures["fuel pressure"].value
    factors: dict[str, list[float]] = {"cutting": [], "preheat": [], "fuel_flow": []}
    for share in (0.5, 0.2, 0.8):
        tip = Tip(case, job, share)
        here = tip.flows(oxygen + case.air, fuel + case.air)
        charted = (job.cutting.value * tip.oxygen.mass, job.preheat.value * tip.oxygen.mass, job.fuel_flow.value * tip.fuel.mass)
        for name, flow, chart in zip(factors, (here.cutting, here.preheat, here.fuel), charted, strict=True):
            factors[name].append(flow / chart if chart else 1.0)
    bands = {name: getattr(job, name) for name in factors}
    scaled = {name: Band(b.value * factors[name][0], b.low * min(factors[name]), b.high * max(factors[name])) for name, b in bands.items()}
    return replace(job, **scaled)


def solve(tip: Tip, oxygen_set: float, fuel_set: float, oxygen_corner: int, fuel_corner: int) -> tuple[float, float, Flows] | None:
    """Gauge pressures at the torch and the flows where both lines give what their regulators are set to; None where no answer is found."""
    case = tip.case
    corners = {"oxygen": oxygen_corner, "fuel": fuel_corner}
    at = [oxygen_set * 0.95, fuel_set * 0.97]

    def miss(oxygen: float, fuel: float) -> tuple[float, float, Flows]:
        flows = tip.flows(oxygen + case.air, fuel + case.air)
        needed = [
            march(case, line, mass, torch, corners[line])[-1].inlet - case.air
            for line, mass, torch in (("oxygen", flows.cutting + flows.preheat, oxygen), ("fuel", flows.fuel, fuel))
        ]
        return needed[0] - oxygen_set, needed[1] - fuel_set, flows

    for _ in range(40):
        a, b, flows = miss(*at)
        if abs(a) < 2.0 and abs(b) < 2.0:
            return at[0], at[1], flows
        d = [max(20.0, abs(one) * 1e-5) for one in at]
        a_o, b_o, _ = miss(at[0] + d[0], at[1])
        a_f, b_f, _ = miss(at[0], at[1] + d[1])
        j = [[(a_o - a) / d[0], (a_f - a) / d[1]], [(b_o - b) / d[0], (b_f - b) / d[1]]]
        det = j[0][0] * j[1][1] - j[0][1] * j[1][0]
        if abs(det) < 1e-12:
            return None
        steps = [(a * j[1][1] - b * j[0][1]) / det, (b * j[0][0] - a * j[1][0]) / det]
        for i, top in ((0, oxygen_set), (1, fuel_set)):
            step = max(-0.3 * top, min(0.3 * top, steps[i]))
            at[i] = min(max(at[i] - step, 0.02 * top), top)
    return None
