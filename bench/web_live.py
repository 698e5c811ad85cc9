"""Live recalculation: 20 people at once, each changing a station in the browser, beside a bare Starlette JSON echo of the same size.

Each waits for the answer, thinks for half a second (0.4 to 0.6 s at random, so that they do not march in step), and changes something again:
a hose's length or bore, a cylinder's pressure, the thickness of the plate. What is measured is from the request's first byte to the answer's last:
once with drafts worked out in the server's process, once in a process beside it.

python bench/web_live.py                 20 people, 20 s; the goal: 95 % under 50 ms
python bench/web_live.py --people 40 --seconds 60
"""

import argparse
import asyncio
import contextlib
import gzip
import json
import random
import shutil
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from web_serving import free_port, running
from yard_of import build_many

GOAL = 50.0  # ms, 95th percentile
THINK = (0.4, 0.6)  # s
STATIONS = 20
Change = Callable[[], dict[str, str]]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--people", type=int, default=20)
    parser.add_argument("--seconds", type=float, default=20.0)
    given = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="steadycone-bench-"))
    try:
        people, drafts = _build(folder / "yard.db", given.people)
        found = {}
        for helpers in (0, 1):
            with _serving(folder / "yard.db", helpers) as address:
                asked = [_Person("/stations/live.json", headers, draft) for headers, draft in zip(people, drafts, strict=True)]
                found[helpers] = asyncio.run(_all(address, asked, given.seconds))
        bare_port = free_port()
        with running("bare", str(bare_port), "20", port=bare_port) as address:
            asked = [_Person("/echo", {}, draft) for draft in drafts]
            bare, _ = asyncio.run(_all(address, asked, given.seconds))
    finally:
        shutil.rmtree(folder)
    print(f"{given.people} people, {THINK[0]} to {THINK[1]} s between an answer and the next change, {given.seconds:g} s")
    for helpers, (took, worked) in found.items():
        _tell(f"live recalculation, {'in a process beside it' if helpers else 'in the server itself'}", took, given.seconds)
        print(f"  of that in the page itself: median {statistics.median(worked):.1f} ms, 95 % under {_part(worked, 95):.1f} ms")
    _tell("bare JSON echo", bare, given.seconds)
    late = _part([1e3 * each for each in found[1][0]], 95)
    print(f"goal: 95 % under {GOAL:g} ms: {'met' if late < GOAL else 'NOT MET'} ({late:.1f} ms)")


@contextlib.contextmanager
def _serving(store: Path, helpers: int) -> Iterator[str]:
    """The yard over a store in a process of its own; gives its address once it answers."""
    port = free_port()
    process = subprocess.Popen([sys.executable, __file__, "--serve", str(store), str(port), str(helpers)])
    try:
        for _ in range(400):
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
                break
            time.sleep(0.05)
        else:
            raise SystemExit("the server did not start")
        time.sleep(2)  # the process beside it reads its tables
        yield f"http://127.0.0.1:{port}"
    finally:
        process.terminate()
        process.wait(timeout=20)


def _serve(store: Path, port: int, helpers: int) -> None:
    from steadycone.records import open_store
    from steadycone.web.pages import edit_pool
    from steadycone.web.serve import server
    from steadycone.web.settings import Settings
    from steadycone.web.yard import Yard

    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
    with open_store(store) as found:
        yard = Yard(found, Settings(port=port), lambda: datetime.now(UTC).astimezone())
        if helpers:
            edit_pool.begin(yard, helpers)
        try:
            server(yard).run()
        finally:
            edit_pool.end(yard)


def _build(path: Path, people: int) -> tuple[list[dict[str, str]], list[dict[str, Any]]]:
    """A store with stations; the headers of people who are signed in, and a draft for each."""
    from steadycone.files.edit import fields_of
    from steadycone.records import New, events, open_store
    from steadycone.web.guard import passwords, tokens

    now, hashed = datetime.now(UTC).astimezone(), passwords.hashed("nobody signs in with this")
    with open_store(path) as store:
        site = build_many(store, now, STATIONS)
        headers = []
        for number in range(people):
            name = f"Person {number + 1}"
            site.append(New(events.Authorised(person=name, role="lead hand"), "M. Reyes", now))
            store.accounts.add(name, hashed, now)
            token = store.accounts.begin(name, now)
            session = store.accounts.read(token, now)
            assert session is not None
            headers.append({"Cookie": f"steadycone={token}", "X-Form-Token": tokens.make(tokens.of_text(session.secret))})
        texts = [site.files.document(station.text).decode() for station in site.stations() if station.text]
    return headers, [{"text": text, "values": fields_of(text)} for number in range(people) if (text := texts[number % len(texts)])]


