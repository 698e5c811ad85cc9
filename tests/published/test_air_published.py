"""A station away from sea-level air: what a choked jet passes goes by its absolute pressure, whoever works it out."""

import pytest
from tests.checks import ANOTHER, check
from tests.stations import card

from steadycone.assembly.build import atmosphere_of
from steadycone.card.card import Card

WIDE = 'equivalent_bore = "5 mm"'  # an arrestor that costs next to nothing
CHART_PRESSURE, CHART_FLOW, SEA = 3.0, 3.70, 1.01325  # bar gauge and m3/h of the chart's row, bar abs it was charted in
# Of the standard atmosphere (ISO 2533, from memory): bar abs.
PLACES = {"2500 m": 0.7469, "3500 m": 0.6576, "1.5 bar abs": 1.5, "3 bar abs": 3.0}
AIRS = {"2500 m": 'altitude = "2500 m"', "3500 m": 'altitude = "3500 m"'} | {p: f'atmosphere = "{p}"' for p in ("1.5 bar abs", "3 bar abs")}
CUTTING = {name: CHART_FLOW * (CHART_PRESSURE + air) / (CHART_PRESSURE + SEA) for name, air in PLACES.items()}


def made(place: str, **knobs: str) -> Card:
    return card(**{"about": AIRS[place], "arrestor": WIDE} | knobs)


def cubic_metres(flow: float | None) -> float:
    assert flow is not None
    return flow * 3600 * 22.41397e-3


@pytest.mark.parametrize("place", PLACES)
def test_a_choked_jet_follows_the_air(place: str) -> None:
    for_air = made(place, settings='[settings]\nwhen = "flowing"\noxygen = "3.15 bar"\nfuel = "0.5 bar"')
    figures = for_air.figures
    line = figures.lines["oxygen"]
    assert line.cutting_flow is not None
    assert line.set_pressure.value == pytest.approx(3.2e5, abs=0.11e5), "the gauge is set to the chart's figure in any air"
    why = "the chart's jet is choked: its flow goes by absolute pressure, gauge plus air"
    source = "choked nozzle, closed form; the air by ISO 2533, from memory"
    check(
        f"air/cutting/{place}",
        kind=ANOTHER,
        got=cubic_metres(line.cutting_flow.value),
        expected=CUTTING[place],
        unit="m3/h",
        source=source,
        why=why,
        rel=2e-3,
    )
    assert figures.as_set is not None
    now = figures.as_set.lines["oxygen"].cutting_flow
    assert now is not None
    assert cubic_metres(now.value) == pytest.approx(CUTTING[place], rel=0.03), "as set by nearly the same gauge"


@pytest.mark.parametrize("place", PLACES)
def test_the_cylinder_lasts_by_what_really_flows(place: str) -> None:
    sea, here = card(arrestor=WIDE).figures.lines["oxygen"], made(place).figures.lines["oxygen"]
    assert sea.supply.duration.value is not None
    assert here.supply.duration.value is not None
    share = here.supply.duration.value / sea.supply.duration.value
    # preheat is a twelfth of the oxygen; reserve and contents read by gauge pressure move by less than a hundredth
    assert share == pytest.approx(CHART_FLOW / CUTTING[place], rel=0.02)


def verdict(made_card: Card, subject: str) -> str:
    found = [finding.verdict for finding in made_card.findings if (finding.code, finding.subject) == ("tip-starved", subject)]
    return found[0] if found else "none"


@pytest.mark.parametrize(("metres", "expected"), [(10, "none"), (1500, "go"), (1900, "caution"), (2500, "caution"), (3500, "caution")])
def test_thin_air_starves_the_cut(metres: int, expected: str) -> None:
    """(3.0 + air) / (3.0 + 1.01325) is 4.2 per cent short at 1500 m, 5.2 at 1900 m; over 5 is a caution."""
    assert verdict(card(about=f'altitude = "{metres} m"'), "cutting oxygen") == expected


def test_compressed_air_starves_nothing() -> None:
    assert verdict(made("3 bar abs"), "cutting oxygen") == "none"


def test_as_set_at_a_height_is_held_against_the_chart() -> None:
    settings = '[settings]\nwhen = "flowing"\noxygen = "3.15 bar"\nfuel = "0.58 bar"'
    high = made("2500 m", settings=settings)
    assert verdict(high, "cutting oxygen, as set") == "caution"
    assert verdict(high, "fuel, as set") == "go", "the fuel is trimmed at the torch"
    assert verdict(card(settings=settings, arrestor=WIDE), "cutting oxygen, as set") == "go"


def test_a_makers_flow_curve_is_of_the_bench_it_was_taken_on() -> None:
    """The same arrestor loses more at the same mass flow only as its gas is thinner: about by the ratio of absolute pressures."""
    points = 'flow_points = [ { inlet = "3 bar", drop = "0.2 bar", flow = "10 m3/h", gas = "oxygen" } ]'
    assert atmosphere_of(made("3500 m").figures.setup) == pytest.approx(0.6576e5, rel=1e-3)
    losses = []
    for about in ("", AIRS["3500 m"]):
        line = card(about=about, arrestor=points).figures.lines["oxygen"]
        assert line.loss_parts.value is not None
        assert line.flow.value is not None
        losses.append(line.loss_parts.value / line.flow.value**2)
    assert losses[1] / losses[0] == pytest.approx((3.0 + 1.01325) / (3.0 + 0.6576), rel=0.02)
