"""The bands are bounds: whatever the program's own inputs are, inside their own ranges, what comes out lies inside the band."""

import random
from collections.abc import Iterator

import pytest
from tests.stations import card

from steadycone.assembly.corner import Corner, corners
from steadycone.assembly.figures import Figures
from steadycone.assembly.station import connected, flow_lines
from steadycone.physics.flow import march_up, solve
from steadycone.quantity import Quantity
from steadycone.whatif.common.fitted import fitted, oxygen_of, shares

STATIONS, DRAWS = 20, 200
POINTS = 'flow_points = [ {{ inlet = "{0} bar", drop = "0.{1} bar", flow = "9 m3/h", gas = "air" }} ]'


def stations() -> Iterator[Figures]:
    dice = random.Random(20261130)
    for _ in range(STATIONS):
        oxygen, fuel = dice.uniform(2.6, 4.4), dice.uniform(0.35, 0.8)
        arrestor = dice.choice(["", POINTS.format(dice.randint(2, 6), dice.randint(10, 60)), 'equivalent_bore = "3.4 mm"'])
        yield card(
            bore=dice.choice(["5 mm", "6.3 mm", "8 mm", "10 mm"]),
            length=f"{dice.randint(3, 70)} m",
            thickness=f"{dice.choice([22, 25, 34, 36, 58])} mm",
            lockup=f"{dice.randint(5, 30)} %",
            arrestor=arrestor,
            settings=f'[settings]\nwhen = "flowing"\noxygen = "{oxygen:.1f} bar"\nfuel = "{fuel:.2f} bar"',
        ).figures


FOUND = list(stations())


def any_corner(dice: random.Random, number: int) -> Corner:
    """Each input of a line anywhere in its own range."""
    _, kind, unkind = corners()
    rough, tails = dice.uniform(kind.roughness, unkind.roughness), dice.uniform(kind.fittings, unkind.fittings)
    return Corner(f"draw {number} {rough}", rough, tails, dice.randint(0, 2), dice.choice([-1, 0, 1]), dice.uniform(-1, 1))


def inside(value: float, held: Quantity, what: str, slack: float = 2e-3) -> None:
    """Within the band; a flow curve of one point loses least at the other end of its ratio below that point, by a part in a thousand."""
    assert held.low is not None
    assert held.high is not None
    room = slack * max(abs(held.low), abs(held.high))
    assert held.low - room <= value <= held.high + room, what


@pytest.mark.parametrize("number", range(STATIONS))
def test_what_the_chart_asks_lies_in_its_bands(number: int) -> None:
    figures, dice = FOUND[number], random.Random(number)
    built = flow_lines(figures.setup, figures.fuel, oxygen_of(), figures.ambient, figures.atmosphere)
    for draw in range(DRAWS):
        for name, line in figures.lines.items():
            torch, flow = line.torch_inlet, line.flow
            pressure = figures.atmosphere + dice.uniform(torch.low or 0.0, torch.high or 0.0)
            mass = line.gas.molar_mass * dice.uniform(flow.low or 0.0, flow.high or 0.0)
            marched = march_up(built.at(name, any_corner(dice, draw)), pressure, mass)
            losses = [loss or 0.0 for loss in marched.losses]
            hoses = sum(loss for loss, part in zip(losses, line.parts, strict=True) if part.part.word == "hose")
            inside(marched.inlet - figures.atmosphere, line.flowing, f"{name} flowing")
            inside(hoses, line.loss_hoses, f"{name} hoses")
            inside(sum(losses) - hoses, line.loss_parts, f"{name} parts")


@pytest.mark.parametrize("number", range(STATIONS))
def test_what_flows_as_set_lies_in_its_bands(number: int) -> None:
    figures, dice = FOUND[number], random.Random(number)
    now, settings = figures.as_set, figures.setup.station.settings
    assert now is not None
    assert settings is not None
    assert settings.oxygen is not None
    assert settings.fuel is not None
    gas, built = oxygen_of(), flow_lines(figures.setup, figures.fuel, oxygen_of(), figures.ambient, figures.atmosphere)
    low, _, high = shares()
    oxygen, fuel, ratio = now.lines["oxygen"], now.lines["fuel"], now.oxygen_to_fuel
    assert oxygen.cutting_flow is not None
    assert oxygen.preheat_flow is not None
    assert ratio is not None
    for draw in range(DRAWS):
        station = connected(built, fitted(figures, dice.uniform(low, high)), any_corner(dice, draw), any_corner(dice, draw))
        found = solve(station, settings.oxygen.abs(figures.atmosphere), settings.fuel.abs(figures.atmosphere), None)
        burnt, preheat = found.fuel_flow / figures.fuel.molar_mass, found.preheat_flow / gas.molar_mass
        inside(found.cutting_flow / gas.molar_mass, oxygen.cutting_flow, "cutting oxygen")
        inside(preheat, oxygen.preheat_flow, "preheat oxygen")
        inside(burnt, fuel.flow, "fuel")
        inside(found.fuel_torch_pressure - figures.atmosphere, fuel.torch_inlet, "fuel at the torch")
        inside(preheat / burnt, ratio, "flame")
