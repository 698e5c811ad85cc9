"""The round's own limits, from data/rounds.toml."""

from dataclasses import dataclass

from steadycone.data.reader import toml
from steadycone.units import Duration, Share

TABLE = "rounds.toml"
CURES = "round_cures.toml"


@dataclass(frozen=True, slots=True)
class Limit:
    """SI (share of one, seconds), or a count of marks, letters or steps; and the key of its source."""

    si: float
    source: str


def limit(name: str) -> Limit:
    """One limit. A missing name is our own fault and fails as a KeyError."""
    entry = toml(TABLE)["limit"][name]
    value: str = entry["value"]
    count, _, what = value.partition(" ")
    if what in ("marks", "letters"):
        return Limit(float(count), entry["source"])
    measure = Share if value.endswith("%") else Duration
    return Limit(measure.parse(value).si, entry["source"])
