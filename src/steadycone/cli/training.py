"""Marked drills into the records, by whoever answers for the marks."""

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from steadycone.records.events import Trained


def record_training(bodies: "Sequence[Trained]", store: str | None, site: str | None, by: str | None) -> None:
    """All of them or none; what is told of it goes to stderr.

    Raises  Refused: nobody who may mark. InputError: recorded already.
    """
    from steadycone.cli.desk import author, clock, open_site
    from steadycone.cli.person import known_by
    from steadycone.records import New

    who, now = author(by), clock()
    with open_site(store, site, writes=True) as records:
        known = known_by(records, who, bodies)
        receipts = records.append(*(New(body, who, now, known_by=known) for body in bodies))
    first, last = receipts[0].sequence, receipts[-1].sequence
    told = f"event {last}" if first == last else f"events {first} to {last}"
    sys.stderr.write(f"Recorded as {told}. Head {receipts[-1].head.code}\n")
