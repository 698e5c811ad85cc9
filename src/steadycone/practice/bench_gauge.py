"""A gauge against a master gauge: its error in per cent of full scale, and whether that proves its class."""

from collections.abc import Sequence
from typing import NamedTuple

from steadycone.data.reader import toml
from steadycone.practice.bench import Ends, Judged, said
from steadycone.practice.finding import Verdict, worst


class Pair(NamedTuple):
    """Both gauges at one pressure [Pa gauge], and what their last digits leave open together [Pa]."""

    master: float
    gauge: float
    doubt: float = 0.0

    @property
    def error(self) -> float:
        """Pa; below 0 the gauge reads low, and the true pressure is higher than it shows."""
        return self.gauge - self.master


def worst_pair(pairs: Sequence[Pair]) -> Pair:
    """The pair that comes farthest from agreeing, its own doubt included."""
    return max(pairs, key=lambda pair: abs(pair.error) + pair.doubt)


def master_doubt(gauge_class: float, master_class: float | None, master_full_scale: float) -> float:
    """What the master itself may be off [Pa], from its class and full scale [Pa].

    Source      gauge-class; gauge-master
    """
    share = toml("bench.toml")["gauge"]["master"] * gauge_class if master_class is None else master_class
    return float(share / 100.0 * master_full_scale)


def covers(pairs: Sequence[Pair], full_scale: float) -> bool:
    """Whether the readings span the scale: enough of them, drained and near the top.

    Source      gauge-coverage
    """
    table = toml("bench.toml")["gauge"]
    places = [pair.master / full_scale for pair in pairs]
    return bool(len(places) >= table["readings"] and min(places) <= table["low"] and max(places) >= table["high"])


def judge_gauge(error: Ends, gauge_class: float, covered: bool, master_known: bool, digits: float = 0.0) -> Judged:
    """The worst error [% of full scale] against the class, at its unsafe end.

    digits : the part of the doubt that only the last digits written leave open [% of full scale]

    Source      gauge-class; gauge-coverage; gauge-master; gauge-zero
    """
    found: list[tuple[Verdict, str]] = []
    most, allowed = max(abs(error.low), abs(error.high)), gauge_class * (1.0 + 1e-9)
    if most - digits > allowed:
        found.append(("stop", "gauge-over"))
        if error.value < 0.0:
            found.append(("stop", "gauge-low"))
    elif most > allowed:
        found.append(("stop", "gauge-digits"))
    if not covered:
        found.append(("caution", "gauge-few"))
    if not master_known:
        found.append(("caution", "gauge-master"))
    if not found:
        return Judged("go", said("gauge-go"))
    return Judged(worst(verdict for verdict, _ in found), " ".join(said(name) for _, name in found))
