"""A station file's text to a Station."""

from typing import Any

from steadycone.errors import InputError
from steadycone.files.station_rules import check_station
from steadycone.files.tables import Builder, refuse_unknown
from steadycone.files.toml import table_from
from steadycone.station.setup import FORMAT, Station
from steadycone.units import ReferenceState


def station_from_text(text: str, file: str = "") -> Station:
    """One complete station, as its owner wrote it; `file` names it in messages.

    Raises  InputError: unknown fields first, then what is missing or wrong, then what contradicts itself.
    """
    return station_from_table(table_from(text, file, "station", FORMAT), file)


def station_from_table(table: dict[str, Any], file: str = "") -> Station:
    """The same from a table as tomllib gives it, such as a draft that has no text yet. The table is left as it is.

    Raises  InputError: as station_from_text.
    """
    try:
        refuse_unknown(Station, table)
        station: Station = Builder(_reference(table)).struct(Station, table)
        check_station(station)
    except InputError as error:
        if file:
            error.at(file)
        raise
    return station


def _reference(table: dict[str, Any]) -> ReferenceState | None:
    """The state every gas volume of this file refers to, where [station] states one."""
    about = table.get("station")
    given = about.get("reference_state") if isinstance(about, dict) else None
    if given is None:
        return None
    try:
        return ReferenceState.parse(given)
    except InputError as error:
        error.at("station, reference_state")
        raise
