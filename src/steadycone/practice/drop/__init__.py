"""A pressure-drop test with two gauges a gas: readings in, what they mean out.

The order of the files: `readings` (what was read, and what cannot be), `doubt` (what each reading leaves open), `movement` (one side:
leak, floor, wait, and whether it moved), `pattern` (both sides together), `verdict`. `read_drop` goes that way.
"""

from steadycone.practice.drop.read import DropReading, read_drop
from steadycone.practice.drop.readings import DropTest, Side, Temperatures, read_side

__all__ = ["DropReading", "DropTest", "Side", "Temperatures", "read_drop", "read_side"]
