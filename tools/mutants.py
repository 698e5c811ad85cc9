"""Change the program for the worse, one small change at a time, and see whether a test notices.

python -m tools.mutants --map tests/records …       note once which test runs which code; kept in build/mutants
python -m tools.mutants --list records/verify.py    the mutants of files, folders or patterns below src/steadycone
python -m tools.mutants --run records/verify.py     run them: covering tests, fastest first; --sample N takes N of them by a fixed seed
python -m tools.mutants --only records/verify.py:290:negated
python -m tools.mutants --page                      write docs/mutants.md from what was run

`make mutants` does all of it for the files that docs/mutants.md names. Reasons for survivors stand in tools/mutants_known.toml.
"""

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
import time
import tomllib
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from tools.mutants_made import SRC, Mutant, mutants_of

ROOT = Path(__file__).parent.parent
KEPT = ROOT / "build" / "mutants"
KNOWN = ROOT / "tools" / "mutants_known.toml"
PAGE = ROOT / "docs" / "mutants.md"
SEED = 20261201
_SOME = 120  # mutants a session
TABLE_TESTS = ("tests/figures", "tests/published", "tests/edge/test_one_default.py", "tests/edge/test_one_cap.py")
Row = dict[str, Any]


def wanted(patterns: list[str], sample: int | None = None) -> list[Mutant]:
    """The mutants of files, folders and patterns, in order; of many, `sample` by the fixed seed."""
    paths: dict[Path, None] = {}
    for pattern in patterns:
        where = SRC / pattern
        found = sorted(where.rglob("*.py")) + sorted(where.rglob("*.toml")) if where.is_dir() else sorted(SRC.glob(pattern))
        if not found:
            sys.exit(f"nothing below src/steadycone is called {pattern}")
        paths.update(dict.fromkeys(found))
    made = [mutant for path in paths for mutant in mutants_of(path)]
    if sample is None or sample >= len(made):
        return made
    chosen = set(random.Random(SEED).sample(range(len(made)), sample))
    return [mutant for place, mutant in enumerate(made) if place in chosen]


# --- which test runs what ---------------------------------------------------------------------


def make_map(files: list[str]) -> None:
    """Run tests once, noting their blocks. What was noted of the same test before is replaced."""
    KEPT.mkdir(parents=True, exist_ok=True)
    new = KEPT / f"map-{os.getpid()}.jsonl"
    _pytest(["-k", "not postgresql", *files], {"STEADYCONE_MUTANTS": "map", "STEADYCONE_MUTANTS_FILE": str(new)})
    both = [*_lines(KEPT / "map.jsonl"), *_lines(new)]
    kept = {row["test"]: row for row in both}
    _write(KEPT / "map.jsonl", kept.values())
    new.unlink(missing_ok=True)
    print(f"{len(kept)} tests are known", f"{sum(not row['ok'] for row in kept.values())} of them fail")


class Map:
    """Which tests run a block, the fastest first."""

    def __init__(self) -> None:
        rows = sorted((row for row in _lines(KEPT / "map.jsonl") if row["ok"]), key=lambda row: row["seconds"])
        self.seconds = {row["test"]: row["seconds"] for row in rows}
        self.blocks: dict[str, list[str]] = {}
        self.files: dict[str, list[str]] = {}
        for row in rows:
            for block in row["blocks"]:
                self.blocks.setdefault(block, []).append(row["test"])
            for path in {block.partition(":")[0] for block in row["blocks"]}:
                self.files.setdefault(path, []).append(row["test"])

    def tests(self, mutant: Mutant, budget: float, files: tuple[str, ...] = ()) -> list[str]:
        """Those that run the mutant's block, up to `budget` seconds of them."""
        if mutant.path.endswith(".toml"):
            found = [test for test in self.seconds if test.startswith(TABLE_TESTS)]
        elif mutant.block:
            found = self.blocks.get(f"{mutant.path}:{mutant.block}", [])
        else:
            found = self.files.get(mutant.path, [])
        chosen, left = [], budget
        for test in found:
            if files and not test.startswith(files):
                continue
            left -= self.seconds[test]
            if left < 0 and chosen:
                break
            chosen.append(test)
        return chosen


# --- runs -------------------------------------------------------------------------------------


def run(mutants: list[Mutant], budget: float, workers: int, files: tuple[str, ...] = ()) -> list[Row]:
    """Each mutant's outcome: killed (by which test), lives, late (it never ended), or no test runs it."""
    known, results, jobs = Map(), [], []
    for mutant in mutants:
        tests = known.tests(mutant, budget, files)
        if not tests and files:
            continue  # other tests may run it
        if not tests:
            results.append({"mutant": mutant.id, "outcome": "no test", "took": 0.0})
            continue
        job = {"mutant": mutant.id, "path": mutant.path, "number": mutant.number, "scope": mutant.scope, "tests": tests}
        jobs.append({**job, "seconds": 5 + 2 * sum(known.seconds[test] for test in tests)})
    results += _session(jobs, workers)
    again = {row["mutant"] for row in results if row["outcome"] == "import"}
    results = [row for row in results if row["mutant"] not in again]
    results += [_alone(job) for job in jobs if job["mutant"] in again]
    results = _without_liars(results, jobs, workers)
    by_id = {mutant.id: mutant for mutant in mutants}
    return [{**row, "name": by_id[row["mutant"]].name, "path": by_id[row["mutant"]].path} for row in results]


