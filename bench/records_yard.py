"""What the record benches share: an invented yard's gear, its events, and both engines."""

import os
import random
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from tests.records.server import Server, running

from steadycone.records import New, events
from steadycone.records.address import KEY

ENGINES = ("sqlite", "postgresql")
SITE = "tern-quay"
TODAY = date(2026, 11, 25)
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
    """One item as it is entered, in a yard that is looked after: about one in ten due within a month or over, one in fifty of unknown age."""
    kind = dice.choice(CLASSES)
    dates: dict[events.DateName, events.Dated] = {}
    if dice.random() > 0.02:
        tested_yearly = kind not in ("regulator", "hose")
        made = TODAY - timedelta(days=dice.randrange(200, 5 * 365 + 20))
        dates["made"] = events.Dated(date=f"{made:%Y-%m}", basis="stamp")
        if tested_yearly:
            day = TODAY - timedelta(days=dice.randrange(2, min(375, (TODAY - made).days)))
            dates["tested"] = events.Dated(date=day.isoformat(), basis="sheet")
    body = events.GearAdded(mark=mark(number), item=kind, gas=dice.choice(("oxygen", "acetylene")), type="demo", dates=dates)
    return New(body, "J. Marsh", datetime.now(UTC))


def tested(number: int, dice: random.Random) -> New:
    """A test of an item that passed."""
    body = events.TestResult(mark=mark(number), test="tightness", value=f"{dice.randint(0, 9)} cm3/h", limit="10 cm3/h", passed=True)
    return New(body, "J. Marsh", datetime.now(UTC))
