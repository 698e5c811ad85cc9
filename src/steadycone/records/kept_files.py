"""What was filed, by its hash, kept at hand: a document never changes, and neither does what it says."""

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from sqlalchemy import select

from steadycone.errors import UnknownName
from steadycone.files.gather import gather
from steadycone.records import tables
from steadycone.records.envelope import read_header
from steadycone.records.kept import Kept

if TYPE_CHECKING:
    from steadycone.records.station_files import StationFiles
    from steadycone.records.store import Site

_HASH = re.compile("sha256:[0-9a-f]{64}")
MOST_BYTES = 32_000_000  # of documents: a station's file has 10 kB, a chart 5 MB at most
MOST_READ = 1000  # stations, each with its setup


class KeptFiles:
    """Of one site."""

    def __init__(self, site: "Site") -> None:
        self._site = site
        self._documents: Kept[str, bytes] = Kept(MOST_BYTES, len)
        self._read: Kept[tuple[str, tuple[tuple[str, str], ...]], StationFiles] = Kept(MOST_READ)
        self._filed: Kept[tuple[str, str], bool] = Kept(MOST_READ)

    def document(self, hash_: str) -> bytes:
        """Raises  UnknownName. StoreBroken."""
        return self._documents.get(hash_, lambda: self._site.document(hash_))

    def read(self, file: str, hashes: Mapping[str, str]) -> "StationFiles":
        """What these documents say as a station.

        Raises  InputError. UnknownName: a document that is not there. StoreBroken.
        """
        return self._read.get((file, tuple(sorted(hashes.items()))), lambda: self._made(file, dict(hashes)))

    def _made(self, file: str, hashes: dict[str, str]) -> "StationFiles":
        from steadycone.records.station_files import StationFiles

        def fetch(name: str, limit: int, what: str) -> bytes:
            if what not in hashes:
                raise UnknownName(f"the text names a {what}, and no hash of one is given", where=what, try_="Read the station again.")
            return self.document(hashes[what])

        text = self.document(hashes["station"]).decode("utf-8", "surrogatepass")
        found = gather(text, file, fetch)
        name = found.setup.station.station.name
        return StationFiles(name, file, text, {what: hashes[what] for what in found.papers}, found.setup, found.digest, found.papers)

    def was_filed(self, what: str, hash_: str) -> bool:
        """Whether a document of this hash was ever filed at this site, as a station's text, a chart or a policy."""

        def look() -> bool:
            if not self._search(what, hash_):
                raise _NotFiled
            return True

        try:
            return self._filed.get((what, hash_), look)
        except _NotFiled:
            return False

    def _search(self, what: str, hash_: str) -> bool:
        if not _HASH.fullmatch(hash_):
            return False
        kind, name = ("station-filed", "station") if what == "station" else ("paper-filed", "paper")
        columns = tables.events.c
        asked = select(columns.leaf).where(
            columns.site_id == self._site.number, columns.kind == kind, columns.leaf.contains(hash_, autoescape=True)
        )
        with self._site.store.reading() as connection:
            return any(read_header(leaf).documents.get(name) == hash_ for (leaf,) in connection.execute(asked))


class _NotFiled(Exception):
    """It may be filed the next moment: not kept."""
