"""A site with 100,000 items and 1,000,000 events: the due list, one item's history and verify, beside the same questions in bare SQL.

python bench/records_size.py
python bench/records_size.py --items 10000 --events 100000 --engine sqlite
"""

import argparse
import random
import resource
import statistics
import sys
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

from bench.records_yard import ENGINES, SITE, TODAY, gear, mark, place, tested

from steadycone.records import Site, open_store

QUICK, FAST = 0.150, 100_000  # s a person waits; events a second
_DUE = "SELECT * FROM items WHERE site_id = 1 AND state = 'in service' AND due_day <= {day} ORDER BY due_day, key"
_HISTORY = (
    "SELECT e.leaf FROM mentions m JOIN events e ON e.site_id = m.site_id AND e.sequence = m.sequence "
    "WHERE m.site_id = 1 AND m.about = 'item' AND m.key = '{key}' ORDER BY m.sequence DESC LIMIT 200"
)
_ALL = "SELECT sequence, id, kind, recorded_at, happened_at, author, leaf, hash FROM events WHERE site_id = 1 ORDER BY sequence"


@dataclass
class Size:
    """Seconds each, the tool's and bare SQL's; `written` events a second while the site was filled."""

    engine: str
    items: int
    events: int
    written: float
    due: tuple[float, float, int]
    first_due: float
    history: tuple[float, float, int]
    verify: tuple[float, float]
    own: float  # seconds of processor time that verifying took, of both its processes
    sound: bool

    @property
    def met(self) -> bool:
        return self.sound and self.due[0] < QUICK and self.history[0] < QUICK and self.events / self.verify[0] >= FAST


def measure(engine: str, items: int, events: int) -> Size:
    """Fill a site and ask."""
    with place(engine) as address, open_store(address) as store, closing(_connected(engine, address)) as driver:
        site = store.open_site(SITE, region="uk", author="M. Reyes")
        written = _fill(site, items, events)
        busiest = mark(0)

        def bare(query: str) -> list[Any]:
            """Rows fetched, and thrown away."""
            return list(driver.execute(query).fetchall())

        due = site.due(TODAY)
        history = site.history(mark=busiest)
        day = TODAY.toordinal() + 30
        return Size(
            engine,
            items,
            site.size,
            written,
            (_median(lambda: site.due(TODAY)), _median(lambda: bare(_DUE.format(day=day))), len(due)),
            _median(lambda: site.due(TODAY, limit=100)),
            (_median(lambda: site.history(mark=busiest)), _median(lambda: bare(_HISTORY.format(key=busiest.lower()))), len(history)),
            (_once(site.verify), _once(lambda: bare(_ALL))),
            *_processor(site),
        )


def _fill(site: Site, items: int, events: int) -> float:
    dice = random.Random(11)
    start = time.perf_counter()
    for first in range(0, items, 10_000):
        site.append_each([gear(number, dice) for number in range(first, min(first + 10_000, items))])
    left = events - items - 2
    while left > 0:
        # every tenth event is about one item in a thousand: some gear is tested far more often than the rest
        some = [
            tested(dice.randrange(max(1, items // 1000)) if dice.random() < 0.1 else dice.randrange(items), dice)
            for _ in range(min(left, 10_000))
        ]
        site.append_each(some)
        left -= len(some)
    return events / (time.perf_counter() - start)


def _connected(engine: str, address: str) -> Any:
    """The driver alone."""
    if engine == "sqlite":
        import sqlite3

        return sqlite3.connect(address)
    import psycopg

    return psycopg.connect(address, autocommit=True)


def _once(ask: Callable[[], object]) -> float:
    start = time.perf_counter()
    ask()
    return time.perf_counter() - start


def _processor(site: Site) -> tuple[float, bool]:
    """Processor seconds of one more verification, and whether it found the log sound. Unlike the clock's they hardly hang on who else is at work."""
    before = _spent()
    sound = site.verify().sound
    return _spent() - before, sound


def _spent() -> float:
    """This process's and its finished children's."""
    used = [resource.getrusage(whose) for whose in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(each.ru_utime + each.ru_stime for each in used)


def _median(ask: Callable[[], object], runs: int = 11) -> float:
    ask()
    return statistics.median(_once(ask) for _ in range(runs))


def lines(size: Size) -> str:
    """A block of the table."""
    rate, bare_rate = size.events / size.verify[0], size.events / size.verify[1]
    return "\n".join(
        [
            f"  {size.engine}: {size.items:,} items, {size.events:,} events, filled at {size.written:,.0f} events/s",
            f"    due list, {size.due[2]:,} items    {size.due[0] * 1000:7.1f} ms   bare SQL {size.due[1] * 1000:7.1f} ms",
            f"    due list, first 100      {size.first_due * 1000:7.1f} ms",
            f"    history, {size.history[2]:,} events      {size.history[0] * 1000:7.1f} ms   bare SQL {size.history[1] * 1000:7.1f} ms",
            f"    verify            {rate:10,.0f} events/s   bare SQL, reading alone {bare_rate:10,.0f}/s",
            f"    of processor time {1e6 * size.own / size.events:7.1f} us an event, the register's comparison with them included",
        ]
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--items", type=int, default=100_000)
    parser.add_argument("--events", type=int, default=1_000_000)
    parser.add_argument("--engine", choices=ENGINES)
    given = parser.parse_args()
    print("A large site\n")
    every = []
    for engine in [given.engine] if given.engine else ENGINES:
        every.append(measure(engine, given.items, given.events))
        print(lines(every[-1]), flush=True)
    met = all(size.met for size in every)
    print(f"\n  {'met    ' if met else 'NOT MET'}  due list and history under {QUICK * 1000:.0f} ms, verify at {FAST:,} events/s or more")
    sys.exit(0 if met else 1)


if __name__ == "__main__":
    main()
