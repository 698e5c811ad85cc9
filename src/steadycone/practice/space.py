"""What the work does to the air of a closed place: unused cutting oxygen, oxygen taken, carbon dioxide, and the fresh air that would do.

Perfectly mixed, with a fourth of the stated fresh air counted and none where none is stated; never a time to rely on.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.physics.gas import products
from steadycone.physics.transient.room import OXYGEN_IN_AIR
from steadycone.physics.transient.room_air import Let, fresh_air_for, stirred_share, time_to_stirred
from steadycone.practice import air
from steadycone.practice.air import AirLimit
from steadycone.practice.finding import Finding, Verdict
from steadycone.practice.judging import ends, not_below
from steadycone.practice.work_air import What, air_amount, air_volume, effective_air, lets, unmixed
from steadycone.quantity import End, Quantity, exact, spread, unknown
from steadycone.units import ATMOSPHERE, AirFlow, Duration, Length, Share, Volume

Pick = Callable[[Let], float]


@dataclass(frozen=True, slots=True)
class _Held:
    """One gas of the place's air that must stay on one side of a limit. `about` is the last word of its wordings' names."""

    code: str
    subject: str
    what: What
    pick: Pick
    outside: float  # share in fresh air
    limit: AirLimit
    end: End
    about: str = ""

    def passes(self, share: Quantity) -> bool:
        judged = share.at(self.end).value
        over = 0.0 if judged is None else judged - self.limit.si
        return (over if self.end == "high" else -over) > 1e-9

    @property
    def sources(self) -> tuple[str, ...]:
        used = ("jet-used-judged",) if self.what == "jet" else ()
        return (self.limit.source, *used, "room-mixing", "room-warm")


def judge(figures: Figures) -> tuple[Finding, ...]:
    """space-oxygen-jet, space-flame-takes and space-air-needed, where the place is closed."""
    if not figures.setup.station.place.closed:
        return ()
    jet = [_judged(figures, _jet(figures))] if figures.job.kind == "cut" else []
    return (*jet, _judged(figures, _oxygen_taken(figures)), *_carbon_dioxide(figures), _air_needed(figures))


def _jet(figures: Figures) -> _Held:
    limit = air.oxygen_high(figures)
    return _Held("space-oxygen-jet", "oxygen in the place", "jet", _oxygen, OXYGEN_IN_AIR, limit, "high")


def _oxygen_taken(figures: Figures) -> _Held:
    limit = air.oxygen_low(figures)
    return _Held("space-flame-takes", "oxygen in the place", "flame", _oxygen, OXYGEN_IN_AIR, limit, "low")


def _carbon_dioxide(figures: Figures) -> list[Finding]:
    """Against the limit of a quarter of an hour; where that is kept, against that of a shift, which is a caution at most."""
    if products(figures.fuel).carbon_dioxide <= 0.0:
        return []
    outside = Share.parse(toml("air.toml")["outside"]["carbon_dioxide"]).si
    hard, soft = (
        _Held(
            "space-flame-takes", "carbon dioxide in the place", "flame", _carbon, outside, carbon_dioxide_limit(figures, name), "high", _CO2
        )
        for name in ("stop", "caution")
    )
    found = _judged(figures, hard)
    return [found if found.verdict != "go" else _judged(figures, soft, shift=True)]


_CO2 = "carbon dioxide"


def _oxygen(let: Let) -> float:
    return let.oxygen


def _carbon(let: Let) -> float:
    return let.carbon_dioxide


def carbon_dioxide_limit(figures: Figures, name: str) -> AirLimit:
    """caution or stop [share]: what it does to a person goes by its partial pressure, so raised pressure lowers the share."""
    table = toml("air.toml")["carbon_dioxide"]
    return AirLimit(Share.parse(table[name]).si * min(1.0, ATMOSPHERE / figures.atmosphere), table["source"])


def _judged(figures: Figures, held: _Held, *, shift: bool = False) -> Finding:
    """At the end of the job a stop, in as many times the job as bad mixing takes a caution. shift : at its end a caution, later nothing."""
    found, volume, job = lets(figures, held.what), figures.setup.station.place.volume, ends(figures.job.time)
    if found is None:
        return _finding(figures, held, "caution", None, "unknown")
    amount = air_amount(figures, volume.si) if volume else 1.0
    if volume is None or job is None or job.high <= 0.0:
        long_after = _share(figures, held, found, amount, math.inf)
        if not held.passes(long_after):
            return _finding(figures, held, "go", long_after, "go")
        return _finding(figures, held, "caution", None, "no volume" if volume is None else "no time")
    then = _share(figures, held, found, amount, job.high)
    if shift:
        return _finding(figures, held, "caution", then, "shift") if held.passes(then) else _finding(figures, held, "go", then, "go")
    if held.passes(then):
        return _finding(figures, held, "stop", then, "stop", _minutes(figures, held, found, amount))
    later = _share(figures, held, found, amount, unmixed() * job.high)
    return _finding(figures, held, "caution", later, "caution") if held.passes(later) else _finding(figures, held, "go", later, "go")


def _finding(
    figures: Figures, held: _Held, verdict: Verdict, share: Quantity | None, text: str, minutes: Quantity | None = None
) -> Finding:
    value, limit = share or unknown("air share"), held.limit.si
    sign = 1.0 if held.end == "high" else -1.0
    return Finding(
        held.code, verdict, held.subject, value, exact(limit, "air share"), value.map(lambda x: sign * (limit - x)), held.sources,
        {"minutes": minutes} if minutes else {}, f"{text} {held.about}".strip(), held.end,
    )  # fmt: skip


def _share(figures: Figures, held: _Held, found: tuple[Let, ...], amount: float, time: float) -> Quantity:
    fresh = effective_air(figures)
    return spread([stirred_share(held.pick(let), let.total, amount, fresh, time, held.outside) for let in found], "air share")


def _minutes(figures: Figures, held: _Held, found: tuple[Let, ...], amount: float) -> Quantity:
    """The soonest that the limit may be reached, mixed evenly."""
    if held.passes(exact(held.outside, "air share")):
        return exact(0.0, "minutes")  # a site may ask for less oxygen than fresh air has
    fresh = effective_air(figures)
    return exact(min(time_to_stirred(held.limit.si, held.pick(let), let.total, amount, fresh, held.outside) for let in found), "minutes")


# --- fresh air -------------------------------------------------------------------------


def _air_needed(figures: Figures) -> Finding:
    """Stated fresh air against what the sums and the law ask."""
    place = figures.setup.station.place
    needed, sources = air_needed(figures)
    blanks: dict[str, Quantity | str] = {"needed": needed}
    code, subject = "space-air-needed", "fresh air"
    if place.fresh_air is None or place.fresh_air.si == 0.0:
        if _large(figures):
            elsewhere = toml("air.toml")["ventilation"]["elsewhere"]
            return Finding(
                code, "caution", subject, None, None, None, (*sources, elsewhere), blanks, "large" if ends(needed) else "large unknown"
            )
        return Finding(code, "stop", subject, None, None, None, sources, blanks, "none stated" if ends(needed) else "none stated, unknown")
    stated, known = exact(place.fresh_air.si, "air flow"), ends(needed)
    if known is None:
        return Finding(code, "caution", subject, stated, None, None, sources, blanks, "unknown")
    found = not_below(code, subject, stated, caution=known.value, sources=sources, blanks=blanks)
    if found.verdict == "go" and (doubt := _measuring(figures)):
        return Finding(code, "caution", subject, stated, found.limit, None, (*sources, "air-measured-judged"), blanks, doubt)
    return found


def _measuring(figures: Figures) -> str:
    """Why the stated fresh air is no measurement of now; empty when it is one."""
    measured = figures.setup.station.place.fresh_air_measured
    if measured is None or measured.day > figures.on:
        return "not measured"
    oldest = Duration.parse(toml("air.toml")["measured"]["within"]).si
    return "measured long ago" if (figures.on - measured.day).days * 86400.0 > oldest else ""


def air_needed(figures: Figures) -> tuple[Quantity, tuple[str, ...]]:
    """Fresh air [m³/s] that holds every limit in the long run, bad mixing counted, and no less than the law asks; with its sources."""
    flame, jet = lets(figures, "flame"), lets(figures, "jet")
    rule = toml("air.toml")["ventilation"]
    law = asked_by_law(figures)
    sources = (
        ("carbon-dioxide-limits", "jet-used-judged", "room-mixing") if law is None else (rule["source"], "jet-used-judged", "room-mixing")
    )
    if flame is None or jet is None:
        return unknown("air flow"), sources
    outside = Share.parse(toml("air.toml")["outside"]["carbon_dioxide"]).si
    low, high, soon = air.oxygen_low(figures).si, air.oxygen_high(figures).si, carbon_dioxide_limit(figures, "caution").si
    amounts = [fresh_air_for(low, let.oxygen, let.total, OXYGEN_IN_AIR) for let in flame]
    amounts += [fresh_air_for(high, let.oxygen, let.total, OXYGEN_IN_AIR) for let in jet] if high > OXYGEN_IN_AIR else []
    amounts += [fresh_air_for(soon, let.carbon_dioxide, let.total, outside) for let in flame]
    return exact(max(law or 0.0, air_volume(figures, unmixed() * max(amounts))), "air flow"), sources


def asked_by_law(figures: Figures) -> float | None:
    """m³/s for all flames in the place, None where no law that we know asks for mechanical air here."""
    rule, place = toml("air.toml")["ventilation"], figures.setup.station.place
    if figures.setup.station.station.region not in rule["law"]:
        return None
    high = place.ceiling is not None and place.ceiling.si >= Length.parse(rule["ceiling"]).si
    if _roomy(figures) and high and not place.confined:
        return None
    return AirFlow.parse(rule["air"]).si * place.welders


def _roomy(figures: Figures) -> bool:
    """Whether each flame has at least the volume from which natural air is enough."""
    place = figures.setup.station.place
    return place.volume is not None and place.volume.si >= Volume.parse(toml("air.toml")["ventilation"]["volume"]).si * place.welders


def _large(figures: Figures) -> bool:
    """Roomy, not confined, and no ceiling stated that is low: natural air may be enough, which somebody has to say."""
    place = figures.setup.station.place
    low = place.ceiling is not None and place.ceiling.si < Length.parse(toml("air.toml")["ventilation"]["ceiling"]).si
    return _roomy(figures) and not low and not place.confined
