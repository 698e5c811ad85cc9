"""What a station's filed text says that the register needs: its places, and when the policy it names makes gear due."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from steadycone.errors import InputError, UnknownName
from steadycone.files.policy import policy_from_text, region_policy
from steadycone.files.read import setup_from_text
from steadycone.files.station import station_from_text
from steadycone.records.kept import Kept
from steadycone.records.names import key, paper_name
from steadycone.records.rows import Paper, Station

if TYPE_CHECKING:
    from steadycone.station.policy import Policy
    from steadycone.station.setup import Setup
    from steadycone.station.setup import Station as Noun

Read = Callable[[str], bytes]  # a document by its hash
_STATIONS: "Kept[str, Noun | None]" = Kept(1000)
_POLICIES: "Kept[tuple[str, str], Policy | None]" = Kept(200)


class Filed:
    """Asked of rows and documents as they are at that moment.

    station, paper : rows by name, None where there is none. read : a document by its hash
    """

    def __init__(self, station: Callable[[str], Station | None], paper: Callable[[str], Paper | None], read: Read) -> None:
        self._station, self._paper, self._read = station, paper, read

    def noun(self, station: Station) -> "Noun | None":
        """The station as its text has it; None where none is filed, or it can't be read any more: then its card says so, as a stop."""
        if not station.text:
            return None
        return _STATIONS.get(station.text, lambda: _noun(self._read(station.text)))

    def policy(self, name: str) -> "Policy | None":
        """The policy in force on a station, as its card has it; None where no file of it is kept, or none that can be read."""
        station = self._station(name) if name else None
        noun = self.noun(station) if station else None
        if noun is None:
            return None
        region = noun.station.region
        paper = self._paper(key(paper_name(noun.station.policy))) if noun.station.policy else None
        if paper is None:
            return region_policy(region)
        return _POLICIES.get((region, paper.hash), lambda: _policy(self._read(paper.hash), region))

    def setup(self, file: str, hashes: Mapping[str, str]) -> "Setup":
        """The setup that these documents give: "station", and "policy" and "chart" where its text names them.

        Raises  InputError: they can't be read as a station any more, or the text names a paper that is not among them.
        """

        def fetch(name: str, limit: int, what: str) -> bytes:
            if what not in hashes:
                raise UnknownName(f"the text names a {what}, and the round holds none", where=what, try_="Go round again.")
            return self._read(hashes[what])

        return setup_from_text(self._read(hashes["station"]).decode("utf-8", "surrogatepass"), file, fetch)


def _policy(data: bytes, region: str) -> "Policy | None":
    try:
        return policy_from_text(data.decode("utf-8", "replace"), region)
    except InputError:  # the rules of the program became stricter: the station's card says so, as a stop
        return None


def _noun(data: bytes) -> "Noun | None":
    try:
        return station_from_text(data.decode("utf-8", "surrogatepass"))
    except InputError:  # the rules of the program became stricter
        return None
