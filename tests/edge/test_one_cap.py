"""One acetylene cap and one ceiling: what asks for either gets the same number, in any air."""

import re

import pytest
from tests import factories, stations
from tests.edge.render_samples import changed

from steadycone.assembly.ceiling import cap, loosest_cap, region_cap, strictest_cap
from steadycone.card.card import Card
from steadycone.data.reader import FOLDER
from steadycone.files.policy import region_policy
from steadycone.practice import acetylene
from steadycone.practice.drop import DropTest, Side, read_drop
from steadycone.units import ATMOSPHERE
from steadycone.whatif.common.shut import case_of, readings
from steadycone.worksheets.run import answer

PSI = 6894.757293168
SRC = FOLDER.parent


@pytest.mark.parametrize(
    ("region", "air", "expected"),
    [
        ("us", ATMOSPHERE, 15 * PSI),
        ("us", 15.01 * PSI, 14.99 * PSI),  # 30 psi absolute bites
        ("us", 1.6e5, 30 * PSI - 1.6e5),
        ("ca", 1.1e5, 15 * PSI),
        ("ca", 1.6e5, 15 * PSI - 0.5e5),  # by as much as the air is over any weather
        ("uk", 1.1e5, 1.5e5),
        ("uk", 1.6e5, 1.0e5),
    ],
)
def test_the_cap_of_a_region_in_its_air(region: str, air: float, expected: float) -> None:
    assert cap(region_policy(region), air).gauge == pytest.approx(expected, rel=1e-9)
    assert region_cap(region, air) == pytest.approx(expected, rel=1e-9)


def test_a_sum_without_a_station_takes_the_strictest_and_the_loosest_of_the_regions() -> None:
    assert strictest_cap() == pytest.approx(15 * PSI)
    assert loosest_cap() == pytest.approx(1.5e5)
    assert strictest_cap(1.6e5) == pytest.approx(30 * PSI - 1.6e5)


def hyperbaric() -> Card:
    """A station of the US in compressed air."""
    return changed("bay-4-us", ("[station]\n", '[station]\natmosphere = "1.6 bar abs"\n'))


def test_a_drop_test_in_compressed_air_respects_the_absolute_cap() -> None:
    made = hyperbaric()
    figures = made.figures
    highest = figures.cap
    assert highest.absolute
    assert {f.verdict for f in made.findings if f.code == "acetylene-pressure-static"} == {"stop"}
    case = case_of(figures, figures.lines["fuel"])
    low = 0.65e5  # 9.4 psi: under 15, over 30 absolute here
    assert highest.gauge < low < 15 * PSI
    test = readings(case, (10e5, 10e5), (low, low), None)
    assert test.acetylene_cap == highest.gauge
    assert read_drop(test).verdict == "stop"


@pytest.mark.parametrize(("gauge", "verdict"), [(1.02e5, "go"), (1.05e5, "caution"), (1.49e5, "caution"), (1.52e5, "stop")])
def test_a_drop_sum_without_a_cap(gauge: float, verdict: str) -> None:
    gas = factories.gas_of("acetylene")
    high, low = Side("high", 3e-5, 11e5, 11e5, 1e3), Side("low", 1e-4, gauge + ATMOSPHERE, gauge + ATMOSPHERE, 1e3)
    assert read_drop(DropTest(gas, high, low, 1800.0, None, 2.48e-5)).verdict == verdict


@pytest.mark.parametrize(("outlet", "warned"), [("15 psi", False), ("15.1 psi", True)])
def test_a_sum_says_the_cap_beside_acetylene_above_the_strictest(outlet: str, warned: bool) -> None:
    found = answer("orifice", {"gas": "acetylene", "bore": "1 mm", "inlet": outlet, "outlet": "0 psi"})
    assert ("caution" in found) is warned


def test_every_ceiling_of_a_station_is_the_figures_own() -> None:
    figures = stations.card(region="us").figures
    assert figures.static_ceiling("fuel") == pytest.approx(min(figures.cap.gauge, 1.5e5))
    strict = factories.with_policy(figures, acetylene_cap=type(figures.setup.policy.acetylene_cap).parse("0.6 bar"))
    assert strict.static_ceiling("fuel") == pytest.approx(0.6e5)

    assert acetylene.judge(strict)[1].limit is not None
    assert acetylene.judge(strict)[1].limit.value == pytest.approx(0.6e5)  # type: ignore[union-attr]


def test_nobody_else_works_the_cap_out() -> None:
    """Policy and file readers hold the field; ceiling.py alone makes a pressure of it. No literal of it stands anywhere."""
    asks = re.compile(r"acetylene_cap(_absolute)?\.(gauge|abs|si)\b|\b1034\d\d\b|\b103421")
    found = {str(path.relative_to(SRC)) for path in SRC.rglob("*.py") if asks.search(path.read_text(encoding="utf-8"))}
    assert found - {"worksheets/drop.py"} == {"assembly/ceiling.py"}  # the sum has a field of its own by that name
