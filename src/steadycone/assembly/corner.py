"""The three looks at a station: as described, and with every uncertain input at its kind, then its unkind end.

Unkind means: needs more pressure at the regulator. The march is monotone in each input, so the two ends are bounds.
"""

from dataclasses import dataclass

from steadycone.data.reader import toml
from steadycone.units import Measure


@dataclass(frozen=True, slots=True)
class Corner:
    name: str
    roughness: float  # m, of a hose that does not state it
    fittings: float  # K of both tails of such a hose, on its bore
    index: int  # place of this look in a band of the defaults: 0 kind, 1 as taken, 2 unkind
    end: int  # -1 kind, 0 as described, +1 unkind
    bore: float = 0.0  # where a hose's bore lies in its doubt: -1 narrow, 0 as called, +1 wide

    def pick(self, low: float, value: float, high: float) -> float:
        """The end of a figure of which more means more pressure."""
        return (value, high, low)[self.end]

    def pick_less(self, low: float, value: float, high: float) -> float:
        """The end of a figure of which less means more pressure."""
        return (value, low, high)[self.end]


def lining() -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Roughness [m] and K of both tails of a hose that does not state them: each kind, as taken, unkind.

    Source      judged-hose-lining
    """
    hose = toml("defaults.toml")["hose"]
    kind, taken, unkind = hose["roughness_mm"]
    return (kind * 1e-3, taken * 1e-3, unkind * 1e-3), tuple(hose["fittings"])


def corners() -> tuple[Corner, Corner, Corner]:
    """As described, kind, unkind."""
    roughness, fittings = lining()
    return tuple(  # type: ignore[return-value]
        Corner(name, roughness[i], fittings[i], i, end, float(-end))
        for name, i, end in (("as described", 1, 0), ("kind", 0, -1), ("unkind", 2, 1))
    )


def of_chart_hose(corner: Corner) -> tuple[float, float]:
    """Roughness [m] and K of a chart's own hose: kind when ours is unkind, since less lost there leaves more to bring to the torch."""
    roughness, fittings = lining()
    return roughness[2 - corner.index], fittings[2 - corner.index]


def rounding(measure: Measure, si: float, half: float) -> float:
    """How far a chart's figure may be off: half of its last digit, and never more than the judged share of it."""
    largest: float = toml("defaults.toml")["chart"]["largest_rounding"]
    return min(half, largest * abs(si))
