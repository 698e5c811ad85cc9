"""What comes first where nothing squeals: gas unlit, air rich in oxygen, a cylinder that lies or fell, clothes on fire, somebody down."""

from random import Random

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.whatif.drills.model import LETTERS, Accepted, Option, Question, Text, Turn

TABLE = "drills/situations.toml"


def question(figures: Figures, random: Random, turn: Turn) -> Question:
    """One situation of this station's fuel, its answers shuffled."""
    fuel = figures.setup.station.station.fuel
    known = {name: one for name, one in toml(TABLE)["situation"].items() if fuel in one.get("fuels", [fuel])}
    chosen = known[turn.of(sorted(known))]
    letters = dict(zip(random.sample(list(chosen["options"]), len(chosen["options"])), LETTERS, strict=False))
    right = letters[chosen["right"]]
    return Question(
        "choice",
        Text(f"{chosen['asks']} What do you do first?"),
        (Accepted((right,), Text(chosen["because"]), tuple(chosen["source"])),),
        tuple(Option(letter, Text(chosen["options"][name])) for name, letter in letters.items()),
        {letters[name]: Text(why) for name, why in chosen["wrong"].items()},
    )
