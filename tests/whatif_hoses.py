"""A hose and what pushes into it, by hand or at random: for the what-ifs' physics, without a station."""

import math
import random
from dataclasses import dataclass

from steadycone.physics.flow.orifice import mass_flow
from steadycone.physics.flow.stream import Stream, stream_of
from steadycone.physics.gas import load
from steadycone.physics.transient.feed import Feed, feed_table
from steadycone.physics.transient.hose_1d import Bore, Pair
from steadycone.physics.transient.purge import diffusivity

TEMPERATURE = 293.15
ATMOSPHERE = 101325.0
FUELS = ("acetylene", "propane", "propylene", "methane", "hydrogen")


@dataclass(frozen=True)
class Pushed:
    """Everything `push` takes."""

    bore: Bore
    pair: Pair
    feed: Feed
    start: float
    top: float
    open_end: float | None


def pair_of(new: str, old: str) -> Pair:
    one, other = stream_of(load(new), TEMPERATURE), stream_of(load(old), TEMPERATURE)
    return Pair(one.molar_mass, other.molar_mass, one.viscosity, other.viscosity, diffusivity(1e5, TEMPERATURE, new, old) * 1e5)


def feed_of(stream: Stream, top: float, bottom: float, area: float, nodes: int = 64) -> Feed:
    """One sharp opening [m²] from a constant pressure."""
    return feed_table(lambda p: mass_flow(top, p, area, stream) / stream.molar_mass, top, bottom, nodes)


def reference_case(cells_feed_area: float = 1.5e-7, *, dead: float = 5e-5, open_end: float | None = None) -> Pushed:
    """Oxygen at 2.5 bar into 15 m of 6.3 mm acetylene hose at 0.35 bar."""
    oxygen = Stream(0.0319988, 8.314462618 / 0.0319988, 1.3972, 2.03e-5, TEMPERATURE)
    start = 136325.0 if open_end is None else open_end
    return Pushed(
        Bore(0.0063, 15.0, TEMPERATURE, 1e-5, dead), pair_of("oxygen", "acetylene"), feed_of(oxygen, 351325.0, start, cells_feed_area),
        start, 351325.0, open_end,
    )  # fmt: skip


def random_case(seed: int) -> Pushed:
    """Hoses of 3 to 10 mm and 2 to 80 m, either gas into the other, closed or open, from a leak to a wide-open torch."""
    draw = random.Random(seed)
    fuel = draw.choice(FUELS)
    new, old = ("oxygen", fuel) if draw.random() < 0.6 else (fuel, "oxygen")
    top = ATMOSPHERE + draw.uniform(0.02, 9.0 if new == "oxygen" else 3.0) * 1e5
    start = draw.uniform(ATMOSPHERE, top)
    open_end = ATMOSPHERE if draw.random() < 0.4 else None
    start = ATMOSPHERE if open_end else start
    area = 10.0 ** draw.uniform(-10.0, -5.7)
    bore = draw.uniform(0.003, 0.010)
    hose = Bore(bore, draw.uniform(2.0, 80.0), TEMPERATURE, draw.choice((0.0, 1e-5, 3e-5)), draw.choice((0.0, 2e-5, 1e-4)))
    return Pushed(hose, pair_of(new, old), feed_of(stream_of(load(new), TEMPERATURE), top, start, area), start, top, open_end)


def volume_of(bore: Bore) -> float:
    return math.pi / 4 * bore.bore**2 * bore.length
