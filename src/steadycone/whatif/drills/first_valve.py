"""Choose the first valve: something is heard or seen, and one hand movement comes first. Answers are triage's own."""

from collections.abc import Iterator, Mapping
from random import Random
from typing import Any

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.procedures.triage import Action, Triage, triage
from steadycone.whatif.drills.model import LETTERS, Accepted, Option, Question, Text, Turn

_OPTIONS = ("torch-oxygen", "torch-fuel", "cylinders", "leave", "look")
_MOST_CARDS = 5  # to sort
_FIRST = {
    "inside-torch 1": "torch-oxygen", "oxygen-shut": "torch-oxygen", "burning 1": "cylinders", "hot-cylinder 1": "leave",
}  # fmt: skip


def question(figures: Figures, random: Random, turn: Turn) -> Question | None:
    """First movement, or all first actions in order; None where what was drawn can mean several things."""
    events, station = toml("triage/events.toml"), figures.setup.station.station
    passed = toml("drills/first-valve.toml")["not_asked"]
    known = [
        name
        for name, event in events.items()
        if event["danger"] and name not in passed and station.fuel in event.get("fuels", [station.fuel])
    ]
    event = turn.of(known)
    signs = _signs(events[event], random)
    said = [_plain(sign) for sign in signs]
    found = triage(said, region=station.region)
    if found.event != event or found.heard.unknown or set(found.heard.signs) != set(signs):
        return None
    after = toml("drills/first-valve.toml")["after"]
    sorted_ = [action for action in found.first_actions if action.id in after]
    if len(sorted_) == len(found.first_actions) >= 3 and random.random() < 0.4:
        return _in_order(found, signs, sorted_[:_MOST_CARDS], random)
    return _first(found, signs)


def _signs(event: dict[str, Any], random: Random) -> list[str]:
    """One or two that decide, with one that supports now and then."""
    deciding = random.sample(event["deciding"], min(len(event["deciding"]), random.choice((1, 1, 2))))
    supporting = random.sample(event["supporting"], 1) if event["supporting"] and random.random() < 0.4 else []
    return deciding + supporting


def _plain(sign: str) -> str:
    """The words by which triage knows a sign."""
    return str(toml("triage/signs.toml")[sign]["also"][0])


def _asks(found: Triage, signs: list[str], key: str) -> Text:
    told = ", ".join(toml("triage/signs.toml")[sign]["says"] for sign in signs)
    return Text(toml("drills/first-valve.toml")[key].replace("{signs}", told))


def _first(found: Triage, signs: list[str]) -> Question | None:
    table, first = toml("drills/first-valve.toml"), found.first_actions[0]
    if first.id not in _FIRST:
        return None
    right = _FIRST[first.id]
    letters = dict(zip(_OPTIONS, LETTERS, strict=False))
    options = tuple(Option(letter, Text(table["options"][name])) for name, letter in letters.items())
    because = table["because"]["calm" if right == "torch-oxygen" and not found.urgent else right]
    accepted = [Accepted((letters[right],), Text(f"{found.means} {because}"), (*first.sources, *found.sources[:1]))]
    if right == "torch-oxygen" and toml("triage/events.toml")[found.event].get("any_order", False):
        accepted.append(Accepted((letters["torch-fuel"],), Text(table["either"]), ("navy-14265", "firm-torch-sheet")))
    wrong = {letter: Text(table["wrong"][right].get(name, table["wrong"]["any"])) for name, letter in letters.items()}
    return Question("choice", _asks(found, signs, "asks"), tuple(accepted), options, wrong, Text(table["note"], {"event": found.event}))


def _in_order(found: Triage, signs: list[str], actions: list[Action], random: Random) -> Question:
    """All first actions to sort; every order counts in which each stands after what it must come after."""
    table = toml("drills/first-valve.toml")
    shuffled = random.sample(actions, len(actions))
    letters = {action.id: letter for action, letter in zip(shuffled, LETTERS, strict=False)}
    options = tuple(Option(letters[action.id], Text(action.do)) for action in shuffled)
    sources = tuple(dict.fromkeys(key for action in actions for key in action.sources))
    reason = Text(f"{found.means} {table['in_order']}")
    accepted = tuple(
        Accepted(tuple(letters[name] for name in order), reason, sources) for order in _orders([a.id for a in actions], table["after"])
    )
    return Question("order", _asks(found, signs, "asks_order"), accepted, options, note=Text(table["note"], {"event": found.event}))


def _orders(actions: list[str], after: Mapping[str, list[str]], done: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Every order that keeps to `after`, the one given first."""
    left = [name for name in actions if name not in done]
    if not left:
        yield done
    for name in left:
        if all(before in done or before not in actions for before in after[name]):
            yield from _orders(actions, after, (*done, name))
