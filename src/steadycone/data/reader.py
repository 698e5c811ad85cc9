"""The one cached reader of the package's own tables."""

import csv
import hashlib
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent


@cache
def toml(name: str) -> dict[str, Any]:
    """One TOML table by its path below data/, such as "regions/uk.toml". Callers must not change it."""
    with open(FOLDER / name, "rb") as file:
        return tomllib.load(file)


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of one CSV table, cells as text. Lines that begin with # are comments."""
    with open(FOLDER / name, newline="", encoding="utf-8") as file:
        return tuple(csv.DictReader(line for line in file if not line.startswith("#")))


@cache
def sources() -> dict[str, dict[str, str]]:
    """Every source, by key: title, kind, place, note. One file a topic in data/sources/."""
    found: dict[str, dict[str, str]] = {}
    for path in sorted((FOLDER / "sources").glob("*.toml")):
        found.update(toml(f"sources/{path.name}"))
    return found


@cache
def fingerprint() -> str:
    """SHA-256 over every table, so that a record can say which data it was made with."""
    digest = hashlib.sha256()
    for path in sorted(FOLDER.rglob("*")):
        if path.suffix in {".toml", ".csv", ".json"}:
            digest.update(path.relative_to(FOLDER).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return "sha256:" + digest.hexdigest()
