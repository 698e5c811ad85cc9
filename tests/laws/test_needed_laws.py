"""The needed pressure of one regulator alone is, to the last digit, what the whole trial finds: a bracket may use either."""

from hypothesis import given
from hypothesis import strategies as st
from tests.laws.test_flow_laws import stations

from steadycone.physics.flow import Station
from steadycone.physics.flow.network import evaluate, fuel_needed, oxygen_needed

flows = st.floats(1e-5, 3e-3)


@given(stations(), flows, flows)
def test_one_regulator_alone_needs_what_the_trial_finds(station: Station, fuel: float, oxygen: float) -> None:
    trial = evaluate(station, fuel, oxygen)
    assert (fuel_needed(station, fuel, oxygen), oxygen_needed(station, fuel, oxygen)) == (trial.fuel_needed, trial.oxygen_needed)


@given(stations(), flows)
def test_so_it_is_with_the_other_gas_shut(station: Station, flow: float) -> None:
    assert fuel_needed(station, flow, 0.0) == evaluate(station, flow, 0.0).fuel_needed
    assert oxygen_needed(station, 0.0, flow) == evaluate(station, 0.0, flow).oxygen_needed
