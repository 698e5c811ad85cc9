"""One PostgreSQL for the whole session, and a fresh store on either engine for each test."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from steadycone.records import New, Site, Store, events, open_store
from steadycone.records.address import KEY, STORE
from tests.records.server import Server, running

ENGINES = ("sqlite", "postgresql")


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    with running(fsync="off") as started:  # what a power cut leaves is the soak's business: `make soak`
        yield started


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No test sees the settings or the data folder of whoever runs it."""
    monkeypatch.delenv(STORE, raising=False)
    monkeypatch.delenv(KEY, raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))


@pytest.fixture(params=ENGINES)
def address(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Of an empty store, once on each engine."""
    if request.param == "sqlite":
        return str(tmp_path / "yard.db")
    found: Server = request.getfixturevalue("server")
    return found.database()


class Clock:
    """A clock that a test can turn."""

    def __init__(self) -> None:
        self.now = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(milliseconds=1)
        return self.now


class Yard:
    """A store with one site, and short ways to say what happens there."""

    def __init__(self, store: Store, clock: Clock, site: Site | None = None) -> None:
        self.store, self.clock = store, clock
        self.site: Site = site or store.open_site("tern-quay", region="uk", author="M. Reyes")

    def new(self, body: events.Event, author: str = "M. Reyes", **more: Any) -> New:
        """Handed in by somebody who asked for the author's password; a test of typed names gives known_by="" itself."""
        return New(body, author, more.pop("at", self.clock.now), **({"known_by": "password"} | more))

    def says(self, body: events.Event, author: str = "M. Reyes", **more: Any) -> str:
        """Record one event; gives its id."""
        return self.site.append(self.new(body, author, **more))[0].id

    def gear(self, mark: str, item: Any = "regulator", **dates: str) -> str:
        dates = dates or {"made": "2024-02", "tested": "2026-11"}
        return self.says(
            events.GearAdded(mark=mark, item=item, gas="oxygen", dates={name: events.Dated(date=d) for name, d in dates.items()})
        )  # type: ignore[misc]

    def may(self, person: str, *roles: str) -> None:
        for role in roles:
            self.says(events.Authorised(person=person, role=role))

    def made_up(self, station: str = "Slip 2") -> None:
        """A station with a regulator and a hose, in date."""
        self.gear("R-1")
        self.gear("H-1", "hose")
        self.says(events.StationMadeUp(station=station, makeup={"oxygen regulator": "R-1", "oxygen part 1": "H-1"}))

    def incident(self, event: str = "dirty tip", station: str = "Slip 2") -> str:
        return self.says(events.Incident(station=station, event=event))

    def clear(self, incident: str, condition: str, author: str = "M. Reyes", evidence: str = "read at 14:20, sheet 12", **more: Any) -> str:
        """One condition of a gate."""
        body = events.ConditionCleared(incident=incident, condition=condition, evidence=evidence, outside=more.pop("outside", ""))
        return self.says(body, author, **more)

    def open_gate(self, incident: str, author: str = "M. Reyes") -> None:
        """Everything that is left, in order."""
        row = next(row for row in self.site.incidents() if row.key == incident)
        for condition in row.open:
            self.clear(incident, condition.id, author, outside="R. Driver" if "supplier" in condition.who else "")

    def round(self, station: str = "Slip 2", state: Any = "signed", verdict: Any = "go") -> str:
        return self.says(events.RoundDone(station=station, state=state, verdict=verdict, card="c" * 64))

    def sign(self, station: str = "Slip 2", round_id: str = "", author: str = "M. Reyes", hours: float = 8) -> str:
        until = (self.clock.now + timedelta(hours=hours)).isoformat()
        return self.says(
            events.SignOff(station=station, round=round_id or self.round(station), valid_until=until, longest_break=1800), author
        )


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def yard(tmp_path: Path, clock: Clock) -> Iterator[Yard]:
    """A yard in a file."""
    with open_store(tmp_path / "yard.db", clock=clock) as store:
        yield Yard(store, clock)


@pytest.fixture
def any_yard(address: str, clock: Clock) -> Iterator[Yard]:
    """A yard, once on each engine."""
    with open_store(address, clock=clock) as store:
        yield Yard(store, clock)


@pytest.fixture
def tampered(yard: Yard) -> Callable[[str], None]:
    """Runs SQL on the yard's file with its triggers off, as somebody with the file in hand could."""
    import sqlite3

    def run(*statements: str) -> None:
        assert yard.store.address.path is not None
        connection = sqlite3.connect(yard.store.address.path)
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement)
        connection.commit()
        connection.close()

    return run
