"""Where a card stops, no step says a pressure to set: a number that stands there is set."""

from collections.abc import Mapping

from steadycone.quantity import Quantity

WITHHELD = ("open", "prove", "set", "purge", "light", "pause", "change")  # phases of a procedure in which gas is let in and set
SAID = "no number (the card has a stop)"


def without_pressures(numbers: Mapping[str, Quantity | str]) -> dict[str, Quantity | str]:
    """A step's numbers with every pressure left out, in words."""
    return {name: SAID if isinstance(value, Quantity) and value.kind == "gauge pressure" else value for name, value in numbers.items()}
