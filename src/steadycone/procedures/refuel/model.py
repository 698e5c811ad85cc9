"""What a change of fuel gives. Texts are templates: words and units are the renderer's."""

from dataclasses import dataclass, field
from typing import Literal

from steadycone.assembly.figures import Figures
from steadycone.practice.finding import Finding
from steadycone.quantity import Quantity

Fate = Literal["change", "check", "stays", "do"]


@dataclass(frozen=True, slots=True)
class Item:
    """One thing of the station and what becomes of it, or ("do") what is done differently from now on.

    `subject` in the program's own words, such as "fuel part 1 (arrestor)".
    """

    id: str
    subject: str
    fate: Fate
    says: str
    why: str
    sources: tuple[str, ...]
    blanks: dict[str, Quantity | str] = field(default_factory=dict)
    finding: Finding | None = None


@dataclass(frozen=True, slots=True)
class Side:
    """One fuel on this station, before or after. Ratios and shares by amount, which is by volume at one state.

    `figures` are the card's; None where no chart gives a row. `withheld`: why its settings are not to be shown.
    """

    fuel: str
    known: bool  # False: lpg or natural gas of unknown composition, judged as the worst
    neutral: Quantity  # torch oxygen per fuel
    complete: Quantity  # oxygen per fuel for complete burning, the air's included
    heat: float  # J/mol, lower
    oxygen_per_heat: float  # mol/J of torch oxygen at the typical neutral flame
    weight: Quantity  # density over that of air
    air_limits: tuple[float, float]
    cap: Quantity | None  # gauge pressure; acetylene only
    figures: Figures | None
    withheld: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Refuel:
    """`items` in the order of work on the station: change first, then check, then stays. `rules`: what is done differently."""

    before: Side
    after: Side
    items: tuple[Item, ...]
    rules: tuple[Item, ...]
    sources: tuple[str, ...]
