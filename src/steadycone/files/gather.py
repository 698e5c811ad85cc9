"""A station's files, the setup they give, and one digest of them all: what a round is bound to."""

import hashlib
from dataclasses import dataclass

from steadycone.files.read import Fetch, setup_from_text
from steadycone.station.setup import Setup


@dataclass(frozen=True, slots=True)
class Gathered:
    """papers : bytes of "station", "policy" and "chart", those there are, in the order they were read. digest : SHA-256 over them, hex."""

    setup: Setup
    digest: str
    papers: dict[str, bytes]


def gather(text: str, file: str, fetch: Fetch) -> Gathered:
    """Read a station file's text and what it names; `fetch` as in files/read.py.

    Raises  InputError.
    """
    papers = {"station": text.encode("utf-8", "surrogatepass")}

    def kept(name: str, limit: int, what: str) -> bytes:
        papers[what] = data = fetch(name, limit, what)
        return data

    setup = setup_from_text(text, file, kept)
    digest = hashlib.sha256()
    for what, data in papers.items():
        digest.update(f"{what} {len(data)}\n".encode() + data)
    return Gathered(setup, digest.hexdigest(), papers)
