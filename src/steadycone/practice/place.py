"""A place with little air: what purge and leak let out, against its volume, perfectly mixed. Never a time to rely on."""

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.physics.gas import GAS_CONSTANT, burns, limits
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, not_above
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, unknown


def judge(figures: Figures) -> tuple[Finding, ...]:
    """enclosed-space: fuel and oxygen, once each, where the place is said to be enclosed."""
    place = figures.setup.station.place
    if not place.enclosed:
        return ()
    if place.volume is None:
        return (Finding("enclosed-space", "caution", "place", sources=("osha-1910-146",), text="no volume"),)
    return (*_fuel(figures, place.volume.si), _oxygen(figures, place.volume.si))


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
    """Against a tenth of the lower limit. Mixing is never perfect, so a fourth of that is already a caution."""
    lower = limits(figures.fuel, "air") if burns(figures.fuel) else None
    if lower is None:
        return []
    out = released(figures, [figures.lines["fuel"]])
    share, mixing, time = limit("room-share-of-lower-limit"), limit("room-mixing"), limit("room-leak-time")
    most = share.si * lower[0]
    found = out.map(lambda moles: _share_of_room(figures, moles, volume), "share")
    sources = (share.source, mixing.source, time.source)
    return [
        not_above(
            "enclosed-space", "fuel in the place", found, stop=most, caution=most / mixing.si, sources=sources, blanks={"released": out}
        )
    ]


def _oxygen(figures: Figures, volume: float) -> Finding:
    """Oxygen in the air after mixing, against the policy's enrichment."""
    policy, air = figures.setup.policy, limit("air-oxygen")
    out = released(figures, [line for line in figures.lines.values() if line.name != "fuel"])
    mixing, most = limit("room-mixing"), policy.enrichment.si
    content = out.map(lambda moles: air.si + (1 - air.si) * min(1.0, _share_of_room(figures, moles, volume)), "share")
    caution = air.si + (most - air.si) / mixing.si
    sources = (policy.source("enrichment"), mixing.source, limit("room-leak-time").source)
    return not_above(
        "enclosed-space", "oxygen in the place", content, stop=most, caution=caution, sources=sources, blanks={"released": out}
    )
