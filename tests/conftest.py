"""Test session set-up: where outside checks leave their rows, and how patient hypothesis is."""

import os
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings

VALIDATION_TEST = "test_validation_page.py"
NOT_WHOLE = pytest.StashKey[bool]()

settings.register_profile("desk", deadline=None)
if "CI" not in os.environ:  # hypothesis has its own profile for CI: same examples every run
    settings.load_profile("desk")


def pytest_configure(config: pytest.Config) -> None:
    """Every session records its outside checks; the validation page is compared with them at the end."""
    if "STEADYCONE_CHECKS" not in os.environ:
        folder = tempfile.mkdtemp(prefix="steadycone-checks-")
        config.add_cleanup(lambda: shutil.rmtree(folder))
        os.environ["STEADYCONE_CHECKS"] = str(Path(folder) / "rows.jsonl")
    # Ids and `-k`, `-m`, `-x` pick a part of a file; a page made from a part would be wrong.
    picked = config.option.keyword or config.option.markexpr or config.option.maxfail
    config.stash[NOT_WHOLE] = bool(picked) or any("::" in argument for argument in config.args)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The validation page is compared last, when the rows are there."""
    items.sort(key=lambda item: item.path.name == VALIDATION_TEST)
