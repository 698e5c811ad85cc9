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
    return Question(
        "order", Text(chosen["asks"]), tuple(_accepted(figures, table, chosen, letters)), options,
        {letter: Text(chosen["cards"][card]["why"]) for card, letter in letters.items()}, Text(chosen["note"]),
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
        answer = tuple(letters[card] for card in order if card in letters)
        if answer in seen:
            continue
        own = all(policy.variants[name] == choice.name for name, choice in zip(names, choices, strict=True))
        reason = " ".join([table["own" if own else "other"] if names else table["only"], *(choice.reason for choice in choices)])
        sources = tuple(dict.fromkeys((*chosen["source"], *(key for choice in choices for key in choice.source))))
        yield Accepted(answer, Text(reason), sources)
        seen.add(answer)


def _allowed(choice: Choice, fuel: str, region: str) -> bool:
    return (not choice.fuels or fuel in choice.fuels) and region not in dict(choice.forbidden)
