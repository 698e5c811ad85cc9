"""From a drill's name, a card and a seed to its questions."""

from collections.abc import Callable
from random import Random

from steadycone.assembly.figures import Figures
from steadycone.card.card import Card
from steadycone.errors import OutOfRange, SolveError, UnknownName, nearest
from steadycone.whatif.drills import cylinders, first_valve, order, situations, two_gauges
from steadycone.whatif.drills.model import Drill, Question, Turn

MOST = 50
_MAKERS: dict[str, Callable[[Figures, Random, Turn], Question | None]] = {
    "gauges": two_gauges.question,
    "first-valve": first_valve.question,
    "order": order.question,
    "situations": situations.question,
    "cylinders": cylinders.question,
}
_TRIES = 60


def names() -> tuple[str, ...]:
    """Every drill; "mixed" has some of each."""
    return (*_MAKERS, "mixed")


def make_drill(name: str, card: Card, seed: int, count: int) -> Drill:
    """A sheet of questions.

    Raises
    ------
    UnknownName : no such drill. OutOfRange : a count outside 1 to 50.
    """
    plain = name.strip().lower().replace("_", "-")
    if plain not in names():
        raise UnknownName(f'there is no drill "{name[:60]}"', where="drill", try_=nearest(plain[:60], names()))
    if not 1 <= count <= MOST:
        raise OutOfRange(f"{count} questions", where="--questions", try_=f"Ask for 1 to {MOST}.")
    return Drill(plain, seed, card.figures, tuple(_one(plain, card.figures, seed, number) for number in range(1, count + 1)))


def _one(name: str, figures: Figures, seed: int, number: int) -> Question:
    """Each question has its own generator, so that the third is the third whatever the count. Draws again where one has no clear answer."""
    random = Random(f"{name}:{seed}:{number}")  # noqa: S311 - reproducible questions, no secret
    kinds = list(_MAKERS)
    mixed = name == "mixed"
    kind = kinds[(number - 1) % len(kinds)] if mixed else name
    for again in range(_TRIES):
        turn = Turn(seed, 1 + (number - 1) // len(kinds) if mixed else number, again)
        found = _MAKERS[kind](figures, random, turn)
        if found is not None:
            return found
    raise SolveError(f"no clear question was found for {name}, seed {seed}, number {number}", where="drill")
