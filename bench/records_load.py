"""Fifty writers and twenty readers at once: nothing lost, nothing doubled, no error; and how fast, beside the engine's bare insert loop.

python bench/records_load.py                       both engines, 30 s each
python bench/records_load.py --seconds 5 --engine sqlite --processes 50
"""

import argparse
import multiprocessing
import os
import random
import sys
import threading
import time
from collections import Counter
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

from bench.records_yard import ENGINES, SITE, gear, mark, place, tested

from steadycone.records import open_store
from steadycone.records.envelope import leaf, made_by
from steadycone.records.times import told

WRITERS, READERS = 50, 20
SPREAD = min(os.cpu_count() or 1, 5)  # processes the writers share, as the threads of a web server do: one a processor
GOAL = 0.4  # of the bare loop's rate
LOOK = 0.1  # s that a reader looks at what it was given before it asks again
ITEMS = 2000


@dataclass
class Load:
    """What one run gave. `bare`: one connection's insert loop, before and after, per second; `crowd`: that loop run by as many at once."""

    engine: str
    processes: int
    rate: float
    reads: float
    bare: float
    crowd: float
    slowest: float
    errors: list[str]
    lost: int
    doubled: int
    sound: bool
    stale: list[str]

    @property
    def share(self) -> float:
        return self.rate / self.bare

    @property
    def clean(self) -> bool:
        return self.sound and not (self.errors or self.lost or self.doubled or self.stale)


def measure(engine: str, seconds: float, processes: int = SPREAD, bare_seconds: float = 3.0) -> Load:
    """One run on an engine: `processes` with WRITERS threads between them, and two with READERS."""
    with place(engine) as address:
        _seed(address)
        before = bare_rate(address, bare_seconds)
        acknowledged, reads, slowest, errors = _crowd(_writing, address, seconds, processes)
        crowd = len(_crowd(_bare_writing, address, bare_seconds, processes)[0]) / bare_seconds
        after = bare_rate(address, bare_seconds)
        lost, doubled, sound, stale = _check(address, acknowledged)
    bare = (before + after) / 2
    return Load(engine, processes, len(acknowledged) / seconds, reads / seconds, bare, crowd, slowest, errors, lost, doubled, sound, stale)


def _seed(address: str) -> None:
    dice = random.Random(5)
    with open_store(address) as store:
        site = store.open_site(SITE, region="uk", author="M. Reyes")
        site.append_each([gear(number, dice) for number in range(ITEMS)])


def _bare_connection(address: str) -> tuple[Any, str]:
    """A driver's connection, each statement a commit, and its sign for a value."""
    if "://" not in address:
        import sqlite3

        file: Any = sqlite3.connect(str(Path(address).with_name("bare.db")), isolation_level=None, timeout=60, check_same_thread=False)
        file.execute("PRAGMA journal_mode = WAL")
        file.execute("PRAGMA synchronous = FULL")
        return file, "?"
    import psycopg

    return psycopg.connect(address, autocommit=True), "%s"


_TABLE = "CREATE TABLE IF NOT EXISTS bare (number BIGINT PRIMARY KEY, body TEXT NOT NULL)"


def bare_rate(address: str, seconds: float) -> float:
    """Rows a second that one connection inserts, one commit each: the same text, no hash, no rule, no index but the number."""
    text, (connection, sign) = _sample(), _bare_connection(address)
    connection.execute("DROP TABLE IF EXISTS bare")
    connection.execute(_TABLE)
    count, end = 0, time.perf_counter() + seconds
    while time.perf_counter() < end:
        connection.execute(f"INSERT INTO bare VALUES ({sign}, {sign})", (count, text))
        count += 1
    connection.close()
    return count / seconds


def _bare_writing(address: str, threads: int, seconds: float, number: int, go: Any, queue: Any) -> None:
    """The bare loop by many at once, each with a connection of its own."""
    text, counts = _sample(), [0] * threads
    connections = [_bare_connection(address) for _ in range(threads)]

    def work(which: int) -> None:
        connection, sign = connections[which]
        first, end = (number * 100 + which + 1) * 10_000_000, time.perf_counter() + seconds
        while time.perf_counter() < end:
            connection.execute(f"INSERT INTO bare VALUES ({sign}, {sign})", (first + counts[which], text))
            counts[which] += 1

    go.wait()
    _together(work, threads)
    for connection, _ in connections:
        connection.close()
    queue.put((["bare"] * sum(counts), 0, 0.0, []))


def _sample() -> str:
    """An event's text, as long as those that the writers record."""
    from steadycone.records.envelope import Recorded, body_json

    new = tested(1, random.Random(1))
    body: Any = new.body
    at = told(new.happened_at)
    event = Recorded(author=new.author, body=body, happened_at=at, id=new.id, recorded_at=at, sequence=1, site=SITE, **made_by())
    return leaf(event, body_json(body))