def _session(jobs: list[Row], workers: int) -> list[Row]:
    """One pytest session that has every chosen test imported and forks for each job."""
    if not jobs:
        return []
    with tempfile.TemporaryDirectory() as folder:
        plan, out = Path(folder) / "plan.json", Path(folder) / "out.jsonl"
        plan.write_text(json.dumps({"jobs": jobs, "out": str(out), "workers": workers}), encoding="utf-8")
        files = sorted({test.partition("::")[0] for job in jobs for test in job["tests"]})
        _pytest(["-s", "--no-header", *files], {"STEADYCONE_MUTANTS": "run", "STEADYCONE_MUTANTS_FILE": str(plan)})
        return _lines(out)


def _alone(job: Row) -> Row:
    """A mutant that shows at import: a session of its own."""
    begun = time.monotonic()
    tests = job["tests"][:150]
    try:
        code = _pytest(["-x", *tests], {"STEADYCONE_MUTANT": f"{job['path']}:{job['number']}"}, quiet=True, seconds=job["seconds"] + 60)
    except subprocess.TimeoutExpired:
        return {"mutant": job["mutant"], "outcome": "late", "took": round(time.monotonic() - begun, 2)}
    outcome = "lives" if code == 0 else "killed"
    return {"mutant": job["mutant"], "outcome": outcome, "by": "a session of its own", "took": round(time.monotonic() - begun, 2)}


def _without_liars(results: list[Row], jobs: list[Row], workers: int) -> list[Row]:
    """A test that fails with nothing changed proves nothing: what it killed is run again without it."""
    by = sorted({row["by"] for row in results if "::" in row.get("by", "")})
    checked = _session([{"mutant": "", "path": "", "number": 0, "scope": "", "tests": [test], "seconds": 120} for test in by], workers)
    liars = {test for row in checked for test in row.get("failed", ())}
    if not liars:
        return results
    print("fail with nothing changed:", *sorted(liars), sep="\n  ")
    ids = {row["mutant"] for row in results if row.get("by") in liars}
    left = [{**job, "tests": [test for test in job["tests"] if test not in liars]} for job in jobs if job["mutant"] in ids]
    return [row for row in results if row["mutant"] not in ids] + _without_liars(_session(left, workers), left, workers)


def _pytest(arguments: list[str], settings: dict[str, str], quiet: bool = False, seconds: float | None = None) -> int:
    environment = {**os.environ, **settings, "CI": "1", "PYTHONPATH": str(SRC.parent)}
    command = [sys.executable, "-m", "pytest", "-p", "tools.mutants_plugin", "-p", "no:randomly", *arguments]
    told = subprocess.DEVNULL if quiet else None
    return subprocess.run(command, cwd=ROOT, env=environment, stdout=told, stderr=told, timeout=seconds, check=False).returncode


def _lines(path: Path) -> list[Row]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()] if path.exists() else []


def _write(path: Path, rows: Iterable[Row]) -> None:
    path.write_text("".join(json.dumps(row) + "\n" for row in rows), encoding="utf-8")


def keep(results: list[Row]) -> None:
    """Beside what was run before."""
    KEPT.mkdir(parents=True, exist_ok=True)
    rows = {row["name"]: row for row in [*_lines(KEPT / "results.jsonl"), *results]}
    _write(KEPT / "results.jsonl", rows.values())


# --- told -------------------------------------------------------------------------------------


def reasons() -> dict[str, str]:
    """Why a survivor may live, by the mutant's name: equal, boundary, speed, or to be killed."""
    told = tomllib.loads(KNOWN.read_text(encoding="utf-8")) if KNOWN.exists() else {}
    return {name: kind for kind, names in told.items() for name in names}


def summary(rows: list[Row]) -> str:
    count = Counter(row["outcome"] for row in rows)
    dead = count["killed"] + count["late"]
    return f"{len(rows)} mutants, {dead} killed ({100 * dead / max(len(rows), 1):.1f} %), {len(rows) - dead} live"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", nargs="*")
    parser.add_argument("--map", action="store_true")
    parser.add_argument("--list", action="store_true")
    parser.add_argument("--run", action="store_true")
    parser.add_argument("--page", action="store_true")
    parser.add_argument("--only")
    parser.add_argument("--sample", type=int)
    parser.add_argument("--budget", type=float, default=10.0, help="seconds of processor time of tests for one mutant")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--living", action="store_true", help="of those asked for, only what lived when last run")
    parser.add_argument("--left", action="store_true", help="of those asked for, only what was never run")
    parser.add_argument("--tests", nargs="*", default=[], help="only tests whose files begin like this")
    asked = parser.parse_args()
    if asked.map:
        make_map(asked.what)
    if asked.list or asked.run or asked.only:
        patterns = [asked.only.split(":")[0]] if asked.only else asked.what
        mutants = [mutant for mutant in wanted(patterns, asked.sample) if not asked.only or mutant.id == asked.only]
        if asked.living:
            lived = {row["name"] for row in _lines(KEPT / "results.jsonl") if row["outcome"] not in ("killed", "late")}
            mutants = [mutant for mutant in mutants if mutant.name in lived]
        if asked.left:
            known_names = {row["name"] for row in _lines(KEPT / "results.jsonl")}
            mutants = [mutant for mutant in mutants if mutant.name not in known_names]
        if asked.list:
            print(*(f"{mutant.id}  {mutant.before} -> {mutant.after}" for mutant in mutants), sep="\n")
            return
        results = []
        for first in range(0, len(mutants), _SOME):  # what was found so far is kept whatever ends the rest
            some = run(mutants[first : first + _SOME], asked.budget, asked.workers, tuple(asked.tests))
            keep(some)
            results += some
        known = reasons()
        for row in sorted(results, key=lambda row: row["mutant"]):
            if row["outcome"] not in ("killed", "late"):
                print(f"{row['outcome']:8} {row['mutant']}  {row['name']}  {known.get(row['name'], '')}")
        print(summary(results))
    if asked.page:
        from tools.mutants_page import write

        write()


if __name__ == "__main__":
    main()
