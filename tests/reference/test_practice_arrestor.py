"""The flow an arrestor costs, by the rule's one formula, against solving the line with and without it."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Protocol

import pytest
from tests import factories as bench

from steadycone.physics.flow.hose import Hose
from steadycone.physics.flow.orifice import Orifice
from steadycone.physics.flow.resistance import equivalent_bore
from steadycone.physics.flow.stream import stream_of
from steadycone.physics.gas import load
from steadycone.practice import arrestor
from steadycone.quantity import exact

ATMOSPHERE = bench.ATMOSPHERE
TEMPERATURE = 291.15


class Element(Protocol):
    def upstream(self, outlet_pressure: float, mass_flow: float) -> float: ...


def flow_through(line: Sequence[Element], torch: Callable[[float], float], regulator: float) -> float:
    """The flow [kg/s] at which the line, marched up from what the torch needs, reaches the regulator's pressure [Pa abs]."""
    low, high = 0.0, 0.02
    for _ in range(80):
        middle = (low + high) / 2
        pressure = torch(middle)
        for element in reversed(line):
            pressure = element.upstream(pressure, middle)
        low, high = (low, middle) if pressure > regulator else (middle, high)
    return low


def rule(name: str, pressures: Sequence[float], torch_inlet: float, fuel_inlet: float) -> float:
    """What the rule says of the arrestors either side of the hose.

    pressures : what stands before each part, from the regulator; a torch arrestor that is not there has the torch's. All absolute.
    """
    figures = bench.clean(region="au")
    ends = (*pressures, torch_inlet)
    parts = [
        replace(part, outlet=exact(after - ATMOSPHERE, "gauge pressure"), loss=exact(before - after, "pressure difference"))
        for part, before, after in zip(figures.lines[name].parts, pressures, ends[1:], strict=True)
    ]
    figures = bench.with_line(figures, "fuel", torch_inlet=exact(fuel_inlet - ATMOSPHERE, "gauge pressure"))
    line = replace(figures.lines[name], torch_inlet=exact(torch_inlet - ATMOSPHERE, "gauge pressure"), parts=tuple(parts))
    lost = arrestor.flow_lost(figures, line, [parts[0], parts[2]])
    assert lost is not None
    assert lost.value is not None
    return lost.value


# The rule takes every element as p1² - p2² = R m². A hose's friction factor falls a little with flow and a sharp opening's loss is
# not quite that near choking, so a point of flow (0.01) is what the rule is trusted to; it is judged at limits of 10 and 20 points.
@pytest.mark.parametrize("bore_mm", [2.0, 2.5, 3.0, 4.0])
@pytest.mark.parametrize("length", [5.0, 15.0, 60.0])
def test_cutting_oxygen_behind_a_choked_nozzle(bore_mm: float, length: float) -> None:
    stream = stream_of(load("oxygen"), TEMPERATURE)
    regulator = 3.5e5 + ATMOSPHERE
    nozzle, opening = Orifice(stream, equivalent_bore(1.5e-3, 0.9)), Orifice(stream, equivalent_bore(bore_mm * 1e-3))
    hose = Hose(stream, 6.3e-3, length, 1e-5, 6.0)

    def torch(flow: float) -> float:
        return nozzle.upstream(ATMOSPHERE, flow)

    with_one, without = flow_through([opening, hose], torch, regulator), flow_through([hose], torch, regulator)
    after = hose.upstream(torch(with_one), with_one)
    assert torch(with_one) > 1.9 * ATMOSPHERE, "the nozzle is choked"
    got = rule("oxygen", [regulator, after, torch(with_one)], torch(with_one), 1.5e5)
    assert got == pytest.approx(1 - with_one / without, abs=0.01)


@pytest.mark.parametrize("bore_mm", [2.5, 3.0, 4.0])
def test_two_arrestors_on_a_heating_fuel_line(bore_mm: float) -> None:
    # Fuel into a mixing point that keeps half the torch-inlet pressure, as the rule takes it.
    stream = stream_of(load("acetylene"), TEMPERATURE)
    regulator = 0.8e5 + ATMOSPHERE
    opening, port = Orifice(stream, equivalent_bore(bore_mm * 1e-3)), Orifice(stream, equivalent_bore(3.0e-3))
    hose = Hose(stream, 6.3e-3, 15.0, 1e-5, 6.0)
    mixing = ATMOSPHERE + 0.2e5

    def torch(flow: float) -> float:
        return port.upstream(mixing, flow)

    with_two = flow_through([opening, hose, opening], torch, regulator)
    without = flow_through([hose], torch, regulator)
    inlet = torch(with_two)
    second = opening.upstream(inlet, with_two)
    first = hose.upstream(second, with_two)
    fuel_inlet = ATMOSPHERE + 2 * 0.2e5  # half of it is the mixing pressure
    got = rule("fuel", [regulator, first, second], inlet, fuel_inlet)
    assert got == pytest.approx(1 - with_two / without, abs=0.015)  # half a point more: two openings at a low pressure
