"""Change of fuel: what must be changed on a station, what may stay and why, with its numbers before and after.

card/refuel.py makes the two cards and calls `compare`.
"""

from steadycone.procedures.refuel.compare import RECORDS, compare
from steadycone.procedures.refuel.convert import convert
from steadycone.procedures.refuel.model import Fate, Item, Refuel, Side

__all__ = ["RECORDS", "Fate", "Item", "Refuel", "Side", "compare", "convert"]
