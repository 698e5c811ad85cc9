"""A closed place: that it is one, what stands and lay in it, and what purge and leak let out against its volume, perfectly mixed."""

import re

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.data.reader import toml
from steadycone.physics.gas import GAS_CONSTANT, burns, limits
from steadycone.practice import air
from steadycone.practice.finding import Finding, Verdict
from steadycone.practice.judging import ends, not_above
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, exact, unknown
from steadycone.station.job import Place
from steadycone.units import Volume

HEAVY = 0.032  # kg/mol; air is 0.029: a gas clearly heavier


def judge(figures: Figures) -> tuple[Finding, ...]:
    """place-closed and what goes with it where the place is closed; what it held, low points and compressed air anywhere."""
    place = figures.setup.station.place
    held = [*_held(place), *_low_points(figures), *_compressed(figures)]
    if not place.closed:
        return (*_small(place), *held)
    closed = Finding("place-closed", "caution", "place", sources=("closed-place-practice", "air-tested-again"))
    from steadycone.practice import space  # here: most places are open, and their cards need no flame in a room

    return (closed, *held, *_cylinders(place), *space.judge(figures), *_purge_and_leak(figures))


def _compressed(figures: Figures) -> list[Finding]:
    """A caisson, a lock or a shield: hot work there is never a plain go."""
    dense = limit("compressed-air")
    if figures.atmosphere <= dense.si:
        return []
    return [Finding("air-compressed", "caution", "place", sources=("hot-work-in-compressed-air", dense.source))]


def _small(place: Place) -> list[Finding]:
    """A place that nobody calls closed, of a volume that only closed places have."""
    if place.volume is None:
        return []
    small = toml("air.toml")["small"]
    if place.volume.si >= Volume.parse(small["volume"]).si:
        return []
    return [Finding("place-closed", "caution", "place", exact(place.volume.si, "room"), sources=(small["source"],), text="small")]


def _held(place: Place) -> list[Finding]:
    """What the workpiece held: unknown or burnable is a stop until a certificate is named, which somebody has to read.

    Go is only what is known not to burn; any other word is a caution.
    """
    if place.held is None:
        return []
    table, words = toml("air.toml")["held"], set(re.findall(r"\w+", place.held.lower()))
    code, sources = "place-held-unknown", ("army-ordnance", table["source"])
    blanks: dict[str, Quantity | str] = {"held": place.held}
    if words and words <= set(table["safe"]):
        return [Finding(code, "go", "place", sources=sources, blanks=blanks)]
    signed = set(re.findall(r"\w+", (place.certificate or "").lower())) - set(table["unknown"])
    if place.certificate and signed:
        return [Finding(code, "caution", "place", sources=sources, blanks=blanks | {"certificate": place.certificate})]
    if words & set(table["burns"]):
        return [Finding(code, "stop", "place", sources=sources, blanks=blanks, text="burns")]
    if not words or words & set(table["unknown"]):
        return [Finding(code, "stop", "place", sources=sources, blanks=blanks)]
    return [Finding(code, "caution", "place", sources=sources, blanks=blanks, text="not listed")]


def _low_points(figures: Figures) -> list[Finding]:
    """A fuel heavier than air beside a pit or drain that the file names."""
    points = figures.setup.station.place.low_points
    if not points or figures.fuel.molar_mass <= HEAVY:
        return []
    return [Finding("place-low-points", "caution", "place", sources=("lpg-memory",), blanks={"points": ", ".join(points)})]


def _cylinders(place: Place) -> list[Finding]:
    if place.cylinders is None:
        return []
    verdict: Verdict = "stop" if place.cylinders == "inside" else "go"
    return [Finding("place-cylinders-inside", verdict, "cylinders", sources=("closed-place-practice", "army-engineers-10e"))]


def _purge_and_leak(figures: Figures) -> list[Finding]:
    """enclosed-space: fuel and oxygen, once each."""
    volume = figures.setup.station.place.volume
    if volume is None:
        return [Finding("enclosed-space", "caution", "place", sources=("osha-1910-146",), text="no volume")]
    return [*_fuel(figures, volume.si), _oxygen(figures, volume.si)]


def released(figures: Figures, lines: list[LineFigures]) -> Quantity:
    """One purge of each line, and the leak that the policy would reject running for the time in data/limits.toml [mol]."""
    low = middle = high = 0.0
    for line in lines:
        purge = ends(line.proving.purge_released)
        if purge is None:
            return unknown("released")
        leak = figures.setup.policy.leak.reject.amount(line.gas.molar_mass) * limit("room-leak-time").si
        middle, low, high = middle + purge.value + leak, low + purge.low + leak, high + purge.high + leak
    return Quantity(middle, low, high, "released")


def _share_of_room(figures: Figures, moles: float, volume: float) -> float:
    """Mole fraction in the room's air after mixing; the gas pushes its own amount of air out."""
    air = figures.atmosphere * volume / (GAS_CONSTANT * figures.ambient)
    return moles / air


def _fuel(figures: Figures, volume: float) -> list[Finding]:
    """Against the region's share of the lower limit. Mixing is never perfect, so a fourth of that is already a caution."""
    lower = limits(figures.fuel, "air") if burns(figures.fuel) else None
    if lower is None:
        return []
    out = released(figures, [figures.lines["fuel"]])
    share, mixing, time = air.fuel_most(figures), limit("room-mixing"), limit("room-leak-time")
    most = share.si * lower[0]
    found = out.map(lambda moles: _share_of_room(figures, moles, volume), "air share")
    sources = (share.source, mixing.source, time.source)
    return [
        not_above(
            "enclosed-space", "fuel in the place", found, stop=most, caution=most / mixing.si, sources=sources, blanks={"released": out}
        )
    ]


def _oxygen(figures: Figures, volume: float) -> Finding:
    """Oxygen in the air after mixing, against the enrichment of policy and place."""
    high, fresh = air.oxygen_high(figures), limit("air-oxygen")
    out = released(figures, [line for line in figures.lines.values() if line.name != "fuel"])
    mixing, most = limit("room-mixing"), high.si
    content = out.map(lambda moles: fresh.si + (1 - fresh.si) * min(1.0, _share_of_room(figures, moles, volume)), "air share")
    caution = fresh.si + (most - fresh.si) / mixing.si
    sources = (high.source, mixing.source, limit("room-leak-time").source)
    return not_above(
        "enclosed-space", "oxygen in the place", content, stop=most, caution=caution, sources=sources, blanks={"released": out}
    )
