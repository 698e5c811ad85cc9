"""Guessing passwords is made slow: by name and by where it comes from, over the whole server and across its restarts."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from steadycone.errors import InputError
from steadycone.records.names import key as name_key

if TYPE_CHECKING:
    from steadycone.records.accounts import Accounts

WINDOW = timedelta(minutes=15)
FREE = 5  # wrong tries of one name in the window; then no more are looked at (OWASP authentication cheat sheet: lock for a while, not for ever)
FREE_ADDRESS = 50  # of one address: a yard behind one router shares it


class TooMany(InputError):
    code = "too-many-tries"


@dataclass
class Attempt:
    failed: bool = False


@contextmanager
def tried(accounts: "Accounts", name: str, address: str, now: datetime) -> Iterator[Attempt]:
    """Counts what goes wrong inside; what goes right clears the name.

    Raises  TooMany: before anything is compared.
    """
    keys = {f"name {name_key(name)[:120]}": FREE, f"from {address}": FREE_ADDRESS}
    for key, free in keys.items():
        if accounts.recent(key, now - WINDOW) >= free:
            raise TooMany("too many wrong tries", where="password", try_=f"Wait {WINDOW.seconds // 60} minutes, then try once more.")
    attempt = Attempt()
    try:
        yield attempt
    finally:
        if attempt.failed:
            for key in keys:
                accounts.failed(key, now)
        else:
            accounts.clear(next(iter(keys)))
