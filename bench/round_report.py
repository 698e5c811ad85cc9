"""How long a round's report takes from a cold start: its first 30 steps, and the whole of it.

python bench/round_report.py            medians, with the goal beside them
python bench/round_report.py --runs 20
"""

import argparse
import json
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from steadycone.card.make import make_card
from steadycone.files.read import read_setup
from steadycone.procedures import settings
from steadycone.procedures.rounds import Answer, PlanStep, begin, make_plan, next_step, take

ROOT = Path(__file__).parent.parent
COMMAND = Path(sys.executable).parent / "steadycone"
STATION = ROOT / "examples" / "slip-2.toml"
GOAL, STEPS = 0.5, 30  # s, and steps of the report it is for
_SIZES = {"bar": 1e5, "psi": 6894.757293168, "kPa": 1e3}
_SAID = {"temperature": "12 °C", "time of day": "16:30", "share": "20.9 %"}


def answer_files(folder: Path) -> dict[int, Path]:
    """Answers in order to the first steps, and to all of them, by their number."""
    named = json.loads(subprocess.run([COMMAND, "round", STATION, "--plan"], capture_output=True, text=True, check=True).stdout)["station"]
    now = begin(make_plan(make_card(read_setup(STATION), date(2026, 11, 25)), named))
    at = datetime(2026, 11, 25, 7, 40, tzinfo=UTC)
    found: list[Answer] = []
    while (step := next_step(now)) is not None:
        at += timedelta(seconds=20 + (step.seconds or 0))
        found.append(Answer(step.id, said(step, now.plan.judged.figures), at))
        now = take(now, found[-1])
    files = {}
    for count in (STEPS, len(found)):
        files[count] = folder / f"{count}.json"
        files[count].write_text(json.dumps({"station": named, "answers": [answer.out() for answer in found[:count]]}), encoding="utf-8")
    return files


def said(step: PlanStep, figures: object) -> str:
    """An answer in order: done, the first choice, or what the card says on the gauge's own mark."""
    if step.kind != "reading":
        return {"text": "M. Okoro", "choice": step.options[0].value if step.options else ""}.get(step.kind, "done")
    if step.division is None:
        return _SAID[step.reading]
    line = figures.lines[step.line]  # type: ignore[attr-defined]
    wanted = {"zero": 0.0, "set": line.set_pressure.value}.get(step.judge, settings.test_pressure(figures, line).value)  # type: ignore[arg-type]
    if step.reading == "high" and step.judge != "zero":
        wanted = line.supply.pressure.value
    return f"{round(wanted / step.division.si) * step.division.si / _SIZES[step.division.unit]:.6g} {step.division.unit}"


def once(command: list[str]) -> float:
    """Seconds one process takes; 0 and 3 are both a report."""
    start = time.perf_counter()
    done = subprocess.run(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    seconds = time.perf_counter() - start
    if done.returncode not in (0, 3):
        sys.exit(f"{' '.join(command)}\n{done.stderr}")
    return seconds


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=10)
    runs = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        commands = {}
        for count, file in answer_files(folder).items():
            report = [str(COMMAND), "round", str(STATION), "--answers", str(file)]
            commands[f"{count} steps to JSON"] = [*report, "--json"]
            commands[f"{count} steps to text"] = report
            commands[f"{count} steps to page"] = [*report, "--html", str(folder / "r.html")]
            commands[f"{count} steps to page and PDF"] = [*report, "--html", str(folder / "r.html"), "--pdf", str(folder / "r.pdf")]
        for command in commands.values():
            once(command)  # the first start reads everything from disk
        seconds = {what: statistics.median(once(command) for _ in range(runs)) for what, command in commands.items()}
    print(f"Cold start, whole processes, median of {runs}\n")
    for what, found in seconds.items():
        print(f"  {what:28} {1000 * found:7.0f} ms")
    for what in (f"{STEPS} steps to JSON", f"{STEPS} steps to text", f"{STEPS} steps to page"):
        print(f"  {'met    ' if seconds[what] < GOAL else 'NOT MET'}  {what} under {GOAL} s: {seconds[what]:.3f} s")


if __name__ == "__main__":
    main()
