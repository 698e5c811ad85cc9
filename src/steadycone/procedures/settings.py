"""Numbers that the steps need beyond the card's figures: what to test at, how long to watch and to purge, whole and on the safe side."""

import math

from steadycone.assembly import leak_test
from steadycone.assembly.figures import Figures, LineFigures
from steadycone.physics.gas import GAS_CONSTANT
from steadycone.practice import air
from steadycone.practice.judging import ends
from steadycone.practice.limits import limit
from steadycone.procedures.rules import hose_proof, piping_test, rule, shade_of
from steadycone.quantity import Quantity, exact, unknown


def test_pressure(figures: Figures, line: LineFigures) -> Quantity:
    """What to set for the leak test."""
    return figures.leak_test.lines[line.name].low.pressure


def below_working(figures: Figures, line: LineFigures) -> bool:
    """Whether the site tests this line below its working static pressure."""
    test, static = figures.leak_test.lines[line.name], ends(line.static)
    tested = test.low.pressure.value
    return test.stated and tested is not None and static is not None and tested < static.high * (1 - 1e-9)


def test_reject(figures: Figures, line: LineFigures) -> Quantity:
    """The leak to reject at the test pressure: one that is the policy's at work."""
    return figures.leak_test.lines[line.name].low.reject


def floor_of(figures: Figures, line: LineFigures) -> Quantity:
    """What the low gauge shows in the watch, told at working pressure."""
    return figures.leak_test.lines[line.name].low.floor.at("high")


def valve_watch(figures: Figures) -> Quantity:
    """How long a bled high gauge is watched for a cylinder valve that passes what the policy rejects: the slowest of the lines."""
    cylinders = [name for name, line in figures.lines.items() if line.line.supply.has_cylinders]
    return exact(max((figures.leak_test.lines[name].high_bleed_watch for name in cylinders), default=60.0), "minutes")


def shut_pressure(figures: Figures, line: LineFigures) -> Quantity:
    """The one lock-up number: what the low gauge may rise to with the torch shut."""
    return leak_test.shut_pressure(figures.setup, line, figures.atmosphere)


def room_share(figures: Figures, line: LineFigures) -> Quantity:
    """Share of the room's air that one purge of a line is, mixed evenly; unknown without a stated volume."""
    volume, out = figures.setup.station.place.volume, line.proving.purge_released
    if volume is None or out.value is None:
        return unknown("share")
    air = figures.atmosphere * volume.si / (GAS_CONSTANT * figures.ambient)
    return out.map(lambda moles: moles / air, "share")


def stand_needed(figures: Figures) -> Quantity:
    """How long an acetylene cylinder stands: the policy's time, or twice the time it lay where the file states it, a day at most."""
    needed = figures.setup.policy.stand_up.si
    lay = figures.lines["fuel"].line.supply.lay_for
    if lay is not None:
        needed = max(needed, min(limit("lay-down-times").si * lay.si, limit("lay-down-longest").si))
    return exact(needed, "minutes")


def enrichment(figures: Figures) -> Quantity:
    """Oxygen in air above which the place is unsafe, in whole per cent down: a half rounded up would allow more than the policy."""
    return exact(math.floor(air.oxygen_high(figures).si * 100 + 1e-9) / 100, "share")


def clearance(figures: Figures) -> Quantity:
    """Nothing burnable nearer than this [m]: the region's own, and half a metre more for each metre that the work is above 3 m.

    Source      rule clearance; height-of-work
    """
    height = figures.setup.station.place.height
    own = rule("clearance", figures.setup.station.station.region).si
    return exact(own + 0.5 * max(0.0, height.si - 3.0) if height else own, "length")


def shade(figures: Figures) -> Quantity:
    """Least filter shade of the goggles for the job: by the plate's thickness, the darkest where that is not stated; heating has no row.

    Source      filter-shades
    """
    job = figures.setup.station.job
    if job.kind == "heat":
        return exact(rule("shade_heat").si, "count")
    thick = job.thickness.si if job.thickness else float("inf")
    return exact(shade_of(job.kind, thick), "count")


def acetylene_cap(figures: Figures) -> Quantity:
    """The cap in force, the absolute one included where the region has it."""
    return exact(figures.cap.gauge, "gauge pressure")


def proof(line: LineFigures) -> Quantity:
    """What this line's hose is proved at on the bench, for its highest static pressure."""
    static = ends(line.static)
    return unknown("gauge pressure") if static is None else exact(hose_proof(static.high), "gauge pressure")


def piping(line: LineFigures) -> Quantity:
    """What the piping behind this line should have held, for the pressure it stands at."""
    stands = ends(line.supply.pressure)
    return unknown("gauge pressure") if stands is None else exact(piping_test(stands.high), "gauge pressure")
