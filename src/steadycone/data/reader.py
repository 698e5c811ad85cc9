"""The one cached reader of the package's own tables."""

import csv
import hashlib
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
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


class Blocks(Mapping[str, dict[str, Any]]):
    """A table of many `[key]` blocks of which one run needs a few: each block is parsed when it is first asked for.

    Holds for   files whose `[` at the beginning of a line begins a block with a plain key: a test compares them with the whole parse.
    """

    def __init__(self, texts: Iterable[str]) -> None:
        self._texts: dict[str, str] = {}
        self._parsed: dict[str, dict[str, Any]] = {}
        for text in texts:
            heads = list(_HEAD.finditer(text))
            ends = [*(head.start() for head in heads[1:]), len(text)]
            self._texts.update((head[1], text[head.start() : end]) for head, end in zip(heads, ends, strict=True))

    def __getitem__(self, key: str) -> dict[str, Any]:
        if key not in self._parsed:
            self._parsed[key] = tomllib.loads(self._texts[key])[key]
        return self._parsed[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._texts)

    def __len__(self) -> int:
        return len(self._texts)


_HEAD = re.compile(r"^\[([A-Za-z0-9_-]+)\]", re.MULTILINE)


@cache
def blocks(name: str) -> Blocks:
    """A TOML table of plain blocks, such as "findings.toml", of which few are read. Callers must not change them."""
    return Blocks([(FOLDER / name).read_text(encoding="utf-8")])


@cache
def sources() -> Mapping[str, dict[str, str]]:
    """Every source, by key: title, kind, place, note. One file a topic in data/sources/."""
    return Blocks(path.read_text(encoding="utf-8") for path in sorted((FOLDER / "sources").glob("*.toml")))


@cache
def fingerprint() -> str:
    """SHA-256 over every table, so that a record can say which data it was made with."""
    digest = hashlib.sha256()
    for path in sorted(FOLDER.rglob("*")):
        if path.suffix in {".toml", ".csv", ".json"}:
            digest.update(path.relative_to(FOLDER).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return "sha256:" + digest.hexdigest()
