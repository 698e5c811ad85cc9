"""As set, in thin or dense air: a flow that the torch valves trim is short of what the chart's pressures give there, like with like."""

import pytest
from tests import stations

from steadycone.practice.finding import Finding


def _fuel(air: str, fuel: str) -> Finding:
    settings = f'[settings]\nwhen = "flowing"\noxygen = "3.1 bar"\nfuel = "{fuel}"'
    card = stations.card(about=f'atmosphere = "{air} bar abs"', bore="10 mm", settings=settings)
    [found] = [one for one in card.findings if one.code == "tip-starved" and one.subject.startswith("fuel")]
    return found


@pytest.mark.parametrize("air", ["0.62", "0.80", "1.60"])
@pytest.mark.parametrize("fuel", ["0.47 bar", "0.40 bar"])
def test_a_fuel_set_too_low_is_as_short_as_in_ordinary_air(air: str, fuel: str) -> None:
    here, ordinary = _fuel(air, fuel).value, _fuel("1.01325", fuel).value
    assert here is not None
    assert ordinary is not None
    assert here.value == pytest.approx(ordinary.value, abs=0.04)
    # A mixing point near the fuel's own pressure, or far under it, gives another share: the ends move with the air, and by no more than this.
    assert here.low == pytest.approx(ordinary.low, abs=0.05)
    assert here.high == pytest.approx(ordinary.high, abs=0.15)


def test_both_sides_of_the_limits_in_thin_air() -> None:
    assert _fuel("0.62", "0.58 bar").verdict == "go"
    assert _fuel("0.62", "0.49 bar").verdict == "caution"
    assert _fuel("0.62", "0.40 bar").verdict == "stop"


def test_the_sentence_names_a_pair_of_one_mixing_point() -> None:
    found = _fuel("0.62", "0.40 bar")
    assert found.text == "stop other air"
    flow, wanted = found.blanks["flow"], found.blanks["wanted"]
    assert not isinstance(flow, str)
    assert not isinstance(wanted, str)
    assert flow.value is not None
    assert wanted.value is not None
    assert found.value is not None
    assert 1 - flow.value / wanted.value == pytest.approx(found.value.high)