class _Person:
    """One who changes a draft again and again."""

    def __init__(self, path: str, headers: dict[str, str], draft: dict[str, Any]) -> None:
        self.path, self.headers, self.draft = path, headers, draft
        self.dice = random.Random(json.dumps(draft["values"].get("station.name", "")))

    def body(self) -> bytes:
        return json.dumps({"text": self.draft["text"], "values": self.draft["values"] | self._change()}).encode()

    def _change(self) -> dict[str, str]:
        hoses = [path.removesuffix(".length") for path in self.draft["values"] if ".part." in path and path.endswith(".length")]
        dice = self.dice
        changes: list[Change] = [
            lambda: {f"{dice.choice(hoses)}.length": f"{dice.uniform(5, 60):.1f} m"},
            lambda: {f"{dice.choice(hoses)}.bore": f"{dice.choice((5, 6.3, 8, 10))} mm"},
            lambda: {"oxygen.supply.pressure": f"{dice.randrange(40, 200)} bar"},
        ]
        if "job.thickness" in self.draft["values"]:
            changes.append(lambda: {"job.thickness": f"{dice.randrange(6, 50)} mm"})
        return dice.choice(changes)()


async def _all(address: str, people: list[_Person], seconds: float) -> tuple[list[float], list[float]]:
    """How long each answer took [s], and how long the page says it took [ms]."""
    took: list[float] = []
    worked: list[float] = []
    until = time.perf_counter() + seconds
    await asyncio.gather(*(_one(address, person, until, took, worked) for person in people))
    return took, worked


async def _one(address: str, person: _Person, until: float, took: list[float], worked: list[float]) -> None:
    host, _, port = address.removeprefix("http://").partition(":")
    reader, writer = await asyncio.open_connection(host, int(port))
    await asyncio.sleep(person.dice.uniform(0, THINK[1]) + random.uniform(0, THINK[0]))
    first = True
    while time.perf_counter() < until:
        body = person.body()
        begun = time.perf_counter()
        writer.write(b"".join(_request(person, host, port, body)))
        head = await reader.readuntil(b"\r\n\r\n")
        if (status := int(head.split(b" ", 2)[1])) != 200:
            raise SystemExit(f"the server answered {status}")
        length = next(int(line.split(b":")[1]) for line in head.lower().split(b"\r\n") if line.startswith(b"content-length:"))
        answer = await reader.readexactly(length)
        if not first:  # the first reads the text and the charts
            took.append(time.perf_counter() - begun)
            told = json.loads(gzip.decompress(answer) if b"content-encoding: gzip" in head.lower() else answer)
            if "took_ms" in told:
                worked.append(told["took_ms"])
        first = False
        await asyncio.sleep(person.dice.uniform(*THINK))
    writer.close()


def _request(person: _Person, host: str, port: str, body: bytes) -> Iterator[bytes]:
    told = {
        "Host": f"{host}:{port}",
        "Content-Type": "application/json",
        "Content-Length": str(len(body)),
        "Accept-Encoding": "gzip",
        **person.headers,
    }
    yield f"POST {person.path} HTTP/1.1\r\n".encode()
    yield "".join(f"{name}: {value}\r\n" for name, value in told.items()).encode() + b"\r\n" + body


def _part(found: list[float], percent: int) -> float:
    return statistics.quantiles(found, n=100)[percent - 1]


def _tell(what: str, took: list[float], seconds: float) -> None:
    ms = [1e3 * each for each in took]
    print(
        f"{what}: {len(ms) / seconds:.0f} a second, median {statistics.median(ms):.1f} ms, 95 % under {_part(ms, 95):.1f} ms, "
        f"99 % under {_part(ms, 99):.1f} ms"
    )


if __name__ == "__main__":
    if sys.argv[1:2] == ["--serve"]:
        _serve(Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]))
    else:
        main()
