"""One line from the torch back to the regulator, by another way than the program's.

A hose: the momentum equation of isothermal flow with the real gas's density in the integral, int rho dp - G2 ln(rho1/rho2) = G2 (f L/D + K)/2,
solved for the inlet by safeguarded Newton. A part: ISO 6358's ellipse or a sharp opening, each solved for its inlet by bisection's kin.
Corners: kind asks least of the regulator, unkind most.
"""

import math
from dataclasses import dataclass

from tests.judge.gases import Gas, gas
from tests.judge.reading import ATM, FLOW, LENGTH, PRESSURE, SHARE, Case, Table, si
from tests.judge.root import root

CORNERS = {"kind": 0, "value": 1, "unkind": 2}
# Typed again from the written contract (data/defaults.toml and decisions 12, 33, 37), kind, taken, unkind.
ROUGHNESS = (0.0, 0.01e-3, 0.03e-3)
TAILS = (0.0, 6.0, 8.0)
SHARES = {"arrestor": (0.75, 0.62, 0.45), "check valve": (0.85, 0.7, 0.55), "valve": (1.0, 0.8, 0.7), "coupling": (1.0, 0.8, 0.7)}
CRITICAL = (0.2, 0.3, 0.5)  # of a part with one point: what elements of ISO 6358 have, from memory
SPRING = (500.0, 1500.0, 4000.0)  # Pa
LAMINAR, TURBULENT = 2000.0, 4000.0


@dataclass(frozen=True)
class Step:
    """One part with what it took: pressures absolute."""

    index: int
    kind: str
    inlet: float
    outlet: float
    choked: bool


def friction(reynolds: float, rough: float) -> float:
    """Darcy's factor: 64/Re, Colebrook by fixed point, and straight between the two."""
    if reynolds <= LAMINAR:
        return 64 / reynolds
    if reynolds < TURBULENT:
        share = (reynolds - LAMINAR) / (TURBULENT - LAMINAR)
        return (1 - share) * 64 / LAMINAR + share * friction(TURBULENT, rough)
    x = 8.0
    for _ in range(20):
        new = -2 * math.log10(rough / 3.7 + 2.51 * x / reynolds)
        if abs(new - x) < 1e-10:
            break
        x = new
    return 1 / new**2


def hose_inlet(of: Gas, mass: float, outlet: float, bore: float, length: float, rough: float, tails: float) -> tuple[float, bool]:
    """The absolute inlet pressure of a pipe, and whether the outlet lies under what the speed of sound leaves."""
    if mass <= 0:
        return outlet, False
    area = math.pi * bore**2 / 4
    flux = mass / area
    reynolds = flux * bore / of.viscosity
    wanted = flux**2 / 2 * (friction(reynolds, rough / bore) * length / bore + tails)
    rt = outlet / of.density(outlet)
    choked = outlet < flux * math.sqrt(rt)
    outlet = max(outlet, flux * math.sqrt(rt))
    start = of.density(outlet)
    inlet = math.sqrt(outlet**2 + 2 * wanted * rt)
    for _ in range(40):
        middle = (outlet + inlet) / 2  # Simpson over the density, nearly a straight line
        integral = (inlet - outlet) / 6 * (start + 4 * of.density(middle) + of.density(inlet))
        miss = integral - flux**2 * math.log(of.density(inlet) / start) - wanted
        slope = of.density(inlet) - flux**2 / inlet
        step = miss / slope if slope > 0 else inlet / 2
        inlet = max(inlet - step, outlet)
        if abs(step) < 1e-9 * inlet:
            break
    return inlet, choked


def opening_flux(of: Gas, inlet: float, outlet: float) -> float:
    """kg/s through one square metre of a perfect opening (St Venant and Wantzel)."""
    g = of.gamma
    ratio = max(outlet / inlet, (2 / (g + 1)) ** (g / (g - 1)))
    if ratio >= 1:
        return 0.0
    density = inlet * of.mass / (8.314462618 * of.temperature)
    return math.sqrt(2 * g / (g - 1) * inlet * density * (ratio ** (2 / g) - ratio ** ((g + 1) / g)))


def _solve_inlet(flow, outlet: float, mass: float) -> float:
    """The inlet at which a rising flow(inlet, outlet) comes to `mass`: secant in a bracket (Illinois)."""
    low, high = outlet, outlet * 1.01 + 10
    while flow(high, outlet) < mass:
        low, high = high, outlet + (high - outlet) * 3
    return root(lambda at: flow(at, outlet) ** 2 - mass**2, low, high, lambda value, _: abs(value) < 1e-10 * mass**2, looks=80)


