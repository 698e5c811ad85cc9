"""The register against its events in a second process, beside the walk over a large log: two processors do it in the time of one."""

import multiprocessing
import os
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager

from sqlalchemy import Connection

from steadycone.records import rebuild
from steadycone.records.address import Address

LARGE = 150_000  # events: below, starting a process takes longer than it saves
Differs = Callable[[Connection], list[str]]


@contextmanager
def comparing(address: Address, site: int, size: int) -> Iterator[Differs]:
    """What gives the differences once it is asked. It was begun already where the log is large and a processor is free for it.

    The process is started afresh, never forked: a server has threads.
    """
    if size < LARGE or (os.cpu_count() or 1) < 2:
        yield lambda connection: rebuild.stale(connection, site)
        return
    with ProcessPoolExecutor(1, multiprocessing.get_context("spawn")) as pool:
        begun = pool.submit(_stale, str(address.path) if address.path is not None else address.url, site)

        def differs(connection: Connection) -> list[str]:
            try:
                return begun.result()
            except BrokenProcessPool:  # killed, as for want of memory: worked out here
                return rebuild.stale(connection, site)

        yield differs


def _stale(address: str, site: int) -> list[str]:
    from steadycone.records.store import open_store

    with open_store(address, create=False, read_only=True) as store, store.reading() as connection:
        return rebuild.stale(connection, site)
