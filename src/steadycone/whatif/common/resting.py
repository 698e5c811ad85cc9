"""The train as the card describes it, for what-ifs whose picture is the station itself and not gas on the move."""

from collections.abc import Mapping

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.quantity import Quantity
from steadycone.whatif.frame import Flow, Frame, LineFrame, Plate


def frame(
    figures: Figures,
    time: float | None,
    caption: str,
    *,
    supplies: Mapping[str, float | None] | None = None,
    flows: Mapping[str, Flow] | None = None,
    plates: Mapping[str, tuple[Plate, ...]] | None = None,
    pressures: Mapping[str, tuple[float | None, ...]] | None = None,
) -> Frame:
    """All lines at one moment; by line name what differs from the card: cylinder pressure [Pa gauge], flow, plates, pressures [Pa gauge]."""
    lines = tuple(
        LineFrame(
            name,
            (pressures or {}).get(name, along(line)),
            flow=(flows or {}).get(name, "forward"),
            plates=(plates or {}).get(name, ()),
            supply=(supplies or {}).get(name, line.supply.pressure.value),
        )
        for name, line in figures.lines.items()
    )
    return Frame(time, lines, caption)


def along(line: LineFigures) -> tuple[float | None, ...]:
    """Pa gauge at the regulator outlet and behind each part, as the chart asks."""
    return (line.flowing.value, *(part.outlet.value for part in line.parts))


def nowhere(line: LineFigures) -> tuple[None, ...]:
    """No pressure known anywhere along a line."""
    return (None,) * (1 + len(line.parts))


def value(quantity: Quantity | None, otherwise: float = 0.0) -> float:
    """The value of a quantity, or another where it is not known."""
    return otherwise if quantity is None or quantity.value is None else quantity.value
