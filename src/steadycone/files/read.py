"""A station file with the policy and chart it names, to one Setup. The way in for every command."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from steadycone.errors import InputError
from steadycone.files.chart import chart_from_bytes
from steadycone.files.paths import beside
from steadycone.files.policy import policy_from_text, region_policy
from steadycone.files.station import station_from_table, station_from_text
from steadycone.files.text import CHART_LIMIT, TOML_LIMIT, decode, read_bytes, refuse_size
from steadycone.station.chart import Chart
from steadycone.station.setup import Setup, Station

Fetch = Callable[[str, int, str], bytes]  # name as the station file has it, size limit, what it is


def read_setup(path: Path, *, text: str | None = None) -> Setup:
    """Read a station file, its policy (or the region's alone) and its chart (or none).

    `text` stands for the file's content where it was read already, as from standard input; `path` then still names the folder
    in which chart and policy lie.

    Raises  InputError: whatever is wrong with any of the three, with file, place, value, what is allowed and what to try.
    """
    if text is None:
        text = decode(read_bytes(path, TOML_LIMIT, "station"), path.name, "station")
    else:
        refuse_size(len(text.encode("utf-8", "surrogatepass")), TOML_LIMIT, path.name, "station")

    def fetch(name: str, limit: int, what: str) -> bytes:
        return read_bytes(beside(path.parent, name, what), limit, what)

    return setup_from_text(text, path.name, fetch)


def setup_from_text(text: str, file: str, fetch: Fetch) -> Setup:
    """A Setup from a station file's text; `fetch` brings the bytes of the files it names.

    Raises  InputError.
    """
    return _setup(station_from_text(text, file), file, fetch)


def setup_from_table(table: dict[str, Any], file: str, fetch: Fetch) -> Setup:
    """The same from a station file's table, such as a draft that has no text yet. Raises InputError."""
    return _setup(station_from_table(table, file), file, fetch)


def _setup(station: Station, file: str, fetch: Fetch) -> Setup:
    region = station.station.region
    if station.station.policy:
        data = _fetched(fetch, station.station.policy, TOML_LIMIT, "policy", f"{file}, station, policy")
        policy = policy_from_text(decode(data, station.station.policy, "policy"), region, station.station.policy)
    else:
        policy = region_policy(region)
    return Setup(station=station, policy=policy, chart=_chart(station, file, fetch), file=file)


def _chart(station: Station, file: str, fetch: Fetch) -> Chart | None:
    name = station.tip.chart
    if name is None:
        return None
    return chart_from_bytes(name, _fetched(fetch, name, CHART_LIMIT, "chart", f"{file}, tip, chart"))


def _fetched(fetch: Fetch, name: str, limit: int, what: str, where: str) -> bytes:
    try:
        return fetch(name, limit, what)
    except InputError as error:
        error.where = f'{where}, "{name}"'
        raise
