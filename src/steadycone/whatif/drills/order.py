"""Order the steps: cards to sort. Every order that a source supports counts, and the reason is given with the mark."""

from collections.abc import Iterator, Mapping
from itertools import product
from random import Random
from typing import Any

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.procedures.variants import Choice, variant
from steadycone.whatif.drills.model import LETTERS, Accepted, Option, Question, Text, Turn

_LEAST_CARDS = 4


def question(figures: Figures, random: Random, turn: Turn) -> Question | None:
    """One set of cards, some of them left out now and then."""
    table, station = toml("drills/order.toml"), figures.setup.station.station
    sets = {name: one for name, one in table["set"].items() if station.fuel in one.get("fuels", [station.fuel])}
    chosen = sets[turn.of(sorted(sets))]
    optional = [card for card in chosen["cards"] if card in chosen.get("may_lack", [])]
    spare = max(0, len(chosen["cards"]) - _LEAST_CARDS)
    dropped = set(random.sample(optional, random.randint(0, min(len(optional), spare, 2))))
    kept = [card for card in chosen["cards"] if card not in dropped]
    letters = dict(zip(random.sample(kept, len(kept)), LETTERS, strict=False))
    options = tuple(Option(letter, Text(chosen["cards"][card]["says"])) for card, letter in letters.items())
    told = " ".join(
        [chosen["note"], *(_told_free(table, chosen["free"][card], card, letters) for card in chosen.get("free", {}) if card in letters)]
    )
    return Question(
        "order", Text(chosen["asks"]), tuple(_accepted(figures, table, chosen, letters)), options,
        {letter: Text(chosen["cards"][card]["why"]) for card, letter in letters.items()}, Text(told),
    )  # fmt: skip


def _accepted(figures: Figures, table: Mapping[str, Any], chosen: Mapping[str, Any], letters: Mapping[str, str]) -> Iterator[Accepted]:
    """Every order of the set that a choice of the variants gives, the station's own first."""
    names = chosen.get("variants", [])
    policy, station = figures.setup.policy, figures.setup.station.station
    open_ = [[c for c in variant(name).choices if _allowed(c, station.fuel, station.region)] for name in names]
    every = sorted(product(*open_), key=lambda choices: sum(policy.variants[n] != c.name for n, c in zip(names, choices, strict=True)))
    seen: set[tuple[str, ...]] = set()
    for choices in every:
        order = chosen["order"]
        for choice in choices:
            order = order[choice.name] if isinstance(order, dict) else order
        own = all(policy.variants[name] == choice.name for name, choice in zip(names, choices, strict=True))
        reason = " ".join([_of_order(table, chosen, own), *(choice.reason for choice in choices)])
        sources = tuple(dict.fromkeys((*chosen["source"], *(key for choice in choices for key in choice.source))))
        for arranged in _arranged([card for card in order if card in letters], chosen.get("free", {})):
            answer = tuple(letters[card] for card in arranged)
            if answer not in seen:
                yield Accepted(answer, Text(reason), sources)
            seen.add(answer)


def _told_free(table: Mapping[str, Any], bounds: Mapping[str, list[str]], card: str, letters: Mapping[str, str]) -> str:
    """Where a free card may stand, by letters, for the answer sheet."""
    ends = {end: " and ".join(letters[each] for each in bounds[end] if each in letters) for end in ("after", "before")}
    key = "_".join(end for end in ("after", "before") if ends[end]) or "anywhere"
    return str(table["may_stand"][key]).format(card=letters[card], **ends)


def _of_order(table: Mapping[str, Any], chosen: Mapping[str, Any], own: bool) -> str:
    if chosen.get("variants"):
        return str(table["own" if own else "other"])
    return str(table["free" if chosen.get("free") else "only"])


def _arranged(order: list[str], free: Mapping[str, Mapping[str, list[str]]]) -> list[list[str]]:
    """The order itself, then those with its free cards at every other place they may stand at."""
    found = [order]
    for card in order:
        if card in free:
            found += [moved for each in list(found) for moved in _moved(each, card, free[card]) if moved not in found]
    return found


def _moved(order: list[str], card: str, bounds: Mapping[str, list[str]]) -> Iterator[list[str]]:
    """A card at each place behind all that it must come after and before all that it must come before, of those that are there."""
    rest = [each for each in order if each != card]
    first = max((rest.index(each) + 1 for each in bounds["after"] if each in rest), default=0)
    last = min((rest.index(each) for each in bounds["before"] if each in rest), default=len(rest))
    yield from ([*rest[:place], card, *rest[place:]] for place in range(first, last + 1))


def _allowed(choice: Choice, fuel: str, region: str) -> bool:
    return (not choice.fuels or fuel in choice.fuels) and region not in dict(choice.forbidden)
