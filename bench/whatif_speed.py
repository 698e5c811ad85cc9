"""The one-dimensional hose: how fast, how it converges, and whether it ever loses a mole or a sign.

    python bench/whatif_speed.py [--random 10000]

Prints its tables. Speed and error are of the same problem in one run: 60 s of 15 m of 6.3 mm hose, oxygen
at 2.5 bar into acetylene at 0.35 bar, locked up or with its far end open. scipy's Radau gets the same right-hand side in numpy.
"""

import argparse
import sys
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.hose_lines import push_lines
from tests.whatif_hoses import random_case, reference_case

from steadycone.card.make import make_card
from steadycone.files.read import read_setup
from steadycone.physics.transient.hose_1d import Run, push
from steadycone.whatif.run import answer

ROOT = Path(__file__).parents[1]
TIMES = [0.5, 1.0, 2.0, 4.0, 8.0, 60.0]
LIMITS = (0.01, 0.975)


def best(call: Callable[[], object], runs: int) -> float:
    """Seconds of the fastest of some runs."""
    found = []
    for _ in range(runs):
        start = time.perf_counter()
        call()
        found.append(time.perf_counter() - start)
    return min(found)


def marched(cells: int, open_end: float | None, times: list[float], area: float = 1.5e-7) -> Run:
    case = reference_case(area, open_end=open_end)
    return push(case.bore, case.pair, case.feed, case.start, times, open_end=open_end, limits=LIMITS, cells=cells)


def convergence(open_end: float | None) -> None:
    print(
        f"\nConvergence, {'far end open' if open_end else 'locked up'}: front [m], torch pressure [Pa], burnable [m]; last column: steps to 60 s"
    )
    for cells in (25, 50, 100, 200, 400):
        run = marched(cells, open_end, TIMES)
        cells_told = "  ".join(f"{p.time:g}s {p.front:8.4f} {p.pressure[0]:8.0f} {p.burnable:5.2f}" for p in run.profiles[:5])
        print(f"  {cells:4d}  {cells_told}  {run.steps}")


def errors(fronts: list[float], exact: list[float]) -> float:
    return max(abs(a - b) for a, b in zip(fronts, exact, strict=True))


def speed() -> None:
    case = reference_case()
    exact = list(push_lines(case.bore, case.pair, case.feed, case.start, TIMES, cells=200, rtol=1e-6).front)
    print("\nSpeed, 60 s locked up; front error: largest over the times against Radau at rtol 1e-6 on 200 cells")
    ours = {}
    for cells in (50, 100):
        error = errors([p.front for p in marched(cells, None, TIMES).profiles], exact)
        ours[cells] = best(lambda cells=cells: marched(cells, None, TIMES), 15), error  # type: ignore[misc]
        print(f"  this march, {cells:3d} cells          {1e3 * ours[cells][0]:9.1f} ms   front error {error:.4f} m")
    for cells in (50, 100):
        for rtol in (1e-1, 3e-2, 1e-2, 1e-3):
            lines = push_lines(case.bore, case.pair, case.feed, case.start, TIMES, cells=cells, rtol=rtol)
            error = errors(list(lines.front), exact)
            took = best(lambda c=cells, r=rtol: push_lines(case.bore, case.pair, case.feed, case.start, TIMES, cells=c, rtol=r), 2)  # type: ignore[misc]
            print(
                f"  Radau, {cells:3d} cells, rtol {rtol:5.0e}  {1e3 * took:9.1f} ms   front error {error:.4f} m   {took / ours[cells][0]:5.0f} times"
            )
    for area in (1.5e-7, 5e-7):
        took = best(lambda a=area: marched(100, 101325.0, [60.0], a), 5)  # type: ignore[misc]
        print(f"  this march, 100 cells, open, opening {area * 1e6:.2f} mm²  {1e3 * took:9.1f} ms")


def random_hoses(count: int) -> None:
    worst = lowest = 0.0
    pressure = 1e9
    start = time.perf_counter()
    for seed in range(count):
        case = random_case(seed)
        run = push(case.bore, case.pair, case.feed, case.start, [0.3, 20.0], open_end=case.open_end, cells=30)
        worst = max(worst, run.new.lost, run.old.lost)
        lowest = min(lowest, run.lowest_share)
        pressure = min(pressure, *(min(p.pressure) for p in run.profiles))
    took = time.perf_counter() - start
    print(
        f"\n{count} random hoses in {took:.0f} s: moles lost at worst {worst:.1e}, lowest share {lowest:.1e}, lowest pressure {pressure:.0f} Pa"
    )


def many_runs() -> None:
    card = make_card(read_setup(ROOT / "examples" / "slip-2.toml"), date(2026, 11, 25))
    print("\nA thousand runs of one what-if, band drawn")
    for name, pairs in (
        ("blocked-tip", {"check_valve": "none"}), ("blocked-tip", {"check_valve": "none", "far_end": "empty"}),
        ("empty-fuel", {"check_valve": "none"}), ("purge", {}), ("passing-seat", {}), ("fast-valve", {}),
    ):  # fmt: skip
        start = time.perf_counter()
        answer(name, card, {**pairs, "runs": 1000})
        print(f"  {name:14s} {pairs.get('far_end', ''):6s} {time.perf_counter() - start:6.1f} s")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--random", type=int, default=300, help="random hoses; 10000 for the full count")
    asked = parser.parse_args()
    convergence(None)
    convergence(101325.0)
    speed()
    random_hoses(asked.random)
    many_runs()
