"""Tables for sheet programs and for the terminal: nothing in them is run or obeyed."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from steadycone.render.sheets import csv_bytes, harmless
from steadycone.render.table import text_table

CELLS = st.text(st.characters(codec="utf-8"), max_size=20)


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@SUM(A1)", " =1", "\t=1", "\r=1", "=HYPERLINK(...)", "\n=1"])
def test_what_a_sheet_program_would_run_becomes_text(cell: str) -> None:
    assert harmless(cell).startswith("'")


def test_plain_cells_stay_as_they_are() -> None:
    assert [harmless(cell) for cell in ("TQ-REG-014", "", "3/16 in", 'a "b", c')] == ["TQ-REG-014", "", "3/16 in", 'a "b", c']


@given(st.lists(st.lists(CELLS, min_size=3, max_size=3), max_size=5))
def test_every_row_comes_back_as_one_row_and_no_cell_begins_like_a_formula(rows: list[list[str]]) -> None:
    text = csv_bytes(("a", "b", "c"), rows).decode("utf-8-sig")
    found = list(csv.reader(io.StringIO(text, newline="")))
    assert len(found) == len(rows) + 1
    assert all(len(row) == 3 and not any(cell.lstrip().startswith(("=", "+", "-", "@")) for cell in row) for row in found)


def test_a_terminal_obeys_nothing_in_a_table() -> None:
    told = text_table(("mark", "note"), [("1", "\x1b[31mred\x07")])
    assert "\x1b" not in told
    assert "\x07" not in told
