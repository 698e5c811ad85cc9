"""A yard of one test: an empty store, people with their roles, and clients that are signed in."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from steadycone.records import New, Site, Store, events, open_store
from steadycone.web.app import make_app
from steadycone.web.guard import passwords
from steadycone.web.settings import Settings
from steadycone.web.yard import Yard

ROOT = Path(__file__).parents[1]
NOW = datetime(2026, 11, 25, 7, 52, tzinfo=UTC)
BASE = "http://127.0.0.1:8717"
PASSWORD = "three words in a row"
PEOPLE = {
    "O. Quist": ("operator",),
    "L. Marsh": ("lead hand",),
    "T. Vance": ("authorised technician",),
    "I. Bell": ("instructor",),
    "M. Reyes": ("manager",),
    "A. Stone": ("auditor",),
}
_HASH = passwords.hashed(PASSWORD)  # once: making one is slow on purpose


class Clock:
    """A clock that a test sets."""

    def __init__(self, now: datetime = NOW) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now

    def later(self, **by: float) -> None:
        self.now += timedelta(**by)


class Office:
    """A yard, its clock, and a client for each person."""

    def __init__(self, store: Store, site: Site, clock: Clock, settings: Settings) -> None:
        self.store, self.site, self.clock = store, site, clock
        self.yard = Yard(store, settings, clock)
        self.app = make_app(self.yard)
        self._clients: dict[str, TestClient] = {}

    def client(self, person: str = "") -> TestClient:
        """Signed in as a person; with an empty name, as nobody. Redirects are not followed."""
        if person not in self._clients:
            client = TestClient(self.app, base_url=BASE, follow_redirects=False, raise_server_exceptions=False)
            if person:
                token = token_of(client.get("/sign-in").text)
                done = client.post("/sign-in", data={"token": token, "name": person, "password": PASSWORD})
                assert done.status_code == 303, done.text
            self._clients[person] = client
        return self._clients[person]

    def send(self, person: str, page: str, to: str = "", files: Any = None, **fields: str) -> Any:
        """Load a page as a person, fill its form, send it (to the page's own address unless told)."""
        client = self.client(person)
        token = token_of(client.get(page).text)
        return client.post(to or page, data={"token": token, **fields}, files=files)


def token_of(page: str) -> str:
    found = re.search(r'name="token" value="([^"]+)"', page)
    assert found, page[:2000]
    return found[1]


@contextmanager
def office(folder: Path, *, settings: Settings | None = None, region: str = "uk") -> Iterator[Office]:
    """A yard with one person of each role, and nothing else in it."""
    clock = Clock()
    with open_store(folder / "yard.db", clock=lambda: clock.now.astimezone(UTC)) as store:
        site = store.open_site("Tern Quay", region=region, author="M. Reyes", at=NOW - timedelta(days=30))
        begun = NOW - timedelta(days=30)
        site.append(
            *(
                New(events.Authorised(person=name, role=role, basis="letter"), "M. Reyes", begun)
                for name, roles in PEOPLE.items()
                for role in roles
            )
        )
        for name in PEOPLE:
            store.accounts.add(name, _HASH, begun)
        yield Office(store, site, clock, settings or Settings())
