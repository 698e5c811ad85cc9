"""docs/validation.md says what the outside checks of this very session gave. Runs last; see tests/conftest.py."""

import os
from pathlib import Path

import pytest
from tests.conftest import NOT_WHOLE
from tools.validation import FOLDERS, PAGE, family, page, read_rows, rounded

ROOT = Path(__file__).parents[2]


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


def test_a_check_is_listed_under_its_source() -> None:
    assert family("CoolProp 8.0.0, reference equation") == "CoolProp"
    assert family("29 CFR 1910.253(a)(2)") == "Regulations"
    assert family("something nobody thought of") == "Other"
