"""How long a card takes in a process that has made one before: reading, making, telling, viewing. Medians and 95th percentiles.

python bench/warm_card.py              slip-2, with the goals beside it
python bench/warm_card.py --runs 500 examples/bay-4-us.toml
"""

import argparse
import json
import statistics
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text
from steadycone.render.json_card import card_dict, card_hash
from steadycone.render.train import train_svg
from steadycone.render.view import view_of

ROOT = Path(__file__).parent.parent
STATION = ROOT / "examples" / "slip-2.toml"
DAY = date(2026, 11, 25)
GOALS = {"read": 3.0, "make": 5.0, "dict": 3.0, "view": 3.0, "live path": 12.0, "seal": 3.0}  # ms, medians: a keystroke must not be felt


def stages(path: Path, length: int) -> list[tuple[str, Callable[[dict[str, Any]], Any]]]:
    """Each stage by name, from what the ones before it gave. The hose grows by a centimetre a run, as under a person's hand."""
    text = path.read_text(encoding="utf-8").replace('length = "20 m"', f'length = "{length / 100:.2f} m"', 1)

    def fetch(name: str, limit: int, what: str) -> bytes:
        return (path.parent / name).read_bytes()

    return [
        ("read", lambda got: setup_from_text(text, path.name, fetch)),
        ("make", lambda got: make_card(got["read"], DAY)),
        ("dict", lambda got: card_dict(got["make"], sealed=False)),
        ("view", lambda got: view_of(got["make"], got["dict"])),
        ("seal", lambda got: card_hash(got["dict"])),
        ("train", lambda got: train_svg(got["view"].train)),
        ("json.dumps", lambda got: json.dumps(got["dict"])),
    ]


def measure(path: Path, runs: int) -> dict[str, list[float]]:
    """Milliseconds of every run by stage; the first runs, which fill the caches, are left out."""
    spent: dict[str, list[float]] = {}
    for run in range(-5, runs):
        got: dict[str, Any] = {}
        for name, stage in stages(path, 2000 + run):
            start = time.perf_counter()
            got[name] = stage(got)
            if run >= 0:
                spent.setdefault(name, []).append(1000 * (time.perf_counter() - start))
    spent["live path"] = [sum(parts) for parts in zip(*(spent[name] for name in ("read", "make", "dict", "view")), strict=True)]
    return spent


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("station", nargs="?", type=Path, default=STATION)
    parser.add_argument("--runs", type=int, default=200)
    given = parser.parse_args()
    print(f"Warm card of {given.station.name}, {given.runs} runs, ms\n")
    for name, found in measure(given.station, given.runs).items():
        middle, late = statistics.median(found), statistics.quantiles(found, n=20)[-1]
        goal = f"   goal {GOALS[name]:g}: {'met' if middle <= GOALS[name] else 'NOT MET'}" if name in GOALS else ""
        print(f"  {name:11} median {middle:7.2f}   95th percentile {late:7.2f}{goal}")


if __name__ == "__main__":
    main()
