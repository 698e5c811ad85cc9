"""Count the cylinders: draw of acetylene, oxygen for a shift, LPG that must boil. Answers are far enough from an edge for rounded figures."""

import math
from random import Random

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.physics.gas import NORMAL_MOLAR_VOLUME, amount_stored, load
from steadycone.physics.supply import lpg
from steadycone.physics.supply.cylinder import ideal_amount
from steadycone.quantity import Quantity, exact
from steadycone.station.policy import DrawLimit
from steadycone.whatif.drills.model import Accepted, Question, Text, Turn

_HOUR, _EDGE = 3600.0, 0.06  # _EDGE: an answer this near to a whole cylinder more or less is no fair question
_MOST = 9  # cylinders


def question(figures: Figures, random: Random, turn: Turn) -> Question | None:
    """One of the three sums, or None where the draw is too near an edge."""
    return turn.of((_acetylene, _oxygen, _liquid))(figures, random)


def _whole(exactly: float) -> int | None:
    """The count, or None where rounded figures could give another."""
    share = exactly % 1.0
    count = math.ceil(exactly)
    return count if _EDGE < share < 1.0 - _EDGE and 1 <= count <= _MOST else None


def _flow(m3_per_h: float) -> float:
    return m3_per_h / NORMAL_MOLAR_VOLUME / _HOUR


def _acetylene(figures: Figures, random: Random) -> Question | None:
    """The site's own draw rule for a flow that lasts this long, of what its policy counts."""
    table = toml("drills/cylinders.toml")["acetylene"]
    each, hours = _flow(random.choice((3.0, 4.0, 5.5, 6.8, 8.5))) * _HOUR, random.choice((1.0, 2.0, 3.0, 4.0, 6.0))
    flow = _flow(round(random.uniform(0.3, 2.4), 1))
    policy = figures.setup.policy
    rule = "long_stop" if hours * _HOUR > policy.draw.long.si else "stop"
    allowed: DrawLimit = getattr(policy.draw, rule)
    reading = "flat" if allowed.flow is not None else policy.draw.of
    spent = flow * hours * _HOUR if reading == "end of job" else 0.0
    allows = allowed.flow.amount(figures.fuel.molar_mass) * _HOUR if allowed.flow else allowed.si * each
    count = _whole((flow * _HOUR + allowed.si * spent * (reading != "flat")) / allows) if allows > 0 else None
    if count is None:
        return None
    blanks: dict[str, Quantity | str] = {
        "content": exact(each, "amount"), "flow": exact(flow, "flow"), "hours": exact(hours * _HOUR, "minutes"),
        "rule": allowed.text, "of": table["of"][reading], "count": str(count),
        "limit": exact((count * allows - allowed.si * spent * (reading != "flat")) / _HOUR, "flow"),
    }  # fmt: skip
    how = Text(table["how"][reading], blanks)
    return Question("number", Text(table["asks"], blanks), (Accepted((str(count),), how, (policy.source(f"draw.{rule}"),)),), note=None)


def _oxygen(figures: Figures, random: Random) -> Question | None:
    """Oxygen for a shift: real gas, and the sum on the back of an envelope where it asks for no fewer."""
    table, oxygen = toml("drills/cylinders.toml")["oxygen"], load("oxygen")
    imperial = figures.setup.station.station.region in ("us", "ca")
    volume, pressure, reserve = random.choice(_sizes(imperial))
    flow, hours = _flow(round(random.uniform(1.5, 8.0), 1)), random.choice((2.0, 4.0, 6.0, 8.0))
    air, temperature = figures.atmosphere, figures.ambient
    full = amount_stored(oxygen, volume, pressure + air, temperature)
    real = full - amount_stored(oxygen, volume, reserve + air, temperature)
    ideal = ideal_amount(pressure, temperature, volume) - ideal_amount(reserve, temperature, volume)
    rough_each = full * (1.0 - reserve / pressure) if imperial else ideal
    count, rough = _whole(flow * hours * _HOUR / real), math.ceil(flow * hours * _HOUR / rough_each)
    if count is None:
        return None
    blanks: dict[str, Quantity | str] = {
        "volume": exact(volume, "volume"), "pressure": exact(pressure, "gauge pressure"), "reserve": exact(reserve, "gauge pressure"),
        "flow": exact(flow, "flow"), "hours": exact(hours * _HOUR, "minutes"), "usable": exact(real, "amount"),
        "needed": exact(flow * hours * _HOUR, "amount"), "count": str(count), "rough": exact(rough_each, "amount"), "full": exact(full, "amount"),
    }  # fmt: skip
    accepted = [Accepted((str(count),), Text(table["how"], blanks), ("coolprop",))]
    if rough > count:
        accepted.append(Accepted((str(rough),), Text(table["rough"], blanks), ("coolprop",)))
    return Question("number", Text(table["asks_capacity" if imperial else "asks"], blanks), tuple(accepted))


def _sizes(imperial: bool) -> tuple[tuple[float, float, float], ...]:
    """Usual oxygen cylinders: water volume [m³], filling pressure and reserve [Pa gauge]."""
    psi = 6894.757
    if imperial:  # some 122 and 244 ft³
        return (0.0219, 2200 * psi, 100 * psi), (0.0438, 2200 * psi, 100 * psi)
    return tuple((volume, pressure, 5e5) for volume in (0.040, 0.050) for pressure in (150e5, 200e5))


def _liquid(figures: Figures, random: Random) -> Question | None:
    """LPG: enough to boil, and enough to last; the larger count."""
    table, propane = toml("drills/cylinders.toml")["liquid"], load("propane")
    each, fill = random.choice((11.0, 18.0, 33.0, 47.0)), random.choice((0.4, 0.5, 0.7, 1.0))
    ambient, hours = 273.15 + random.choice((-5.0, 0.0, 5.0, 10.0)), random.choice((2.0, 4.0, 6.0, 8.0))
    limit = lpg.vaporisation(propane, each, fill, ambient).low
    draw = round(random.uniform(0.4, 5.0), 1) / _HOUR
    boils, lasts = draw / limit, draw * hours * _HOUR / (each * fill)
    if abs(boils - lasts) < _EDGE or (count := _whole(max(boils, lasts))) is None or _whole(boils) is None or _whole(lasts) is None:
        return None
    blanks: dict[str, Quantity | str] = {
        "content": exact(each * fill, "mass"), "limit": exact(limit, "mass flow"), "draw": exact(draw, "mass flow"),
        "temperature": exact(ambient, "temperature"), "hours": exact(hours * _HOUR, "minutes"), "boils": str(math.ceil(boils)),
        "lasts": str(math.ceil(lasts)), "count": str(count),
    }  # fmt: skip
    return Question("number", Text(table["asks"], blanks), (Accepted((str(count),), Text(table["how"], blanks), ("lpg-wall",)),))
