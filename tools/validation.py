"""Write docs/validation.md, and its two counts in the README, from the outside checks in tests/published and tests/reference.

python -m tools.validation            run the checks, write the page
python -m tools.validation --check    run them, compare with what is committed, exit 1 where it differs
"""

import json
import math
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "docs" / "validation.md"
README = ROOT / "README.md"
FOLDERS = ("tests/published", "tests/reference")
# What a row of each kind can show, and whether it can find a result wrong. The order is the page's.
KINDS = {
    "printed and worked": "a figure that somebody printed and this program works out by its own road: it can find the program wrong",
    "another method": "the same quantity by another formula, solver or library, not one that a table here was made from: "
    "it can find the program wrong",
    "transcription": "a constant copied here and read back, or a sum of our own done once more: it finds slips of the pen, no wrong method",
    "fit of a table": "a table of this program against the library or data that it was made from: it shows the error of the fit, nothing else",
}
CAN_CONTRADICT = ("printed and worked", "another method")

Row = dict[str, Any]

HEAD = """# Validation

Each line below is one check of a result against something that was not worked out here. Not every line can show the same, so they
stand in four groups. Only the first two can find this program wrong; the README and the other pages count those two alone.
The tests that make them are in `tests/published` and `tests/reference`. `make validation` writes this page; a test fails where it
no longer says what the checks give.

*Got* is rounded to a twentieth of the tolerance, four digits at most. *Used* is how much of the tolerance the difference takes.
A source that says *from memory* was not seen when the figure was typed; *at second hand* means that a copy in another text was read.
"""


def read_rows(path: Path) -> list[Row]:
    """The rows the tests left, in no particular order."""
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def work(source: str) -> str:
    """The book, regulation, report or library that a source names, without its page, table or paragraph."""
    if found := re.match(r"\d+ CFR (?:part )?\d+", source):
        return found[0]
    if found := re.match(r"(CoolProp|cantera|chemicals|fluids|pint|scipy|thermo)\b", source):
        return found[0]  # a library is one source, whatever its version and function
    return re.split(r"[,;:(]| [vV]ol\. | ch\. | table | example | problem | p\. ", source)[0].strip()


def counts(rows: Iterable[Row]) -> dict[str, tuple[int, int]]:
    """Rows and different works of each kind, in the page's order."""
    listed = list(rows)
    return {
        kind: (sum(row["kind"] == kind for row in listed), len({work(row["source"]) for row in listed if row["kind"] == kind}))
        for kind in KINDS
    }


def _tolerance(row: Row) -> float:
    return row["abs"] if row["abs"] is not None else row["rel"] * abs(row["expected"])


def rounded(value: float, tolerance: float) -> str:
    """Four digits at most, and none finer than a twentieth of the tolerance: the last digits differ from machine to machine."""
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    four_digits = 10.0 ** (math.floor(math.log10(abs(value))) - 3)
    finest = 10.0 ** math.floor(math.log10(tolerance / 20)) if tolerance > 0 else 0.0
    step = max(four_digits, finest)
    shown = round(value / step) * step
    if shown == 0:
        return "0"
    if not 1e-4 <= abs(shown) < 1e6:
        return f"{shown:.{max(0, math.floor(math.log10(abs(shown) / step) + 1e-9))}e}"
    return f"{shown:.{max(0, -math.floor(math.log10(step) + 1e-9))}f}"


def _line(row: Row) -> str:
    tolerance = _tolerance(row)
    allowed = f"{100 * row['rel']:.3g} %" if row["rel"] is not None else f"{row['abs']:.3g} {row['unit']}".removesuffix(" 1")
    used = abs(row["got"] - row["expected"]) / tolerance if tolerance else 0.0
    share = next((f"under {limit} %" for limit in (10, 25, 50, 75) if 100 * used < limit), "under 100 %")
    cells = (row["name"], row["source"], f"{row['expected']:.6g}", rounded(row["got"], tolerance), row["unit"], allowed, share, row["why"])
    return "| " + " | ".join(str(cell).replace("|", "\\|").replace("\n", " ") for cell in cells) + " |"


def page(rows: Iterable[Row]) -> str:
    """The whole page as text."""
    listed = sorted(rows, key=lambda row: (row["source"], row["name"]))
    out = [HEAD, "| kind | checks | sources | what a row can show |", "| --- | --- | --- | --- |"]
    out += [f"| {kind} | {number} | {works} | {KINDS[kind]} |" for kind, (number, works) in counts(listed).items()]
    memory = sum(row["kind"] == "printed and worked" and "from memory" in row["source"] for row in listed)
    out.append(f"\nOf the printed figures {memory} are from memory. A source is a book, a paper, a part of a regulation or a library.")
    for kind in KINDS:
        group = [row for row in listed if row["kind"] == kind]
        out += [f"\n## {kind.capitalize()}\n", "| check | source | expected | got | unit | tolerance | used | why that tolerance |"]
        out += ["| --- " * 8 + "|", *(_line(row) for row in group)]
    return "\n".join(out) + "\n"


def with_counts(readme: str, rows: Iterable[Row]) -> str:
    """The README's text with the counts of the two kinds that can find the program wrong; everything else as it is."""
    found = counts(rows)
    said = f"{found['printed and worked'][0]} printed figures worked out, {found['another method'][0]} by another method"
    made, times = re.subn(r"\d+ printed figures worked out, \d+ by another method", said, readme)
    assert times == 1, "the README names the counts once"
    return made


def run_checks() -> list[Row]:
    """Run both folders of outside checks and read what they leave. Ends the program when one fails."""
    with tempfile.TemporaryDirectory() as folder:
        target = Path(folder) / "rows.jsonl"
        target.touch()
        command = [sys.executable, "-m", "pytest", *FOLDERS]
        if subprocess.run(command, cwd=ROOT, env={**os.environ, "STEADYCONE_CHECKS": str(target)}).returncode:
            sys.exit("An outside check failed; docs/validation.md is left as it was.")
        return read_rows(target)


def main() -> None:
    rows = run_checks()
    made = page(rows)
    if "--check" not in sys.argv[1:]:
        PAGE.write_text(made, encoding="utf-8")
        README.write_text(with_counts(README.read_text(encoding="utf-8"), rows), encoding="utf-8")
        print(f"wrote {PAGE.relative_to(ROOT)} and the counts in {README.relative_to(ROOT)}")
    elif PAGE.read_text(encoding="utf-8") != made:
        sys.exit("docs/validation.md is not what the checks give: run `make validation`")


if __name__ == "__main__":
    main()
