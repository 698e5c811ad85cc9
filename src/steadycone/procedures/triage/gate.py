"""First actions, what not to do, and the gate back to service, picked from their tables."""

from collections.abc import Iterator, Sequence
from typing import Any

from steadycone.data.reader import toml
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, is_acetylene
from steadycone.procedures.choose import number
from steadycone.procedures.judged import Judged
from steadycone.procedures.triage.model import Action, Caution, Condition, Heard
from steadycone.procedures.triage.weigh import EVENTS, for_fuel
from steadycone.quantity import Quantity, exact
from steadycone.units import Duration

ACTIONS, NEVER, GATES = "triage/actions.toml", "triage/never.toml", "triage/gates.toml"
_BRANCH = "emergency:"
_CONFIRMED = "hose-confirmed"
HOSE = "hose_after_flashback"
SAFEST = {HOSE: "scrap"}  # taken where neither policy nor region chooses, or chooses what is not known


def first_actions(events: Sequence[str]) -> tuple[Action, ...]:
    """The first actions of every event that fits, the worst event's first, each once.

    A fire, a hot cylinder, gas, and a person down have the emergency list's own steps, never a copy of them. Where a worse event keeps
    people away from the torch or the supply, a milder one's step there is left out.

    Source      triage-union
    """
    found: list[Action] = []
    done: set[str] = set()
    kept_from: set[str] = set()
    for event in events:
        for action, does, at in _steps(event):
            if at in kept_from or {action.id, does} & done:
                continue
            found.append(action)
            done |= {action.id} | ({does} if does else set())
        kept_from |= set(toml(EVENTS)[event].get("keeps_from", ()))
    return tuple(found)


def _steps(event: str) -> Iterator[tuple[Action, str, str]]:
    """Each step of an event, what it does (one thing has one name in every event), and where it sends a hand."""
    for name in toml(EVENTS)[event]["first"]:
        if name.startswith(_BRANCH):
            yield from _branch(name.removeprefix(_BRANCH))
        else:
            entry = toml(ACTIONS)[name]
            yield Action(name, entry["do"], tuple(entry["source"])), entry.get("does", ""), entry.get("at", "")


def _branch(name: str) -> Iterator[tuple[Action, str, str]]:
    table = toml("emergency.toml")
    branch = next(branch for branch in table["branch"] if branch["id"] == name)
    none = [""] * len(branch["do"])
    steps = zip(branch["do"], branch.get("does", none), branch.get("at", none), strict=True)
    for count, (do, does, at) in enumerate(steps, 1):
        yield Action(f"{name} {count}", do, (table["source"],)), does, at


def never(events: Sequence[str]) -> tuple[Caution, ...]:
    """What not to do in any event that fits, the worst event's first, each once."""
    names = dict.fromkeys(name for event in events for name in toml(EVENTS)[event]["never"])
    return tuple(Caution(name, entry["says"], tuple(entry["source"])) for name, entry in _entries(NEVER, list(names)))


def back_to_service(events: Sequence[str], heard: Heard, card: Judged | None, region: str, fuel: str | None) -> tuple[Condition, ...]:
    """The conditions of every event that fits, each once, in the order of their table.

    Whether a flame in a hose is certain, and the policy's choice where it is not, pick the hoses' fate.

    Source      triage-union
    """
    chosen = variants(card, region)
    names = {
        name
        for event in events
        for name, entry in _entries(GATES, toml(EVENTS)[event]["gate"])
        if for_fuel(entry, fuel) and _applies(entry, confirmed(event, heard), chosen, card)
    }
    if _CONFIRMED in names:
        names = {name for name in names if toml(GATES)[name].get("when") != "unconfirmed"}
    return tuple(_condition(name, entry, card, region) for name, entry in toml(GATES).items() if name in names)


def confirmed(event: str, heard: Heard) -> bool | None:
    """Whether a flame in a hose is certain; None where that is not the question."""
    entry = toml(EVENTS)[event]
    return any(sign in entry["confirming"] for sign in heard.signs) if "confirming" in entry else None


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
