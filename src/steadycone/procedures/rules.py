"""Figures of the trade and of the law that steps and habits quote, from data/procedures/rules.toml."""

from dataclasses import dataclass

from steadycone.data.reader import toml
from steadycone.quantity import Quantity, exact
from steadycone.units import Duration, Length, Measure, Number, Pressure

# kind in the table: how it is read, and the kind of quantity it leaves as
_KINDS: dict[str, tuple[type[Measure], str]] = {
    "length": (Length, "length"),
    "time": (Duration, "minutes"),
    "seconds": (Duration, "seconds"),
    "pressure": (Pressure, "gauge pressure"),
    "number": (Number, "number"),
}


@dataclass(frozen=True, slots=True)
class Rule:
    """A quoted figure in SI and the key of its source."""

    quantity: Quantity
    source: str

    @property
    def si(self) -> float:
        assert self.quantity.value is not None
        return self.quantity.value


def rule(name: str, region: str = "") -> Rule:
    """One figure, a region's own where it has one. A missing name is our own fault and fails as a KeyError."""
    entry = toml("procedures/rules.toml")[name]
    measure, kind = _KINDS[entry["kind"]]
    source = entry["source"]
    return Rule(
        exact(measure.parse(entry.get(region, entry["all"])).si, kind),
        source if isinstance(source, str) else source.get(region, source["all"]),
    )


def shade_of(kind: str, thickness: float) -> float:
    """Least filter shade for cutting ("cut") or welding ("weld") plate of a thickness [m].

    Source      filter-shades
    """
    rows: list[tuple[str, float]] = toml("procedures/rules.toml")["shade"][kind]
    return next(shade for most, shade in rows if not most or thickness <= Length.parse(most).si * (1 + 1e-9))


def hose_proof(working_pressure: float) -> float:
    """Gauge pressure [Pa] that a hose and its connections are proved at, for a working gauge pressure [Pa]. A bench test, off the station.

    Source      osha-1910-253, (e)(5)(iv)
    """
    return max(rule("hose_proof_times").si * working_pressure, rule("hose_proof_least").si)


def piping_test(operating_pressure: float) -> float:
    """Gauge pressure [Pa] that fixed piping is tested gas-tight at, for its maximum operating gauge pressure [Pa].

    Source      osha-1910-253, (d)(5)(i)
    """
    return rule("piping_test_times").si * operating_pressure
