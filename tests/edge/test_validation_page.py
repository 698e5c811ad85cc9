"""docs/validation.md says what the outside checks of this very session gave. Runs last; see tests/conftest.py."""

import os
from pathlib import Path

import pytest
from tests import checks
from tests.conftest import NOT_WHOLE
from tools.validation import CAN_CONTRADICT, FOLDERS, KINDS, PAGE, counts, page, read_rows, rounded, with_counts, work

ROOT = Path(__file__).parents[2]
LEAST_BOTH, LEAST_PRINTED, LEAST_WORKS = 600, 250, 40  # never let these fall


def test_the_validation_page_is_what_the_checks_give(request: pytest.FixtureRequest) -> None:
    files = {path for folder in FOLDERS for path in (ROOT / folder).rglob("test_*.py")}
    missing = files - {item.path for item in request.session.items}
    if missing or request.config.stash[NOT_WHOLE]:
        pytest.skip("only a part of the outside checks ran in this session")
    if request.session.testsfailed:
        pytest.skip("a test failed, so the rows may not be complete: mend that first")
    made = page(read_rows(Path(os.environ["STEADYCONE_CHECKS"])))
    assert PAGE.read_text(encoding="utf-8") == made, "docs/validation.md is not what the checks give: run `make validation`"


def test_a_value_is_rounded_to_what_its_tolerance_can_tell() -> None:
    assert rounded(1.23456789, 0.02) == "1.235"  # four digits at most
    assert rounded(123456.0, 1230.0) == "123500"
    assert rounded(2.345e-5, 2e-7) == "2.345e-05"
    assert rounded(1e-13, 1e-6) == "0"  # far below what the check looks at
    assert rounded(3.14159, 1.0) == "3.14"


def test_a_source_is_counted_once_whatever_its_page() -> None:
    assert work("29 CFR 1910.253(a)(2), 2015 edition: not over 15 psi") == work("29 CFR 1910.252(a)") == "29 CFR 1910"
    assert work("CoolProp 8.0.0 HEOS") == work("CoolProp 8, real-gas isentrope") != work("cantera 3.2.0 gri30")
    assert work("A Book of Gas, 1909, ch. VI") == work("A Book of Gas, 1909, p. 12")


def test_the_page_and_the_checks_know_the_same_kinds() -> None:
    assert tuple(KINDS) == checks.KINDS
    assert CAN_CONTRADICT == (checks.PRINTED, checks.ANOTHER)


def test_a_check_stands_under_its_kind_with_its_count() -> None:
    base = {"got": 1.0, "expected": 1.0, "unit": "1", "why": "exact", "rel": 0.1, "abs": None}
    rows = [base | {"name": f"n{at}", "kind": kind, "source": f"S{at}, p. {at}"} for at, kind in enumerate([*KINDS, "transcription"])]
    assert counts(rows)["transcription"] == (2, 2)
    made = page(rows)
    assert "| transcription | 2 | 2 |" in made
    assert made.index("## Transcription") < made.index("| n4 |") < made.index("## Fit of a table") < made.index("| n3 |")


def test_the_readme_gets_the_two_counts_and_nothing_else() -> None:
    rows = [{"kind": "printed and worked", "source": "S"}] * 3 + [{"kind": "another method", "source": "S"}]
    assert (
        with_counts("a 1 printed figures worked out, 2 by another method b", rows)
        == "a 3 printed figures worked out, 1 by another method b"
    )


def test_a_check_without_a_known_kind_is_refused() -> None:
    with pytest.raises(AssertionError, match="no such kind"):
        checks.check("never", kind="outside", got=1.0, expected=1.0, unit="1", source="none", why="none", rel=0.1)


def test_the_page_has_rows_enough_that_can_find_the_program_wrong() -> None:
    """Read from the committed page, which the first test holds to the checks: its head counts rows and sources of each kind."""
    found = {line.split("|")[1].strip(): [int(cell) for cell in line.split("|")[2:4]] for line in _head()}
    assert set(found) == set(KINDS)
    assert sum(found[kind][0] for kind in CAN_CONTRADICT) >= LEAST_BOTH
    assert found["printed and worked"][0] >= LEAST_PRINTED
    assert found["printed and worked"][1] >= LEAST_WORKS
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert f"{found['printed and worked'][0]} printed figures" in readme
    assert f"{found['another method'][0]} by another method" in readme


def _head() -> list[str]:
    top = PAGE.read_text(encoding="utf-8").split("\n## ")[0]
    return [line for line in top.splitlines() if line.startswith(tuple(f"| {kind} |" for kind in KINDS))]
