"""A yard's records on a temporary store, and the command line in process."""

import json
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from steadycone.cli.entry import run

BY = "M. Reyes"
STATION = "Slip 2, frame bench"
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


@dataclass
class Desk:
    """The command line with a store of its own; `out` and `err` are of the last command."""

    folder: Path
    capsys: pytest.CaptureFixture[str]
    out: str = ""
    err: str = ""

    def __call__(self, *line: str) -> int:
        code = run(list(line))
        self.out, self.err = self.capsys.readouterr()
        assert "Traceback" not in self.err
        return code

    def ok(self, *line: str) -> str:
        """The command's stdout; it must succeed."""
        assert self(*line) == 0, self.err + self.out
        return self.out

    def json(self, *line: str) -> Any:
        return json.loads(self.ok(*line, "--json"))

    def refused(self, *line: str, code: int = 2) -> str:
        """What stderr says: exactly two lines, what and what to do."""
        assert self(*line) == code, self.out
        assert self.err.count("\n") == 2, self.err
        return self.err

    def file(self, name: str, content: str | bytes) -> str:
        (self.folder / name).write_bytes(content.encode() if isinstance(content, str) else content)
        return str(self.folder / name)

    def fill(self) -> None:
        """A small register: one of each state, people, a station."""
        self.ok("people", "authorise", "J. Okafor", "authorised technician", "--basis", "course 2024-03")
        self.ok("people", "authorise", "A. Lindqvist", "competent person")
        self.ok(
            "gear",
            "add",
            "TQ-REG-014",
            "regulator",
            "--gas",
            "oxygen",
            "--made",
            "2023-02",
            "--basis",
            "stamp",
            "--fit",
            STATION,
            "--tested",
            "2026-10",
        )
        self.ok("gear", "add", "TQ-HOS-207", "hose", "--gas", "acetylene", "--made", "2024-05", "--type", "twin line", "--fit", STATION)
        self.ok("gear", "add", "TQ-FBA-031", "arrestor", "--gas", "acetylene")
        self.ok("gear", "add", "TQ-TIP-009", "tip", "--type", "size 3")
        self.ok("gear", "quarantine", "TQ-HOS-207", "--reason", "flashback inside the hose")


@pytest.fixture
def empty_desk(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Desk:
    seconds = count()
    monkeypatch.setattr("steadycone.cli.desk.now", lambda: (NOON + timedelta(seconds=next(seconds))).astimezone())
    monkeypatch.setenv("STEADYCONE_STORE", str(tmp_path / "yard.sqlite"))
    monkeypatch.setenv("STEADYCONE_BY", BY)
    monkeypatch.delenv("STEADYCONE_SITE", raising=False)
    monkeypatch.setenv("STEADYCONE_KEY", str(tmp_path / "yard.key"))
    return Desk(tmp_path, capsys)


@pytest.fixture
def desk(empty_desk: Desk) -> Desk:
    empty_desk.ok("log", "open", "Tern Quay", "--region", "uk")
    return empty_desk
