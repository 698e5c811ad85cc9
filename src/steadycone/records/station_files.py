"""Stations as their files say, from the log: read as they stand now, read again as a round saw them, and filed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Literal

from steadycone.errors import BadFile, InputError, UnknownName
from steadycone.files.chart import chart_from_bytes
from steadycone.files.policy import policy_from_text
from steadycone.files.read import Fetch, setup_from_text
from steadycone.files.text import TOML_LIMIT, decode, refuse_size
from steadycone.records import events
from steadycone.records.envelope import New, Receipt
from steadycone.records.names import checked_file, key, paper_name
from steadycone.records.rows import Paper, Station
from steadycone.station.setup import Setup

if TYPE_CHECKING:
    from steadycone.records.store import Site


@dataclass(frozen=True, slots=True)
class StationFiles:
    """A station's files of one moment. They never change: the same hashes give the same.

    name : the station's. file : the file's name. text : what is in it
    hashes : of "station", and of "policy" and "chart" where the text names them. papers : the bytes under the same names
    digest : over all of them, as a round is bound to: that of `steadycone round` for the same files
    """

    name: str
    file: str
    text: str
    hashes: dict[str, str]
    setup: Setup
    digest: str
    papers: dict[str, bytes]


# --- reading ------------------------------------------------------------------------


def read_station(site: "Site", name: str) -> StationFiles:
    """The station as it is filed now.

    Raises  UnknownName: no such station, or no file of it is kept. InputError: what is filed can't be read as a station any more, since
            the program's rules or a policy became stricter. StoreError.
    """
    station = site.station(name)
    return _read(site, station, {key(paper.name): paper for paper in site.papers()} if station.papers else {})


def read_all(site: "Site") -> Iterator[tuple[Station, StationFiles | InputError]]:
    """Every station with a file that is not retired, by name, with what it says or why it can't be read. Two questions to the store."""
    papers = {key(paper.name): paper for paper in site.papers()}
    for station in site.stations():
        if station.text and not station.retired:
            try:
                yield station, _read(site, station, papers)
            except InputError as error:
                yield station, error


def _read(site: "Site", station: Station, papers: Mapping[str, Paper]) -> StationFiles:
    if not station.text:
        raise UnknownName(f'no file of "{station.name}" is kept', where="station", try_="File it first.")
    named = (papers[key(paper)] for paper in station.papers)
    return site.files.read(station.file, {"station": station.text} | {paper.what: paper.hash for paper in named})


def read_hashes(site: "Site", file: str, hashes: Mapping[str, str]) -> StationFiles:
    """The very documents that an earlier read gave, whatever was filed since. file : the name they had; it stands in messages.

    Raises  UnknownName: a hash of nothing that was filed at this site. InputError. StoreError.
    """
    if "station" not in hashes or not set(hashes) <= {"station", "policy", "chart"}:
        raise InputError("not the hashes of a station's files", where="hashes", try_="Give those that reading the station gave.")
    for what, hash_ in hashes.items():
        if not site.files.was_filed(what, hash_):
            raise UnknownName(f"no such {what} was filed here", where=f"hashes, {what}", try_="Give those that reading the station gave.")
    return site.files.read(checked_file(file, "file"), hashes)


# --- filing -------------------------------------------------------------------------


def file_station(
    site: "Site",
    author: str,
    at: datetime,
    file: str,
    text: str,
    base: str = "",
    why: str = "",
    *,
    editing: str = "",
    id: str | None = None,
) -> Receipt:
    """Read a station's text, with the charts and policies of this site, and put it into the log.

    Parameters
    ----------
    base : hash of the text that the edit began from; empty for a station's first
    editing : name of the station that is edited; the text must name the same one
    id : of the event, so that a form sent twice is filed once

    Raises  InputError: what is wrong with the text, or nothing changed, or it names another station. Overtaken: somebody changed it first.
    """
    refuse_size(len(text.encode("utf-8", "surrogatepass")), TOML_LIMIT, file, "station")
    setup = setup_from_text(text, checked_file(file, "file"), _fetch_now(site))
    about = setup.station.station
    if editing and key(about.name) != key(editing):
        says = f'the text names the station "{about.name[:60]}", and this is "{editing[:60]}"'
        raise InputError(
            says, where=f"{file}, station, name", try_="A station keeps its name. Under another name it is filed as a new one."
        )
    papers = tuple(name for name in (about.policy, setup.station.tip.chart) if name)
    body = events.StationFiled(station=about.name, file=file, base=base, why=why, papers=tuple(paper_name(name) for name in papers))
    return _append(site, body, author, at, {"station": text.encode()}, id)


def file_paper(
    site: "Site", author: str, at: datetime, name: str, what: Literal["chart", "policy"], data: bytes, base: str = "", why: str = "", *,
    id: str | None = None,
) -> Receipt:  # fmt: skip
    """Read a chart or a policy, and every station that names it once more with it, and put it into the log.

    Raises  InputError: it can't be read, or a station could not be read any more with it. Overtaken: somebody changed it first.
    """
    name = paper_name(checked_file(name, what, folders=True))
    if what == "chart":
        chart_from_bytes(name, data)
    else:
        refuse_size(len(data), TOML_LIMIT, name, what)
        policy_from_text(decode(data, name, what), site.policy.region, name)
    _check_stations(site, name, data)
    return _append(site, events.PaperFiled(name=name, what=what, base=base, why=why), author, at, {"paper": data}, id)


def _append(site: "Site", body: events.Event, author: str, at: datetime, documents: dict[str, bytes], id_: str | None) -> Receipt:
    new = New(body, author, at, documents=documents) if id_ is None else New(body, author, at, id=id_, documents=documents)
    (receipt,) = site.append(new)
    return receipt


def _check_stations(site: "Site", name: str, data: bytes) -> None:
    """Raises  InputError: a station that names this paper can't be read with it."""
    now = _fetch_now(site)

    def fetch(asked: str, limit: int, what: str) -> bytes:
        return data if key(paper_name(asked)) == key(name) else now(asked, limit, what)

    for station in site.stations():
        if station.text and not station.retired and key(name) in map(key, station.papers):
            setup_from_text(site.files.document(station.text).decode("utf-8", "surrogatepass"), station.file, fetch)


def _fetch_now(site: "Site") -> Fetch:
    """Brings charts and policies as they are filed now."""
    papers = {key(paper.name): paper for paper in site.papers()}

    def fetch(name: str, limit: int, what: str) -> bytes:
        found = papers.get(key(paper_name(name)))
        if found is None or found.what != what:
            kept = ", ".join(paper.name for paper in papers.values() if paper.what == what) or "none"
            raise BadFile(f"no such {what} is kept", where=name, try_=f"File it first, or name one of those kept: {kept}.")
        return site.files.document(found.hash)

    return fetch
