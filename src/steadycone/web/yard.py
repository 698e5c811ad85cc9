"""What all pages share while the server runs: the records, the one site, and what was worked out from them and still holds."""

import re
import threading
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from steadycone.errors import StoreMissing, UnknownName, nearest
from steadycone.web.settings import Settings

if TYPE_CHECKING:
    from steadycone.records.rows import Station
    from steadycone.records.store import Site, Store


@dataclass(slots=True)
class Yard:
    """`site_name` empty: the only one. `clock` gives the time in the zone people read."""

    store: "Store"
    settings: Settings
    clock: Callable[[], datetime]
    site_name: str = ""
    kept: dict[Any, Any] = field(default_factory=dict)
    lock: threading.RLock = field(default_factory=threading.RLock)
    _site: "Site | None" = None
    _region: str = ""

    @property
    def site(self) -> "Site | None":
        """None while none was opened yet. Raises InputError: several, and none was named."""
        if self._site is None:
            try:
                self._site = self.store.site(self.site_name or None)
            except StoreMissing:
                return None
        return self._site

    @property
    def region(self) -> str:
        """The site's region, which never changes; uk while there is no site."""
        if not self._region and self.site is not None:
            self._region = self.site.policy.region
        return self._region or "uk"

    def roles(self, site: "Site", size: int, person: str, on: date) -> frozenset[str]:
        """What the log of this size gives a person on a day; looked up again when it grew."""
        from steadycone.web.desk import roles_of

        with self.lock:
            known: dict[Any, frozenset[str]] = self.kept.setdefault("roles", {})
            found = known.get((size, person, on))
        if found is None:
            found = roles_of(site, person, on)
            with self.lock:
                if any(key[0] != size for key in known):
                    known.clear()
                known[size, person, on] = found
        return found

    def last_at(self, site: "Site", size: int) -> str:
        """When the last event of the log of this size was recorded; looked up again when it grew."""
        with self.lock:
            found = self.kept.get("last_at")
        if found is None or found[0] != size:
            found = (size, site.head().at)
            with self.lock:
                self.kept["last_at"] = found
        at: str = found[1]
        return at

    def stations(self, site: "Site") -> "dict[str, Station]":
        """Stations that are not retired, by the last part of their address; worked out again when the log grew."""
        size = site.size
        with self.lock:
            found = self.kept.get("stations")
            if found is None or found[0] != size:
                found = (size, addressed(site.stations()))
                self.kept["stations"] = found
        stations: dict[str, Station] = found[1]
        return stations

    def station(self, site: "Site", slug: str) -> "Station":
        """Raises  UnknownName."""
        known = self.stations(site)
        if slug not in known:
            raise UnknownName(f'no station "{slug[:60]}"', where="station", try_=nearest(slug[:60], known) if known else "Add one first.")
        return known[slug]


def addressed(stations: "list[Station]") -> "dict[str, Station]":
    """Each station under its slug. The one that is longer in the log keeps the plain one."""
    found: dict[str, Station] = {}
    for station in sorted(stations, key=lambda each: each.first):
        plain = slug = slug_of(station.name)
        number = 2
        while slug in found:
            slug, number = f"{plain}-{number}", number + 1
        found[slug] = station
    return {slug: station for slug, station in found.items() if not station.retired}


def slug_of(name: str) -> str:
    """A name as the last part of an address: "Slip 2, frame bench" is "slip-2-frame-bench"."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60] or "station"