def ellipse(conductance: float, critical: float, inlet: float, outlet: float) -> float:
    """ISO 6358: flow for a conductance in flow for each pascal of inlet."""
    ratio = outlet / inlet
    if ratio <= critical:
        return conductance * inlet
    return conductance * inlet * math.sqrt(max(0.0, 1 - ((ratio - critical) / (1 - critical)) ** 2))


def sonic(of: Gas) -> float:
    """Sonic flow of an opening but for pressure, mass and temperature: what the ratio of heats makes of it."""
    return math.sqrt(of.gamma) * (2 / (of.gamma + 1)) ** ((of.gamma + 1) / (2 * (of.gamma - 1)))


def through(of: Gas, part: Table, corner: int) -> tuple[float, float]:
    """Conductance [kg/s for each Pa] and critical ratio of a part known by one point of its curve, for another gas than the point's.

    Sonic flow goes with the ratio of heats; the loss at a small drop, C2/(1 - b), does not. So the critical ratio moves.
    """
    [point] = part["flow_points"]
    test = gas(point.get("gas", "air"), 293.15)
    inlet = si(point["inlet"], PRESSURE) + ATM
    flow = si(point["flow"], FLOW) * test.mass
    critical = CRITICAL[corner]
    conductance = flow / ellipse(1.0, critical, inlet, inlet - si(point["drop"], PRESSURE))
    ratio = sonic(of) / sonic(test)
    return conductance * ratio * math.sqrt(of.mass / test.mass * 293.15 / of.temperature), 1 - (1 - critical) * ratio**2


def part_inlet(of: Gas, part: Table, mass: float, outlet: float, near_bore: float, corner: int) -> float:
    """The inlet of an arrestor, valve or coupling, absolute."""
    unknown = not any(key in part for key in ("flow_points", "sonic_conductance", "equivalent_bore"))
    spring = si(part["cracking"], PRESSURE) if "cracking" in part else 0.0
    if unknown and part["kind"] in ("arrestor", "check valve") and "cracking" not in part:
        spring = SPRING[corner]
    if "flow_points" in part:
        conductance, critical = through(of, part, corner)
        return _solve_inlet(lambda a, b: ellipse(conductance, critical, a, b), outlet, mass) + spring
    bore = si(part["equivalent_bore"], LENGTH) if "equivalent_bore" in part else SHARES[part["kind"]][corner] * near_bore
    area = math.pi * bore**2 / 4 * si(part.get("coefficient", 0.6), SHARE)
    return _solve_inlet(lambda a, b: area * opening_flux(of, a, b), outlet, mass) + spring


def bore_of(part: Table, corner: int) -> float:
    bore = si(part["bore"], LENGTH)
    off = si(part["bore_tolerance"], LENGTH) if "bore_tolerance" in part else 0.5 * (0.00055 if bore < 0.007999 else 0.00065)
    return bore + (off, 0.0, -off)[corner]


def carried(case: Case, line: str) -> Gas:
    if line == "oxygen":
        return gas("oxygen", case.temperature)
    piped = case.file["fuel"]["supply"].get("kind", "cylinders") != "cylinders"
    return gas("lpg in a pipe" if piped and case.fuel == "lpg" else case.fuel, case.temperature)


def march(case: Case, line: str, mass: float, torch: float, corner: int) -> list[Step]:
    """From the torch inlet (gauge) up to the regulator's outlet, the last step first; corner 0 kind, 1 taken, 2 unkind."""
    of = carried(case, line)
    parts = case.file[line]["part"]
    pressure = torch + case.air
    found = []
    for index in range(len(parts) - 1, -1, -1):
        part, outlet, choked = parts[index], pressure, False
        if part["kind"] == "hose":
            rough = si(part["roughness"], LENGTH) if "roughness" in part else ROUGHNESS[corner]
            tails = float(part["fittings"]) if "fittings" in part else TAILS[corner]
            pressure, choked = hose_inlet(of, mass, outlet, bore_of(part, corner), si(part["length"], LENGTH), rough, tails)
        elif mass > 0:
            pressure = part_inlet(of, part, mass, outlet, narrowest(parts), corner)
            choked = outlet / pressure < (
                CRITICAL[corner] if "flow_points" in part else (2 / (of.gamma + 1)) ** (of.gamma / (of.gamma - 1))
            )
        found.append(Step(index, part["kind"], pressure, outlet, choked))
    return found


def narrowest(parts: list[Table]) -> float:
    """A part of unknown flow is taken by the line's narrowest hose: the unkind guess of the two it may be made for."""
    return min(si(part["bore"], LENGTH) for part in parts if part["kind"] == "hose")
