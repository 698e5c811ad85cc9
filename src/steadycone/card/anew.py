"""The card made again for another day: what it stops for then. A signature is of its day."""

from collections.abc import Callable
from datetime import date
from functools import cache

import msgspec

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.errors import InputError
from steadycone.practice.finding import Finding
from steadycone.station.setup import Setup, Station
from steadycone.station.supply import Supply
from steadycone.units import Pressure


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


_HALVINGS = 10  # of the planned pressure: a thousandth of it, finer than any gauge


def least_supply(card: Card) -> Callable[[str], float | None]:
    """By line, the supply's pressure [Pa gauge] below which the card would have a stop that it has not as planned; None where pressure does not
    tell, or where no pressure would stop it. Rounded up to a thousandth of the planned one."""
    setup, figures = card.figures.setup, card.figures
    known = {(finding.code, finding.subject) for finding in card.findings if finding.verdict == "stop"}

    def stops_at(line: str, pressure: float) -> bool:
        supply = getattr(setup.station, line).supply
        read = Pressure.parse(f"{pressure / 1e5:.6f} bar")
        changed = msgspec.structs.replace(
            setup, station=_with_supply(setup, line, msgspec.structs.replace(supply, pressure=read, gross=None, tare=None))
        )
        return any((each.code, each.subject) not in known for each in stops_on(changed, figures.on))

    @cache
    def least(line: str) -> float | None:
        planned = figures.lines[line].supply.pressure.value
        weighed = getattr(setup.station, line).supply.gross is not None  # its weight tells what is left, whatever the gauge says
        if weighed or planned is None or planned <= 0.0:
            return None
        try:
            if stops_at(line, planned) or not stops_at(line, planned / 2**_HALVINGS):
                return None
            low, high = planned / 2**_HALVINGS, planned
            for _ in range(_HALVINGS):
                middle = 0.5 * (low + high)
                low, high = (middle, high) if stops_at(line, middle) else (low, middle)
        except InputError:  # a supply that is not told by its pressure
            return None
        return high

    return least


def _with_supply(setup: Setup, line: str, supply: Supply) -> Station:
    return msgspec.structs.replace(setup.station, **{line: msgspec.structs.replace(getattr(setup.station, line), supply=supply)})
