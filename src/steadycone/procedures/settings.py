"""Numbers that the steps need beyond the card's figures: what to test at, how long to watch and to purge, whole and on the safe side."""

import math

from steadycone.assembly.build import static_ceiling
from steadycone.assembly.figures import Figures, LineFigures
from steadycone.physics.gas import GAS_CONSTANT
from steadycone.physics.transient.leak import leak_at
from steadycone.practice import air
from steadycone.practice.acetylene import cap
from steadycone.practice.judging import ends
from steadycone.practice.limits import limit
from steadycone.procedures.rules import hose_proof, piping_test, rule
from steadycone.quantity import Quantity, exact, unknown


def stated_test(figures: Figures, line: LineFigures) -> float | None:
    """The site's own test pressure [Pa gauge] of a line, None where the file leaves it to the tool."""
    about = figures.setup.station.station
    given = about.test_pressure_fuel if line.name == "fuel" else about.test_pressure_oxygen
    return None if given is None else given.gauge(figures.atmosphere)


def test_pressure(figures: Figures, line: LineFigures) -> Quantity:
    """What to set for the leak test: the site's own, else the working static pressure on the gauge's next mark up.

    The next mark up is left where it would pass the cap or the outlet rating.
    """
    stated = stated_test(figures, line)
    if stated is not None:
        return exact(stated, "gauge pressure")
    static = ends(line.static)
    if static is None:
        return unknown("gauge pressure")
    mark = math.ceil(static.value / line.outlet_division - 1e-6) * line.outlet_division
    ceiling = static_ceiling(figures.setup, line.name, figures.atmosphere)
    return exact(mark if mark <= ceiling else static.value, "gauge pressure")


def below_working(figures: Figures, line: LineFigures) -> bool:
    """Whether the site tests this line below its working static pressure."""
    stated, static = stated_test(figures, line), ends(line.static)
    return stated is not None and static is not None and stated < static.value * (1 - 1e-9)


def growth(figures: Figures, line: LineFigures, tested: float) -> float | None:
    """How many times more leaks at work than at a test pressure [Pa gauge]; 1 at least, None where it can't be told.

    Source      leak-scaling; the higher end of the band, since what leaks is not known
    """
    static = ends(line.static)
    if static is None or tested <= 0 or static.value <= 0:
        return None
    outside = figures.atmosphere
    return max(1.0, leak_at(1.0, tested + outside, static.value + outside, outside).value)


def test_reject(figures: Figures, line: LineFigures) -> Quantity:
    """The leak to reject at the test pressure: one that is the policy's at work."""
    tested = test_pressure(figures, line).value
    more = None if tested is None else growth(figures, line, tested)
    if more is None:
        return unknown("leak")
    return exact(figures.setup.policy.leak.reject.amount(line.gas.molar_mass) / more, "leak")


def valve_watch(figures: Figures) -> Quantity:
    """How long a bled high gauge is watched for a cylinder valve that passes what the policy rejects: the slowest of the lines."""
    waits = [line.proving.high_leak_wait for line in figures.lines.values() if line.line.supply.has_cylinders]
    return max(waits, key=lambda wait: wait.value or 0.0, default=exact(60.0, "minutes"))


def test_wait(figures: Figures) -> Quantity:
    """The policy's wait, or what the slowest gauge needs to show the leak to reject, in whole minutes up."""
    wait = figures.setup.policy.leak.wait.si
    for line in figures.lines.values():
        more = 1.0
        if below_working(figures, line):
            tested = stated_test(figures, line)
            more = growth(figures, line, tested or 0.0) or 1.0
        needed = [found.high for found in (ends(line.proving.leak_wait), ends(line.proving.high_leak_wait)) if found]
        wait = max([wait, *(time * more for time in needed[:1]), *needed[1:]])
    return exact(math.ceil(wait / 60 - 1e-6) * 60, "minutes")


def purge_seconds(line: LineFigures) -> Quantity:
    """The card's purge time in whole seconds up, as the card shows it: too short leaves a mixture in the hose."""
    found = ends(line.proving.purge_time)
    if found is None:
        return unknown("seconds")
    whole = math.ceil(found.value - 1e-9)
    return Quantity(whole, min(found.low, whole), max(found.high, whole), "seconds")


def shut_pressure(figures: Figures, line: LineFigures) -> Quantity:
    """The one lock-up number: what the low gauge may rise to with the torch shut. The card prints it, the steps and the round ask it.

    The high end of the static pressure on the gauge's next mark up; where that mark would pass what cap and regulator allow and the
    pressure itself does not, what they allow.
    """
    found = ends(line.static)
    if found is None:
        return unknown("gauge pressure")
    mark = math.ceil(found.high / line.outlet_division - 1e-6) * line.outlet_division
    most = static_ceiling(figures.setup, line.name, figures.atmosphere)
    return exact(min(mark, most) if found.high <= most else mark, "gauge pressure")


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


def acetylene_cap(figures: Figures) -> Quantity:
    """The cap in force, the absolute one included where the region has it."""
    return exact(cap(figures)[0], "gauge pressure")


def proof(line: LineFigures) -> Quantity:
    """What this line's hose is proved at on the bench, for its highest static pressure."""
    static = ends(line.static)
    return unknown("gauge pressure") if static is None else exact(hose_proof(static.high), "gauge pressure")


def piping(line: LineFigures) -> Quantity:
    """What the piping behind this line should have held, for the pressure it stands at."""
    stands = ends(line.supply.pressure)
    return unknown("gauge pressure") if stands is None else exact(piping_test(stands.high), "gauge pressure")
