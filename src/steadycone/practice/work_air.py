"""What the work itself does to a closed place's air: the flows at their unsafe ends, and how much air there is. Perfectly mixed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from steadycone.assembly.figures import AsSetLine, Figures, LineFigures
from steadycone.data.reader import toml
from steadycone.physics.gas import GAS_CONSTANT
from steadycone.physics.transient.room_air import Let, flame_lets
from steadycone.practice.judging import Ends, ends
from steadycone.quantity import Quantity
from steadycone.units import Number, Share, Temperature

What = Literal["flame", "jet"]  # the flame alone, with the jet shut; the flame with the jet on


@dataclass(frozen=True, slots=True)
class _Flows:
    fuel: Ends  # mol/s
    preheat: Ends
    jet: Ends


def unmixed() -> float:
    """As many times worse than perfect mixing as is reckoned with."""
    return Number.parse(toml("air.toml")["unmixed"]["times"]).si


def air_amount(figures: Figures, volume: float) -> float:
    """Air in a volume [m³, or m³/s] of the place, mol (mol/s): warm air is less, which is the unsafe end."""
    warm = max(figures.ambient, Temperature.parse(toml("air.toml")["warm"]["temperature"]).si)
    return figures.atmosphere * volume / (GAS_CONSTANT * warm)


def air_volume(figures: Figures, amount: float) -> float:
    """The reverse of `air_amount`."""
    return amount / air_amount(figures, 1.0)


def effective_air(figures: Figures) -> float:
    """Fresh air that is counted [mol/s]: what is stated, over what bad mixing takes from it."""
    stated = figures.setup.station.place.fresh_air
    return air_amount(figures, stated.si) / unmixed() if stated else 0.0


def lets(figures: Figures, what: What) -> tuple[Let, ...] | None:
    """The case as described, then every end of the bands, of all flames in the place together; None where a flow is not known."""
    flows = list(_flows(figures))
    if not flows:
        return None
    return _let(figures, flows[0], what, 0), *(_let(figures, flow, what, end) for flow in flows for end in (-2, -1, 1, 2))


def _let(figures: Figures, flows: _Flows, what: What, end: int) -> Let:
    """end : 0 as described, -1 and -2 the least oxygen, 1 and 2 the most; at 2 and -2 the flame's water has settled on cold walls."""
    used = toml("air.toml")["jet"]
    fuel, preheat, jet, name = flows.fuel.value, flows.preheat.value, flows.jet.value, "usual"
    if end:
        low = end < 0
        fuel, preheat = (flows.fuel.high, flows.preheat.low) if low else (flows.fuel.low, flows.preheat.high)
        jet, name = (flows.jet.low, "most") if low else (flows.jet.high, "least")
    left = jet * (1.0 - Share.parse(used[name]).si) if what == "jet" else 0.0
    one = flame_lets(figures.fuel, fuel, preheat, left, 0.0 if abs(end) == 2 else 1.0)
    flames = figures.setup.station.place.welders
    return Let(*(flames * part for part in one))


def _flows(figures: Figures) -> Iterator[_Flows]:
    """By the chart, and as the gauges give it now where that is known."""
    jet = figures.job.kind == "cut"
    charted = _known(figures.lines, jet)
    if charted is None:
        return
    yield charted
    now = _known(figures.as_set.lines, jet) if figures.as_set else None
    if now is not None:
        yield now


def _known(lines: Mapping[str, LineFigures | AsSetLine], jet: bool) -> _Flows | None:
    heating = lines.get("preheat_oxygen", lines["oxygen"])
    found = [ends(flow) for flow in (lines["fuel"].flow, heating.preheat_flow, lines["oxygen"].cutting_flow if jet else _NO_FLOW)]
    fuel, preheat, cutting = found
    if fuel is None or preheat is None or cutting is None:
        return None
    return _Flows(
        *(Ends(*(max(0.0, end) for end in flow)) for flow in (fuel, preheat, cutting))
    )  # as set, gas may flow back: that feeds nothing


_NO_FLOW = Quantity(0.0, 0.0, 0.0, "flow")
