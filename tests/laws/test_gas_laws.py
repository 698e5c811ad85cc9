"""What must hold for any gas at any state the tables cover."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadycone.errors import InputError, OutOfRange, UnknownName
from steadycone.physics import gas as g

STORED = ("oxygen", "nitrogen", "air", "methane", "hydrogen")
FUELS = ("acetylene", "propane", "propylene", "methane", "hydrogen", "butane", "isobutane", "ethane")
ALL = (*STORED, "acetylene", "propane", "propylene", "butane", "isobutane", "ethane", "carbon dioxide")
temperatures = st.floats(233.15, 333.15)
shares = st.floats(0.001, 0.98)
quick = settings(max_examples=60, deadline=None)


def _pressure(gas: g.Gas, temperature: float, share: float) -> float:
    """A pressure inside the table: a share of the dew pressure or of the highest."""
    return share * min(g.dew_pressure(gas, temperature), 300e5 if gas.name in STORED else 16e5)


@quick
@given(name=st.sampled_from(ALL), temperature=temperatures, share=shares)
def test_density_and_amount_rise_with_pressure(name: str, temperature: float, share: float) -> None:
    gas = g.load(name)
    pressure = _pressure(gas, temperature, share)
    assert g.density(gas, pressure * 1.01, temperature) > g.density(gas, pressure, temperature)
    assert g.amount_stored(gas, 0.05, pressure * 1.01, temperature) > g.amount_stored(gas, 0.05, pressure, temperature)


@quick
@given(name=st.sampled_from(ALL), temperature=temperatures, share=shares)
def test_pressure_of_an_amount_undoes_the_amount_of_a_pressure(name: str, temperature: float, share: float) -> None:
    gas = g.load(name)
    pressure = _pressure(gas, temperature, share)
    amount = g.amount_stored(gas, 0.0123, pressure, temperature)
    assert g.pressure_of_amount(gas, amount, 0.0123, temperature) == pytest.approx(pressure, rel=1e-9)


@quick
@given(name=st.sampled_from(ALL), temperature=st.floats(233.15, 325.0), rise=st.floats(0.5, 15.0), share=shares)
def test_a_closed_vessel_gains_pressure_when_warmed_and_loses_it_again(name: str, temperature: float, rise: float, share: float) -> None:
    gas = g.load(name)
    pressure = _pressure(gas, temperature, share)
    warm = g.warmed_pressure(gas, pressure, temperature, temperature + rise)
    assert warm > pressure
    assert g.warmed_pressure(gas, warm, temperature + rise, temperature) == pytest.approx(pressure, rel=1e-8)


@quick
@given(name=st.sampled_from(ALL), temperature=st.floats(233.15, 330.0))
def test_viscosity_rises_with_temperature(name: str, temperature: float) -> None:
    gas = g.load(name)
    assert g.viscosity(gas, temperature + 1.0) > g.viscosity(gas, temperature)


@quick
@given(name=st.sampled_from(ALL), temperature=temperatures)
def test_thin_gas_is_an_ideal_gas(name: str, temperature: float) -> None:
    gas = g.load(name)
    assert g.compressibility(gas, 10.0, temperature) == pytest.approx(1.0, abs=1e-5)
    assert g.real_gamma(gas, 10.0, temperature) == pytest.approx(g.gamma(gas, temperature), rel=1e-4)


@quick
@given(name=st.sampled_from(ALL), temperature=st.floats(283.15, 323.15), share=st.floats(0.3, 0.95))
def test_a_regulator_cools_every_gas_but_hydrogen(name: str, temperature: float, share: float) -> None:
    gas = g.load(name)
    inlet = min(_pressure(gas, temperature, share), 80e5)
    left = g.throttled_temperature(gas, inlet, inlet / 2.0, temperature)
    assert (left > temperature) if name == "hydrogen" else (left < temperature)
    assert g.throttled_temperature(gas, inlet, inlet, temperature) == pytest.approx(temperature, abs=1e-5)


@quick
@given(name=st.sampled_from(("propane", "propylene", "butane", "isobutane")), temperature=st.floats(233.15, 332.0))
def test_a_warmer_liquid_has_more_pressure_less_density_and_less_latent_heat(name: str, temperature: float) -> None:
    gas, warmer = g.load(name), temperature + 1.0
    assert g.saturation_pressure(gas, warmer) > g.saturation_pressure(gas, temperature)
    assert g.saturated_liquid_density(gas, warmer) < g.saturated_liquid_density(gas, temperature)
    assert g.latent_heat(gas, warmer) < g.latent_heat(gas, temperature)


@quick
@given(share=st.floats(0.01, 0.99), temperature=temperatures)
def test_a_mixture_lies_between_its_parts(share: float, temperature: float) -> None:
    propane, butane = g.load("propane"), g.load("butane")
    lpg = g.mixture({"propane": share, "butane": 1.0 - share}, "lpg")
    for value in (
        g.second_virial,
        g.gamma,
        g.viscosity,
        g.saturation_pressure,
        g.latent_heat,
        g.saturated_liquid_density,
        g.dew_pressure,
    ):
        ends = sorted((value(propane, temperature), value(butane, temperature)))
        assert ends[0] * (1.0 - 1e-9 * (1 if ends[0] > 0 else -1)) <= value(lpg, temperature)
        assert value(lpg, temperature) <= ends[1] * (1.0 + 1e-9 * (1 if ends[1] > 0 else -1))


@quick
@given(share=st.floats(0.05, 0.95), temperature=temperatures)
def test_the_vapour_over_lpg_is_lighter_and_at_its_dew_point(share: float, temperature: float) -> None:
    lpg = g.mixture({"propane": share, "butane": 1.0 - share}, "lpg")
    vapour = g.vapour_over(lpg, temperature)
    assert vapour.components["propane"] > lpg.components["propane"]
    assert g.dew_pressure(vapour, temperature) == pytest.approx(g.saturation_pressure(lpg, temperature), rel=1e-9)


@quick
@given(name=st.sampled_from(FUELS), place=st.floats(0.0, 1.0))
def test_products_of_a_flame_are_shares_and_the_flame_is_hot(name: str, place: float) -> None:
    fuel = g.load(name)
    low, high = g.flame_range(fuel)
    state = g.flame(fuel, low + place * (high - low))
    assert 2600.0 < state.temperature < 3500.0
    assert 0.95 < sum(state.products.values()) <= 1.0 + 1e-5
    assert all(share >= 0.0 for share in state.products.values())


@pytest.mark.parametrize("name", FUELS)
def test_the_flame_table_holds_the_neutral_ratios_and_complete_burning(name: str) -> None:
    fuel = g.load(name)
    low, high = g.flame_range(fuel)
    ratios = g.neutral_ratio(fuel)
    assert low <= ratios[0] < ratios[1] < ratios[2] <= high
    assert low < g.complete_oxygen(fuel) <= high
    assert ratios[2] <= g.complete_oxygen(fuel)


@pytest.mark.parametrize("name", FUELS)
def test_limits_are_wider_in_oxygen_and_heat_is_less_with_the_water_as_vapour(name: str) -> None:
    fuel = g.load(name)
    air, oxygen = g.limits(fuel, "air"), g.limits(fuel, "oxygen")
    assert air is not None
    assert 0.0 < air[0] < air[1] <= 1.0
    assert oxygen is None or oxygen[1] >= air[1]
    assert g.lower_heat(fuel) < g.higher_heat(fuel)


def test_mixture_limits_lie_between_those_of_the_parts_and_inert_gas_raises_them() -> None:
    lpg = g.limits(g.mixture({"propane": 0.5, "butane": 0.5}, "lpg"), "air")
    assert lpg is not None
    assert 0.014 < lpg[0] < 0.017
    clean, lean = (g.limits(g.mixture(parts, "natural gas"), "air") for parts in ({"methane": 1.0}, {"methane": 0.95, "nitrogen": 0.05}))
    assert clean is not None
    assert lean is not None
    assert lean[0] > clean[0]


def test_a_limit_in_oxygen_that_nobody_gave_us_is_unknown() -> None:
    assert g.limits(g.load("butane"), "oxygen") is None
    assert g.limits(g.mixture({"propane": 0.9, "butane": 0.1}, "lpg"), "oxygen") is None


def test_a_mixture_ignites_as_easily_as_its_easiest_part() -> None:
    lpg = g.mixture({"propane": 0.9, "butane": 0.1}, "lpg")
    assert g.ignition_temperature(lpg) == g.ignition_temperature(g.load("butane"))


def test_a_name_that_is_not_a_gas_is_answered_with_the_nearest() -> None:
    with pytest.raises(UnknownName, match="acetylene"):
        g.load("acetylen")
    with pytest.raises(UnknownName, match="composition"):
        g.load("lpg")


@pytest.mark.parametrize("parts", [{"propane": 0.6, "butane": 0.3}, {"propane": 1.2, "butane": -0.2}, {"propane": float("nan")}, {}])
def test_a_composition_that_does_not_add_up_is_refused(parts: dict[str, float]) -> None:
    with pytest.raises(InputError):
        g.mixture(parts, "lpg")


@pytest.mark.parametrize(
    ("name", "pressure", "temperature", "words"),
    [
        ("propane", 9e5, 293.15, "liquid"),
        ("butane", 3e5, 273.15, "liquid"),
        ("oxygen", 450e5, 293.15, "above"),
        ("acetylene", 30e5, 300.0, "above"),
        ("oxygen", 0.0, 293.15, "above zero"),
        ("oxygen", -1e5, 293.15, "above zero"),
        ("oxygen", float("nan"), 293.15, "above zero"),
        ("oxygen", 1e5, 400.0, "outside"),
        ("oxygen", 1e5, 20.0, "outside"),
        ("oxygen", 1e5, float("nan"), "outside"),
    ],
)
def test_a_state_outside_the_table_is_refused_in_words(name: str, pressure: float, temperature: float, words: str) -> None:
    with pytest.raises(OutOfRange, match=words):
        g.density(g.load(name), pressure, temperature)


def test_an_amount_that_would_be_liquid_is_refused() -> None:
    # 5 kg of propane in 10 L: the vapour polynomial alone would still name a pressure.
    with pytest.raises(OutOfRange, match="liquid"):
        g.pressure_of_amount(g.load("propane"), 5.0 / 0.0441, 0.010, 293.15)


def test_what_does_not_burn_has_no_flame_and_no_limits() -> None:
    oxygen = g.load("oxygen")
    assert not g.burns(oxygen)
    assert g.burns(g.load("propane"))
    for ask in (g.complete_oxygen, g.lower_heat, g.ignition_temperature, g.neutral_ratio, g.flame_range):
        with pytest.raises(InputError, match="does not burn"):
            ask(oxygen)
    with pytest.raises(InputError, match="does not burn"):
        g.limits(oxygen, "air")


def test_a_flame_outside_its_table_is_refused() -> None:
    for ratio in (0.8, 3.0, float("nan"), -1.0):
        with pytest.raises(OutOfRange):
            g.flame(g.load("acetylene"), ratio)
    with pytest.raises(InputError, match="does not burn"):
        g.flame(g.mixture({"methane": 0.8, "nitrogen": 0.2}, "lean gas"), 1.7)