def _crowd(work: Any, address: str, seconds: float, processes: int) -> tuple[list[str], int, float, list[str]]:
    """Everybody at once. Acknowledged ids, answers read, the longest wait of a writer, and what went wrong."""
    context = multiprocessing.get_context("fork")
    queue: Any = context.Queue()
    go = context.Event()
    threads = [WRITERS // processes + (1 if number < WRITERS % processes else 0) for number in range(processes)]
    jobs = [context.Process(target=work, args=(address, count, seconds, number, go, queue)) for number, count in enumerate(threads)]
    jobs += [context.Process(target=_reading, args=(address, READERS // 2, seconds, number, go, queue)) for number in range(2)]
    for job in jobs:
        job.start()
    time.sleep(0.5 + 0.03 * len(jobs))
    go.set()
    found = [queue.get(timeout=seconds + 120) for _ in jobs]
    for job in jobs:
        job.join()
    ids = [id_ for written, _, _, _ in found for id_ in written]
    return (
        ids,
        sum(read for _, read, _, _ in found),
        max(slow for _, _, slow, _ in found),
        [error for *_, errors in found for error in errors],
    )


def _writing(address: str, threads: int, seconds: float, number: int, go: Any, queue: Any) -> None:
    written: list[list[str]] = [[] for _ in range(threads)]
    slowest, errors = [0.0] * threads, []

    def work(which: int) -> None:
        dice = random.Random(number * 1000 + which)
        end = time.perf_counter() + seconds
        while (start := time.perf_counter()) < end:
            new = tested(dice.randrange(ITEMS), dice)
            try:
                site.append(new)
            except Exception as error:  # noqa: BLE001 - whatever a user would have seen is counted
                errors.append(f"writer: {error!r}")
                return
            written[which].append(new.id)
            slowest[which] = max(slowest[which], time.perf_counter() - start)

    with open_store(address) as store:
        site = store.site(SITE)
        go.wait()
        _together(work, threads)
    queue.put(([id_ for some in written for id_ in some], 0, max(slowest), errors))


def _reading(address: str, threads: int, seconds: float, number: int, go: Any, queue: Any) -> None:
    reads, errors = [0] * threads, []

    def work(which: int) -> None:
        dice = random.Random(90 + number * 1000 + which)
        end = time.perf_counter() + seconds
        while time.perf_counter() < end:
            try:
                if dice.random() < 0.5:
                    site.due(date(2026, 11, 25), limit=50)
                else:
                    site.history(mark=mark(dice.randrange(ITEMS)), limit=50)
            except Exception as error:  # noqa: BLE001 - whatever a user would have seen is counted
                errors.append(f"reader: {error!r}")
                return
            reads[which] += 1
            time.sleep(LOOK)

    with open_store(address, read_only=True) as store:
        site = store.site(SITE)
        go.wait()
        _together(work, threads)
    queue.put(([], sum(reads), 0.0, errors))


def _together(work: Any, count: int) -> None:
    threads = [threading.Thread(target=work, args=(which,)) for which in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def _check(address: str, acknowledged: list[str]) -> tuple[int, int, bool, list[str]]:
    """Lost, doubled, whether the log verifies, and what is derived wrongly."""
    with open_store(address) as store:
        site = store.site(SITE)
        kept = Counter(event.id for event in site.events(kinds=["test-result"]))
        lost = sum(1 for id_ in acknowledged if id_ not in kept)
        doubled = sum(count - 1 for count in kept.values()) + len(kept) - len(set(acknowledged) & set(kept))
        return lost, doubled, site.verify().sound, site.stale()


def line(load: Load) -> str:
    """One line of the table."""
    state = "clean" if load.clean else f"NOT CLEAN {load.errors[:2]} lost {load.lost} doubled {load.doubled} stale {load.stale[:2]}"
    return (
        f"  {load.engine:11} {load.processes:3} processes  {load.rate:7.0f} events/s  {load.reads:5.0f} reads/s  "
        f"bare loop {load.bare:6.0f}/s  {load.share:4.0%}  as many bare loops {load.crowd:6.0f}/s  slowest {load.slowest * 1000:5.0f} ms  {state}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float, default=30.0)
    parser.add_argument("--engine", choices=ENGINES)
    parser.add_argument("--processes", type=int, help="that the 50 writers are spread over; left out: 5, then 50")
    given = parser.parse_args()
    print(f"{WRITERS} writers and {READERS} readers at once for {given.seconds:g} s; {os.cpu_count()} processors\n")
    loads = []
    for engine in [given.engine] if given.engine else ENGINES:
        for processes in [given.processes] if given.processes else (SPREAD, WRITERS):
            loads.append(measure(engine, given.seconds, processes))
            print(line(loads[-1]), flush=True)
    judged = [load for load in loads if given.processes or load.processes == SPREAD]
    met = all(load.clean for load in loads) and all(load.share >= GOAL for load in judged)
    print(
        f"\n  {'met    ' if met else 'NOT MET'}  clean, and with writers in {SPREAD} processes at least {GOAL:.0%} of the bare insert loop"
    )
    print("  Writers in as many processes share no commits; their rate is shown beside as many bare loops, for information.")
    sys.exit(0 if met else 1)


if __name__ == "__main__":
    main()
