"""Processes that work drafts out, so that typing in one browser does not wait for typing in another.

Python works on one thing at a time in a process, and the server's has people's pages to answer. Without them all is worked out there.
"""

import multiprocessing
import os
import threading
from concurrent.futures import CancelledError, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import Any

from steadycone.web.pages.edit_work import Ask, told
from steadycone.web.yard import Yard

_KEPT = "live pool"


def begin(yard: Yard, processes: int = 0) -> None:
    """Start them, as many as there are processors unless told; each is ready after a second or so, and needs some 60 MB.

    They are started afresh, not forked: the server has threads.
    """
    pool = ProcessPoolExecutor(processes or os.cpu_count() or 1, multiprocessing.get_context("spawn"), initializer=_begun)
    yard.kept[_KEPT] = pool
    for _ in range(processes or os.cpu_count() or 1):
        pool.submit(os.getpid)


def end(yard: Yard) -> None:
    """Stop them; what is under way is let finish."""
    pool = yard.kept.pop(_KEPT, None)
    if pool is not None:
        pool.shutdown(cancel_futures=True)


def elsewhere(yard: Yard, ask: Ask) -> dict[str, Any] | None:
    """What told() gives, from another process; None where there is none, or where it was killed."""
    pool: ProcessPoolExecutor | None = yard.kept.get(_KEPT)
    if pool is None:
        return None
    try:
        answer = pool.submit(told, ask)
    except RuntimeError:  # broken, or the server is stopping
        yard.kept.pop(_KEPT, None)
        return None
    try:
        return answer.result()
    except (BrokenProcessPool, CancelledError):  # killed, as for want of memory: worked out here from now on
        yard.kept.pop(_KEPT, None)
        return None


def _begun() -> None:
    """In the new process: read what every draft needs, and end with the server however that ends."""
    import steadycone.card.make
    import steadycone.web.shell

    steadycone.web.shell.environment()
    parent = multiprocessing.parent_process()

    def watch() -> None:
        if parent is not None:
            parent.join()
        os._exit(0)

    threading.Thread(target=watch, daemon=True).start()
