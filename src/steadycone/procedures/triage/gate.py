"""First actions, what not to do, and the gate back to service, picked from their tables."""

from typing import Any

from steadycone.data.reader import toml
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, is_acetylene
from steadycone.procedures.choose import number
from steadycone.procedures.judged import Judged
from steadycone.procedures.triage.model import Action, Caution, Condition
from steadycone.procedures.triage.weigh import EVENTS, for_fuel
from steadycone.quantity import Quantity, exact
from steadycone.units import Duration

ACTIONS, NEVER, GATES = "triage/actions.toml", "triage/never.toml", "triage/gates.toml"
_BRANCH = "emergency:"
HOSE = "hose_after_flashback"
SAFEST = {HOSE: "scrap"}  # taken where neither policy nor region chooses, or chooses what is not known


def first_actions(event: str) -> tuple[Action, ...]:
    """In order. A fire or a hot cylinder has the emergency list's own steps, never a copy of them."""
    found: list[Action] = []
    for name in toml(EVENTS)[event]["first"]:
        if name.startswith(_BRANCH):
            found += _branch(name.removeprefix(_BRANCH))
        else:
            entry = toml(ACTIONS)[name]
            found.append(Action(name, entry["do"], tuple(entry["source"])))
    return tuple(found)


def _branch(name: str) -> list[Action]:
    table = toml("emergency.toml")
    branch = next(branch for branch in table["branch"] if branch["id"] == name)
    return [Action(f"{name} {count}", do, (table["source"],)) for count, do in enumerate(branch["do"], 1)]


def never(event: str) -> tuple[Caution, ...]:
    return tuple(Caution(name, entry["says"], tuple(entry["source"])) for name, entry in _entries(NEVER, toml(EVENTS)[event]["never"]))


def back_to_service(event: str, confirmed: bool | None, card: Judged | None, region: str, fuel: str | None) -> tuple[Condition, ...]:
    """The conditions in order. Whether a flame in a hose is certain, and the policy's choice where it is not, pick the hoses' fate."""
    chosen = variants(card, region)
    return tuple(
        _condition(name, entry, card, region)
        for name, entry in _entries(GATES, toml(EVENTS)[event]["gate"])
        if for_fuel(entry, fuel) and _applies(entry, confirmed, chosen, card)
    )


def variants(card: Judged | None, region: str) -> dict[str, str]:
    """The choices in force: the card's policy, else the region's, each on top of the safest."""
    named = card.figures.setup.policy.variants if card else toml(f"regions/{region}.toml")["variants"]
    known = {kind: {value for _, value in _choices(kind)} for kind in SAFEST}
    return SAFEST | {kind: named[kind] for kind in SAFEST if named.get(kind) in known[kind]}


def _choices(kind: str) -> list[tuple[str, str]]:
    """The variants of one kind that the gate's table knows."""
    found = [entry["variant"].partition("=") for entry in toml(GATES).values() if "variant" in entry]
    return [(name, value) for name, _, value in found if name == kind]


def _applies(entry: dict[str, Any], confirmed: bool | None, chosen: dict[str, str], card: Judged | None) -> bool:
    """`confirmed` None stands for an event where a flame in a hose is not ruled out: as confirmed."""
    when = entry.get("when")
    if when == "card stops":
        return bool(_stops(card))
    if when and (when == "unconfirmed") != (confirmed is False):
        return False
    kind, _, value = entry.get("variant", "").partition("=")
    return not kind or chosen[kind] == value


def _condition(name: str, entry: dict[str, Any], card: Judged | None, region: str) -> Condition:
    numbers = _chosen_times(entry, card, region) if "policy" in entry else _numbers(entry, card)
    stops = _stops(card)
    told = entry["plain"] if "plain" in entry and numbers is None else entry["condition"]
    if numbers and "cap" in numbers:
        told += entry["acetylene"]
    return Condition(
        id=name,
        condition=told,
        why=entry.get("why", ""),
        who=entry["who"],
        evidence=entry["evidence"],
        sources=tuple(entry["source"]),
        variant=entry.get("variant"),
        numbers=numbers or {},
        stops=stops if entry.get("when") == "card stops" else (),
    )


def _numbers(entry: dict[str, Any], card: Judged | None) -> dict[str, Quantity] | None:
    """The card's numbers for a condition, with acetylene's cap beside its pressure. None where one of them is not known, or the card stops.

    Source      triage-card-stop
    """
    if card is None or _stops(card):
        return None
    found = {blank: number(card.figures, path) for blank, path in entry.get("numbers", {}).items()}
    if not all(ends(value) for value in found.values()):
        return None
    if "acetylene" in entry and is_acetylene(card.figures):
        found["cap"] = exact(card.figures.cap.gauge, "gauge pressure")
    return found


def _chosen_times(entry: dict[str, Any], card: Judged | None, region: str) -> dict[str, Quantity]:
    """Times that the site chose, whatever its card says: the policy's, with no card the region's."""
    named = toml(f"regions/{region}.toml")
    chosen = {
        blank: getattr(card.figures.setup.policy, name) if card else Duration.parse(named[name]) for blank, name in entry["policy"].items()
    }
    return {blank: exact(duration.si, "minutes") for blank, duration in chosen.items()}


def _stops(card: Judged | None) -> tuple[Finding, ...]:
    return tuple(finding for finding in card.findings if finding.verdict == "stop") if card else ()


def _entries(table: str, names: list[str]) -> list[tuple[str, dict[str, Any]]]:
    return [(name, toml(table)[name]) for name in names]
