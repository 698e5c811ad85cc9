"""What becomes of each thing on the station, by the card's own rules for gas and grade."""

from typing import Any

from steadycone.assembly.figures import Figures, PartFigure
from steadycone.data.reader import toml
from steadycone.practice.acetylene import copper_share
from steadycone.practice.compatible import chart_serves, serves
from steadycone.practice.finding import Finding
from steadycone.practice.limits import limit
from steadycone.procedures.refuel.model import Fate, Item
from steadycone.quantity import Quantity
from steadycone.station.marks import Fit, fit, fit_of_any, hose_fit
from steadycone.station.parts import Coupling, Hose, Pipe

TABLE = "refuel.toml"
_FATES: dict[Fit, Fate] = {"yes": "stays", "ask": "check", "unknown": "check", "no": "change"}
_ORDER: dict[Fate, int] = {"change": 0, "check": 1, "stays": 2, "do": 3}
# Codes whose findings the items below say already, or that the conversion itself makes: a supply not yet weighed, no chart given.
_SAID = frozenset(
    [
        "part-gas",
        "gas-mark-missing",
        "hose-grade",
        "regulator-gas",
        "mixer-fuel",
        "tip-fuel",
        "copper-acetylene",
        "contents-unknown",
        "fuel-mix-unknown",
        "lpg-vaporisation",
        "fuel-draw",
        "no-chart",
        "chart-incomplete",
        "tip-not-chosen",
        "oxygen-first-out",
        "cylinder-lay-down",
        "acetylene-cold",
        "supply-flow",
    ]
)


def items(before: Figures, after: Figures, old_findings: tuple[Finding, ...], new_findings: tuple[Finding, ...]) -> tuple[Item, ...]:
    """Everything on the station, what must be changed first. Two fuels that share their gear need hardly any change."""
    old, new = before.setup.station.station.fuel, after.setup.station.station.fuel
    alike = serves(old, new)
    found = [_of("supply", "fuel supply", "stays" if alike else "change", new), *_tip(before, new, alike)]
    found += _mixer(before, new, alike) + _regulator(before, new)
    for part in before.lines["fuel"].parts:
        found += _part(part, new)
    found += [] if alike else [_of("seals", "torch", "check", new)]
    found += [_of("oxygen", "oxygen line", "stays", new), *_brought(old_findings, new_findings, new)]
    return tuple(sorted(found, key=lambda item: _ORDER[item.fate]))


def _of(kind: str, subject: str, fate: Fate, new: str, *, finding: Finding | None = None, **blanks: Quantity | str) -> Item:
    entry: dict[str, Any] = toml(TABLE)["item"][kind]
    return Item(kind, subject, fate, entry[fate], entry["why"], tuple(entry["source"]), {"new": new, **blanks}, finding)


def _tip(before: Figures, new: str, alike: bool) -> list[Item]:
    chart = before.setup.chart
    served = chart is not None and chart.fuel is not None and chart_serves(chart.fuel, new) == "yes"
    return [_of("tip", "tip", "stays" if served or (alike and (chart is None or chart.fuel is None)) else "change", new)]


def _mixer(before: Figures, new: str, alike: bool) -> list[Item]:
    torch = before.setup.station.torch
    made_for = ", ".join(torch.fuels)
    if not torch.fuels:
        fate: Fate = "stays" if alike else "check"
    else:
        fate = _FATES[fit_of_any(torch.fuels, new)]
    found = [_of("mixer", "torch", fate, new, made_for=made_for or "what it burns now")]
    if torch.mixer == "injector" and fate != "change" and not alike:
        found.append(_of("injector", "torch", "check", new))
    if new == "acetylene" and torch.material:
        found += _copper("torch", torch.material, new)
    return found


def _regulator(before: Figures, new: str) -> list[Item]:
    mark = before.setup.station.fuel.regulator.gas
    return [_of("regulator", "fuel regulator", _FATES[fit(mark, new)], new, made_for=mark)]


def _part(figure: PartFigure, new: str) -> list[Item]:
    part, found = figure.part, []
    if isinstance(part, Hose):
        found.append(_of("hose", figure.subject, _FATES[hose_fit(part.grade, new)], new, made_for=part.grade))
    if part.gas is not None:
        found.append(_of("part", figure.subject, _FATES[fit(part.gas, new)], new, made_for=part.gas))
    elif not isinstance(part, Hose):
        found.append(_of("part", figure.subject, "check", new, made_for="no gas in the file"))
    if new == "acetylene" and isinstance(part, Coupling | Pipe) and part.material:
        found += _copper(figure.subject, part.material, new)
    return found


def _copper(subject: str, material: str, new: str) -> list[Item]:
    """Copper by the card's own limits; a material nobody knows is to be asked about.

    Source      copper-acetylene
    """
    share = copper_share(material)
    if share is not None and share <= limit("copper-caution").si:
        return []
    stop = share is not None and share > limit("copper-stop").si
    return [_of("copper", subject, "change" if stop else "check", new, made_for=material)]


def _brought(old: tuple[Finding, ...], new: tuple[Finding, ...], fuel: str) -> list[Item]:
    """Cautions and stops of the new card that the old one did not have."""
    had = {(finding.code, finding.subject) for finding in old if finding.verdict != "go"}
    found = []
    for finding in new:
        if finding.verdict == "go" or finding.code in _SAID or (finding.code, finding.subject) in had:
            continue
        found.append(_of("brought", finding.subject, "change" if finding.verdict == "stop" else "check", fuel, finding=finding))
    return found
