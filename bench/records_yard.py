"""What the record benches share: an invented yard's gear, its events, and both engines."""

import os
import random
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from tests.records.server import Server, running

from steadycone.records import New, events
from steadycone.records.address import KEY

ENGINES = ("sqlite", "postgresql")
SITE = "tern-quay"
CLASSES = ("regulator", "arrestor", "hose", "torch", "check valve")


@contextmanager
def place(engine: str) -> Iterator[str]:
    """An address of an empty store on an engine, gone afterwards."""
    with place_with(engine) as (address, _):
        yield address


@contextmanager
def place_with(engine: str) -> Iterator[tuple[str, Server | None]]:
    """The same, and the server itself where there is one."""
    with tempfile.TemporaryDirectory(prefix="steadycone-soak-") as folder:
        if engine == "sqlite":
            yield str(Path(folder) / "yard.db"), None
            return
        kept = os.environ.get(KEY)
        os.environ[KEY] = str(Path(folder) / "yard.key")
        try:
            with running() as server:
                yield server.database(), server
        finally:
            os.environ.pop(KEY)
            if kept is not None:
                os.environ[KEY] = kept


def mark(number: int) -> str:
    return f"TQ-{number:06d}"


def gear(number: int, dice: random.Random) -> New:
    """One item as it is entered: most made in the last five years, one in fifty of unknown age."""
    dates: dict[events.DateName, events.Dated] = {}
    if dice.random() > 0.02:
        year, month = dice.choice((2022, 2023, 2024, 2025)), dice.randint(1, 12)
        dates["made"] = events.Dated(date=f"{year}-{month:02d}", basis="stamp")
    if dates and dice.random() > 0.5:
        dates["tested"] = events.Dated(date=f"2026-{dice.randint(1, 10):02d}-{dice.randint(1, 28):02d}", basis="sheet")
    body = events.GearAdded(
        mark=mark(number), item=dice.choice(CLASSES), gas=dice.choice(("oxygen", "acetylene")), type="demo", dates=dates
    )
    return New(body, "J. Marsh", datetime.now(UTC))


def tested(number: int, dice: random.Random) -> New:
    """A test of an item that passed."""
    body = events.TestResult(mark=mark(number), test="tightness", value=f"{dice.randint(0, 9)} cm3/h", limit="10 cm3/h", passed=True)
    return New(body, "J. Marsh", datetime.now(UTC))
