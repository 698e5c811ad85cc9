"""Writes docs/mutants.md from what tools/mutants.py ran: counts by file, and each survivor with the reason why it may live."""

from collections import Counter

from tools.mutants import KEPT, PAGE, Row, _lines, reasons
from tools.mutants_made import SRC, mutants_of

DEAD = ("killed", "late")
KINDS = {
    "equal": "the same answer for every input",
    "boundary": "differs only where a value is exactly on a limit that no reading meets, or in the last digit",
    "speed": "only the time that it takes, or the memory, differs",
    "words": "only how a text is cut or put together differs",
    "": "**a test is still to be written**",
}
HEAD = """# Mutants

A mutant is the program with one small thing made wrong: a limit, a sign, a term, a guard, a verdict, a figure of a table. A test
ought to fail for each. `make mutants` makes and runs them and writes this page; `python -m tools.mutants --only ID` runs one.
Where only a part was run, it is a sample by a fixed seed, or the first of them. *Killed* counts those that never ended, too.

Each mutant meets the tests that run its block, the fastest first, for at most the seconds that `--budget` gives. So a survivor
may be killed by a test that had no turn; the count errs on the low side. PostgreSQL, the browser and other processes are left out.
"""


def write() -> None:
    """Raises  OSError."""
    rows = sorted(_lines(KEPT / "results.jsonl"), key=lambda row: (row["path"], int(row["mutant"].split(":")[1]), row["mutant"]))
    known = reasons()
    paths: dict[str, list[Row]] = {}
    for row in rows:
        paths.setdefault(row["path"], []).append(row)
    lines = [
        HEAD,
        "| file | mutants | run | killed | live, with a reason | live, to be killed | share killed of those not equal |",
        "|---|---|---|---|---|---|---|",
    ]
    lines += [_counts(path, found, known) for path, found in paths.items()]
    lines += [_counts("all", rows, known), "", "## Survivors", ""]
    for kind, says in KINDS.items():
        found = [row for row in rows if row["outcome"] not in DEAD and known.get(row["name"], "") == kind]
        if found:
            lines += [f"### {says[0].upper()}{says[1:]}" if kind else "### A test is still to be written", ""]
            lines += [f"- `{row['mutant']}` {'no test runs it' if row['outcome'] == 'no test' else ''} `{_change(row)}`" for row in found]
            lines.append("")
    PAGE.write_text("\n".join(lines).rstrip() + "\n", encoding="utf-8")


def _counts(path: str, rows: list[Row], known: dict[str, str]) -> str:
    dead = sum(row["outcome"] in DEAD for row in rows)
    kinds = Counter(known.get(row["name"], "") for row in rows if row["outcome"] not in DEAD)
    reasoned = sum(count for kind, count in kinds.items() if kind)
    share = 100 * dead / max(len(rows) - reasoned, 1)
    there = sum(len(mutants_of(SRC / name)) for name in {row["path"] for row in rows})
    return f"| {path} | {there} | {len(rows)} | {dead} | {reasoned} | {kinds['']} | {share:.1f} % |"


def _change(row: Row) -> str:
    return row["name"].split(": ", 1)[1].replace("`", "'").replace("|", "∣")


__all__ = ["write"]
