"""What must hold for cylinders whatever the numbers."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadycone.errors import OutOfRange
from steadycone.physics.gas import load, mixture
from steadycone.physics.supply import acetylene, cylinder, draw, lpg

kelvin = st.floats(250.0, 330.0)


@given(mass=st.floats(0.01, 10.0), acetone=st.floats(5.0, 20.0), temperature=kelvin)
def test_mass_comes_back_from_its_pressure(mass: float, acetone: float, temperature: float) -> None:
    pressure = acetylene.pressure_over_solution(mass, acetone, temperature)
    assert acetylene.mass_from_pressure(pressure, acetone, temperature) == pytest.approx(mass, rel=1e-9)


@given(mass=st.floats(0.1, 8.0), more=st.floats(0.01, 1.0), temperature=kelvin, warmer=st.floats(0.1, 10.0))
def test_acetylene_pressure_rises_with_mass_and_warmth(mass: float, more: float, temperature: float, warmer: float) -> None:
    pressure = acetylene.pressure_over_solution(mass, 12.7, temperature)
    assert acetylene.pressure_over_solution(mass + more, 12.7, temperature) > pressure
    assert acetylene.pressure_over_solution(mass, 12.7, temperature + warmer) > pressure


@given(pressure=st.floats(0.2e5, 12e5), temperature=st.floats(265.0, 330.0), content=st.floats(1.0, 12.0))
def test_the_band_of_a_pressure_reading_holds_the_value(pressure: float, temperature: float, content: float) -> None:
    band = acetylene.mass_band(pressure, acetylene.solvent_of(content), temperature)
    assert 0.0 < band.low < band.value < band.high


@given(flow=st.floats(0.0, 0.05), time=st.floats(0.0, 1e5), more=st.floats(1.0, 1e4))
def test_cooling_grows_with_time_to_a_steady_end(flow: float, time: float, more: float) -> None:
    assert 0.0 <= acetylene.cooling(flow, time) <= acetylene.cooling(flow, time + more) <= acetylene.cooling(flow, math.inf)


@given(flow=st.floats(1e-6, 100.0), limit=st.floats(1e-6, 100.0))
def test_cylinders_are_the_fewest_that_do(flow: float, limit: float) -> None:
    count = draw.cylinders_needed(flow, limit)
    assert count is not None
    assert count * limit >= flow * (1 - 1e-8)
    assert count == 1 or (count - 1) * limit < flow


def test_cylinders_at_the_edges() -> None:
    assert draw.cylinders_needed(7 * 0.1, 0.1) == 7
    assert draw.cylinders_needed(0.0, 0.0) == 1
    assert draw.cylinders_needed(1.0, 0.0) is None


@given(pressure=st.floats(2e5, 250e5), reserve=st.floats(1e5, 250e5))
def test_nothing_is_usable_below_the_reserve(pressure: float, reserve: float) -> None:
    usable = cylinder.usable_amount(pressure, reserve, 288.15, 0.05, load("oxygen"))
    assert (usable > 0.0) == (pressure > reserve)
    if usable > 0.0:
        assert cylinder.duration(pressure, reserve, 0.1, 288.15, 0.05, load("oxygen")) == pytest.approx(usable / 0.1)


@settings(max_examples=40)
@given(share=st.floats(0.05, 0.95), fill=st.floats(0.02, 1.0), temperature=st.floats(250.0, 310.0))
def test_a_mixture_gets_heavier_as_it_empties(share: float, fill: float, temperature: float) -> None:
    full = mixture({"propane": share, "butane": 1 - share}, "lpg")
    rest = lpg.residue(full, fill, temperature)
    assert rest.components["propane"] <= share + 1e-9
    band = lpg.vapour_pressure(full, temperature, fill)
    assert band.low <= band.value <= band.high


@settings(max_examples=40)
@given(fill=st.floats(0.05, 0.9), more=st.floats(0.01, 0.1), ambient=st.floats(240.0, 310.0), warmer=st.floats(0.1, 10.0))
def test_a_fuller_or_warmer_cylinder_evaporates_no_less(fill: float, more: float, ambient: float, warmer: float) -> None:
    propane = load("propane")
    one = lpg.vaporisation(propane, 45.0, fill, ambient)
    assert one.low <= one.value <= one.high
    assert lpg.vaporisation(propane, 45.0, fill + more, ambient).value >= one.value
    assert lpg.vaporisation(propane, 45.0, fill, ambient + warmer).value >= one.value


def test_the_rest_of_a_binary_follows_the_closed_form_of_simple_boiling() -> None:
    # Rayleigh for a constant ratio a of pressures: n_A/n_A0 = (n_B/n_B0)^a, exactly.
    full = mixture({"propane": 0.6, "butane": 0.4}, "lpg")
    rest = lpg.residue(full, 0.4, 283.15).components
    ratio = lpg.saturation_pressure(load("propane"), 283.15) / lpg.saturation_pressure(load("butane"), 283.15)
    left = rest["propane"] * 0.4 / 0.6, rest["butane"] * 0.4 / 0.4
    assert left[0] == pytest.approx(left[1] ** ratio, rel=0.03)


def test_butane_in_the_cold_gives_nothing() -> None:
    assert lpg.vaporisation(load("butane"), 12.0, 1.0, 268.15) == lpg.Band(0.0, 0.0, 0.0)


def test_a_tare_with_saturation_gas_leaves_all_of_the_difference() -> None:
    assert acetylene.usable_mass(68.2, 62.4, 12.7, True) == pytest.approx(5.8)
    assert acetylene.usable_mass(68.2, 62.4, 12.7, False) == pytest.approx(5.8 - acetylene.saturation_mass(12.7))
    assert 0.4 < acetylene.saturation_mass(12.7) < 0.55


@pytest.mark.parametrize(("mass", "acetone", "kelvins"), [(-1.0, 12.7, 288.0), (1.0, 0.0, 288.0), (1.0, 12.7, 100.0)])
def test_it_refuses_impossible_cylinders(mass: float, acetone: float, kelvins: float) -> None:
    with pytest.raises(OutOfRange):
        acetylene.pressure_over_solution(mass, acetone, kelvins)
