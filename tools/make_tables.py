"""Make the run-time gas tables in src/steadycone/data/gases/ from the reference libraries.

    python tools/make_tables.py            write the tables
    python tools/make_tables.py --check    make them in memory, compare with what is committed, exit 1 where they differ

Needs CoolProp 8, cantera 3.2, chemicals 1.5.2 and numpy; none of them is needed to run steadycone.
`torch.csv` in the same folder is kept by hand and never touched here.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import tables_combustion
import tables_flame
import tables_gas

FOLDER = Path(__file__).parent.parent / "src" / "steadycone" / "data" / "gases"
COEFFICIENT_SLACK = 1e-5  # of the largest in its group: a fit's last digits depend on the linear algebra library
FLAME_FLOOR = 2e-6  # a mole fraction below this is noise of the equilibrium
NUMBER_SLACK = 2e-5  # relative; a flame table prints six digits


def make() -> dict[str, str]:
    """Every table as text, by file name."""
    tables = {"combustion.csv": tables_combustion.combustion()}
    for name in tables_gas.NAMES:
        tables[f"{name.replace(' ', '-')}.csv"] = tables_gas.gas_table(name)
    for fuel in tables_flame.FUELS:
        tables[f"flame-{fuel}.csv"] = tables_flame.flame_table(fuel)
    return tables


def _number(cell: str) -> float | None:
    try:
        return float(cell)
    except ValueError:
        return None


def differences(made: str, committed: str, floor: float = 0.0) -> list[str]:
    """Where two tables differ by more than their printed digits allow: one line each. `floor`: absolute, for numbers near zero."""
    left, right = made.splitlines(), committed.splitlines()
    if len(left) != len(right):
        return [f"{len(left)} lines made, {len(right)} committed"]
    largest: dict[str, float] = {}
    for line in left:
        cells = line.split(",")
        if len(cells) > 3 and (value := _number(cells[3])) is not None:
            largest[cells[0]] = max(largest.get(cells[0], 0.0), abs(value))
    found = []
    for number, (a, b) in enumerate(zip(left, right, strict=True), start=1):
        for x, y in zip(a.split(","), b.split(","), strict=False):
            p, q = _number(x), _number(y)
            if p is None or q is None:
                same = x == y
            else:
                slack = COEFFICIENT_SLACK * largest.get(a.split(",")[0], 0.0) if a.split(",")[1].isdigit() else 0.0
                same = abs(p - q) <= max(slack, NUMBER_SLACK * abs(q), floor)
            if not same:
                found.append(f"line {number}: made {x}, committed {y}")
    return found


def check() -> list[str]:
    """Every difference between the tables made now and the committed ones."""
    found = []
    for name, text in make().items():
        path = FOLDER / name
        if not path.exists():
            found.append(f"{name}: missing")
        else:
            found += [
                f"{name}: {line}"
                for line in differences(text, path.read_text(encoding="utf-8"), FLAME_FLOOR if name.startswith("flame-") else 0.0)
            ]
    return found


def main() -> int:
    if "--check" in sys.argv[1:]:
        found = check()
        print("\n".join(found) or "the tables are as made")
        return 1 if found else 0
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, text in make().items():
        (FOLDER / name).write_text(text, encoding="utf-8")
        print(name)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
