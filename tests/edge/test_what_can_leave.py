"""Gas that can leave a cylinder: not what stands at the air's own pressure, and of an unnamed LPG no more than the heaviest gives."""

import pytest
from tests import random_stations, stations

from steadycone.assembly.figures import SupplyFigures

HEAVY, HALF = 0.0581222, 0.05110891  # kg/mol: butane, and propane and butane half and half (CoolProp)


def _oxygen(reserve: str) -> SupplyFigures:
    text = stations.station_text(pressure="140 bar").replace('pressure = "140 bar"', f'pressure = "140 bar"\n{reserve}')
    files = {"law.csv": stations.CHART}
    found = stations.make_card(stations.setup_from_text(text, "law.toml", lambda name, limit, what: files[name].encode()), stations.ON)
    return found.figures.lines["oxygen"].supply


def test_no_reserve_is_a_reserve_of_nothing_over_the_air() -> None:
    unstated, nothing, five = (_oxygen(text) for text in ("", 'reserve = "0 bar"', 'reserve = "5 bar"'))
    assert unstated.usable == nothing.usable
    assert unstated.usable.value is not None
    assert unstated.contents.value is not None
    # 50 L at 1.01325 bar and 15 °C: 2.11 mol by the gas law
    assert unstated.contents.value - unstated.usable.value == pytest.approx(0.050 * 101325 / (8.314462618 * 288.15), rel=2e-3)
    assert five.usable.value is not None
    assert five.usable.value < unstated.usable.value


def _lpg(composition: str) -> SupplyFigures:
    text = random_stations.station_text(194).replace("[fuel.supply]\n", f"[fuel.supply]\n{composition}")
    found = stations.make_card(
        stations.setup_from_text(text, "lpg.toml", lambda name, limit, what: (random_stations.CHARTS / name).read_bytes()), stations.ON
    )
    return found.figures.lines["fuel"].supply


def test_a_weight_of_unnamed_lpg_is_the_least_gas_it_may_be() -> None:
    unnamed = _lpg("")
    named = _lpg('composition = { propane = "50 %", butane = "50 %" }\n')
    assert unnamed.usable.value == pytest.approx(named.usable.value, rel=1e-6)
    assert unnamed.usable.low == pytest.approx(named.usable.low * HALF / HEAVY, rel=1e-4)
    assert named.usable.low == pytest.approx(named.contents.low)
    assert unnamed.vaporisation is not None
    assert named.vaporisation is not None
    assert unnamed.vaporisation.low < named.vaporisation.low
