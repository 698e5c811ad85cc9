"""The card made again for another day: what it stops for then. A signature is of its day."""

from collections.abc import Callable
from datetime import date
from functools import cache

from steadycone.card.make import make_card
from steadycone.practice.finding import Finding
from steadycone.station.setup import Setup


def anew(setup: Setup) -> Callable[[date], tuple[Finding, ...]]:
    """Asked for a day, the stops of the card of that day; each day is worked out once."""

    @cache
    def stops(day: date) -> tuple[Finding, ...]:
        return stops_on(setup, day)

    return stops


def stops_on(setup: Setup, day: date) -> tuple[Finding, ...]:
    """The stops of the card of that day.

    Raises  InputError: as make_card.
    """
    return tuple(finding for finding in make_card(setup, day, draft=True).findings if finding.verdict == "stop")
