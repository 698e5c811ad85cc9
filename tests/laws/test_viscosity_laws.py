"""Laws of viscosity at pressure."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadycone.physics import gas as g
from steadycone.physics.gas.load import NAMES

STORED = ("oxygen", "nitrogen", "air", "methane", "hydrogen")
quick = settings(max_examples=60, deadline=None)
temperatures = st.floats(233.15, 333.15)


@quick
@given(name=st.sampled_from(NAMES), temperature=temperatures)
def test_a_thin_gas_has_the_viscosity_near_1_atm(name: str, temperature: float) -> None:
    gas = g.load(name)
    assert g.viscosity(gas, temperature, 1.0) == pytest.approx(g.viscosity(gas, temperature), rel=1e-6)


@quick
@given(name=st.sampled_from(STORED), temperature=temperatures, pressure=st.floats(1e5, 3.9e7))
def test_a_stored_gas_gets_more_viscous_with_pressure(name: str, temperature: float, pressure: float) -> None:
    gas = g.load(name)
    assert g.viscosity(gas, temperature, pressure * 1.02) > g.viscosity(gas, temperature, pressure)


@quick
@given(name=st.sampled_from(NAMES), temperature=temperatures, share=st.floats(0.001, 1.0))
def test_pressure_hardly_thins_a_gas_and_thickens_it_at_most_fivefold(name: str, temperature: float, share: float) -> None:
    # A cold vapour may lose a per cent on the way up from 1 atm; methane at -40 °C and 401 bar abs has most, 4.7 times its own.
    gas = g.load(name)
    top = min(gas.range.warm_pressure, 0.999 * g.dew_pressure(gas, temperature))
    assert 0.98 < g.viscosity(gas, temperature, share * top) / g.viscosity(gas, temperature) < 5.0
