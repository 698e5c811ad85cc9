"""Write docs/validation.md from the outside checks in tests/published and tests/reference.

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
FOLDERS = ("tests/published", "tests/reference")
# Where a source belongs; the first pattern that is found decides. What none fits is listed as "Other".
FAMILIES = {
    "Regulations": r"\bCFR\b",
    "Standards, by number": r"\b(IEC|ISO|EN|API|AWS|CGA)\b",
    "CoolProp": r"^CoolProp\b",
    "cantera": r"^cantera\b",
    "chemicals": r"^chemicals\b",
    "fluids": r"^fluids\b",
    "Oxy-Acetylene Welding and Cutting, 1916": r"WELD1916|Oxy-Acetylene Welding and Cutting",
    "Acetylene, the Principles of its Generation and Use, 1909": r"ACET1909|^Acetylene, the Principles",
    "Handbooks, textbooks and official manuals": r"Manual|Fluid Mechanics|textbook|glossary|Navy|institute|Handbook|the same (book|problem)",
    "Another method, or another library": r"closed form|solve_ivp|scipy|least squares|mixed|Soave|heats of formation|computed with|arithmetic|derived|situation",
}

Row = dict[str, Any]

HEAD = """# Validation

Each line below is one check of a result against something outside this project: a printed figure, a regulation, a value from a
general-purpose library, or the same quantity found another way. The tests that make them are in `tests/published` and
`tests/reference`. `make validation` writes this page; a test fails where it no longer says what the checks give.

*Got* is rounded to a twentieth of the tolerance, four digits at most. *Used* is how much of the tolerance the difference takes.
"""


def read_rows(path: Path) -> list[Row]:
    """The rows the tests left, in no particular order."""
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def family(source: str) -> str:
    """The library, book or kind of source that a check belongs to: the page is grouped by it."""
    return next((name for name, pattern in FAMILIES.items() if re.search(pattern, source)), "Other")


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
    families: dict[str, list[Row]] = {name: [] for name in (*FAMILIES, "Other")}
    for row in rows:
        families[family(row["source"])].append(row)
    found = {name: sorted(group, key=lambda row: (row["source"], row["name"])) for name, group in families.items() if group}
    out = [HEAD, f"{sum(len(group) for group in found.values())} checks.\n", "| source | checks |", "| --- | --- |"]
    out += [f"| {name} | {len(group)} |" for name, group in found.items()]
    for name, group in found.items():
        out += [f"\n## {name}\n", "| check | source | expected | got | unit | tolerance | used | why that tolerance |", "| --- " * 8 + "|"]
        out += [_line(row) for row in group]
    return "\n".join(out) + "\n"


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
    made = page(run_checks())
    if "--check" not in sys.argv[1:]:
        PAGE.write_text(made, encoding="utf-8")
        print(f"wrote {PAGE.relative_to(ROOT)}")
    elif PAGE.read_text(encoding="utf-8") != made:
        sys.exit("docs/validation.md is not what the checks give: run `make validation`")


if __name__ == "__main__":
    main()
