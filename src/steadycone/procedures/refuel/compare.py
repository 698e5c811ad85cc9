"""Two cards of one station, on the old and on the new fuel, side by side."""

from typing import Any

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.physics.gas import combustion_sources, complete_oxygen, limits, load, lower_heat, neutral_ratio
from steadycone.practice.finding import Finding
from steadycone.practice.judging import is_acetylene
from steadycone.procedures.judged import Judged
from steadycone.procedures.refuel.items import TABLE, items
from steadycone.procedures.refuel.model import Item, Refuel, Side
from steadycone.quantity import Quantity, exact

RECORDS = "record-"  # how the code of a finding begins that the records lay over a card
# A stop of these means that a setting is not to be shown to anybody who might turn a screw to it.
_NO_SETTING = frozenset(
    {
        "acetylene-pressure-flowing",
        "acetylene-pressure-static",
        "part-pressure",
        "regulator-range",
        "regulator-closing",
        "chart-suspect",
        "hose-choked",
        "tip-fuel",
    }
)


def compare(before: Judged, after: Judged) -> Refuel:
    """What becomes of the station between two cards: the same gear, another fuel, supply and tip.

    Source      refuel-as-is
    """
    old, new = side(before), side(after)
    rules = _rules(old, new)
    found = items(before.figures, after.figures, before.findings, after.findings)
    sources = ["refuel-as-is", *combustion_sources(before.figures.fuel), *combustion_sources(after.figures.fuel)]
    sources += [key for item in (*found, *rules) for key in item.sources]
    return Refuel(old, new, found, rules, tuple(dict.fromkeys(sources)))


def side(card: Judged) -> Side:
    """One fuel's own figures, and the card's where its chart gives a row."""
    figures, fuel = card.figures, card.figures.fuel
    ratio, air = neutral_ratio(fuel), limits(fuel, "air")
    assert air is not None  # limits in air are held for every fuel
    return Side(
        fuel=figures.setup.station.station.fuel,
        known=figures.fuel_known,
        neutral=Quantity(ratio.typical, ratio.low, ratio.high, "number"),
        complete=exact(complete_oxygen(fuel), "number"),
        heat=lower_heat(fuel),
        oxygen_per_heat=ratio.typical / lower_heat(fuel),
        weight=exact(fuel.molar_mass / load("air").molar_mass, "number"),
        air_limits=air,
        cap=exact(figures.cap.gauge, "gauge pressure") if is_acetylene(figures) else None,
        figures=figures if figures.tip.row is not None else None,
        withheld=_withheld(figures, card.findings),
    )


def _withheld(figures: Figures, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The stops that no setting may stand beside: at a setting itself, or by the records, which hold the whole station."""
    stops = (finding for finding in findings if finding.verdict == "stop")
    return tuple(finding for finding in stops if finding.code in _NO_SETTING or finding.code.startswith(RECORDS))


def _rules(old: Side, new: Side) -> tuple[Item, ...]:
    """What is done differently from now on."""
    blanks: dict[str, Quantity | str] = {"old": old.fuel, "new": new.fuel}
    if new.cap:
        blanks["cap"] = new.cap
    return tuple(
        Item(rule["id"], "station", "do", rule["says"], rule["why"], tuple(rule["source"]), blanks)
        for rule in toml(TABLE)["rule"]
        if _applies(rule, old.fuel, new.fuel)
    )


def _applies(rule: dict[str, Any], old: str, new: str) -> bool:
    """With a `to`, only where the old fuel is not one of them: else nothing is different."""
    if "to" in rule and (new not in rule["to"] or old in rule["to"]):
        return False
    return old in rule.get("from", (old,))
