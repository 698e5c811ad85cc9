"""Time a march and a solve, beside a general pipe-network library on the same two hoses.

    python bench/flow.py

Medians of many runs in microseconds. The library is pandapipes, if it is installed (requirements/bench.in); it has no torch
openings, so it is asked for less: two hoses with known flows.
"""

import importlib.util
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

from steadycone.physics.flow import Hose, Line, Resistance, Station, fit_openings, march_up, solve

sys.path.insert(0, str(Path(__file__).parent))
from random_stations import ATMOSPHERE, stream

BORE, LENGTH, ROUGHNESS = 0.0063, 15.0, 1e-5


def full_station() -> Station:
    """Both lines with arrestor, hose, check valve, arrestor; a cutting torch."""

    def line(name: str) -> Line:
        gas = stream(name)
        arrestor = Resistance(gas, 3e-8, 0.3)
        return Line((arrestor, Hose(gas, BORE, LENGTH, ROUGHNESS, 6.0), Resistance(gas, 4e-8, 0.3, 1000.0), arrestor))

    # an invented row: 3.0 and 0.4 bar gauge at the torch inlet; 0.8 m³/h fuel, 0.9 preheat and 4.5 cutting oxygen
    oxygen, fuel, normal = stream("oxygen"), stream("acetylene"), 1.0 / 3600.0 / 22.41397e-3
    flows = 0.9 * normal * oxygen.molar_mass, 0.8 * normal * fuel.molar_mass, 4.5 * normal * oxygen.molar_mass
    openings = fit_openings(ATMOSPHERE + 3e5, ATMOSPHERE + 4e4, *flows, ATMOSPHERE + 2e4, ATMOSPHERE, oxygen, fuel)
    return Station(line("oxygen"), line("acetylene"), openings, oxygen, fuel, ATMOSPHERE)


def median_microseconds(call: Callable[[], object], runs: int = 50, repeat: int = 40) -> float:
    """Median over `runs` of the mean of `repeat` calls."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        for _ in range(repeat):
            call()
        times.append((time.perf_counter() - start) / repeat)
    return statistics.median(times) * 1e6


def library_microseconds(oxygen_flow: float, fuel_flow: float) -> float | None:
    """The general library on both hoses, one net a gas as it knows one fluid a net; None when it is not installed."""
    if importlib.util.find_spec("pandapipes") is None:
        return None
    import pandapipes

    nets = []
    for fluid, flow, pressure in (("oxygen", oxygen_flow, 4.5), ("acetylene", fuel_flow, 1.5)):
        gas = stream(fluid)
        net = pandapipes.create_empty_network()
        density = gas.density(101325.0) * gas.temperature / 273.15
        pandapipes.create_fluid_from_lib(net, "methane", overwrite=True)
        net.fluid.add_property(
            "molar_mass", pandapipes.FluidPropertyConstant(gas.molar_mass * 1e3), overwrite=True, warn_on_duplicates=False
        )
        net.fluid.add_property("viscosity", pandapipes.FluidPropertyConstant(gas.viscosity), overwrite=True, warn_on_duplicates=False)
        net.fluid.add_property("density", pandapipes.FluidPropertyConstant(density), overwrite=True, warn_on_duplicates=False)
        start, end = (pandapipes.create_junction(net, pn_bar=pressure, tfluid_k=gas.temperature) for _ in range(2))
        pandapipes.create_ext_grid(net, start, p_bar=pressure - ATMOSPHERE / 1e5, t_k=gas.temperature)
        pandapipes.create_pipe_from_parameters(net, start, end, LENGTH / 1e3, inner_diameter_mm=BORE * 1e3, k_mm=ROUGHNESS * 1e3)
        pandapipes.create_sink(net, end, mdot_kg_per_s=flow)
        nets.append(net)

    def both() -> None:
        for net in nets:
            pandapipes.pipeflow(net, friction_model="colebrook")

    return median_microseconds(both, runs=5, repeat=2)


def main() -> None:
    """Print the table."""
    station = full_station()
    oxygen, fuel = ATMOSPHERE + 3.5e5, ATMOSPHERE + 0.5e5
    answer = solve(station, oxygen, fuel)

    def both_lines() -> None:
        march_up(station.oxygen_line, answer.oxygen_torch_pressure, answer.oxygen_flow)
        march_up(station.fuel_line, answer.fuel_torch_pressure, answer.fuel_flow)

    def hoses_alone() -> None:
        station.oxygen_line.elements[1].upstream(answer.oxygen_torch_pressure, answer.oxygen_flow)
        station.fuel_line.elements[1].upstream(answer.fuel_torch_pressure, answer.fuel_flow)

    solving = median_microseconds(lambda: solve(station, oxygen, fuel))
    print(f"{'two hoses alone':46s}{median_microseconds(hoses_alone):12.1f} us")
    print(f"{'march of both lines, four parts each':46s}{median_microseconds(both_lines):12.1f} us   (to beat: 20)")
    print(f"{f'solve from the gauges, {answer.iterations} evaluations':46s}{solving:12.1f} us   (to beat: 100)")
    library = library_microseconds(answer.oxygen_flow, answer.fuel_flow)
    if library is None:
        print("pandapipes: not installed. Install it with: pip install -r requirements/bench.txt")
    else:
        print(f"{'pandapipes, two hoses at known flows':46s}{library:12.1f} us")


if __name__ == "__main__":
    main()
