"""A yard's past told into its records: what happened in order of time, each thing written down at its own moment."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import TYPE_CHECKING

from steadycone.records.envelope import New, Receipt

if TYPE_CHECKING:
    from steadycone.records.events import Event
    from steadycone.records.store import Site, Store


class Past:
    """A clock that stands where it is put. It never goes back."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def __call__(self) -> datetime:
        return self.at

    def put(self, at: datetime) -> None:
        assert at >= self.at, f"{at} is before {self.at}"
        self.at = at


@contextmanager
def told_in_the_past(store: "Store", begun: datetime) -> "Iterator[Past]":
    """The store with such a clock, and its own again at the end. Writers keep the clock they began with, so they are let go too."""
    own, past = store.clock, Past(begun)
    store.clock = past
    try:
        yield past
    finally:
        store.clock = own
        for name in store.sites():
            store.site(name).close()


class Story:
    """What is to be told, in any order; `tell` puts it into order."""

    def __init__(self) -> None:
        self._told: list[tuple[datetime, int, Callable[[], object]]] = []

    def at(self, moment: datetime, action: Callable[[], object]) -> None:
        """Something that is done at a moment."""
        self._told.append((moment, len(self._told), action))

    def record(self, moment: datetime, site: "Site", author: str, *bodies: "Event") -> None:
        """Events that one person puts in together."""
        self.at(moment, lambda: put(site, moment, author, *bodies))

    def tell(self, past: Past) -> None:
        for moment, _, action in sorted(self._told, key=lambda one: one[:2]):
            past.put(moment)
            action()


def put(site: "Site", moment: datetime, author: str, *bodies: "Event") -> tuple[Receipt, ...]:
    """Events into the log, now."""
    return site.append(*(New(body, author, moment) for body in bodies))
