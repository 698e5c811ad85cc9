"""How long a cold process takes: importing numpy, printing a card, printing the emergency list. Medians of one run.

python bench/startup.py            the table, with the goals beside it
python bench/startup.py --runs 20
"""

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent
COMMAND = Path(sys.executable).parent / "steadycone"
STATION = ROOT / "examples" / "slip-2.toml"
DATE = ("--on", "2026-11-25")


def processes(folder: Path) -> dict[str, list[str]]:
    """What is measured, by name."""
    page, paper = folder / "card.html", folder / "card.pdf"
    card = [str(COMMAND), "card", str(STATION), *DATE]
    return {
        "python, nothing imported": [sys.executable, "-c", "pass"],
        "python, importing numpy": [sys.executable, "-c", "import numpy"],
        "card to JSON": [*card, "--json"],
        "card to text": card,
        "card to page and PDF": [*card, "--html", str(page), "--pdf", str(paper)],
        "emergency list": [str(COMMAND), "emergency"],
    }


def once(command: list[str]) -> float:
    """Seconds one process takes from start to end."""
    start = time.perf_counter()
    done = subprocess.run(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    seconds = time.perf_counter() - start
    if done.returncode:
        sys.exit(f"{' '.join(command)}\n{done.stderr}")
    return seconds


def measure(commands: dict[str, list[str]], runs: int) -> dict[str, float]:
    """Median seconds by name. The processes take turns, so that a slow spell of the machine hits them all."""
    seconds: dict[str, list[float]] = {name: [] for name in commands}
    for command in commands.values():
        once(command)  # the first start reads everything from disk
    for _ in range(runs):
        for name, command in commands.items():
            seconds[name].append(once(command))
    return {name: statistics.median(found) for name, found in seconds.items()}


def goals(median: dict[str, float]) -> list[tuple[str, bool]]:
    """Each goal in words, and whether this run met it."""
    numpy, card = median["python, importing numpy"], median["card to JSON"]
    printed, emergency = median["card to page and PDF"], median["emergency list"]
    return [
        (f"card to JSON within 3.5 times importing numpy: {card / numpy:.2f} times", card <= 3.5 * numpy),
        (f"card to JSON under 0.3 s: {card:.3f} s", card < 0.3),
        (f"card to page and PDF within 5 times importing numpy: {printed / numpy:.2f} times", printed <= 5 * numpy),
        (f"emergency list sooner than importing numpy: {emergency / numpy:.2f} times", emergency < numpy),
    ]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=10)
    runs = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as folder:
        median = measure(processes(Path(folder)), runs)
    numpy = median["python, importing numpy"]
    print(f"Cold start, whole processes, median of {runs}\n")
    for name, seconds in median.items():
        print(f"  {name:28} {1000 * seconds:7.0f} ms   {seconds / numpy:5.2f} x importing numpy")
    print("\nGoals")
    for words, met in goals(median):
        print(f"  {'met    ' if met else 'NOT MET'}  {words}")


if __name__ == "__main__":
    main()
