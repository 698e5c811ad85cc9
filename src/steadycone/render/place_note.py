"""What the front says of a closed place: that it is one, how large, and what comes before the flame."""

from typing import Any

from steadycone.assembly.figures import Figures
from steadycone.data import reader
from steadycone.quantity import Quantity, exact
from steadycone.render.words import Words


def place_told(figures: Figures, words: Words) -> dict[str, Any] | None:
    """As the card's JSON has it: heading, size and note in the region's words; None for an open place."""
    place, table = figures.setup.station.place, reader.toml("card.toml")["place"]
    if not place.closed:
        return None
    volume: Quantity | str = exact(place.volume.si, "room") if place.volume else table["no_volume"]
    fresh: Quantity | str = exact(place.fresh_air.si, "air flow") if place.fresh_air else table["no_air"]
    return {
        "heading": table["confined"] if place.confined else table["heading"],
        "size": words.fill(table["size"], {"volume": volume, "fresh_air": fresh}),
        "note": words.fill(table["note"], {}),
    }
