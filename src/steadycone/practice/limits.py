"""Limits that no policy field holds, read from data/limits.toml with their source."""

from dataclasses import dataclass
from functools import lru_cache

from steadycone.data.reader import toml
from steadycone.units import Duration, Measure, Number, PressureDifference, Share, Speed, Temperature

_KINDS: dict[str, type[Measure]] = {
    "temperature": Temperature,
    "time": Duration,
    "share": Share,
    "pressure": PressureDifference,
    "number": Number,
    "speed": Speed,
}


@dataclass(frozen=True, slots=True)
class Limit:
    """`si` in the unit of its kind (K, s, share of one, Pa, number, m/s); `source` is a key of data/sources."""

    si: float
    source: str


@lru_cache(maxsize=256)
def limit(name: str) -> Limit:
    """One limit by its name in data/limits.toml. A missing name is our own fault and fails as a KeyError."""
    entry = toml("limits.toml")[name]
    return Limit(_KINDS[entry["kind"]].parse(entry["value"]).si, entry["source"])
