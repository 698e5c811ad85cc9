"""Signs to an event: which fit, which is the most dangerous, how sure that is, and what to ask next."""

from typing import Any

from steadycone.data.reader import toml
from steadycone.procedures.triage.model import NONE_FITS, UNCLEAR, Ask, Certainty, Heard
from steadycone.procedures.triage.words import TABLE as WORDS

EVENTS, SIGNS = "triage/events.toml", "triage/signs.toml"
UNDECIDED = (NONE_FITS, UNCLEAR)
_MOST_ASKS = 6


def fitting(heard: Heard, fuel: str | None) -> list[str]:
    """Events one of whose deciding signs was named, the most dangerous first. An event of another fuel cannot fit.

    Source      triage-danger-order
    """
    return [name for name, event in _by_danger(fuel) if name != UNCLEAR and _any(event["deciding"], heard.signs)]


def unclear(heard: Heard) -> bool:
    """Whether something bad was said that decides no event: a sign that is more than a circumstance, or a word for an event.

    Source      triage-unsure
    """
    return bool(heard.named) or any(not toml(SIGNS)[sign].get("calm", False) for sign in heard.signs)


def certainty(event: str, fits: list[str], heard: Heard) -> Certainty:
    """How sure the event is. See Triage.

    Source      triage-certainty
    """
    if event in UNDECIDED or heard.unknown or heard.named or unexplained(event, heard):
        return "possible"
    rivals = [name for name in fits if name != event and not unexplained(name, heard)]
    return "strong sign" if len(heard.signs) > 1 and not rivals else "likely"


def unexplained(event: str, heard: Heard) -> tuple[str, ...]:
    """Signs named that are neither deciding nor supporting signs of an event."""
    own = toml(EVENTS)[event]
    return tuple(sign for sign in heard.signs if sign not in own["deciding"] and sign not in own["supporting"])


def asks(event: str, heard: Heard, fuel: str | None) -> tuple[Ask, ...]:
    """What to ask next: about words not understood, then about each more dangerous event that the signs point to and don't decide.

    Where none fits also about the others, most dangerous first.
    """
    texts = toml(WORDS)["asks"]
    found = [Ask(texts["still"])] if event in UNDECIDED else []
    found += [Ask(texts["named"], said=said) for said in heard.named]
    for item in heard.unknown:
        text = texts["near"] if item.nearest else texts["unknown"]
        found.append(Ask(text, said=item.said, sign=item.nearest or ""))
    danger = toml(EVENTS)[event]["danger"]
    worse = [(name, entry) for name, entry in _by_danger(fuel) if entry["danger"] > danger and not _denied(entry, heard)]
    pointed = [name for name, entry in worse if _any(entry["supporting"], heard.signs)]
    others = [name for name, _ in worse if name not in pointed] if event in UNDECIDED else []
    return (*found, *(Ask(toml(EVENTS)[name]["ask"], name) for name in [*pointed, *others][:_MOST_ASKS]))


def _by_danger(fuel: str | None) -> list[tuple[str, dict[str, Any]]]:
    events = [(name, event) for name, event in toml(EVENTS).items() if name != NONE_FITS and for_fuel(event, fuel)]
    return sorted(events, key=lambda pair: -int(pair[1]["danger"]))


def for_fuel(entry: dict[str, Any], fuel: str | None) -> bool:
    """Whether an entry of a table applies: it names no fuels, or this one, or the fuel is not known."""
    return fuel is None or "fuels" not in entry or fuel in entry["fuels"]


def _any(wanted: list[str], signs: tuple[str, ...]) -> bool:
    return any(sign in wanted for sign in signs)


def _denied(event: dict[str, Any], heard: Heard) -> bool:
    return all(sign in heard.absent for sign in event["deciding"])
