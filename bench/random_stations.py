"""Solve many random stations and say how every one ended.

    python bench/random_stations.py 100000 [seed]

Prints counts by state, the worst residual at the regulators, the worst mass closure at the mixing point and through the parts,
and the time a solve takes. Exits 1 when a station did not solve or a residual is over its bound.
"""

import math
import random
import sys
import time
from collections import Counter

from steadycone.physics.flow import Hose, Injector, Line, Openings, Orifice, Resistance, Solution, Station, Stream, profiles, solve
from steadycone.physics.flow.mixer import mixing_pressure_slopes
from steadycone.physics.flow.orifice import mass_flow

GAS_CONSTANT = 8.314462618
ATMOSPHERE = 101325.0
# molar mass, gamma, viscosity at 20 °C, second virial coefficient [m³/mol]: round figures, only to have gases to solve for
GASES = {
    "oxygen": (0.0319988, 1.397, 2.03e-5, -1.7e-5),
    "acetylene": (0.0260373, 1.235, 1.02e-5, -1.67e-4),
    "propane": (0.0440956, 1.139, 8.0e-6, -4.1e-4),
    "methane": (0.0160425, 1.308, 1.10e-5, -4.5e-5),
    "hydrogen": (0.0020159, 1.406, 8.8e-6, 1.4e-5),
}


def stream(name: str, temperature: float = 293.15) -> Stream:
    """One of the bench's own gases."""
    molar_mass, gamma, viscosity, virial = GASES[name]
    return Stream(molar_mass, GAS_CONSTANT / molar_mass, gamma, viscosity, temperature, virial / (GAS_CONSTANT * temperature))


def random_line(rng: random.Random, gas: Stream) -> Line:
    """A hose, with up to two arrestors and a check valve around it."""
    parts: list[Hose | Resistance | Orifice] = []
    if rng.random() < 0.7:
        parts.append(Resistance(gas, _log(rng, 2e-9, 4e-8), rng.uniform(0.1, 0.5)))
    bore = rng.choice((0.0032, 0.005, 0.0063, 0.008, 0.01))
    parts.append(Hose(gas, bore, _log(rng, 1.0, 100.0), rng.uniform(0.0, 3e-5), rng.uniform(0.0, 8.0)))
    if rng.random() < 0.5:
        parts.append(Resistance(gas, _log(rng, 2e-9, 4e-8), rng.uniform(0.1, 0.5), rng.uniform(500.0, 3000.0)))
    if rng.random() < 0.5:
        parts.append(Orifice(gas, 0.6 * math.pi / 4.0 * rng.uniform(0.0015, 0.005) ** 2))
    return Line(tuple(parts))


def random_station(rng: random.Random) -> tuple[Station, float, float, float | None]:
    """A station and its oxygen, fuel and (three hoses) preheat pressure; many of them are badly set on purpose."""
    oxygen, fuel = stream("oxygen"), stream(rng.choice(("acetylene", "propane", "methane", "hydrogen")))
    port = _log(rng, 2e-7, 2e-5)
    openings = Openings(
        oxygen_area=port * _log(rng, 0.05, 2.0),
        fuel_area=port * _log(rng, 0.1, 4.0),
        port_area=port,
        cutting_area=_log(rng, 2e-7, 8e-6) if rng.random() < 0.6 else 0.0,
        injector=Injector(rng.uniform(0.3, 0.8) / (2.5 * port), 2.5 * port) if rng.random() < 0.3 else None,
    )
    third = random_line(rng, oxygen) if rng.random() < 0.1 else None
    made = Station(random_line(rng, oxygen), random_line(rng, fuel), openings, oxygen, fuel, ATMOSPHERE, third)
    preheat = ATMOSPHERE + _log(rng, 2e4, 6e5) if third is not None else None
    return made, ATMOSPHERE + _log(rng, 2e4, 1.2e6), ATMOSPHERE + _log(rng, 1e3, 3e5), preheat


def residual(station: Station, solution: Solution, oxygen: float, fuel: float, preheat: float | None) -> float:
    """Worst relative miss of the marched regulator pressures, of the lines that flow."""
    misses = [0.0]
    lines = profiles(station, solution)
    for profile, given in zip(lines, (oxygen, fuel, preheat), strict=True):
        if profile is not None and given is not None and profile.mass_flow > 0.0:
            misses.append(abs(profile.inlet / given - 1.0))
    return max(misses)


def mass_closure(station: Station, solution: Solution) -> float:
    """Worst relative miss of flows recomputed from pressures alone: openings, port, and continuity at the mixing point."""
    shares = [0.0]
    mixed = solution.fuel_flow + solution.preheat_flow
    if mixed > 0.0:
        pressure = mixing_pressure_slopes(
            station.atmosphere, solution.fuel_flow, solution.preheat_flow, station.openings.port_area, station.fuel, station.oxygen
        )[0]
        shares.append(pressure / solution.mixing_pressure - 1.0)
    leg_torch = solution.oxygen_torch_pressure if solution.preheat_torch_pressure is None else solution.preheat_torch_pressure
    if solution.preheat_flow > 0.0:
        through = mass_flow(leg_torch, solution.mixing_pressure, station.openings.oxygen_area, station.oxygen)
        shares.append((through - solution.preheat_flow) / mixed)
    if solution.fuel_flow > 0.0 and station.openings.injector is None:
        through = mass_flow(solution.fuel_torch_pressure, solution.mixing_pressure, station.openings.fuel_area, station.fuel)
        shares.append((through - solution.fuel_flow) / mixed)
    if solution.cutting_flow > 0.0:
        through = mass_flow(solution.oxygen_torch_pressure, station.atmosphere, station.openings.cutting_area, station.oxygen)
        shares.append(through / solution.cutting_flow - 1.0)
    return max(abs(share) for share in shares)


def main(count: int, seed: int = 1) -> int:
    """Run, print, and return the exit code."""
    rng = random.Random(seed)
    states: Counter[str] = Counter()
    fallbacks = 0
    worst_residual = worst_mass = spent = 0.0
    for _ in range(count):
        station, oxygen, fuel, preheat = random_station(rng)
        start = time.perf_counter()
        solution = solve(station, oxygen, fuel, preheat)
        spent += time.perf_counter() - start
        states[solution.state + (f" ({solution.push})" if solution.push else "")] += 1
        fallbacks += solution.iterations == 0 and solution.fuel_flow > 0.0 and solution.preheat_flow > 0.0
        worst_residual = max(worst_residual, residual(station, solution, oxygen, fuel, preheat))
        worst_mass = max(worst_mass, mass_closure(station, solution))
    for name, number in states.most_common():
        print(f"{number:8d}  {name}")
    print(f"{fallbacks:8d}  of the flowing ones needed the bracket")
    print(f"worst residual at a regulator {worst_residual:.1e}, worst mass closure {worst_mass:.1e}, {spent / count * 1e6:.0f} us a solve")
    return int(worst_residual > 1e-9 or worst_mass > 1e-9 or not math.isfinite(worst_residual + worst_mass))


def _log(rng: random.Random, low: float, high: float) -> float:
    return low * (high / low) ** rng.random()


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000, int(sys.argv[2]) if len(sys.argv) > 2 else 1))
