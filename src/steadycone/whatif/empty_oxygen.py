"""The oxygen cylinder runs out while the torch burns, and fuel runs back into its hose."""

from typing import ClassVar

from steadycone.card.card import Card
from steadycone.units import Pressure
from steadycone.whatif.common.back import VALVES
from steadycone.whatif.common.emptied import RanOut
from steadycone.whatif.common.rig import rig_of
from steadycone.whatif.frame import Outcome, WithRuns
from steadycone.whatif.settings import Choice, Seconds, setting, whatif


@whatif
class EmptyOxygen(WithRuns):
    """The oxygen cylinder runs out: when the flame weakens, when it goes, and how far fuel then runs into the oxygen hose."""

    seconds: Seconds = setting(Seconds, "how long the torch valves stay open after that", "60")
    check_valve: str | None = setting(Choice(*VALVES), "between oxygen hose and torch; left out: good where the file has one, else none")
    left: Pressure = setting(Pressure, "left in the empty cylinder: used to the last, or changed with the torch valves open", "0 bar")
    tip: str = setting(Choice("open", "blocked"), "whether the tip still blows freely", "open")
    example: ClassVar = "check_valve=none seconds=60"

    def answer(self, card: Card) -> Outcome:
        rig = rig_of(card)
        filled = RanOut(rig.preheat, self.seconds, self.check_valve, self.left, self.tip, self.runs, self.seed)
        return filled.answer(rig)
