"""Python's search for rings in memory, left out where a million small things are made that hold none."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_collecting() -> Iterator[None]:
    """What is made inside refers to nothing that refers back: looking for such rings would take a third of the time."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


__all__ = ["no_collecting"]
