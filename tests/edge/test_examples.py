"""Every example gives a card, and docs/start.md says its verdict."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
COMMAND = Path(sys.executable).parent / "steadycone"
DAY = "2026-11-25"
EXIT_CODES = {"go": 0, "caution": 0, "stop": 3}
LISTED = dict(
    re.findall(r"^\| `(examples/[\w.-]+\.toml)` \|.*\| (\w+) \|$", (ROOT / "docs" / "start.md").read_text(encoding="utf-8"), re.MULTILINE)
)
FILES = sorted(path.relative_to(ROOT).as_posix() for path in (ROOT / "examples").glob("*.toml"))


def card(file: str) -> tuple[int, dict[str, object]]:
    command = [COMMAND, "card", ROOT / file, "--on", DAY, "--json"]
    done = subprocess.run(command, capture_output=True, text=True, stdin=subprocess.DEVNULL)
    assert done.stdout, done.stderr
    return done.returncode, json.loads(done.stdout)


def test_the_docs_list_every_example_with_its_verdict() -> None:
    assert sorted(LISTED) == FILES


@pytest.mark.parametrize("file", FILES)
def test_an_example_gives_the_verdict_that_the_docs_say(file: str) -> None:
    code, made = card(file)
    stops = [finding for finding in made["findings"] if finding["verdict"] == made["verdict"]]  # type: ignore[attr-defined, index]
    assert made["verdict"] == LISTED[file], stops
    assert code == EXIT_CODES[LISTED[file]]
