"""The committed tables are what the reference libraries give today."""

import importlib.util
import sys
from pathlib import Path

import pytest

TOOL = Path(__file__).parents[2] / "tools" / "make_tables.py"


@pytest.mark.slow
def test_the_gas_tables_are_as_the_tool_makes_them() -> None:
    spec = importlib.util.spec_from_file_location("make_tables", TOOL)
    assert spec is not None
    assert spec.loader is not None
    tool = importlib.util.module_from_spec(spec)
    before = list(sys.path)
    spec.loader.exec_module(tool)
    sys.path[:] = before
    assert tool.check() == []


def test_every_row_of_the_gas_tables_has_a_known_source() -> None:
    from steadycone.data.reader import FOLDER, rows, sources

    known = sources()
    for path in sorted((FOLDER / "gases").glob("*.csv")):
        for row in rows(f"gases/{path.name}"):
            assert row["source"] in known, f"{path.name}: {row}"
