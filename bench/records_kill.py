"""Killed with SIGKILL at random moments while writing: no acknowledged event is lost, the log verifies, the program starts again by itself.

python bench/records_kill.py                     200 times on both engines; the server itself is killed every tenth time
python bench/records_kill.py --times 20 --engine sqlite
"""

import argparse
import os
import random
import signal
import sys
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from bench.records_yard import ENGINES, SITE, gear, place_with, tested
from tests.records.server import Server, kill, start_again

from steadycone.records import New, open_store

ITEMS, THREADS = 50, 4
LONGEST = 0.12  # s that a writer lives after its first receipt


@dataclass
class Kills:
    """What came of it. `started`: how often a new process could write again at once."""

    engine: str
    times: int
    acknowledged: int = 0
    started: int = 0
    lost: list[str] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)

    @property
    def clean(self) -> bool:
        return not self.lost and not self.problems and self.started == self.times


def measure(engine: str, times: int, seed: int = 8) -> Kills:
    """Kill a writing process `times` times."""
    dice = random.Random(seed)
    found = Kills(engine, times)
    with place_with(engine) as (address, server):
        with open_store(address) as store:
            store.open_site(SITE, region="uk", author="M. Reyes").append_each([gear(number, dice) for number in range(ITEMS)])
        acknowledged: set[str] = set()
        for turn in range(1, times + 1):
            too = server if turn % 10 == 0 else None
            written = _one_life(address, dice.random() * LONGEST, dice.randrange(1 << 30), too)
            found.started += bool(written)
            acknowledged.update(written)
            if turn % 25 == 0 or turn == times:
                _check(address, acknowledged, found)
        found.acknowledged = len(acknowledged)
    return found


def _one_life(address: str, seconds: float, seed: int, server: Server | None) -> list[str]:
    """A process that writes until it is killed; the ids it said were recorded."""
    read_end, write_end = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read_end)
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)  # what it says when the server dies first is no news
        try:
            _write(address, write_end, seed)
        finally:
            os._exit(1)
    os.close(write_end)
    data = os.read(read_end, 37)
    if data:
        time.sleep(seconds)
    if server is not None:
        kill(server.handle)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    if server is not None:
        start_again(server.handle)
    with os.fdopen(read_end, "rb") as pipe:
        data += pipe.read()
    return data.decode().split("\n")[:-1]  # the last one may be half an id: then it was never said


def _write(address: str, pipe: int, seed: int) -> None:
    def work(number: int) -> None:
        dice = random.Random(seed + number)
        while True:
            news: list[New] = [tested(dice.randrange(ITEMS), dice) for _ in range(dice.randint(1, 3))]
            site.append(*news)
            os.write(pipe, "".join(f"{new.id}\n" for new in news).encode())

    with open_store(address) as store:
        site = store.site(SITE)
        threads = [threading.Thread(target=work, args=(number,), daemon=True) for number in range(THREADS)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()


def _check(address: str, acknowledged: set[str], found: Kills) -> None:
    with open_store(address) as store:
        site = store.site(SITE)
        kept = {event.id for event in site.events(kinds=["test-result"])}
        found.lost += sorted(acknowledged - kept)
        verified = site.verify(every_signature=site.size < 5000)
        found.problems += [problem.says for problem in verified.problems] + site.stale()


def line(kills: Kills) -> str:
    """One line of the table."""
    state = "clean" if kills.clean else f"NOT CLEAN lost {len(kills.lost)}, {kills.problems[:2]}"
    return f"  {kills.engine:11} {kills.times:4} kills  {kills.acknowledged:7} acknowledged  started again {kills.started:4}  {state}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--times", type=int, default=200)
    parser.add_argument("--engine", choices=ENGINES)
    given = parser.parse_args()
    print("Killed while writing\n")
    every = []
    for engine in [given.engine] if given.engine else ENGINES:
        every.append(measure(engine, given.times))
        print(line(every[-1]), flush=True)
    met = all(kills.clean for kills in every)
    print(f"\n  {'met    ' if met else 'NOT MET'}  no acknowledged event lost, the log verifies, the next process starts by itself")
    sys.exit(0 if met else 1)


if __name__ == "__main__":
    main()
