"""A station's card on its fuel and on another one, compared."""

from collections.abc import Iterable
from datetime import date

from steadycone.card.make import make_card
from steadycone.practice.finding import Finding
from steadycone.procedures.refuel import Refuel, compare, convert
from steadycone.station.chart import Chart
from steadycone.station.setup import Setup
from steadycone.units import Share


def refuel(
    setup: Setup,
    new_fuel: str,
    on: date,
    chart: Chart | None = None,
    size: str | None = None,
    composition: dict[str, Share] | None = None,
    held: Iterable[Finding] = (),
) -> Refuel:
    """What must be changed to burn another fuel, what may stay, and the station's numbers before and after.

    chart        of the new tip; without it there are no flows and no settings after
    size         of that tip, where the job's thickness does not choose it, as in heating
    composition  of lpg or natural gas, shares by amount; left out, it is judged as the worst
    held         what the records hold against the station: no change of fuel takes it away, so it lies over both sides

    Raises  UnknownName: no such fuel or size. InputError: the fuel it has; and as make_card.
    """
    changed = convert(setup, new_fuel, chart, size, composition)
    laid = tuple(held)
    return compare(make_card(setup, on).with_findings(laid), make_card(changed, on).with_findings(laid))
