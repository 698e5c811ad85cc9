"""Numbers of the steps by their path, such as "fuel.set_pressure", "policy.leak.wait", "test.oxygen" or "rule.fire_watch"."""

from collections.abc import Callable
from typing import Any

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.practice import air
from steadycone.procedures import settings
from steadycone.procedures.rules import rule
from steadycone.quantity import Quantity, exact
from steadycone.units import Duration, Measure, Share

# Worked out from the figures: one line each.
_WORKED_OUT: dict[str, Callable[[Figures], Quantity]] = {
    "test.wait": lambda f: f.leak_test.watch,
    "test.valve_watch": settings.valve_watch,
    "test.reject": lambda f: f.leak_test.reject,
    "test.oxygen_reject": lambda f: settings.test_reject(f, f.lines["oxygen"]),
    "test.fuel_reject": lambda f: settings.test_reject(f, f.lines["fuel"]),
    "room.fuel_share": lambda f: settings.room_share(f, f.lines["fuel"]),
    "room.oxygen_share": lambda f: settings.room_share(f, f.lines["oxygen"]),
    "stand.needed": settings.stand_needed,
    "rule.enrichment": settings.enrichment,
    "air.oxygen_low": lambda f: exact(air.oxygen_low(f).si, "air share"),
    "air.fuel": lambda f: exact(air.fuel_most(f).si, "share"),
    "place.clearance": settings.clearance,
    "place.shade": settings.shade,
    "rule.cap": settings.acetylene_cap,
    "rule.piping_test_oxygen": lambda f: settings.piping(f.lines["oxygen"]),
    "rule.piping_test_fuel": lambda f: settings.piping(f.lines["fuel"]),
}
# Worked out of one line, which is the last word of the path.
_OF_A_LINE: dict[str, Callable[[Figures, LineFigures], Quantity]] = {
    "test": settings.test_pressure,
    "floor": settings.floor_of,
    "purge": lambda _, line: line.proving.purge_seconds,
    "shut": settings.shut_pressure,
    "proof": lambda _, line: settings.proof(line),
}


def number(figures: Figures, path: str) -> Quantity:
    """A figure by its path: a line's own, the policy's, one worked out here, or a rule's in the station's region."""
    if path in _WORKED_OUT:
        return _WORKED_OUT[path](figures)
    first, *rest = path.split(".")
    if first in _OF_A_LINE:
        return _OF_A_LINE[first](figures, figures.lines[rest[0]])
    if first == "rule":
        return rule(rest[0], figures.setup.station.station.region).quantity
    found: Any = figures.setup.policy if first == "policy" else figures.lines[first]
    for name in rest:
        found = getattr(found, name)
    return _quantity(found, path)


def _quantity(found: object, path: str) -> Quantity:
    if isinstance(found, Measure):
        assert isinstance(found, Duration | Share), path
        return exact(found.si, "minutes" if isinstance(found, Duration) else "share")
    assert isinstance(found, Quantity), path
    return found
